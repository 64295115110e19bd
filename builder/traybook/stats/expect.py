"""What to expect of a sowing under way, and whether it is behind."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import ceil

import numpy as np
from numpy.typing import NDArray

from traybook.stats.habit import Habit
from traybook.stats.seeds import Chance

Floats = NDArray[np.float64]
Checks = Sequence[tuple[float, int]]

# One tray in twenty-five gives nothing at all: dead seed, dried out, eaten. common practice, no
# source
FAILED = 0.04
SHARES = 105
SHIFTS = 25
FARTHEST = 3.0  # standard deviations
# How far the shape may lie from the kind's, by a factor, and what the three weigh.
SHAPES = (-1, 0, 1)
SHAPE_WEIGHTS = (0.25, 0.5, 0.25)
FEW = 3
POINTS = np.array([0.05, 0.5, 0.95])
LINE = np.array([0.05])
# Of so many seeds the counts would pick one curve of the 75 and leave nothing open, though real
# sowings follow none of them exactly: 90 % ranges held .84 of the time for 500 seeds and .35 for
# 5,000 (simulated), and .92-.96 for 200. So more seeds than that are read as 200.
MOST = 200
COUNTED = np.arange(MOST + 1.0)


def _rising(*of: float) -> Floats:
    """For each x the log of x (x + 1) ... (x + i - 1), i = 0 to 200."""
    out = np.zeros((len(of), MOST + 1))
    np.cumsum(np.log(np.array(of)[:, None] + COUNTED[:-1]), axis=1, out=out[:, 1:])
    return out


FACTORIALS = _rising(1.0)[0]
# The 75 curves: their shapes as powers of the factor, their shifts, the logs of their weights.
_SHIFT = np.linspace(-FARTHEST, FARTHEST, SHIFTS)
_NORMAL = np.exp(-_SHIFT * _SHIFT / 2)
POWERS = np.repeat(np.array(SHAPES, dtype=float), SHIFTS)
SHIFTED = np.tile(_SHIFT, len(SHAPES))
CURVES = np.log(np.outer(SHAPE_WEIGHTS, _NORMAL / _NORMAL.sum()).ravel())
# Chances as small as this part of the largest say nothing.
NOTHING = 1e-12
NEGLIGIBLE = 30.0  # the log of so small a chance


@dataclass(frozen=True, slots=True)
class Range:
    """A count to expect: the 5, 50 and 95 % points, in seeds."""

    low: int
    middle: int
    high: int


class Expectation:
    """One kind's habit and chance, ready to be asked about many sowings.

    A sowing has a share p of its own (a beta with the mean and rho of `chance`; one in 25 gives
    nothing), a half day e^(mu + z s) (25 shifts z from -3 to 3, normal weights) and a shape b/f, b
    or b f (weights 1/4, 1/2, 1/4; f = 1.6 with fewer than 3 histories, else 1.25). Up by day t are
    p G(t), G(t) = 1/(1 + exp(-b (ln t - mu - z s))). The checks weigh each of these by
    prod [p (G_j - G_(j-1))]^new_j (1 - p G_last)^(n - emerged); what is still to come is
    Bin(n - emerged, p (1 - G)/(1 - p G)) for each.

    Assumes seeds of one sowing that come up independently once its share and its days are given.
    Days are on the sowing's clock; checks at or before day 0 are no information, a count that falls
    stands at what it had been, and one above n is n; more than 200 seeds are read as 200. Nothing
    raises.

    Source: Bayes' rule on a grid for a log-logistic time with a share that never comes (a cure
    model: Boag 1949, J. R. Statist. Soc. B 11, 15-53, from memory).
    """

    def __init__(self, habit: Habit, chance: Chance) -> None:
        mean = min(max(chance.mean, 1e-6), 1 - 1e-6)
        rho = min(max(chance.rho, 1e-6), 1 - 1e-6)
        self._a, self._b = mean * (1 - rho) / rho, (1 - mean) * (1 - rho) / rho
        self._shape = habit.b * (1.6 if habit.histories < FEW else 1.25) ** POWERS
        self._middle = habit.mu + SHIFTED * habit.s
        self._curves = CURVES
        self._rising = (*_rising(self._a, self._b, self._a + self._b), FACTORIALS)
        self._lines: dict[tuple[int, float], int] = {}
        self._sound: dict[float, tuple[Floats, Floats]] = {}

    def final(self, n: int, checks: Checks) -> Range:
        """The count in the end, of `n` seeds, after these checks (day, emerged so far)."""
        days, counts, _ = _clean(n, checks)
        return self._after(n, days, counts, {len(days)})[len(days)]

    def finals(self, n: int, checks: Checks) -> list[Range]:
        """The count in the end as it was expected after each check in turn, by order of day.

        Two counts of one day are one check, the later of them.
        """
        days, counts, places = _clean(n, checks)
        out = self._after(n, days, counts, set(places))
        return [out[i] for i in places]

    def by(self, n: int, checks: Checks, day: float) -> Range:
        """The count by `day`: for a day up to the last check, what had emerged at it.

        Bin(n - emerged, p (G_day - G_last)/(1 - p G_last)) for each share and curve, their chances
        merged as `_merged` says.
        """
        days, counts, _ = _clean(n, checks)
        last, had = (days[-1], counts[-1]) if days else (0.0, 0)
        if day <= last or had >= n:
            return Range(had, had, had)
        few, scaled = _few(n, counts)
        seen, late = (rows[-1] for rows in self._likelihood(days, scaled))
        more = self._between(last, day, np.exp(late))
        return _range(n, had, self._to_come_by(few, [0, *scaled][-1], seen, late, more))

    def behind(self, n: int, checks: Checks) -> bool:
        """Whether the last two checks both lie under the line of a sound tray.

        The line is the 5 % point of the count by a check's day, known before anything was counted,
        of a tray that doesn't fail.
        """
        days, counts, _ = _clean(n, checks)
        last = list(zip(days, counts, strict=True))[:-3:-1]
        return len(last) == 2 and all(count < self.line(n, day) for day, count in last)

    def line(self, n: int, day: float) -> int:
        """The count that 95 in 100 sound sowings of `n` seeds have reached by `day`."""
        if n <= 0 or day <= 0:
            return 0
        key = (n, day)
        if key not in self._lines:
            if day not in self._sound:
                shares, weights = self._shares
                up = self._between(0.0, day, 1.0)
                chances = np.outer(weights, np.exp(self._curves))
                self._sound[day] = _merged(shares[:, None] * up, chances, MOST)
            pmf = _mixture(n, *self._sound[day])
            self._lines[key] = _points(pmf, LINE)[0]
        return self._lines[key]

    def _between(self, last: float, day: float, still: Floats | float) -> Floats:
        """G(day) - G(last) of each curve, `still` being 1 - G(last): no digits lost near 1."""
        up = np.exp(-np.logaddexp(0.0, self._shape * (self._middle - np.log(day))))
        return up if last <= 0 else -up * still * np.expm1(-self._shape * np.log(day / last))

    def _to_come_by(self, n: int, emerged: int, seen: Floats, late: Floats, more: Floats) -> Floats:
        """Chances, times a constant, of 0, 1, 2 ... to come while each curve rises by `more`."""
        shares, weights = self._shares
        missing = (1 - shares)[:, None] + shares[:, None] * np.exp(late)  # 1 - pG
        logs = (np.log(weights) + emerged * np.log(shares))[:, None]
        logs = logs + (n - emerged) * np.log(missing) + seen
        most = logs.max()
        rates = shares[:, None] * more / missing
        nodes, chances = _merged(rates, np.exp(logs - most), n - emerged)
        if emerged == 0:  # a tray that gives nothing would look the same
            chances[0] += FAILED / (1 - FAILED) * np.exp(-most)
        return _mixture(n - emerged, nodes, chances)

    @cached_property
    def _shares(self) -> tuple[Floats, Floats]:
        """105 shares and their weights: Gauss's points for this beta.

        They give the mean of any polynomial up to the 209th degree exactly, where points on a grid
        would miss a beta that piles up at an end. Source: Golub & Welsch 1969, Math. Comp. 23,
        221-230; the recurrence of Jacobi's polynomials from memory.
        """
        low, high = self._b - 1, self._a - 1
        k = np.arange(1, SHARES)
        twice = 2 * k + low + high
        first = (high - low) / (low + high + 2)
        middle = np.append(first, (high + low) * (high - low) / (twice * (twice + 2)))
        side = 4 * k * (k + low) * (k + high) / (twice**2 * (twice + 1))
        side[1:] *= (k + low + high)[1:] / (twice - 1)[1:]
        matrix = np.diag(middle) + np.diag(np.sqrt(side), 1) + np.diag(np.sqrt(side), -1)
        points, vectors = np.linalg.eigh(matrix)
        shares = np.clip((points + 1) / 2, 1e-15, 1 - 1e-15)
        return shares, np.maximum(vectors[0] ** 2, 1e-300)

    def _likelihood(self, days: list[float], counts: list[int]) -> tuple[Floats, Floats]:
        """For no check, the first, the first two ... (rows) and each curve: the log of its weight
        times prod (G_j - G_(j-1))^new_j, and log(1 - G_last)."""
        seen = np.empty((len(days) + 1, len(self._curves)))
        late = np.zeros_like(seen)
        seen[0] = self._curves
        if days:
            logs = np.log(days)
            exponents = self._shape * (logs[:, None] - self._middle)
            late[1:] = -np.logaddexp(0.0, exponents)
            # with u = b (ln t - mu - z s): G_2 - G_1 = G_2 (1 - G_1)(1 - exp(u_1 - u_2))
            steps = exponents + late[1:] + late[:-1]
            steps[1:] += np.log(-np.expm1((logs[:-1] - logs[1:])[:, None] * self._shape))
            new = [b - a for a, b in pairwise([0, *counts])]
            steps *= np.array(new, dtype=float)[:, None]
            seen[1:] = self._curves + steps.cumsum(axis=0)
        return seen, late

    def _after(
        self, n: int, days: list[float], counts: list[int], wanted: set[int]
    ) -> dict[int, Range]:
        """The final count after the first i checks, for each i that is wanted."""
        few, scaled = _few(n, counts)
        seen, late = self._likelihood(days, scaled)
        had, emerged = [0, *counts], [0, *scaled]
        return {
            i: Range(had[i], had[i], had[i])
            if had[i] >= n
            else _range(n, had[i], self._to_come(few, emerged[i], seen[i], late[i]))
            for i in wanted
        }

    def _to_come(self, n: int, emerged: int, seen: Floats, late: Floats) -> Floats:
        """Chances, times a constant, of 0, 1, 2 ... still to come: over shares in closed form, over
        curves summed.

        (1 - pG)^m Bin(m, p(1-G)/(1-pG))(k) = C(m,k) (p(1-G))^k (1-p)^(m-k): so the shares come in
        only by the mean of p^(emerged+k) (1-p)^(m-k), which a beta has as a product, and the
        curves only by (1-G)^k.
        """
        left = n - emerged
        up, down, both, factorials = self._rising
        base = up[emerged : n + 1] + down[left::-1] - factorials[: left + 1] - factorials[left::-1]
        most = (seen + left * late).max() - NEGLIGIBLE
        likely = seen > most  # whatever comes, the others add nothing
        seen, late = seen[likely], late[likely]
        logs = late[:, None] * COUNTED[: left + 1]
        logs += base + (factorials[left] - both[n])
        logs += seen[:, None]
        most = logs.max()
        logs -= most
        pmf = np.exp(logs, out=logs).sum(axis=0)
        if emerged == 0:
            pmf[0] += FAILED / (1 - FAILED) * np.exp(-most)
        return pmf


def _clean(n: int, checks: Checks) -> tuple[list[float], list[int], list[int]]:
    """Days and counts that tell something, and for each check (by day) how many of them it has."""
    days: list[float] = []
    counts: list[int] = []
    places = []
    for day, emerged in sorted(checks, key=lambda check: check[0]):
        if day > 0:
            count = min(max(emerged, counts[-1] if counts else 0), max(0, n))
            if days and day == days[-1]:
                counts[-1] = count
            else:
                days.append(day)
                counts.append(count)
        places.append(len(days))
    return days, counts, places


def _merged(rates: Floats, chances: Floats, n: int) -> tuple[Floats, Floats]:
    """Chances of many rates, put on a few rates that lie evenly on the arcsine scale.

    Each is split between its two neighbours so that the mean stays; closer together the more seeds
    there are: up to 1,000 seeds the split adds under a three-hundredth to a binomial's variance.
    """
    cells = int(min(1024, max(256, 32 * np.sqrt(n))))
    place = np.arcsin(np.sqrt(np.minimum(rates, 1.0))).ravel() * (2 * cells / np.pi)
    below = np.minimum(place.astype(np.int64), cells - 1)
    part = (place - below) * chances.ravel()
    out = np.bincount(below, chances.ravel() - part, cells + 2)
    out += np.bincount(below + 1, part, cells + 2)
    nodes = np.sin(np.arange(cells + 1) * (np.pi / 2 / cells)) ** 2
    return nodes, np.maximum(out[:-1], 0.0)


def _mixture(n: int, rates: Floats, chances: Floats) -> Floats:
    """Chances, times a constant, of 0 to n under a mixture of binomials."""
    kept = chances > NOTHING * chances.max()
    kept[[0, -1]] = False  # rates of 0 and 1 have no logarithm: they are added below
    k = np.arange(n + 1.0)
    factorials = np.append(0.0, np.cumsum(np.log(np.arange(1.0, n + 1))))
    ways = factorials[n] - factorials - factorials[::-1]
    rate = rates[kept][:, None]
    out = chances[kept] @ np.exp(ways + k * np.log(rate) + (n - k) * np.log1p(-rate))
    out[0] += chances[0]
    out[-1] += chances[-1]
    return out


def _points(pmf: Floats, points: Floats) -> list[int]:
    """The least counts that are reached with these chances."""
    up_to = pmf.cumsum()
    return up_to.searchsorted((points - NOTHING) * up_to[-1]).tolist()


def _range(n: int, emerged: int, pmf: Floats) -> Range:
    """The points of what has emerged and what is to come; of many seeds scaled up again."""
    low, middle, high = _points(pmf, POINTS)
    if n <= MOST:
        return Range(emerged + low, emerged + middle, emerged + high)
    scale = (n - emerged) / (len(pmf) - 1)
    return Range(
        emerged + int(low * scale), emerged + round(middle * scale), emerged + ceil(high * scale)
    )


def _few(n: int, counts: list[int]) -> tuple[int, list[int]]:
    """The seeds and the counts as they enter: of more than 200 seeds their share of 200, but none
    only where it is none and all only where it is all."""
    if n <= MOST:
        return max(0, n), counts
    scaled = [max(round(c * MOST / n), int(c > 0)) for c in counts]
    return MOST, [min(x, MOST - (c < n)) for x, c in zip(scaled, counts, strict=True)]
