"""farm.yaml and crops.yaml, as far as they could be read."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from traybook.findings.model import Finding
from traybook.records.settings_odd import Held, no_facts, twice, values_odd
from traybook.records.settings_reader import (
    SettingsReader,
    facts,
    names,
    number_range,
    pairs,
    real,
    spacing_range,
    table,
    weeks_range,
    word,
    yes_or_no,
)
from traybook.text.flow import Pairs, Value
from traybook.text.lines import Line
from traybook.text.names import fold, slug
from traybook.text.scalars import day_of_year, length_mm
from traybook.text.source import Piece, Source

#: What farm.yaml may say, and what each key is for.
FARM_HELP = {
    "name": "the farm's name, as its site shows it",
    "units": "metric or imperial: the unit of a length that names none",
    "dates": "day first or month first: how 3/4 is meant",
    "latitude": "degrees north, or with S degrees south; published to one degree",
    "longitude": "degrees east, or with W degrees west; published to one degree",
    "last frost": "the usual last frost in spring, as 8 May",
    "first frost": "the usual first frost in autumn, as 12 October",
    "frost dates": "last and first frost, on average and by year",
    "places": "where things stand, each with its temperature, light, heat and room for trays",
    "beds": "the beds, each with its length, width and kind (tunnel, field, house)",
    "trays": "trays of your own besides the usual ones, with their cells",
    "people": "initials of those who write",
    "bunch size": "stems in a bunch where nothing else is said",
    "harvest unit": "what a harvest's bare number counts: stems or bunches",
    "count in": "what a check's bare number counts where a cell holds several seeds: cells or seedlings",
    "publish": "what the shared site may show, as `people: initials`",
}
FARM_KEYS = tuple(FARM_HELP)
#: What crops.yaml may say of a kind, and what each key is for.
CROP_HELP = {
    "days to sprout": "fewest and most days from sowing to the first seedlings, as 7-14",
    "sown late for next year": "yes for a kind that is sown in autumn and cut the year after",
    "pre-treatment": "what its seed needs first, as `soak overnight` or `cold 4 weeks`, or none",
    "days to bloom": "fewest and most days from sowing to the first cut, as 90-120",
    "stems per plant": "fewest and most stems of a plant in a season, as 3-8",
    "weeks under cover": "fewest and most weeks from sowing to planting out, as 6-8",
    "plant out": "weeks from the last frost, minus before it, as -4 to -2",
    "spacing": "between plants, as 25 cm or 9 in",
    "varieties": "the varieties you grow",
    "spellings": "other names you write it by",
    "bunch size": "stems in a bunch of this kind",
    "seeds per gram": "to tell seeds from grams sown",
    "light": "light, dark or either: what it wants while it sprouts",
    "cover": "how deep it is usually covered, as 5 mm, or surface",
    "keeps": "years that its seed keeps, as 3",
}
CROP_KEYS = tuple(CROP_HELP)
# How each range of a kind is read, and what it looks like.
RANGES = {
    "days to sprout": (number_range, "7-14"),
    "days to bloom": (number_range, "90-120"),
    "stems per plant": (number_range, "3-8"),
    "weeks under cover": (number_range, "6-8"),
    "plant out": (weeks_range, "-4 to -2, in weeks from the last frost"),
    "spacing": (spacing_range, "25 cm, or 9 in"),
}


@dataclass(frozen=True, slots=True)
class Crop:
    """What crops.yaml says of a kind, None where it says nothing. Ranges are the fewest and the most:
    `sprout_days` and `bloom_days` from sowing, `stems` of a plant, `indoors_weeks` under cover,
    `out_weeks` from the last frost (negative before it). An empty `pre_treatment` is a kind that
    needs none."""

    name: str
    sprout_days: tuple[float, float] | None = None
    late_for_next_year: bool | None = None
    pre_treatment: str | None = None
    varieties: tuple[str, ...] = ()
    spellings: tuple[str, ...] = ()
    bunch: int | None = None
    seeds_per_gram: float | None = None
    light: str = ""
    cover_mm: float | None = None
    keeps_years: int | None = None
    bloom_days: tuple[float, float] | None = None
    stems: tuple[float, float] | None = None
    indoors_weeks: tuple[float, float] | None = None
    out_weeks: tuple[float, float] | None = None
    spacing_cm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Farm:
    """The farm's settings; everything has an answer when nothing was set."""

    name: str = ""
    units: str = "metric"
    day_first: bool | None = None
    latitude: float | None = None
    longitude: float | None = None
    places: dict[str, dict[str, str]] = field(default_factory=dict)
    beds: dict[str, dict[str, str]] = field(default_factory=dict)
    people: tuple[str, ...] = ()
    bunch: int | None = None
    harvest_unit: str = ""
    count_in: str = "cells"
    initials_only: bool = False
    crops: dict[str, Crop] = field(default_factory=dict)
    last_frost: dict[int, tuple[int, int]] = field(default_factory=dict)
    first_frost: dict[int, tuple[int, int]] = field(default_factory=dict)

    @property
    def south(self) -> bool:
        """South of the equator, where the season turns in February."""
        return self.latitude is not None and self.latitude < 0

    def last_frost_of(self, year: int) -> dt.date | None:
        """The last frost of a spring, or the usual one; None if farm.yaml names neither."""
        return _on(year, self.last_frost)

    def first_frost_of(self, year: int) -> dt.date | None:
        """The first frost of an autumn, in the same way."""
        return _on(year, self.first_frost)

    def light_of(self, place: str) -> str:
        """The light of a place, as farm.yaml says; empty if it doesn't."""
        facts = next((v for k, v in self.places.items() if fold(k) == fold(place)), {})
        return next((v for k, v in facts.items() if fold(k) == "light"), "")

    def spots(self) -> frozenset[str]:
        """Names of places and beds, folded."""
        return frozenset(fold(n) for n in (*self.places, *self.beds))

    def bed_names(self) -> frozenset[str]:
        """Names of beds, folded."""
        return frozenset(fold(n) for n in self.beds)


