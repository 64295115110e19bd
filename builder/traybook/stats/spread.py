"""How much sowings of one kind differ by more than chance."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

#: How many degrees of freedom of its own outweigh what a farm, a pool, a kind borrows.
FARM_WEIGHT, POOL_WEIGHT, KIND_WEIGHT = 6, 10, 8


@dataclass(frozen=True, slots=True)
class Moment:
    """What groups of sowings say of their spread; moments of several groups are added.

    `a` is what their counts differ by beyond chance, `b` what it would be at a spread of 1, `df`
    the sowings beyond the first of each group.
    """

    a: float = 0.0
    b: float = 0.0
    df: int = 0

    def __add__(self, other: Moment) -> Moment:
        return Moment(self.a + other.a, self.b + other.b, self.df + other.df)

    @property
    def rho(self) -> float:
        """The spread: correlation of two seeds of one sowing, 0 (chance alone) to 1."""
        return min(1.0, max(0.0, self.a / self.b)) if self.b > 0 else 0.0


def moment(counts: Sequence[tuple[int, int]], per_cell: float = 1.0) -> Moment:
    """What one group of sowings, each (up, of), says of its spread.

    With p = X/N: A = sum (x - n p)^2/(n p(1-p)) - (k-1), B = sum (n-1)(1 - n/N), df = k-1, for k
    sowings; A is rho B in the long run (less where p is beyond .9 or so; over many kinds of .4 to .97
    their sums hold to 2 %, simulated). Counts of cells with `per_cell` = s seeds each: B is
    multiplied by s^2 p q^(s-1)/theta, where theta = X/N is the share of filled cells and p = 1 - q =
    1 - (1-theta)^(1/s) that of seeds. Where nearly all is full this says too little (simulated, with
    a true .05: two a cell 2 to 15 % too little up to p = .8 and 31 % at .9; three a cell 6 to 34 %
    and 54 %), so seed counts are to be preferred. One sowing, none up or all up say nothing.

    Assumes that sowings of the group have one chance on the whole and differ by luck of the sowing.
    Sources: the idea of moments of Kleinman 1973, J. Amer. Stat. Assoc. 68, 46-54, and Williams
    1982, Appl. Statist. 31, 144-148, both from memory; the formula worked out by ourselves.

    >>> m = moment([(3, 10), (7, 10)])
    >>> round(m.a, 3), m.b, m.df
    (2.2, 9.0, 1)
    """
    counts = [(min(max(x, 0), n), n) for x, n in counts if n > 0]
    up, of = sum(x for x, _ in counts), sum(n for _, n in counts)
    b = sum((n - 1) * (1 - n / of) for _, n in counts)
    if len(counts) < 2 or not 0 < up < of or b <= 0:
        return Moment()
    p, df = up / of, len(counts) - 1
    a = sum((x - n * p) ** 2 / (n * p * (1 - p)) for x, n in counts) - df
    if per_cell > 1:
        q = (1 - p) ** (1 / per_cell)
        b *= per_cell**2 * (1 - q) * q ** (per_cell - 1) / p
    return Moment(a, b, df)


def shrunk(kind: Moment, pool: Moment, farm: Moment, assumed: float = 0.08) -> float:
    """The spread to use for a kind: its own, drawn to its pool's, that to the farm's, that to
    `assumed`.

    farm = (df_f rho_f + 6 assumed)/(df_f + 6); pool = (df_p rho_p + 10 farm)/(df_p + 10); used =
    (df_k rho_k + 8 pool)/(df_k + 8). A few sowings of one kind say little of their spread: three
    alone make intervals that hold 86 % in place of 95.

    Source: worked out by ourselves, by simulation; `assumed` is a guess and is to be called so.

    >>> shrunk(Moment(), Moment(), Moment())
    0.08
    """
    used = assumed
    for own, weight in ((farm, FARM_WEIGHT), (pool, POOL_WEIGHT), (kind, KIND_WEIGHT)):
        used = (own.df * own.rho + weight * used) / (own.df + weight)
    return used


def beta_binomial(counts: Sequence[tuple[int, int]]) -> tuple[float, float, float]:
    """Mean, spread and log-likelihood of beta-binomial counts (x, n), by maximum likelihood.

    For checks and calibration: with few sowings it says "no spread" far too often.

    Source: Crowder 1978, Appl. Statist. 27, 34-37.
    """
    (mean,), rho, loglik = beta_binomial_common([counts])
    return mean, rho, loglik


def beta_binomial_common(
    groups: Sequence[Sequence[tuple[int, int]]],
) -> tuple[tuple[float, ...], float, float]:
    """The same for groups that have each a mean of their own and all one spread."""
    tallies = [_Tally.made([c for c in counts if c[1] > 0]) for counts in groups]

    def profile(rho: float) -> float:
        return sum(t.loglik(t.best_mean(rho), rho) for t in tallies)

    rho = _highest(profile)
    return tuple(t.best_mean(rho) for t in tallies), rho, profile(rho)


@dataclass(frozen=True, slots=True)
class _Tally:
    """How many counts have more than j up, more than j not up, more than j in all."""

    up: list[int]
    not_up: list[int]
    sown: list[int]
    ways: float

    @classmethod
    def made(cls, counts: Sequence[tuple[int, int]]) -> _Tally:
        def more(values: list[int]) -> list[int]:
            return [sum(v > j for v in values) for j in range(max(values, default=0))]

        ways = sum(math.log(math.comb(n, x)) for x, n in counts)
        return cls(
            more([x for x, _ in counts]), more([n - x for x, n in counts]),
            more([n for _, n in counts]), ways,
        )  # fmt: skip

    def loglik(self, mean: float, rho: float) -> float:
        """sum log C(n, x) + sum log of the rising products of a beta-binomial chance."""
        own = 1.0 - rho
        return self.ways + sum(
            sign * many * math.log(start * own + j * rho)
            for sign, start, all_ in (
                (1, mean, self.up),
                (1, 1 - mean, self.not_up),
                (-1, 1.0, self.sown),
            )
            for j, many in enumerate(all_)
        )

    def best_mean(self, rho: float) -> float:
        """The likeliest mean at a spread: the log-likelihood is concave in it, so by halving."""
        own, low, high = 1.0 - rho, 1e-12, 1 - 1e-12
        for _ in range(60):
            mean = (low + high) / 2
            rise = sum(c / (mean * own + j * rho) for j, c in enumerate(self.up))
            fall = sum(c / ((1 - mean) * own + j * rho) for j, c in enumerate(self.not_up))
            low, high = (mean, high) if rise > fall else (low, mean)
        return (low + high) / 2


def _highest(profile: Callable[[float], float], steps: int = 40) -> float:
    """The spread at which a profile is highest: the best of a grid, then golden sections about it.

    The grid is finer near 0, where spreads lie; 0 itself where nothing is higher.
    """
    grid = [0.98 * (i / steps) ** 2 for i in range(steps + 1)]
    best = max(range(steps + 1), key=lambda i: profile(grid[i]))
    low, high = grid[max(best - 1, 0)], grid[min(best + 1, steps)]
    ratio = (math.sqrt(5) - 1) / 2
    a, b = high - ratio * (high - low), low + ratio * (high - low)
    at_a, at_b = profile(a), profile(b)
    while high - low > 1e-9:
        if at_a >= at_b:
            high, b, at_b = b, a, at_a
            a = high - ratio * (high - low)
            at_a = profile(a)
        else:
            low, a, at_a = a, b, at_b
            b = low + ratio * (high - low)
            at_b = profile(b)
    rho = (low + high) / 2
    return rho if profile(rho) > profile(0.0) else 0.0
