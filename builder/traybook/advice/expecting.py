"""What to expect of a sowing: how many, by when, and when it is late."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from traybook.rollup.farm import FarmFigures
from traybook.rollup.habits import Borrowed, Key, borrowed_of, habit_of, key_of
from traybook.rollup.pooled import counted_sown
from traybook.rollup.sowing import SowingFigures
from traybook.stats.habit import Habit, days_to_give_up, days_to_late, days_to_look
from traybook.stats.proportions import Group, germination
from traybook.stats.seeds import UNKNOWN, Chance, of_cells, step

if TYPE_CHECKING:
    from traybook.stats.expect import Expectation

#: Seeds in each of what is counted, at least and at most; one where seeds are.
Filling = tuple[int, int]
SEEDS: Filling = (1, 1)
# What a tray's own share is drawn towards, for half a sowing's weight.
_TOWARDS = 0.7


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is expected of a kind before anything is seen: its habit, None where nothing is known of
    its days, and the chance of a seed; `slow` for a kind that needs a treatment first."""

    habit: Habit | None
    chance: Chance
    slow: bool

    def chance_in(self, filling: Filling) -> Chance:
        """The chance of what is counted: a seed, or a cell with so many seeds."""
        return self.chance if filling == SEEDS else of_cells(self.chance, *filling)

    @property
    def look(self) -> int | None:
        """The day on the sowing's clock from which a look is worth the walk."""
        return days_to_look(self.habit) if self.habit else None

    @property
    def late(self) -> int | None:
        """The day by which something should be up."""
        return days_to_late(self.habit) if self.habit else None

    @property
    def give_up(self) -> int | None:
        """The day after which hardly any more will come."""
        return days_to_give_up(self.habit, self.slow) if self.habit else None


@dataclass(frozen=True)
class Outlooks:
    """Outlooks of every kind of a farm, worked out when they are asked for."""

    figures: FarmFigures
    _held: dict[Key, Outlook] = field(default_factory=dict)
    _ahead: dict[tuple[Key, Filling], Expectation] = field(default_factory=dict)

    @cached_property
    def _settled(self) -> dict[Key, list[SowingFigures]]:
        out: dict[Key, list[SowingFigures]] = defaultdict(list)
        for s in self.figures.sowings.values():
            if s.up.settled:
                out[key_of(s.account)].append(s)
        return out

    @cached_property
    def borrowed(self) -> Borrowed:
        """What kinds with little history borrow, from seasons that are over."""
        over = self.figures.spreads.finished
        found = {
            key: [p for s in sowings if s.sowing.season in over and (p := s.pace)]
            for key, sowings in self._settled.items()
        }
        return borrowed_of(found)

    def of(self, s: SowingFigures) -> Outlook:
        """For the kind and measure of a sowing."""
        return self.of_kind(key_of(s.account), s.sowing.crop)

    def ahead(self, s: SowingFigures) -> Expectation:
        """The ranges of its kind and measure, which must have a habit; all its sowings that are counted
        alike share them."""
        filling, got = filling_of(s), self.of(s)
        key = key_of(s.account), filling
        if got.habit is None:
            raise ValueError(f"nothing is known of the days of {s.sowing.crop}")
        if key not in self._ahead:
            from traybook.stats.expect import Expectation  # numpy loads only where it is needed

            self._ahead[key] = Expectation(got.habit, got.chance_in(filling))
        return self._ahead[key]

    def of_kind(self, key: Key, crop: str) -> Outlook:
        """For a kind and measure."""
        if key not in self._held:
            rho = self.figures.spreads.planning(key).rho
            fact = self.figures.kept.book.fact(crop)
            days, slow = (fact.days, bool(fact.pre_treatment)) if fact else (None, False)
            self._held[key] = outlook(self._settled.get(key, ()), rho, days, slow, self.borrowed)
        return self._held[key]


def outlook(
    settled: Iterable[SowingFigures],
    rho: float,
    days: tuple[float, float] | None,
    slow: bool,
    borrowed: Borrowed,
) -> Outlook:
    """From the settled sowings of a kind; `days` as published or said in crops.yaml, `rho` the spread
    for planning."""
    found = list(settled)
    counts = [_in_seeds(g) for s in found if (g := s.group)]
    chance = step(counts, rho, _TOWARDS) if counts else UNKNOWN
    habit = habit_of((p for s in found if (p := s.pace)), days, borrowed)
    return Outlook(habit, chance, slow)


def _in_seeds(g: Group) -> tuple[float, int]:
    """A count as (up, of) seeds. A cell tells as much as one seed, and its share is turned into theirs."""
    share = germination([g]) if g.high > 1 else None
    return (share.value * g.n, g.n) if share else (g.y, g.n)


@dataclass(frozen=True, slots=True)
class Expected:
    """What is still expected of one sowing. `final` and `by_now` are (least, middle, most) of `of` in
    the unit it is counted in; 9 in 10 lie between the ends. `look_on` and so on are days of the
    calendar."""

    outlook: Outlook
    of: int
    unit: str
    final: tuple[int, int, int] | None
    by_now: tuple[int, int, int] | None
    behind: bool
    look_on: dt.date | None
    late_on: dt.date | None
    give_up_on: dt.date | None


def expected(s: SowingFigures, outlooks: Outlooks, as_of: dt.date) -> Expected | None:
    """What is expected of a sowing that is not settled; None for one that is, for plants bought in and
    where it isn't known how much was sown."""
    of, unit = counted_of(s)
    if s.up.settled or s.sowing.measure == "bought in" or s.sowing.shares or not of:
        return None
    got = outlooks.of(s)
    began = s.account.began
    final = by_now = None
    behind = False
    if got.habit is not None and s.up.days_known:
        ahead = outlooks.ahead(s)
        looks = list(s.up.points)
        today = float(max(0, (as_of - began).days))
        final = _three(ahead.final(of, looks))
        by_now = _three(ahead.by(of, looks, max(today, looks[-1][0] if looks else 0.0)))
        behind = ahead.behind(of, looks)
    return Expected(
        got, of, unit, final, by_now, behind,
        _day(began, got.look), _day(began, got.late), _day(began, got.give_up),
    )  # fmt: skip


def counted_of(s: SowingFigures) -> tuple[int, str]:
    """How many it could be, in the unit it is counted in: cells where these are counted, else seeds."""
    if s.up.count is None and s.sowing.several and s.sowing.cells:
        return s.sowing.cells, "cells"
    in_cells = s.up.count is not None and s.up.count.unit == "cells" and s.sowing.cells
    return counted_sown(s), "cells" if in_cells else "seeds"


def filling_of(s: SowingFigures) -> Filling:
    """Seeds in each of what it is counted in."""
    w = s.sowing
    in_cells = counted_of(s)[1] == "cells" and w.several and w.low and w.high
    return (w.low or 1, w.high or 1) if in_cells else SEEDS


def _three(got: object) -> tuple[int, int, int]:
    return got.low, got.middle, got.high  # type: ignore[attr-defined]


def _day(began: dt.date, days: int | None) -> dt.date | None:
    return began + dt.timedelta(days=days) if days is not None else None


def all_expected(figures: FarmFigures, outlooks: Outlooks, as_of: dt.date) -> dict[str, Expected]:
    """What is expected of every sowing that is not settled, by code."""
    found = {c: expected(s, outlooks, as_of) for c, s in figures.sowings.items()}
    return {c: e for c, e in found.items() if e is not None}
