"""Differences of two shares, and what may be said of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from traybook.stats.proportions import Share

CLEAR, SAME = "clear", "about the same"
TOO_FEW, NOT_CLEAR = "too few to say", "no clear difference"
#: A difference this small isn't worth acting on; an interval this wide says nothing.
SMALL, WIDE = 0.15, 0.50


@dataclass(frozen=True, slots=True)
class Difference:
    """The first share minus the second, with its interval; all between -1 and 1."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Arm:
    """One side of a comparison: its share, and the number of independent seeds that would say as
    much (seeds / design effect)."""

    share: Share
    size: float


def difference(now: Share, then: Share) -> Difference:
    """`now` minus `then`, from the limits of the two.

    low = d - sqrt((p1 - l1)^2 + (u0 - p0)^2), high = d + sqrt((u1 - p1)^2 + (p0 - l0)^2). Assumes
    the two shares independent; each interval brings its own spread between sowings.

    Source: Newcombe 1998, Statist. Med. 17, 873-890, method 10, when the two are Wilson's.

    >>> from traybook.stats.proportions import wilson
    >>> d = difference(wilson(56, 70), wilson(48, 80))
    >>> round(d.low, 4), round(d.high, 4)
    (0.0524, 0.3339)
    """
    value = now.value - then.value
    return Difference(
        value,
        value - math.hypot(now.value - now.low, then.high - then.value),
        value + math.hypot(now.high - now.value, then.value - then.low),
    )


def stratified(strata: Sequence[tuple[Arm, Arm]]) -> Difference | None:
    """First minus second where like is compared with like: within each stratum, then over them.

    w = m1 m0/(m1 + m0), scaled to sum 1; d = sum w d_s; low = d - sqrt(sum w^2 (d_s - low_s)^2),
    high likewise. Assumes one true difference in all strata, and strata independent. A stratum with
    nothing on one side is left out; None when none is left. Sizes should go by one spread for all
    strata: each by its own held .933 where that holds .940 (simulated, spreads learnt).

    Sources: weights of Cochran 1954, Biometrics 10, 417-451, from memory; limits squared and added,
    Newcombe 1998 as in `difference` for one stratum, Zou & Donner 2008, Statist. Med. 27,
    1693-1702, in general, from memory.
    """
    strata = [(a, b) for a, b in strata if a.size > 0 and b.size > 0]
    if not strata:
        return None
    weights = [a.size * b.size / (a.size + b.size) for a, b in strata]
    total = sum(weights)
    parts = [
        (w / total, difference(a.share, b.share)) for w, (a, b) in zip(weights, strata, strict=True)
    ]
    value = sum(w * d.value for w, d in parts)
    return Difference(
        value,
        value - math.hypot(*(w * (d.value - d.low) for w, d in parts)),
        value + math.hypot(*(w * (d.high - d.value) for w, d in parts)),
    )


def verdict(d: Difference) -> str:
    """What may be said of a difference: one of CLEAR, SAME, TOO_FEW, NOT_CLEAR.

    Clear when 0 lies outside its interval; about the same when all of it lies within .15 either
    way; too few to say when it is wider than .50; else no clear difference. The .15 and .50 are a
    choice of ours. A 95 % interval calls one in twenty clear that is luck.

    >>> verdict(Difference(0.03, -0.06, 0.13))
    'about the same'
    """
    if d.low > 0 or d.high < 0:
        return CLEAR
    if d.low >= -SMALL and d.high <= SMALL:
        return SAME
    return TOO_FEW if d.high - d.low > WIDE else NOT_CLEAR
