"""Invented farms: what is true of them, and the counts that a grower would see. Nothing is judged here.

The chance of a sowing is beta about its kind's, counts are binomial. All values are made up to look
right; a figure that holds here holds as arithmetic, not as a fact about seed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Count = tuple[int, int]

#: How far sowings differ on a farm: all kinds alike, or (None) each group of kinds in its own way.
SPREADS: dict[str, float | None] = {"0": 0.0, ".02": 0.02, ".05": 0.05, ".1": 0.1, "mixed": None}
#: Groups of kinds of a mixed farm: share, spread, wants a treatment first. common practice, no source
GROUPS = (
    (0.88, 0.046, False),
    (0.80, 0.0625, False),
    (0.72, 0.0714, False),
    (0.62, 0.1227, True),
    (0.38, 0.205, True),
)
#: Rows that use the true spread, to see what not knowing it costs.
TOLD = ", spread known"
KINDS = 25
SIZES = (50, 72, 72, 128)
MOST_SOWINGS = 4
#: How far the share of a kind moves from year to year.
YEARS = 0.05


@dataclass(frozen=True, slots=True)
class Kind:
    """What is true of a kind: its share, how far its sowings differ, whether it wants a treatment."""

    share: float
    rho: float
    slow: bool


def kind(rng: Generator, spread: str, group: int) -> Kind:
    """A kind of one of the five groups."""
    share, rho, slow = GROUPS[group]
    fixed = SPREADS[spread]
    if fixed is not None:
        return Kind(float(rng.uniform(0.4, 0.95)), fixed, slow)
    return Kind(float(np.clip(share + rng.uniform(-0.08, 0.08), 0.2, 0.95)), rho, slow)


def kinds(rng: Generator, spread: str) -> list[Kind]:
    """The kinds of a farm, as many of each group."""
    return [kind(rng, spread, i % len(GROUPS)) for i in range(KINDS)]


def year(rng: Generator, k: Kind) -> float:
    """The share of a kind in one year."""
    return float(np.clip(k.share + rng.normal(0, YEARS), 0.05, 0.97))


def chances(rng: Generator, share: float, rho: float, n: int) -> Floats:
    """The chances of `n` sowings of a kind: beta about its share, with a correlation of `rho`."""
    if rho <= 0:
        return np.full(n, share)
    a = (1 - rho) / rho
    return rng.beta(share * a, (1 - share) * a, n)


def counted(rng: Generator, of: Sequence[int], shares: Floats) -> list[Count]:
    """(up, of) of each sowing."""
    ups = rng.binomial(of, shares)
    return [(int(y), int(n)) for y, n in zip(ups, of, strict=True)]


def sown(rng: Generator, share: float, rho: float, n: int) -> list[Count]:
    """(up, of) of `n` trays of a kind."""
    sizes = [int(x) for x in rng.choice(SIZES, n)]
    return counted(rng, sizes, chances(rng, share, rho, n))
