"""When seeds of several sowings came up, from the gaps between looks."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

_TOLERANCE = 1e-7
_ROUNDS = 5000
# Masses under this are what is left of one on its way to nothing.
_NOTHING = 2e-6
# A mass that would grow by more than this part was lost on the way, and starts again from so much.
_WANTED = 1e-3


@dataclass(frozen=True, slots=True)
class Step:
    """`mass` of the whole came up after `after` and by `by`; `by` is infinite for what was not yet up."""

    after: float
    by: float
    mass: float


@dataclass(frozen=True, slots=True)
class Corner:
    """A gap of the curve: the share up before it and after it."""

    after: float
    by: float
    share_before: float
    share_after: float


def turnbull(intervals: Sequence[tuple[float, float, float]]) -> tuple[Step, ...]:
    """The distribution that makes gaps (after, by], each with a weight, most likely.

    `by` infinite: not up at the last look. Where `by` is not after `after` the time is exact. Mass
    stands on innermost intervals only (a left end followed at once by a right end, right ends first at
    ties), found by self-consistency from an even start, quickened by squared extrapolation, until no
    mass changes by more than 1e-7 in a round. The order of the input is nothing; no weights, no steps.

    Sources: Turnbull 1976, J. R. Statist. Soc. B 38, 290-295; the extrapolation of Varadhan & Roland
    2008, Scand. J. Statist. 35, 335-353 (from memory).
    """
    weights: dict[tuple[float, float], float] = defaultdict(float)
    for after, by, weight in intervals:
        if weight > 0:
            weights[after if after < by else math.nextafter(by, -math.inf), by] += weight
    if not weights:
        return ()
    gaps = _innermost(list(weights))
    spans = []
    for (after, by), w in sorted(weights.items()):
        inside = [i for i, (a, b) in enumerate(gaps) if a >= after and b <= by]
        spans.append((inside[0], inside[-1] + 1, w))
    masses = _likeliest(spans, len(gaps))
    return tuple(Step(a, b, m) for (a, b), m in zip(gaps, masses, strict=True) if m > _NOTHING)


def _innermost(gaps: list[tuple[float, float]]) -> list[tuple[float, float]]:
    ends = sorted({(by, 0) for _, by in gaps} | {(after, 1) for after, _ in gaps})
    return [(a, b) for (a, left), (b, right) in pairwise(ends) if left == 1 and right == 0]


_Span = tuple[int, int, float]


def _likeliest(spans: list[_Span], n: int) -> list[float]:
    p = [1.0 / n] * n
    if all(b - a == 1 for a, b, _ in spans):  # each gap by itself: its own share
        return _again(p, _rates(p, spans))
    for _ in range(_ROUNDS):
        one = _again(p, _rates(p, spans))
        rates = _rates(one, spans)
        two = _again(one, rates)
        if max(abs(x - y) for x, y in zip(one, two, strict=True)) < _TOLERANCE:
            lost = [i for i, rate in enumerate(rates) if rate > 1 + _WANTED and two[i] < _WANTED]
            if not lost:
                return two
            p = [max(x, _WANTED) if i in lost else x for i, x in enumerate(two)]
            continue
        leap = _leap(p, one, two)
        far = _again(leap, _rates(leap, spans))
        p = far if _likelihood(far, spans) >= _likelihood(two, spans) else two
    return p


def _rates(p: list[float], spans: list[_Span]) -> list[float]:
    """By what each mass grows in a round of self-consistency; at most 1 for all at the top."""
    sums = [0.0]
    for x in p:
        sums.append(sums[-1] + x)
    rises, whole = [0.0] * (len(p) + 1), 0.0
    for a, b, w in spans:
        held = sums[b] - sums[a]
        rises[a] += w / held if held > 0 else 0.0
        rises[b] -= w / held if held > 0 else 0.0
        whole += w
    out, level = [], 0.0
    for rise in rises[:-1]:
        level += rise
        out.append(max(0.0, level / whole))
    return out


def _again(p: list[float], rates: list[float]) -> list[float]:
    """One round of self-consistency."""
    out = [x * rate for x, rate in zip(p, rates, strict=True)]
    total = math.fsum(out)
    return [x / total for x in out]


def _leap(p: list[float], one: list[float], two: list[float]) -> list[float]:
    """Further the way of the last two rounds."""
    r = [b - a for a, b in zip(p, one, strict=True)]
    v = [c - b - d for b, c, d in zip(one, two, r, strict=True)]
    length = math.sqrt(math.fsum(x * x for x in v))
    if length == 0:
        return two
    step = max(1.0, math.sqrt(math.fsum(x * x for x in r)) / length)
    far = [
        max(c / 10, a + 2 * step * x + step * step * y)
        for a, c, x, y in zip(p, two, r, v, strict=True)
    ]
    total = math.fsum(far)
    return [x / total for x in far]


def _likelihood(p: list[float], spans: list[_Span]) -> float:
    sums = [0.0]
    for x in p:
        sums.append(sums[-1] + x)
    return math.fsum(w * math.log(max(sums[b] - sums[a], 1e-300)) for a, b, w in spans)


def curve(steps: Sequence[Step]) -> tuple[Corner, ...]:
    """The share up before and after each gap, without what was not yet up."""
    out, share = [], 0.0
    for s in steps:
        if math.isinf(s.by):
            continue
        out.append(Corner(s.after, s.by, share, share + s.mass))
        share += s.mass
    return tuple(out)


def drawn_to(last_looks: Sequence[float]) -> float:
    """The last day on which half of the sowings were still looked at; 0 without any.

    >>> drawn_to([20]), drawn_to([10, 20]), drawn_to([10, 20, 30])
    (20, 20, 20)
    """
    days = sorted(last_looks, reverse=True)
    return days[(len(days) + 1) // 2 - 1] if days else 0