def _on(year: int, days: dict[int, tuple[int, int]]) -> dt.date | None:
    month_day = days.get(year) or days.get(0)
    return dt.date(year, *month_day) if month_day else None


def read_farm(source: Source | None, crops: dict[str, Crop]) -> tuple[Farm, list[Finding]]:
    """farm.yaml as settings, with doubts about what could not be read."""
    if source is None:
        return Farm(crops=crops), []
    at = SettingsReader(source)
    told = []
    got = {}
    for key, value in at.top():
        name = at.known(key, FARM_KEYS)
        if name:
            told.append((name, key, value))
            got[name] = (key, value)
    at.findings += [*values_odd(told), *twice(told)]

    def value(name: str) -> Value | list[Line] | None:
        return got[name][1] if name in got else None

    def number(name: str) -> float | None:
        return real(value(name))

    dates = fold(word(value("dates")))
    bunch = number("bunch size")
    count_in = fold(word(value("count in")))
    return Farm(
        name=word(value("name")),
        units="imperial" if fold(word(value("units"))) in ("imperial", "us", "feet") else "metric",
        day_first={"day first": True, "month first": False}.get(dates),
        latitude=_within(number("latitude"), 90),
        longitude=_within(number("longitude"), 180),
        places=table(value("places")),
        beds=table(value("beds")),
        people=names(value("people")),
        bunch=int(bunch) if bunch and bunch > 0 else None,
        harvest_unit=fold(word(value("harvest unit"))),
        count_in="seedlings" if count_in.startswith("seedling") else "cells",
        initials_only="initials" in fold(str(facts(value("publish")).get("people", ""))),
        crops=crops,
        last_frost=_frosts("last", value("last frost"), value("frost dates")),
        first_frost=_frosts("first", value("first frost"), value("frost dates")),
    ), at.findings


