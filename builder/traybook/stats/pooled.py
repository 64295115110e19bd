"""How fast a kind comes up: one curve from sowings that were looked at on different days."""

from __future__ import annotations

import math
import operator
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

Spans = tuple[tuple[int, int], ...]  # per interval: the first innermost one in it, and one past it

_EM = 10  # rounds before the first Newton step
_NEWTON = 100  # it takes 3 to 12
_TOLERANCE = 1e-10


@dataclass(frozen=True, slots=True)
class Step:
    """A share of the seeds, `mass`, that came up after day `after` and by day `by`.

    `by` = inf: not yet at the last look. Where in the gap they came up nothing can tell.
    """

    after: float
    by: float
    mass: float


@dataclass(frozen=True, slots=True)
class Corner:
    """A gap of days in which a curve rises from one share to another, on a way unknown."""

    after: float
    by: float
    share_before: float
    share_after: float


def turnbull(intervals: Sequence[tuple[float, float, float]]) -> tuple[Step, ...]:
    """The curve that makes what was seen most likely, of any number of sowings at once.

    `intervals` are (after, by, weight): `weight` seeds weren't up on day `after` and were by day
    `by`; inf is "not yet"; a `by` that is not after `after` is the day itself. Shares fall only on
    innermost intervals, a left end followed by a right end, right ends before left ends on the same
    day; those with a share come back in order and sum to 1. Nothing for nothing. Whose turn it was
    in the input changes no bit of it.

    Assumes that when a sowing was looked at has nothing to do with when its seeds come up. Seeds of
    one tray share their tray, so no standard errors are given. Where several ways of sharing out
    are equally likely, one of them is given, always the same.

    Sources: Turnbull 1976, J. R. Stat. Soc. B 38, 290-295, for the estimate and the self-consistency
    rounds it starts with; then Newton's steps on the shares, none under 0 (Wang 2007, J. R. Stat.
    Soc. B 69, 185-198, and Lawson & Hanson 1974, Solving least squares problems, chapter 23: from
    memory), which end where 1e-10 of the likelihood of a seed is left to gain at most.

    >>> [(s.after, s.by, s.mass) for s in turnbull([(0, 5, 1), (5, 8, 2), (8, math.inf, 1)])]
    [(0, 5, 0.25), (5, 8, 0.5), (8, inf, 0.25)]
    """
    seen = _gathered(intervals)
    if not seen:
        return ()
    steps = _innermost(seen)
    lefts, rights = [a for a, _ in steps], [b for _, b in steps]
    spans = tuple((bisect_left(lefts, a), bisect_right(rights, b)) for a, b in seen)
    shares = _shares(len(steps), spans, list(seen.values()))
    return tuple(Step(a, b, m) for (a, b), m in zip(steps, shares, strict=True) if m > 0)


