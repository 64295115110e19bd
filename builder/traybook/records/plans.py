"""plans/YEAR.yaml: what is to be grown in a year, as far as it could be read."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from traybook.findings.model import Finding
from traybook.handbook.facts import Handbook
from traybook.records.settings import Farm
from traybook.records.settings_odd import Held, twice
from traybook.records.settings_reader import SettingsReader, pairs, word
from traybook.text.flow import Pairs
from traybook.text.names import fold
from traybook.text.scalars import day
from traybook.text.source import Piece, Source, Span

#: What a plan may say of a kind, and what each key is for.
PLAN_HELP = {
    "variety": "the variety",
    "plants": "good plants wanted in all",
    "stems": "stems wanted in all, in place of plants",
    "cut": "from when to when they are wanted, as 1 July to 20 September, or weeks 27-38",
    "successions": "how many sowings it is split over",
    "sow": "your own sowing days, as 20 March, 18 April; worked out if not said",
    "plant out": "your own day for planting out",
    "container": "what it is sown in, as 72-cell tray or direct",
    "per cell": "seeds in a cell",
    "place": "where the trays will stand",
    "lot": "the seed lot",
    "packet": "seeds in a packet, to order by",
    "for": "what it is for",
}
PLAN_KEYS = tuple(PLAN_HELP)
_WEEKS = re.compile(r"weeks?\s*(\d{1,2})(?:\s*(?:-|to)\s*(?:week\s*)?(\d{1,2}))?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One kind of a plan. `plants` or `stems` may be None; `cut` is the window of the cut, first and
    last day; `sow` are days the grower set. `number` tells apart lines of one kind, from 1."""

    year: int
    crop: str
    variety: str = ""
    plants: int | None = None
    stems: int | None = None
    cut: tuple[dt.date, dt.date] | None = None
    successions: int = 1
    sow: tuple[dt.date, ...] = ()
    plant_out: dt.date | None = None
    container: str = ""
    per_cell: int | None = None
    place: str = ""
    lot: str = ""
    packet: int | None = None
    purpose: str = ""
    number: int = 1
    at: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Plan:
    """What is planned for one year, in the order written."""

    year: int
    lines: tuple[PlanLine, ...] = ()


def read_plan(
    source: Source, year: int, farm: Farm, handbook: Handbook | None = None
) -> tuple[Plan, list[Finding]]:
    """One plan; what can't be read of it is a doubt and is left out.

    Each key is a kind, or a kind and one of its varieties (`snapdragon Cinder Rose`); a kind may
    stand more than once. Under it stand the settings of PLAN_HELP; `zinnia: 120 plants` is short for
    the plants (or stems) alone.
    """
    at = SettingsReader(source)
    lines: list[PlanLine] = []
    for key, value in at.top():
        line = _line(at, key, value, year, farm, handbook)
        if line is not None:
            again = sum(x.crop == line.crop and x.variety == line.variety for x in lines)
            lines.append(replace(line, number=again + 1))
    return Plan(year, tuple(lines)), at.findings


def _line(
    at: SettingsReader, key: Piece, value: Held, year: int, farm: Farm, handbook: Handbook | None
) -> PlanLine | None:
    crop, variety = _named(key.text.strip("'\""), farm, handbook)
    if isinstance(value, Piece):
        got, told = _short(at, value), []
    else:
        got, told = {}, []
        inner = (
            pairs(value)
            if isinstance(value, list)
            else value.pairs
            if isinstance(value, Pairs)
            else ()
        )
        for name, held in inner:
            known = at.known(name, PLAN_KEYS)
            if known:
                got[known] = held
                told.append((known, name, held))
    at.findings += twice(told)
    plants, stems = _whole(at, got.get("plants")), _whole(at, got.get("stems"))
    sow = tuple(
        d for part in _parts(got.get("sow")) if (d := _day(at, got["sow"], part, year, farm))
    )
    if plants is None and stems is None and not sow:
        if not (got.keys() & {"plants", "stems", "sow"} or isinstance(value, Piece)):
            at.doubt(
                key,
                f"`{key.text}` says neither how many plants nor how many stems",
                "write `plants: 120` or `stems: 600` under it",
            )
        return None
    return PlanLine(
        year, crop, word(got.get("variety")) or variety, plants, stems,
        _window(at, got.get("cut"), year, farm),
        max(1, _whole(at, got.get("successions")) or len(sow) or 1),
        sow,
        _day(at, got.get("plant out"), word(got.get("plant out")), year, farm),
        word(got.get("container")), _whole(at, got.get("per cell")), word(got.get("place")),
        word(got.get("lot")), _whole(at, got.get("packet")), word(got.get("for")), at=key.at,
    )  # fmt: skip


