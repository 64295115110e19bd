"""farm.yaml and crops.yaml, as far as they could be read."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field

from traybook.findings.model import Finding, offer
from traybook.records.settings_odd import lines_odd, no_facts, twice, values_odd
from traybook.text.fences import Row
from traybook.text.flow import Broken, Items, Pairs, Value, read
from traybook.text.lines import Line, tree
from traybook.text.names import fold, near, slug
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
    "pre-treatment": "what its seed needs first, as `soak overnight` or `cold 4 weeks`",
    "varieties": "the varieties you grow",
    "spellings": "other names you write it by",
    "bunch size": "stems in a bunch of this kind",
    "seeds per gram": "to tell seeds from grams sown",
    "light": "light, dark or either: what it wants while it sprouts",
    "cover": "how deep it is usually covered, as 5 mm, or surface",
    "keeps": "years that its seed keeps, as 3",
}
CROP_KEYS = tuple(CROP_HELP)


@dataclass(frozen=True, slots=True)
class Crop:
    """What crops.yaml says of a kind. `sprout_days` are the fewest and the most days."""

    name: str
    sprout_days: tuple[float, float] | None = None
    late_for_next_year: bool = False
    pre_treatment: str = ""
    varieties: tuple[str, ...] = ()
    spellings: tuple[str, ...] = ()
    bunch: int | None = None
    seeds_per_gram: float | None = None
    light: str = ""
    cover_mm: float | None = None
    keeps_years: int | None = None


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

    @property
    def south(self) -> bool:
        """South of the equator, where the season turns in February."""
        return self.latitude is not None and self.latitude < 0

    def last_frost_of(self, year: int) -> dt.date | None:
        """The last frost of a spring, or the usual one; None if farm.yaml names neither."""
        month_day = self.last_frost.get(year) or self.last_frost.get(0)
        return dt.date(year, *month_day) if month_day else None

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


def _pairs(lines: list[Line]) -> list[tuple[Piece, Value | list[Line] | None]]:
    """A settings mapping: key and what stands under or after it."""
    out: list[tuple[Piece, Value | list[Line] | None]] = []
    for line in lines:
        value: Value | list[Line] | None = line.value
        if line.value is not None and line.value.text:
            got = read(line.value, line.below)
            value = line.value if got is None or isinstance(got, Broken) else got
        elif line.below:
            value = line.below
        out.append((line.head, value))
    return out


def _names(value: Value | list[Line] | None) -> tuple[str, ...]:
    """A list in any of its forms: flow, dashes, keys of a mapping, or commas."""
    if isinstance(value, list):
        return tuple(x.head.text.strip("'\"") for x in value)
    if isinstance(value, Items):
        return tuple(v.text for v in value.values if isinstance(v, Piece))
    if isinstance(value, Pairs):
        return tuple(k.text for k, _ in value.pairs)
    return tuple(x.strip() for x in value.text.split(",") if x.strip()) if value else ()


def _table(value: Value | list[Line] | None) -> dict[str, dict[str, str]]:
    """Names, each with its own small facts."""
    if isinstance(value, list) and not any(x.dash for x in value):
        return {k.text: _facts(v) for k, v in _pairs(value)}
    if isinstance(value, Pairs):
        return {k.text: _facts(v) for k, v in value.pairs}
    return {name: {} for name in _names(value)}


def _facts(value: Value | list[Line] | None) -> dict[str, str]:
    if isinstance(value, list):
        return {k.text: v.text for k, v in _pairs(value) if isinstance(v, Piece)}
    if isinstance(value, Pairs):
        return {k.text: v.text for k, v in value.pairs if isinstance(v, Piece)}
    return {}


def _word(value: Value | list[Line] | None) -> str:
    return value.text.strip() if isinstance(value, Piece) else ""


def _real(value: Value | list[Line] | None) -> float | None:
    found = re.match(r"-?\d+(?:[.,]\d+)?", _word(value))
    if not found:
        return None
    number = float(found.group().replace(",", "."))
    return -number if re.search(r"\d\s*°?\s*[sw]\b", _word(value), re.I) else number


def _yes(value: Value | list[Line] | None) -> bool:
    return fold(_word(value)) in ("yes", "true", "y", "on")


def _with_colon(line: Line) -> str:
    first, _, rest = line.whole.text.partition(" ")
    return f"write `{first}: {rest}`" if rest else "put a colon after it, and say what it is"


class _Settings:
    """Reads a settings file key by key; what can't be read is a doubt and keeps its default."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.findings: list[Finding] = []

    def top(self) -> list[tuple[Piece, Value | list[Line] | None]]:
        rows = [Row(n) for n in range(1, self.source.lines + 1)]
        lines = [
            x for x in tree(self.source, rows) if not re.fullmatch(r"-{3,}|\.{3}", x.whole.text)
        ]
        for line in [x for x in lines if x.value is None]:
            self.doubt(line.whole, "this line has no colon, so it sets nothing", _with_colon(line))
        self.findings += lines_odd(lines)
        return _pairs([x for x in lines if x.value is not None])

    def doubt(self, at: Piece, message: str, help_: str = "") -> None:
        self.findings.append(Finding("unread-setting", message, at.at, help_))

    def known(self, key: Piece, keys: tuple[str, ...]) -> str:
        name = next((k for k in keys if fold(k) == fold(key.text)), "")
        if not name:
            self.doubt(
                key,
                f"`{key.text}` is no setting here",
                offer(near(key.text, keys)) or "take it out, or look for its name in the manual",
            )
        return name


