"""Shares with their intervals."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

#: A spread of 1 leaves no chances to work with, so it stays below.
MOST_SPREAD = 0.99


@dataclass(frozen=True, slots=True)
class Share:
    """A share of a whole with its interval; all between 0 and 1."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Group:
    """The count of one sowing, whose seeds have their luck together.

    `y` of `n` seeds came up; or, with `low` to `high` seeds a cell (both equally often when they
    differ), `y` of `n` cells have one or more.
    """

    n: int
    y: int
    low: int = 1
    high: int = 1


@lru_cache
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


def design_effect(sizes: Sequence[int], rho: float) -> float:
    """How many times the variance of a share grows when seeds of a sowing have their luck together.

    D = 1 + rho (sum n^2/N - 1); N/D seeds on their own would say as much. `rho` is the correlation
    of two seeds of one sowing, 0 for none. 1 without seeds.

    Source: Kish 1965, Survey Sampling, from memory; the variance of a sum of beta-binomial counts.

    >>> round(design_effect([72], 0.08), 2)
    6.68
    """
    total = sum(sizes)
    return 1.0 + rho * (sum(n * n for n in sizes) / total - 1.0) if total > 0 else 1.0


def germination(groups: Sequence[Group], rho: float = 0.0, level: float = 0.95) -> Share | None:
    """Share of seeds that come up, from counts of seeds and of cells together; None without any.

    `rho` is the spread between sowings (correlation of two seeds of one sowing): 0 says what these
    sowings did, the spread of the kind what the kind does. Seeds alone: Wilson with X/D of N/D. With
    k seeds a cell, q = 1 - p:
    e_k = prod_{j<k} (q(1-rho) + j rho)/((1-rho) + j rho), the chance of an empty cell;
    theta = 1 - e_k, icc = (e_2k - e_k^2)/(theta(1-theta)), the correlation of two cells;
    U = sum (y - n theta) theta'/(theta(1-theta)), V = sum n theta'^2/(theta(1-theta)) (1 + (n-1) icc).
    The estimate is where U = 0, the limits where U^2/V = z^2. All empty is 0 with its upper limit,
    all full 1 with its lower one: then the value is "at least".

    Assumes chances of sowings that follow a beta distribution, and cells filled by chance alone.
    Sources: Thompson 1962, Biometrics 18, 568-578 (from memory) for the estimate at rho = 0;
    Wilson 1927 for the score interval; the correlation of cells follows from the beta distribution.

    >>> s = germination([Group(72, 60, 2, 2)])
    >>> round(s.value, 3), round(s.low, 3), round(s.high, 3)
    (0.592, 0.481, 0.687)
    """
    groups = [g for g in groups if g.n > 0]
    fillings = _fillings(groups)
    n, y = sum(f.n for f in fillings), sum(f.y for f in fillings)
    if n == 0:
        return None
    if all(f.ks == (1,) for f in fillings):
        d = design_effect([g.n for g in groups], rho)
        return wilson(y / d, n / d, level)
    if rho <= 0 and len(fillings) == 1 and len(fillings[0].ks) == 1:
        return _turned(wilson(y, n, level), fillings[0].ks[0])
    rho, z = min(max(rho, 0.0), MOST_SPREAD), z_of(level)
    value = (
        0.0 if y == 0 else 1.0 if y == n else _root(lambda p: _score(fillings, p, rho), 0.0, 1.0)
    )
    low = 0.0 if y == 0 else _root(lambda p: _score(fillings, p, rho) - z, 0.0, value)
    high = 1.0 if y == n else _root(lambda p: _score(fillings, p, rho) + z, value, 1.0)
    return Share(value, low, high)


@dataclass(frozen=True, slots=True)
class _Filling:
    """All sowings with the same seeds a cell: cells, filled ones, sum of squares of cells."""

    ks: tuple[int, ...]
    n: int
    y: int
    squares: int


def _fillings(groups: Sequence[Group]) -> list[_Filling]:
    """Sowings brought together by seeds a cell; only sums of them enter the score."""
    sums: dict[tuple[int, ...], list[int]] = {}
    for g in groups:
        if min(g.low, g.high) < 1:
            raise ValueError(f"at least one seed a cell, not {g.low} to {g.high}")
        of = sums.setdefault(tuple(sorted({g.low, g.high})), [0, 0, 0])
        of[0] += g.n
        of[1] += min(max(g.y, 0), g.n)
        of[2] += g.n * g.n
    return [_Filling(ks, *of) for ks, of in sorted(sums.items())]


def _turned(cell: Share | None, k: int) -> Share | None:
    """A share of filled cells turned into one of independent seeds: p = 1 - (1 - theta)^(1/k)."""

    def seed(theta: float) -> float:
        return -math.expm1(math.log1p(-theta) / k) if theta < 1 else 1.0

    return cell and Share(seed(cell.value), seed(cell.low), seed(cell.high))


def _empty(q: float, rho: float, most: int) -> tuple[list[float], list[float]]:
    """Chance that none of 0, 1, ... `most` seeds of a sowing comes up, and its slope in q."""
    chances, slopes = [1.0], [0.0]
    for j in range(most):
        of = 1.0 - rho + j * rho
        step, rise = (q * (1.0 - rho) + j * rho) / of, (1.0 - rho) / of
        slopes.append(slopes[-1] * step + chances[-1] * rise)
        chances.append(chances[-1] * step)
    return chances, slopes


def filled(p: float, rho: float, low: int, high: int) -> tuple[float, float]:
    """The chance that a cell of `low` to `high` seeds (both equally often) has one or more up, and how
    two cells of one sowing go together, from the chance `p` of a seed and the spread `rho`.

    theta = 1 - e_k and icc = (e_2k - e_k^2)/(theta (1 - theta)), e_k as in `germination`.

    >>> filled(0.6, 0.0, 2, 2)
    (0.84, 0.0)
    """
    e, _ = _empty(1.0 - p, min(max(rho, 0.0), MOST_SPREAD), 2 * high)
    ks = sorted({low, high})
    empty = sum(e[k] for k in ks) / len(ks)
    both = sum(e[a + b] for a in ks for b in ks) / len(ks) ** 2
    var = empty * (1.0 - empty)
    return 1.0 - empty, max(0.0, (both - empty * empty) / var) if var > 0 else 0.0


def _score(fillings: Sequence[_Filling], p: float, rho: float) -> float:
    """U/sqrt(V): falls as p rises."""
    e, slope_of = _empty(1.0 - p, rho, 2 * max(f.ks[-1] for f in fillings))
    u = v = 0.0
    for f in fillings:
        times = len(f.ks)
        empty = sum(e[k] for k in f.ks) / times
        slope = sum(slope_of[k] for k in f.ks) / times
        both = sum(e[a + b] for a in f.ks for b in f.ks) / times**2
        var = max(empty * (1.0 - empty), 1e-300)
        u += (f.y - f.n * (1.0 - empty)) * slope / var
        v += slope * slope / var * (f.n + (f.squares - f.n) * (both - empty * empty) / var)
    return u / math.sqrt(v) if v > 0 else math.copysign(math.inf, u)


def _root(falling: Callable[[float], float], low: float, high: float) -> float:
    """Where a falling function crosses 0, by 60 halvings."""
    a, b = max(low, 1e-12), min(high, 1.0 - 1e-12)
    for _ in range(60):
        middle = (a + b) / 2
        if falling(middle) > 0:
            a = middle
        else:
            b = middle
    return (a + b) / 2
