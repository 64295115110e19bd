"""When a farm was cut, week by week: the window from first to last, the peak, and the gaps in it.

Weeks are those of ISO 8601, kept as their Monday, so that week 53 and the turn of a year are weeks
like any other.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from traybook.ledger.harvests import Harvest
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold

_WEEK = dt.timedelta(weeks=1)
# South of the equator a season runs over New Year: its weeks begin with the first Monday of July.
_SOUTH_BEGINS = 7
# A sowing that was not cut for so long is taken to be over. A choice of ours.
_OVER_AFTER_DAYS = 28


@dataclass(frozen=True, slots=True)
class CutWeek:
    """One week of cutting. `stems` and `bunches` are None where none were told; `untold` is the
    number of cuts whose stems nobody can tell (bunches of unknown size, weight alone)."""

    monday: dt.date
    stems: int | None
    bunches: float | None
    untold: int
    harvests: tuple[Harvest, ...]

    @property
    def at_least(self) -> bool:
        """More stems were cut than are told."""
        return self.untold > 0


@dataclass(frozen=True, slots=True)
class Cutting:
    """The weeks in which something was cut, in their order; never empty."""

    weeks: tuple[CutWeek, ...]

    @property
    def first(self) -> dt.date:
        """Monday of the first week."""
        return self.weeks[0].monday

    @property
    def last(self) -> dt.date:
        """Monday of the last week."""
        return self.weeks[-1].monday

    @property
    def peak(self) -> CutWeek | None:
        """The week of most stems, the earliest of several; None where no stems are told."""
        told = [w for w in self.weeks if w.stems]
        return max(told, key=lambda w: (w.stems or 0, -w.monday.toordinal()), default=None)

    @property
    def span(self) -> tuple[dt.date, ...]:
        """Every Monday from first to last."""
        n = (self.last - self.first).days // 7
        return tuple(self.first + i * _WEEK for i in range(n + 1))

    @property
    def empty(self) -> tuple[dt.date, ...]:
        """Weeks between first and last in which nothing was cut."""
        cut = {w.monday for w in self.weeks}
        return tuple(m for m in self.span if m not in cut)

    def under(self, wanted: int) -> tuple[dt.date, ...]:
        """Weeks between first and last with fewer than `wanted` stems, those with nothing among
        them; not those in which more was cut than is told, for nobody can say."""
        enough = {w.monday for w in self.weeks if w.at_least or (w.stems or 0) >= wanted}
        return tuple(m for m in self.span if m not in enough)


@dataclass(frozen=True, slots=True)
class Window:
    """From first to last cut of a sowing. `at_least`: some stems of its crop or bed stayed unshared
    while it stood, so it may have been cut before or after; `so_far` while it may yet be cut."""

    first: dt.date
    last: dt.date
    peak: dt.date | None
    at_least: bool
    so_far: bool

    @property
    def days(self) -> int:
        """Days from first to last cut, both counted."""
        return (self.last - self.first).days + 1


def monday(on: dt.date) -> dt.date:
    """The Monday of a day's ISO week.

    >>> monday(dt.date(2027, 1, 3)).isocalendar()[:2]
    (2026, 53)
    """
    return on - dt.timedelta(days=on.weekday())


def cut_year(on: dt.date, south: bool) -> int:
    """The year a cut counts for: that of its ISO week; south of the equator years begin with the week
    of the first Monday in July, so that one season's weeks stay together.

    >>> cut_year(dt.date(2027, 1, 3), False), cut_year(dt.date(2027, 1, 3), True)
    (2026, 2026)
    >>> cut_year(dt.date(2026, 6, 30), True), cut_year(dt.date(2026, 7, 6), True)
    (2025, 2026)
    """
    if not south:
        return on.isocalendar().year
    start = monday(on)
    return start.year if start.month >= _SOUTH_BEGINS else start.year - 1


def something(h: Harvest) -> bool:
    """Whether a line says that anything good was cut: `none`, or rejects alone, is nothing."""
    if h.stems or h.bunches or h.grams:
        return True
    return h.stems is None and h.rejected is None


def cutting(harvests: Iterable[Harvest]) -> Cutting | None:
    """The weeks of some harvests; None where nothing was cut."""
    weeks: dict[dt.date, list[Harvest]] = defaultdict(list)
    for h in harvests:
        if something(h):
            weeks[monday(h.on)].append(h)
    if not weeks:
        return None
    return Cutting(tuple(_week(m, weeks[m]) for m in sorted(weeks)))


def _week(start: dt.date, found: Sequence[Harvest]) -> CutWeek:
    stems = [h.stems for h in found if h.stems is not None]
    bunches = [h.bunches for h in found if h.bunches is not None]
    return CutWeek(
        start,
        sum(stems) if stems else None,
        sum(bunches) if bunches else None,
        sum(h.stems is None for h in found),
        tuple(found),
    )


def of_year(harvests: Iterable[Harvest], year: int, south: bool) -> list[Harvest]:
    """All that was cut in a cut year, for whichever sowing."""
    return [h for h in harvests if cut_year(h.on, south) == year]


def by_crop(harvests: Iterable[Harvest]) -> dict[str, Cutting]:
    """Weeks by crop, as it was first spelt, in the order of names; what was cut from a bed or as a mix
    without a crop's name is in none."""
    names: dict[str, str] = {}
    found: dict[str, list[Harvest]] = defaultdict(list)
    for h in harvests:
        if h.ref.crop:
            found[names.setdefault(fold(h.ref.crop), h.ref.crop)].append(h)
    made = {crop: cutting(found[crop]) for crop in sorted(found, key=fold)}
    return {crop: c for crop, c in made.items() if c}


def window_of(s: SowingFigures, as_of: dt.date) -> Window | None:
    """A sowing's window; None where none of it was cut under its code."""
    found = [h for h in s.cut.harvests if something(h)]
    if not found:
        return None
    first, last = min(h.on for h in found), max(h.on for h in found)
    weeks = cutting(found)
    peak = weeks.peak if weeks else None
    open_ = s.account.finished_on is None and (as_of - last).days < _OVER_AFTER_DAYS
    return Window(first, last, peak.monday if peak else None, s.cut.at_least, open_)
