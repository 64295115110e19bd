"""When the last frost of spring and the first of autumn come, by the farm's own years.

A spring runs from the turn of the year to the end of July, an autumn from August to the end of December
(south of the equator July to January, and February to June). Each year's date is, before anything
else, the one that farm.yaml names; else the frost that was recorded or that the files of temperatures
tell, whichever leaves less of the season to frost.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from traybook.records.book import Book
from traybook.records.event import Event
from traybook.stats.frost import autumn, reached, spring

FARM, OWN, FILE = "farm.yaml", "your own records", "the temperature file"
#: With fewer years than this of their own the usual date of farm.yaml is used, where it names one.
FEWEST_YEARS = 3
# source: Utah Climate Center, freeze table help: a season that misses ten days or more doesn't count
_MISSING = 10
_CHANCES = (0.9, 0.5, 0.1)


@dataclass(frozen=True, slots=True)
class FrostYear:
    """One year's frost: `on` is None where the season is known to have had none; `source` as in
    FrostDates."""

    year: int
    on: dt.date | None
    source: str


@dataclass(frozen=True, slots=True)
class FrostDates:
    """Three dates of one year's frost, early <= middle <= late.

    In spring nine years in ten have a frost after `early`, one in ten after `late`; in autumn one in ten
    has had one before `early`, nine in ten before `late`. One of them is None where frost comes too
    seldom for it. `years` is how many years stand behind them, those without frost among them; it is 0
    where all three are the usual date of farm.yaml. `source` says in words where they come from.
    """

    early: dt.date | None
    middle: dt.date | None
    late: dt.date | None
    years: int
    source: str


@dataclass(frozen=True, slots=True)
class Frosts:
    """All that is known of a farm's frosts: by year, and the usual (month, day) of farm.yaml."""

    springs: tuple[FrostYear, ...] = ()
    autumns: tuple[FrostYear, ...] = ()
    usual_last: tuple[int, int] | None = None
    usual_first: tuple[int, int] | None = None
    south: bool = False

    def last(self, year: int) -> FrostDates | None:
        """The last frost of a year's spring; None where nothing is known, or no year had any."""
        return _dates(self.springs, self.usual_last, _spring(year, self.south), spring, (0, 1, 2))

    def first(self, year: int) -> FrostDates | None:
        """The first frost of a year's autumn, in the same way."""
        return _dates(self.autumns, self.usual_first, _autumn(year, self.south), autumn, (2, 1, 0))


def frost_of(at: Frosts, year: int) -> dt.date | None:
    """The last frost of a year as it was, else the usual one."""
    was = next((x.on for x in at.springs if x.year == year and x.on), None)
    usual = at.last(year)
    return was or (usual.middle if usual else None)


@dataclass(frozen=True, slots=True)
class _Season:
    """First and last day of a season in which frosts are counted; `anchor` is the day that days are
    counted from, so that 8 May is the same in a leap year; `deep` the months of winter in it."""

    year: int
    begins: dt.date
    ends: dt.date
    anchor: dt.date
    deep: tuple[int, ...]

    def on(self, month_day: tuple[int, int]) -> dt.date:
        """A month and day within the season or, if it lies out of it, in its year."""
        for year in (self.year, self.year + 1):
            found = dt.date(year, *month_day)
            if self.begins <= found <= self.ends:
                return found
        return dt.date(self.year, *month_day)


def _spring(year: int, south: bool) -> _Season:
    if south:
        turn = dt.date(year, 7, 1)
        return _Season(year, turn, dt.date(year + 1, 1, 31), turn, (7, 8))
    return _Season(year, dt.date(year, 1, 1), dt.date(year, 7, 31), dt.date(year, 8, 1), (1, 2))


def _autumn(year: int, south: bool) -> _Season:
    if south:
        return _Season(year, dt.date(year, 2, 1), dt.date(year, 6, 30), dt.date(year, 7, 1), (6,))
    turn = dt.date(year, 8, 1)
    return _Season(year, turn, dt.date(year, 12, 31), turn, (12,))


def _dates(
    found: tuple[FrostYear, ...],
    usual: tuple[int, int] | None,
    season: _Season,
    at: Callable[[list[float], float, int], float | None],
    order: tuple[int, int, int],
) -> FrostDates | None:
    """The three dates of a season by the years found, or by the usual date."""
    if usual and len(found) < FEWEST_YEARS:
        on = season.on(usual)
        return FrostDates(on, on, on, 0, FARM)
    make = _spring if at is spring else _autumn
    south = season.anchor.month == 7
    days = [float((y.on - make(y.year, south).anchor).days) for y in found if y.on]
    if not days:
        return None
    three = [_day(season, at(days, chance, len(found) - len(days))) for chance in _CHANCES]
    early, middle, late = (three[i] for i in order)
    return FrostDates(early, middle, late, len(found), source_words(found))


