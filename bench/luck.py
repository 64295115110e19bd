"""What can be told with few trays, and how much looks clear that is luck: two ways of sowing, or two
years, of trays of 72 with a spread of .06 that is known."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.random import Generator

from traybook.stats.difference import CLEAR, difference, verdict
from traybook.stats.proportions import Group, Share, germination
from truths import Floats

SPREAD = 0.06
TRAY = 72
SHARE = 0.80
#: The last is no difference at all.
OTHERS = (0.70, 0.60, 0.50, 0.40, 0.80)
TRAYS = (1, 2, 4, 6)
KINDS, UNCHANGED = 48, 38  # the other ten did change
MOST_CLEAR = 4


@cache
def _share(times: int, up: int, spread: float) -> Share:
    """Only the sum counts when all trays are alike, so few are worked out."""
    parts = [up // times + (i < up % times) for i in range(times)]
    got = germination([Group(TRAY, y) for y in parts], spread)
    assert got is not None
    return got


@cache
def _clear(times: int, one: int, two: int, spread: float) -> bool:
    found = difference(_share(times, one, spread), _share(times, two, spread))
    return verdict(found) == CLEAR


def _sums(rng: Generator, shares: Floats, times: int) -> list[int]:
    """How many of `times` trays came up in all, for each share."""
    a = (1 - SPREAD) / SPREAD
    by_tray = np.repeat(shares[:, None], times, axis=1)
    chances = rng.beta(by_tray * a, (1 - by_tray) * a)
    return [int(x) for x in rng.binomial(TRAY, chances).sum(axis=1)]


def told(
    rng: Generator, share: float, other: float, times: int, draws: int, used: float = SPREAD
) -> float:
    """How often the two are told clearly from one another with so many trays of each."""
    one, two = (_sums(rng, np.full(draws, p), times) for p in (share, other))
    return sum(_clear(times, *pair, used) for pair in zip(one, two, strict=True)) / draws


def power(rng: Generator, draws: int) -> dict[int, list[float]]:
    """For so many trays of each: how often .80 is told clearly from each of the others."""
    return {k: [told(rng, SHARE, other, k, draws) for other in OTHERS] for k in TRAYS}


def by_luck(rng: Generator, farms: int) -> tuple[float, list[float]]:
    """Of 48 kinds compared with the year before 38 did not change: how many of these look clear, on
    average, and how often none, one, two, three, four or more of them do."""
    times = 2
    counts = []
    for _ in range(farms):
        shares = rng.uniform(0.4, 0.95, UNCHANGED)
        now, then = _sums(rng, shares, times), _sums(rng, shares, times)
        counts.append(sum(_clear(times, a, b, SPREAD) for a, b in zip(now, then, strict=True)))
    often = np.bincount(np.minimum(counts, MOST_CLEAR), minlength=MOST_CLEAR + 1) / farms
    return float(np.mean(counts)), [float(x) for x in often]