def read_farm(source: Source | None, crops: dict[str, Crop]) -> tuple[Farm, list[Finding]]:
    """farm.yaml as settings, with doubts about what could not be read."""
    if source is None:
        return Farm(crops=crops), []
    at = _Settings(source)
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
        return _real(value(name))

    dates = fold(_word(value("dates")))
    bunch = number("bunch size")
    count_in = fold(_word(value("count in")))
    return Farm(
        name=_word(value("name")),
        units="imperial" if fold(_word(value("units"))) in ("imperial", "us", "feet") else "metric",
        day_first={"day first": True, "month first": False}.get(dates),
        latitude=_within(number("latitude"), 90),
        longitude=_within(number("longitude"), 180),
        places=_table(value("places")),
        beds=_table(value("beds")),
        people=_names(value("people")),
        bunch=int(bunch) if bunch and bunch > 0 else None,
        harvest_unit=fold(_word(value("harvest unit"))),
        count_in="seedlings" if count_in.startswith("seedling") else "cells",
        initials_only="initials" in fold(str(_facts(value("publish")).get("people", ""))),
        crops=crops,
        last_frost=_frosts(value("last frost"), value("frost dates")),
    ), at.findings


def _within(number: float | None, most: float) -> float | None:
    return number if number is not None and abs(number) <= most else None


def _frosts(
    usual: Value | list[Line] | None, table: Value | list[Line] | None
) -> dict[int, tuple[int, int]]:
    """Month and day of the last frost by year; the usual one under 0."""
    said = {"average": _word(usual)} if _word(usual) else {}
    for name, facts in _table(table).items():
        last = (v for k, v in facts.items() if fold(k) in ("last", "last frost"))
        said[fold(name)] = next(last, "")
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
    at = _Settings(source)
    crops = {}
    told = at.top()
    at.findings += twice((k.text, k, v) for k, v in told)
    for key, value in told:
        at.findings += no_facts(key, value)
        crop = _crop(at, key, value)
        crops[fold(crop.name)] = crop
    return crops, at.findings


def _crop(at: _Settings, key: Piece, value: Value | list[Line] | None) -> Crop:
    got: dict[str, Value | list[Line] | None] = {}
    facts = []
    inner = (
        _pairs(value)
        if isinstance(value, list)
        else value.pairs
        if isinstance(value, Pairs)
        else ()
    )
    for name, held in inner:
        known = at.known(name, CROP_KEYS)
        if known:
            got[known] = held
            facts.append((known, name, held))
    at.findings += [*values_odd(facts), *twice(facts)]
    days = _range(_word(got.get("days to sprout")))
    if got.get("days to sprout") is not None and days is None:
        held = got["days to sprout"]
        at.doubt(held if isinstance(held, Piece) else key,
                 f"days to sprout of `{key.text}` could not be read", "write it as 7-14")  # fmt: skip
    bunch, gram = _real(got.get("bunch size")), _real(got.get("seeds per gram"))
    treatment = _word(got.get("pre-treatment"))
    cover, keeps = _word(got.get("cover")).lower(), _real(got.get("keeps"))
    return Crop(
        name=key.text.strip("'\""),
        sprout_days=days,
        late_for_next_year=_yes(got.get("sown late for next year")),
        pre_treatment="" if fold(treatment) in ("none", "no", "") else treatment,
        varieties=_names(got.get("varieties")),
        spellings=_names(got.get("spellings")),
        bunch=int(bunch) if bunch and bunch > 0 else None,
        seeds_per_gram=gram if gram and gram > 0 else None,
        light=fold(_word(got.get("light"))),
        cover_mm=0.0 if cover.startswith(("surface", "none", "no")) else length_mm(cover, "mm"),
        keeps_years=int(keeps) if keeps and keeps >= 1 else None,
    )


def _range(text: str) -> tuple[float, float] | None:
    found = re.match(r"(\d+(?:\.\d+)?)(?:\s*(?:-|to)\s*(\d+(?:\.\d+)?))?", text)
    if not found:
        return None
    low, high = float(found[1]), float(found[2] or found[1])
    return (low, high) if 0 < low <= high else None


def crop_slug(farm: Farm, part: str) -> str:
    """The crop's own name for the part of a code before `-yy-n`."""
    for crop in farm.crops.values():
        if slug(crop.name) == part:
            return crop.name
    return part.replace("-", " ")