def _day(season: _Season, days: float | None) -> dt.date | None:
    """The nearest whole day; a half is the later one."""
    return None if days is None else season.anchor + dt.timedelta(days=math.floor(days + 0.5))


def source_words(found: Iterable[FrostYear]) -> str:
    """Where years come from, in words."""
    from_ = {y.source for y in found}
    return " and ".join(s for s in (FARM, OWN, FILE) if s in from_)


def frosts(book: Book) -> Frosts:
    """What a farm knows of its frosts up to the day of its book."""
    farm = book.farm
    lines = [e.event for e in book.entries if e.used and e.event.verb == "weather"]
    days = _Days(book, lines)
    return Frosts(
        tuple(_years(farm.last_frost, days, _spring)),
        tuple(_years(farm.first_frost, days, _autumn)),
        farm.last_frost.get(0), farm.first_frost.get(0), farm.south,
    )  # fmt: skip


def _years(
    named: dict[int, tuple[int, int]], days: _Days, make: Callable[[int, bool], _Season]
) -> Iterator[FrostYear]:
    """Every year that tells its frost, the earliest first."""
    for year in sorted({*named, *days.years} - {0}):
        season = make(year, days.south)
        if year in named:
            on = season.on(named[year])
            if on <= days.as_of:
                yield FrostYear(year, on, FARM)
            continue
        got = days.told(season, spring=make is _spring)
        if got:
            yield got


class _Days:
    """The days with a frost, as recorded and as measured."""

    def __init__(self, book: Book, lines: list[Event]) -> None:
        self.as_of, self.south = book.as_of, book.farm.south
        self.filed = book.measured
        self.measured = {on: low for on, (low, _) in book.temperatures.items() if low is not None}
        self.recorded = {e.on: _said(e) for e in lines if e.on and _frosty(e, self.measured)}
        around = {*self.measured, *self.recorded}
        self.years = {y for d in around for y in (d.year - self.south, d.year)}

    def told(self, season: _Season, spring: bool) -> FrostYear | None:
        """What is known of one season; None where too little is."""
        measured = self._measured(season, spring)
        recorded = self._recorded(season, spring)
        if measured is None and recorded is None:
            return None
        both = [y for y in (measured, recorded) if y and y.on]
        if not both:
            return measured
        return max(both, key=_last) if spring else min(both, key=_last)

    def _measured(self, season: _Season, spring: bool) -> FrostYear | None:
        """By the lowest of each day: a year counts where fewer than ten days are missing between the
        frost and the end of the season on which another could have come."""
        cold = [d for d, low in self.measured.items()
                if season.begins <= d <= season.ends and reached(low)]  # fmt: skip
        on = (max if spring else min)(cold, default=None)
        if spring:
            first, last = on or season.begins, season.ends
        else:
            first, last = season.begins, on or season.ends
        length = (last - first).days + 1
        here = sum(first <= d <= last for d in self.measured)
        if length - here >= _MISSING:
            return None
        filed = on in self.filed if on else any(first <= d <= last for d in self.filed)
        return FrostYear(season.year, on, FILE if filed else OWN)

    def _recorded(self, season: _Season, spring: bool) -> FrostYear | None:
        """By `weather` lines that tell a frost; a spring's once it is over. In the months of winter frost
        is no news, so there only a line that calls it the last or the first counts."""
        if spring and season.ends > self.as_of:
            return None
        word = "last" if spring else "first"
        found = {d: said for d, said in self.recorded.items() if season.begins <= d <= season.ends}
        named = [d for d, said in found.items() if word in said]
        plain = [d for d in found if d.month not in season.deep]
        on = (max if spring else min)(named or plain, default=None)
        return FrostYear(season.year, on, OWN) if on else None


def _last(y: FrostYear) -> dt.date:
    assert y.on is not None
    return y.on


def _said(event: Event) -> str:
    said = event.one("frost")
    return said.text.lower() if said else ""


def _frosty(event: Event, measured: dict[dt.date, float]) -> bool:
    """True where a line tells of a frost; a ground frost is none of the air's, `no frost` is none."""
    words = _said(event)
    if words:
        return "no " not in words and "ground" not in words
    low = event.one("min") or event.one("range")
    return bool(low and event.on in measured and reached(measured[event.on]))