def _named(text: str, farm: Farm, handbook: Handbook | None) -> tuple[str, str]:
    """A kind and, after it, one of its varieties: the longest name that the farm, else the handbook,
    knows begins the key."""
    flat = fold(text)
    known = {fold(n): c for c in farm.crops.values() for n in (c.name, *c.spellings)}
    for name in sorted(known, key=len, reverse=True):
        if flat == name:
            return known[name].name, ""
        if flat.startswith(name) and text[len(name) :][:1] == " ":
            return known[name].name, text[len(name) :].strip()
    words = text.split()
    for n in range(len(words) - 1, 0, -1) if handbook and not handbook.of([text]) else ():
        if handbook.of([" ".join(words[:n])]):
            return " ".join(words[:n]), " ".join(words[n:])
    return text, ""


def _short(at: SettingsReader, value: Piece) -> dict[str, Held]:
    """`120 plants` or `600 stems`; a bare number is plants."""
    found = re.fullmatch(r"\s*(\d[\d,]*)\s*(plants?|stems?)?\s*", value.text, re.IGNORECASE)
    if not found:
        at.doubt(value, f"`{value.text.strip()}` could not be read as a number of plants or stems",
                 "write it as `120 plants` or `600 stems`, the rest indented under the kind")  # fmt: skip
        return {}
    unit = "stems" if (found[2] or "").lower().startswith("stem") else "plants"
    start = value.text.index(found[1])
    return {unit: value.part(start, start + len(found[1]))}


def _whole(at: SettingsReader, value: Held) -> int | None:
    if value is None:
        return None
    found = re.match(r"(\d{1,3}(?:,\d{3})+|\d+)(?![.\d])", word(value))
    number = int(found[1].replace(",", "")) if found else 0
    if number < 1 and isinstance(value, Piece):
        at.doubt(value, f"`{word(value)}` is no whole number", "write a number, as 120")
    return number or None


def _parts(value: Held) -> Iterable[str]:
    return [x.strip() for x in word(value).split(",") if x.strip()]


def _day(at: SettingsReader, value: Held, text: str, year: int, farm: Farm) -> dt.date | None:
    """A day of the plan's year; a month and a day will do."""
    if not text:
        return None
    # a day without a year is of the plan's; an autumn sowing lies in the year before and says so
    found = day(text, dt.date(year, 12, 31), farm.day_first).on
    if found is None and isinstance(value, Piece):
        at.doubt(
            value, f"`{text}` could not be read as a day", "write it as 20 April, or 2027-04-20"
        )
    return found


def _window(
    at: SettingsReader, value: Held, year: int, farm: Farm
) -> tuple[dt.date, dt.date] | None:
    """`1 July to 20 September`, or ISO weeks: `weeks 27-38` begin on a Monday and end on a Sunday."""
    text = word(value)
    if not text:
        return None
    weeks = _WEEKS.match(text)
    if weeks:
        try:
            first = dt.date.fromisocalendar(year, int(weeks[1]), 1)
            last = dt.date.fromisocalendar(year, int(weeks[2] or weeks[1]), 7)
        except ValueError:
            first, last = dt.date.max, dt.date.min
    else:
        ends = re.split(r"\s+(?:to|until|till)\s+|\s*–\s*", text, maxsplit=1)
        days = [_day(at, value, x, year, farm) for x in ends]
        if None in days:
            return None
        first, last = days[0], days[-1]  # type: ignore[assignment]
    if first > last:
        if isinstance(value, Piece):
            at.doubt(value, f"`{text}` is no time from one day to a later one",
                     "write it as 1 July to 20 September, or weeks 27-38")  # fmt: skip
        return None
    return first, last
