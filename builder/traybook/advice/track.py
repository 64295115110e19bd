"""How far the tool's own words held: its ranges and its numbers to sow, replayed on days gone by.

Everything is worked out from what had been written by that day, as the ledger has it now: a line
that was corrected since counts as corrected.
"""

from __future__ import annotations

import datetime as dt
from bisect import bisect_left
from collections import defaultdict
from dataclasses import dataclass

from traybook.advice.expecting import counted_of, filling_of, outlook
from traybook.rollup.farm import FarmFigures
from traybook.rollup.habits import Borrowed, Key, key_of
from traybook.rollup.sowing import SowingFigures
from traybook.stats.seeds import plants_from, step

_AIM = 0.90
# What was done longer ago says little of how far to trust the pages now.
_LATEST = 500


@dataclass(frozen=True, slots=True)
class Phase:
    """Ranges given at checks of one phase: how many, and how many held what came in the end."""

    given: int = 0
    held: int = 0

    def __add__(self, other: Phase) -> Phase:
        """Both together."""
        return Phase(self.given + other.given, self.held + other.held)


@dataclass(frozen=True, slots=True)
class Track:
    """The record of a farm. `early` are ranges given before half of what came was up, `late` those
    after; `sowings` those that were made with earlier ones of their kind to go by, and `enough` those
    of them that gave as many good plants as their number of seeds would have been advised for."""

    early: Phase
    late: Phase
    sowings: int
    enough: int


def track(figures: FarmFigures) -> Track:
    """Replay a farm's latest five hundred sowings."""
    order = sorted((s.sowing.sown_on, s.code) for s in figures.sowings.values())
    latest = {code for _, code in order[-_LATEST:]}
    kinds: dict[Key, list[SowingFigures]] = defaultdict(list)
    for s in figures.sowings.values():
        if s.sowing.measure != "bought in" and not s.sowing.shares:
            kinds[key_of(s.account)].append(s)
    early = late = Phase()
    made = enough = 0
    for key, sowings in kinds.items():
        past = _Past(figures, key, sowings)
        for s in (x for x in sowings if x.code in latest):
            before, after = _ranges(s, past)
            early, late = early + before, late + after
            verdict = _enough(s, past)
            made += verdict is not None
            enough += bool(verdict)
    return Track(early, late, made, enough)


class _Past:
    """The settled sowings of one kind as they stood before a day."""

    def __init__(self, figures: FarmFigures, key: Key, sowings: list[SowingFigures]) -> None:
        settled = [(s.up.settled_on, s.code, s) for s in sowings if s.up.settled_on]
        self.settled = [s for _, _, s in sorted(settled)]
        self.days = [s.up.settled_on for s in self.settled]
        self.figures, self.key = figures, key
        fact = figures.kept.book.fact(sowings[0].sowing.crop)
        self.published = (fact.days, bool(fact.pre_treatment)) if fact else (None, False)

    def before(self, on: dt.date) -> list[SowingFigures]:
        """Those settled before a day."""
        return self.settled[: bisect_left(self.days, on)]  # type: ignore[type-var]

    def rho(self, season: int) -> float:
        """The spread as the seasons before had it."""
        return self.figures.spreads.before(self.key, season).rho


def _ranges(s: SowingFigures, past: _Past) -> tuple[Phase, Phase]:
    """Of the ranges given at its checks, how many held its last count: before half was up, and after.

    A range that leaves nothing open tells nothing, and is not counted.
    """
    from traybook.stats.expect import Expectation

    of, _ = counted_of(s)
    sound = s.up.settled and s.up.count is not None and s.up.days_known and not s.up.at_least
    if not sound or not of or s.up.count is None or not s.up.points:
        return Phase(), Phase()
    known, rho = past.before(s.sowing.sown_on), past.rho(s.sowing.season)
    got = outlook(known, rho, *past.published, Borrowed())
    if got.habit is None:
        return Phase(), Phase()
    points = [p for p in s.up.points[:-1] if p[0] > 0]
    ranges = Expectation(got.habit, got.chance_in(filling_of(s))).finals(of, points)
    truth = min(of, s.up.count.emerged)
    early, late = Phase(), Phase()
    for (_, emerged), given in zip(points, ranges, strict=True):
        if given.low == given.high:
            continue
        phase = Phase(1, int(given.low <= truth <= given.high))
        if 2 * emerged < truth:
            early += phase
        else:
            late += phase
    return early, late


def _enough(s: SowingFigures, past: _Past) -> bool | None:
    """Whether as many good plants came as its seeds would have been advised for, 9 times in 10; None
    where there was nothing to go by on the day it was sown, or nothing was promised."""
    if s.good_share is None or s.good is None or not s.good_of:
        return None
    known = [
        (x.good, x.good_of)
        for x in past.before(s.sowing.sown_on)
        if x.good_share is not None
        and x.good is not None
        and x.good_of
        and x.group
        and x.sowing.several == s.sowing.several
    ]
    if not known:
        return None
    promised = plants_from(s.good_of, step(known, past.rho(s.sowing.season)), _AIM)
    return s.good >= promised if promised else None