def _within(number: float | None, most: float) -> float | None:
    return number if number is not None and abs(number) <= most else None


def _frosts(kind: str, usual: Held, by_year: Held) -> dict[int, tuple[int, int]]:
    """Month and day of the last (or first) frost by year; the usual one under 0."""
    said = {"average": word(usual)} if word(usual) else {}
    for name, told in table(by_year).items():
        on = next((v for k, v in told.items() if fold(k) in (kind, f"{kind} frost")), "")
        if on:
            said[fold(name)] = on
    days = {name: day_of_year(words) for name, words in said.items()}
    return {
        int(name) if name.isdigit() else 0: on
        for name, on in days.items()
        if on and (name in ("average", "usual") or name.isdigit())
    }


def read_crops(source: Source | None) -> tuple[dict[str, Crop], list[Finding]]:
    """crops.yaml: facts by kind; keys of the result are folded names."""
    if source is None:
        return {}, []
    at = SettingsReader(source)
    crops = {}
    told = at.top()
    at.findings += twice((k.text, k, v) for k, v in told)
    for key, value in told:
        at.findings += no_facts(key, value)
        crop = _crop(at, key, value)
        crops[fold(crop.name)] = crop
    return crops, at.findings


def _crop(at: SettingsReader, key: Piece, value: Value | list[Line] | None) -> Crop:
    got: dict[str, Value | list[Line] | None] = {}
    told = []
    inner = (
        pairs(value) if isinstance(value, list) else value.pairs if isinstance(value, Pairs) else ()
    )
    for name, held in inner:
        known = at.known(name, CROP_KEYS)
        if known:
            got[known] = held
            told.append((known, name, held))
    at.findings += [*values_odd(told), *twice(told)]
    ranges = {name: _range(at, key, name, got.get(name)) for name in RANGES}
    bunch, gram = real(got.get("bunch size")), real(got.get("seeds per gram"))
    cover, keeps = word(got.get("cover")).lower(), real(got.get("keeps"))
    return Crop(
        name=key.text.strip("'\""),
        sprout_days=ranges["days to sprout"],
        late_for_next_year=yes_or_no(got.get("sown late for next year")),
        pre_treatment=_treatment(word(got.get("pre-treatment"))),
        varieties=names(got.get("varieties")),
        spellings=names(got.get("spellings")),
        bunch=int(bunch) if bunch and bunch > 0 else None,
        seeds_per_gram=gram if gram and gram > 0 else None,
        light=fold(word(got.get("light"))),
        cover_mm=0.0 if cover.startswith(("surface", "none", "no")) else length_mm(cover, "mm"),
        keeps_years=int(keeps) if keeps and keeps >= 1 else None,
        bloom_days=ranges["days to bloom"],
        stems=ranges["stems per plant"],
        indoors_weeks=ranges["weeks under cover"],
        out_weeks=ranges["plant out"],
        spacing_cm=ranges["spacing"],
    )


def _treatment(said: str) -> str | None:
    """What its seed needs first: nothing where that was said, None where nothing was said."""
    return "" if fold(said) in ("none", "no") else said or None


def _range(at: SettingsReader, key: Piece, name: str, held: Held) -> tuple[float, float] | None:
    """Fewest and most of a setting; a doubt where something stands there that can't be read."""
    reads, like = RANGES[name]
    got = reads(word(held))
    if held is not None and got is None:
        spot = held if isinstance(held, Piece) else key
        at.doubt(spot, f"{name} of `{key.text}` could not be read", f"write it as {like}")
    return got


def crop_slug(farm: Farm, part: str) -> str:
    """The crop's own name for the part of a code before `-yy-n`."""
    for crop in farm.crops.values():
        if slug(crop.name) == part:
            return crop.name
    return part.replace("-", " ")
