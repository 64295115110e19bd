"""A plan worked out: every sowing it needs, with each step's day worked back or forward."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from traybook.advice.frosts import Frosts, frosts
from traybook.advice.learnt import Learnt
from traybook.advice.needs import Need, measure_of, need, plants_for
from traybook.advice.plan_steps import Step, doubts_of, steps_from
from traybook.advice.sowing_days import back_from_cut, sowing_days, wanted_days
from traybook.advice.timing import Timing, wintered
from traybook.records.plans import Plan, PlanLine
from traybook.rollup.habits import key_of
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold


@dataclass(frozen=True, slots=True)
class Planned:
    """The sowing `n` of `of` of a line of the plan. `wanted` is the first day it is wanted for cutting;
    `done` the sowing that was made of it, `lag` by how many days later than planned (negative:
    sooner); `doubts` what to think over and `plants_why`
    how stems were turned into plants, in words."""

    line: PlanLine
    n: int
    of: int
    plants: int
    need: Need
    steps: tuple[Step, ...]
    wanted: dt.date | None
    doubts: tuple[str, ...]
    done: str = ""
    lag: int | None = None
    plants_why: str = ""

    @property
    def sow(self) -> dt.date | None:
        """The day it is to be sown; None where nothing says when."""
        return next((s.on for s in self.steps if s.kind == "sow"), None)

    def step(self, kind: str) -> Step | None:
        """One step; None where it has none."""
        return next((s for s in self.steps if s.kind == kind), None)


@dataclass(frozen=True, slots=True)
class PlannedYear:
    """A plan with all its sowings in order, and sowings of the year that no line of it asks for."""

    plan: Plan
    sowings: tuple[Planned, ...]
    unplanned: tuple[SowingFigures, ...]


def planned_year(learnt: Learnt, plan: Plan) -> PlannedYear:
    """Work a plan out."""
    made = planned_lines(learnt, plan.lines)
    free = [
        s for s in learnt.figures.sowings.values()
        if s.sowing.season == plan.year and not s.sowing.shares
    ]  # fmt: skip
    return PlannedYear(plan, *_with_done(made, free))


def planned_lines(learnt: Learnt, lines: Iterable[PlanLine]) -> list[Planned]:
    """Every sowing that some lines of a plan ask for, whether done or not."""
    at = frosts(learnt.figures.kept.book)
    return [p for line in lines for p in _of_line(learnt, line, at)]


def timing_of(learnt: Learnt, line: PlanLine, at: Frosts) -> Timing:
    """The times to go by: of the way it was begun last, or as the plan says; wintered sowings and others
    each by themselves."""
    measure = measure_of(learnt, line.crop, line.container)
    key = fold(line.crop), measure
    before = line.year if line.number else None  # a kind that stands in no plan goes by all it did
    ours = [
        s for s in learnt.figures.sowings.values()
        if key_of(s.account) == key and (before is None or s.sowing.season < before)
    ]  # fmt: skip
    last = max(ours, key=lambda s: s.sowing.sown_on, default=None)
    winters = line.sow[0].year < line.year if line.sow else last is not None and wintered(last)
    return Timing(learnt, line.crop, measure, winters, at, before)


def _of_line(learnt: Learnt, line: PlanLine, at: Frosts) -> Iterator[Planned]:
    usual = timing_of(learnt, line, at)
    of = max(line.successions, len(line.sow))
    plants, why = line.plants or 0, ""
    if line.plants is None and line.stems:
        got_for = plants_for(learnt, line.crop, line.stems, _days_wanted(line, of))
        plants, why = got_for.plants or 0, f"for {line.stems:,} stems; {got_for.why}"
    for n, (wanted, day) in enumerate(sowing_days(usual, line, of, at), 1):
        timing = nearest(usual, wanted) if wanted else usual
        sow = back_from_cut(timing, line, wanted) if wanted else day
        share = plants // of + (n <= plants % of)
        got = need(learnt, line.crop, max(1, share), per_cell=line.per_cell,
                   container=line.container, measure=timing.measure)  # fmt: skip
        steps = tuple(steps_from(timing, line, sow)) if sow else ()
        doubts = tuple(doubts_of(timing, line, sow, steps, at))
        yield Planned(line, n, of, share, got, steps, wanted, doubts, plants_why=why)


def _days_wanted(line: PlanLine, of: int) -> tuple[int, ...]:
    """For each sowing the days from the first it is wanted on to the end of the cut; none if the plan sets
    the sowing days, which need not meet its cut."""
    if line.cut is None or line.sow:
        return ()
    return tuple((line.cut[1] - first).days + 1 for first in wanted_days(line.cut, of))


def nearest(usual: Timing, wanted: dt.date) -> Timing:
    """Wintered sowings or those of the same year, whichever were cut nearest to the day it is wanted; as
    it was sown last where that doesn't tell."""
    other = replace(usual, winters=not usual.winters)
    off = [_off(t, wanted) for t in (usual, other)]
    return other if off[1] is not None and (off[0] is None or off[1] < off[0]) else usual


def _off(timing: Timing, wanted: dt.date) -> int | None:
    """By how many days a cut wanted lies outside of the first cuts there were; None where none was."""
    day = (wanted - dt.date(wanted.year, 1, 1)).days
    cuts = [
        (s.cut.first - dt.date(s.sowing.season, 1, 1)).days for s in timing.sowings if s.cut.first
    ]
    return max(min(cuts) - day, day - max(cuts), 0) if cuts else None


def _with_done(
    made: list[Planned], free: list[SowingFigures]
) -> tuple[tuple[Planned, ...], tuple[SowingFigures, ...]]:
    """Each planned sowing with the one that was made of it, the closest in time first; and what was sown
    besides."""
    pairs = [
        (abs((s.sowing.sown_on - p.sow).days) if p.sow else 0, i, s.code)
        for i, p in enumerate(made) for s in free if _fits(p.line, s)
    ]  # fmt: skip
    sown, taken, out = {s.code: s for s in free}, {}, list(made)
    for _, i, code in sorted(pairs):
        if i in taken or code not in sown:
            continue
        s, p = sown.pop(code), out[i]
        taken[i] = code
        out[i] = replace(p, done=code, lag=(s.sowing.sown_on - p.sow).days if p.sow else None)
    return tuple(out), tuple(sown.values())


def _fits(line: PlanLine, s: SowingFigures) -> bool:
    return fold(s.sowing.crop) == fold(line.crop) and (
        not line.variety or fold(s.sowing.variety) == fold(line.variety)
    )


def gaps(cuts: list[tuple[dt.date, dt.date]]) -> list[int]:
    """Days between the last cut of one and the first of the next, in order; negative: they overlap.

    >>> gaps([(dt.date(2027, 7, 1), dt.date(2027, 7, 20)), (dt.date(2027, 7, 25), dt.date(2027, 8, 9))])
    [4]
    """
    return [(b[0] - a[1]).days - 1 for a, b in pairwise(cuts)]
