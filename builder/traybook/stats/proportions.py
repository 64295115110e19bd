"""Shares with their intervals."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist


@dataclass(frozen=True, slots=True)
class Share:
    """A share of a whole with its interval; all between 0 and 1."""

    value: float
    low: float
    high: float


def z_of(level: float) -> float:
    """Two-sided normal quantile: 1.959964 for .95."""
    return NormalDist().inv_cdf(0.5 + level / 2)


def wilson(successes: float, trials: float, level: float = 0.95) -> Share | None:
    """Wilson's score interval for `successes` of `trials`; None when there were no trials.

    centre = (x + z^2/2)/(n + z^2), half = z/(n + z^2) sqrt(x(n - x)/n + z^2/4). Holds for
    independent trials with one chance; seeds of one tray share their tray, so what the *kind* does
    is wider.

    Sources: Wilson 1927, J. Amer. Stat. Assoc. 22, 209-212; Newcombe 1998, Statist. Med. 17,
    857-872, method 3.

    >>> s = wilson(81, 263)
    >>> round(s.low, 4), round(s.high, 4)
    (0.2553, 0.3662)
    """
    if trials <= 0:
        return None
    z = z_of(level)
    centre = (successes + z * z / 2) / (trials + z * z)
    half = z / (trials + z * z) * math.sqrt(successes * (trials - successes) / trials + z * z / 4)
    low = 0.0 if successes == 0 else max(0.0, centre - half)
    high = 1.0 if successes == trials else min(1.0, centre + half)
    return Share(successes / trials, low, high)


@dataclass(frozen=True, slots=True)
class CellGroup:
    """`filled` of `cells` cells have one or more, with `low` to `high` seeds in each (both equally
    often when they differ)."""

    cells: int
    filled: int
    low: int
    high: int

    def theta(self, p: float) -> tuple[float, float]:
        """Chance that a cell has one or more, and its slope, at a germination of `p`."""
        q = 1.0 - p
        ks = (self.low,) if self.low == self.high else (self.low, self.high)
        value = sum(1.0 - q**k for k in ks) / len(ks)
        slope = sum(k * q ** (k - 1) for k in ks) / len(ks)
        return value, slope


def share_from_cells(groups: tuple[CellGroup, ...], level: float = 0.95) -> Share | None:
    """Germination from cells that have at least one up, of independent seeds.

    theta = 1 - (1 - p)^k; the estimate solves U(p) = sum (y - n theta) theta'/(theta(1 - theta)) = 0
    and the limits are where U^2/V = z^2 with V = sum n theta'^2/(theta(1 - theta)). For one k that
    is p = 1 - (1 - y/n)^(1/k) and Wilson's limits turned the same way. All cells filled gives 1 with
    its lower limit. None without cells.

    Sources: Thompson 1962, Biometrics 18, 568-578 (from memory) for the estimate; the interval is
    the score interval of Wilson 1927 carried through theta.
    """
    groups = tuple(g for g in groups if g.cells > 0)
    if not groups:
        return None
    filled, cells = sum(g.filled for g in groups), sum(g.cells for g in groups)
    z = z_of(level)
    value = (
        0.0 if filled == 0 else 1.0 if filled == cells else _root(lambda p: _score(groups, p)[0])
    )
    low = 0.0 if filled == 0 else _root(lambda p: _signed(groups, p) - z, 0.0, value)
    high = 1.0 if filled == cells else _root(lambda p: _signed(groups, p) + z, value, 1.0)
    return Share(value, low, high)


def _score(groups: tuple[CellGroup, ...], p: float) -> tuple[float, float]:
    u = v = 0.0
    for g in groups:
        theta, slope = g.theta(p)
        spread = max(theta * (1.0 - theta), 1e-300)
        u += (g.filled - g.cells * theta) * slope / spread
        v += g.cells * slope * slope / spread
    return u, v


def _signed(groups: tuple[CellGroup, ...], p: float) -> float:
    """U/sqrt(V): falls as p rises."""
    u, v = _score(groups, p)
    return u / math.sqrt(v) if v > 0 else math.copysign(math.inf, u)


def _root(falling: object, low: float = 0.0, high: float = 1.0) -> float:
    """Where a falling function crosses 0, by 60 halvings."""
    a, b = max(low, 1e-12), min(high, 1.0 - 1e-12)
    for _ in range(60):
        middle = (a + b) / 2
        if falling(middle) > 0:  # type: ignore[operator]
            a = middle
        else:
            b = middle
    return (a + b) / 2