def drawn_to(last_looks: Sequence[float]) -> float:
    """The last day on which half of the sowings, or more, were still looked at.

    Later the curve rests on a few sowings that somebody still hoped for. `last_looks` is the day of
    each sowing's last look; without any it is 0.

    >>> drawn_to([10, 20, 30]), drawn_to([10, 20])
    (20, 20)
    """
    days = sorted(last_looks, reverse=True)
    return days[(len(days) - 1) // 2] if days else 0


def curve(steps: Sequence[Step], until: float = math.inf) -> tuple[Corner, ...]:
    """The rises of a curve that end by day `until`, for a chart: between two of them it is level.

    In a rise the curve goes from the lower left to the upper right corner of a box, nobody saw how,
    so the box is drawn. What wasn't up yet is no part of it.
    """
    sums = list(accumulate((s.mass for s in steps), initial=0.0))
    return tuple(
        Corner(s.after, s.by, before, min(after, 1.0))
        for s, (before, after) in zip(steps, pairwise(sums), strict=True)
        if s.by <= until and math.isfinite(s.by)
    )


def _gathered(
    intervals: Sequence[tuple[float, float, float]],
) -> dict[tuple[float, float], float]:
    """Share of all weight by interval, in order of days; exact sums, so input order is lost."""
    weights: dict[tuple[float, float], list[float]] = {}
    for after, by, weight in intervals:
        if not 0 <= weight < math.inf:
            raise ValueError(f"({after}, {by}] has a weight of {weight}")
        if weight:
            start = after if after < by else math.nextafter(by, -math.inf)
            weights.setdefault((start, by), []).append(weight)
    whole = math.fsum(w for each in weights.values() for w in each)
    return {gap: math.fsum(each) / whole for gap, each in sorted(weights.items())}


def _innermost(seen: dict[tuple[float, float], float]) -> list[tuple[float, float]]:
    """Left ends followed by right ends; a right end (0) sorts before a left one (1) of its day."""
    ends = sorted({(a, 1) for a, _ in seen} | {(b, 0) for _, b in seen})
    return [(a, b) for (a, left), (b, right) in pairwise(ends) if left > right]


def _shares(size: int, spans: Spans, weights: list[float]) -> list[float]:
    """The most likely shares. When each interval holds one innermost one they are its weights."""
    if all(end - start == 1 for start, end in spans):
        held: list[list[float]] = [[] for _ in range(size)]
        for (start, _), weight in zip(spans, weights, strict=True):
            held[start].append(weight)
        return [math.fsum(each) for each in held]
    shares = [1.0 / size] * size
    for _ in range(_EM):
        slopes = _Fit(spans, weights, shares).slopes
        shares = [m * s for m, s in zip(shares, slopes, strict=True)]
    fit = _Fit(spans, weights, shares)
    for _ in range(_NEWTON):
        before, fit = fit, _better(fit)
        if fit is before or fit.to_gain() < _TOLERANCE:
            break
    whole = math.fsum(fit.shares)
    return [m / whole for m in fit.shares]


class _Fit:
    """Shares, and how likely they make what was seen.

    `value` is sum w ln(share of the interval) - sum of shares: its highest point without any bound
    but 0 is the most likely curve, and there the shares sum to 1 by themselves. A slope (of the
    first sum) is what a self-consistency round multiplies a share by; in the end it is 1, or less
    where the share is 0.
    """

    __slots__ = ("shares", "slopes", "spans", "value", "weights", "within")

    def __init__(self, spans: Spans, weights: list[float], shares: list[float]) -> None:
        self.spans, self.weights, self.shares = spans, weights, shares
        sums = list(accumulate(shares, initial=0.0))
        self.within = [max(sums[end] - sums[start], 1e-300) for start, end in spans]
        changes = [0.0] * (len(shares) + 1)
        self.value = -sums[-1]
        for (start, end), weight, within in zip(spans, weights, self.within, strict=True):
            changes[start] += weight / within
            changes[end] -= weight / within
            self.value += weight * math.log(within)
        self.slopes = list(accumulate(changes[:-1]))

    def to_gain(self) -> float:
        """The steepest slope left: bounds what is to gain, also from shares that are 0."""
        pairs = zip(self.shares, self.slopes, strict=True)
        return max(abs(s - 1.0) if m > 0 else s - 1.0 for m, s in pairs)

    def bend(self) -> list[list[float]]:
        """Minus the second derivatives: sum of w/within^2 over the intervals that hold both."""
        size = len(self.shares)
        corners = [[0.0] * size for _ in range(size)]
        for (start, end), weight, within in zip(self.spans, self.weights, self.within, strict=True):
            corners[start][end - 1] += weight / (within * within)
        bend = [[0.0] * size for _ in range(size)]
        for j in range(size):
            run = 0.0
            for k in range(size - 1, j - 1, -1):
                run += corners[j][k]
                bend[j][k] = bend[k][j] = run + (bend[j - 1][k] if j else 0.0)
        return bend


def _better(fit: _Fit) -> _Fit:
    """One Newton step, halved until it is no worse; the same again when none is."""
    goal, part = _goal(fit), 1.0
    while part > 1e-9:
        shares = [m + part * (g - m) for m, g in zip(fit.shares, goal, strict=True)]
        found = _Fit(fit.spans, fit.weights, shares)
        if found.value >= fit.value - 1e-14 * abs(fit.value):
            return found
        part /= 2
    return fit


def _goal(fit: _Fit) -> list[float]:
    """Where the parabola that touches the likelihood here is highest, no share under 0."""
    bend, shares = fit.bend(), list(fit.shares)
    wanted = [2.0 * s - 1.0 for s in fit.slopes]
    free = [j for j, m in enumerate(shares) if m > 0]
    for _ in range(3 * len(shares)):
        goal = _solved([[bend[j][k] for k in free] for j in free], [wanted[j] for j in free])
        pairs = list(zip(free, goal, strict=True))
        under = {j: shares[j] / (shares[j] - g) if shares[j] else 0.0 for j, g in pairs if g <= 0}
        part = min(under.values(), default=1.0)
        for j, g in pairs:
            shares[j] += part * (g - shares[j])
        if under:
            free = _without(free, shares, {j for j, far in under.items() if far <= part})
            continue
        wish = _wish(bend, wanted, shares, set(free))
        if wish is None:
            break
        free = sorted([*free, wish])
    return shares


def _wish(
    bend: list[list[float]], wanted: list[float], shares: list[float], free: set[int]
) -> int | None:
    """Of the shares held at 0 the one that gains most by rising; None if none gains."""
    pulls = [
        (wanted[j] - _dot(row, shares, len(row)), j) for j, row in enumerate(bend) if j not in free
    ]
    pull, place = max(pulls, default=(0.0, 0))
    return place if pull > _TOLERANCE else None


def _without(free: list[int], shares: list[float], gone: set[int]) -> list[int]:
    for j in gone:
        shares[j] = 0.0
    return [j for j in free if j not in gone]


def _solved(a: list[list[float]], y: list[float]) -> list[float]:
    """x with a x = y by Cholesky; `a` and `y` are used up. A pivot of nought is held above it."""
    size = len(y)
    for i, row in enumerate(a):
        for j in range(i):
            row[j] = (row[j] - _dot(row, a[j], j)) / a[j][j]
        row[i] = math.sqrt(max(row[i] - _dot(row, row, i), 1e-10 * row[i]))
        y[i] = (y[i] - _dot(row, y, i)) / row[i]
    for i in range(size - 1, -1, -1):
        x = y[i] = y[i] / a[i][i]
        for k, part in enumerate(a[i][:i]):
            y[k] -= part * x
    return y


def _dot(a: list[float], b: list[float], size: int) -> float:
    """The product of the first `size` of each."""
    return sum(map(operator.mul, a[:size], b))
