"""Shares, differences and comparisons on invented farms of five seasons, set against what is true.

The spread that is used comes from seasons before, drawn to that of the pool, the farm and the guess,
as on the pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product
from statistics import fmean

from numpy.random import Generator

from tally import Tally
from traybook.stats.difference import Arm, Difference, difference, stratified
from traybook.stats.proportions import Group, Share, design_effect, germination, wilson
from traybook.stats.spread import Moment, moment, shrunk
from truths import (
    KINDS,
    MOST_SOWINGS,
    SIZES,
    SPREADS,
    TOLD,
    Count,
    Kind,
    chances,
    counted,
    kinds,
    sown,
    year,
)

SEASONS = 5
STRATA = 3
#: The true difference of two ways of sowing, where there is one.
GAP = 0.15
#: Kinds of a farm that are sown with two or three seeds a cell.
IN_CELLS = (5, 7, 11, 13, 19)
CELLS = (48, 72, 72, 104)
FIRST, ALONE = ", first season", ", always one sowing"
TREATED = ", kinds that want a treatment"
TITLES = {
    "sowing": "own chance of a sowing",
    "kind": "a kind's share in a season",
    "difference": "difference of two seasons",
    "strata": "one way against another, in three strata",
    "cells": "a kind's share from cells",
}


def empty() -> dict[str, Tally]:
    """A tally for each promise."""
    return {n: Tally(t, "95", "sowings a season", tuple(SPREADS)) for n, t in TITLES.items()}


@dataclass
class Learnt:
    """What a farm has learnt of its spreads so far."""

    own: list[Moment] = field(default_factory=lambda: [Moment()] * KINDS)

    def used(self, slow: Sequence[bool]) -> list[float]:
        """The spread for each kind; kinds that want a treatment are a pool of their own."""
        whole = sum(self.own, Moment())
        pools = {
            of: sum((m for m, s in zip(self.own, slow, strict=True) if s == of), Moment())
            for of in set(slow)
        }
        return [shrunk(m, pools[s], whole) for m, s in zip(self.own, slow, strict=True)]

    def add(self, new: Sequence[Moment]) -> None:
        """A season more."""
        self.own = [a + b for a, b in zip(self.own, new, strict=True)]


@dataclass(frozen=True, slots=True)
class Season:
    """One kind's season: what is true, what was counted, the spread to use."""

    kind: Kind
    share: float
    counts: list[Count]
    rho: float


def farm(
    rng: Generator, spread: str, out: dict[str, Tally], *, alone: bool = False, blind: bool = False
) -> None:
    """A farm of five seasons. `alone`: it sows every kind once a season, so it never learns a spread;
    `blind`: the spread is left out, to see the promises fail."""
    truth = kinds(rng, spread)
    slow = [k.slow for k in truth]
    learnt = Learnt()
    before: list[Season | None] = [None] * KINDS
    for season in range(SEASONS):
        row = spread + (ALONE if alone else FIRST if season == 0 else "")
        rhos = [0.0] * KINDS if blind else learnt.used(slow)
        now = []
        for i, (k, rho) in enumerate(zip(truth, rhos, strict=True)):
            times = 1 if alone else int(rng.integers(1, MOST_SOWINGS + 1))
            one = _cells if i in IN_CELLS else _seeds
            now.append(one(rng, i, k, rho, times, row, out))
        for old, new in zip(before, now, strict=True):
            if old and new[1]:
                _difference(old, new[1], row, out["difference"])
        if season and not alone:
            _compared(rng, [s for _, s in now if s], row, out["strata"])
        before = [s for _, s in now]
        learnt.add([m for m, _ in now])


def _seeds(
    rng: Generator, _: int, k: Kind, rho: float, times: int, row: str, out: dict[str, Tally]
) -> tuple[Moment, Season]:
    """A kind sown by the seed: each tray's own chance, and the kind's share."""
    share = year(rng, k)
    sizes = [int(x) for x in rng.choice(SIZES, times)]
    own = chances(rng, share, k.rho, times)
    counts = counted(rng, sizes, own)
    for (y, n), chance in zip(counts, own, strict=True):
        _note(out["sowing"], row, times, wilson(y, n), chance)
    for r in _rows(row, k):
        _note(out["kind"], r, times, _share(counts, rho), share)
    return moment(counts), Season(k, share, counts, rho)


def _cells(
    rng: Generator, i: int, k: Kind, rho: float, times: int, row: str, out: dict[str, Tally]
) -> tuple[Moment, None]:
    """A kind sown with two seeds a cell, one of the kinds with three."""
    share, each = min(year(rng, k), 0.9), 3 if i == IN_CELLS[-1] else 2
    filled = 1 - (1 - chances(rng, share, k.rho, times)) ** each
    counts = counted(rng, [int(x) for x in rng.choice(CELLS, times)], filled)
    groups = [Group(n, y, each, each) for y, n in counts]
    if not row.endswith(ALONE):
        _note(out["cells"], row, times, germination(groups, rho), share)
    return moment(counts, each), None


def _note(out: Tally, row: str, times: int, got: Share | Difference | None, true: float) -> None:
    assert got is not None
    out.note(row, times, got.low <= true <= got.high, got.high - got.low)


def _share(counts: Sequence[Count], rho: float) -> Share:
    got = germination([Group(n, y) for y, n in counts], rho)
    assert got is not None
    return got


def _difference(old: Season, new: Season, row: str, out: Tally) -> None:
    """Two seasons of a kind, one spread for both: from before the later one. A cell is of the season
    with fewer sowings."""
    got = difference(_share(new.counts, new.rho), _share(old.counts, new.rho))
    least = min(len(new.counts), len(old.counts))
    for r in _rows(row, new.kind):
        _note(out, r, least, got, new.share - old.share)


def _rows(row: str, k: Kind) -> tuple[str, ...]:
    """On a mixed farm kinds that want a treatment have a row of their own besides: they differ most."""
    return (row, row + TREATED) if k.slow and row in SPREADS and SPREADS[row] is None else (row,)


def _compared(rng: Generator, now: Sequence[Season], row: str, out: Tally) -> None:
    """Two ways of sowing, compared within three kinds that were sown as often."""
    for times in range(1, MOST_SOWINGS + 1):
        sown_so = [s for s in now if len(s.counts) == times and s.share > GAP + 0.1]
        for j, gap in product(range(0, len(sown_so) - STRATA + 1, STRATA), (0.0, GAP)):
            three = sown_so[j : j + STRATA]
            other = [sown(rng, s.share - gap, s.kind.rho, times) for s in three]
            for r, rhos in (
                (row, [s.rho for s in three]),
                (row + TOLD, [s.kind.rho for s in three]),
            ):
                alike = fmean(rhos)
                arms = [
                    (_arm(s.counts, rho, alike), _arm(o, rho, alike))
                    for s, o, rho in zip(three, other, rhos, strict=True)
                ]
                _note(out, r, times, stratified(arms), gap)


def _arm(counts: Sequence[Count], rho: float, alike: float) -> Arm:
    sizes = [n for _, n in counts]
    return Arm(_share(counts, rho), sum(sizes) / design_effect(sizes, alike))
