"""The curve of how one sowing came up, fitted to counts at visits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

NOTHING_UP = "nothing up"
ALL_AT_FIRST = "all up at the first check"
TOO_FEW_CHECKS = "too few checks to draw a curve"

Gaps = Sequence[tuple[float, float, int]]  # (start, end, new): not up on day start, up by day end

_STEPS = 100  # it takes 4 to 10
_TOLERANCE = 1e-9  # of a step, in units of ln b and b ln e; the step after it would be its square


@dataclass(frozen=True, slots=True)
class Fitted:
    """A log-logistic curve: of all seeds `d` come up, half of those by day `e`, the steeper the
    larger `b`; looked at until day `last`.

    Standard errors are of the seeds of this one sowing, each on its own; sowings differ by more. `d`
    found at its bound, 1, has none, and those of `b` and `e` then hold for d = 1. `log_likelihood`
    is that of what was seen, but for a constant.
    """

    d: float
    b: float
    e: float
    se_d: float | None
    se_b: float
    se_e: float
    last: float
    log_likelihood: float

    def at(self, day: float) -> float:
        """The share of all seeds sown that is up by `day`, 0 to 1; none by day 0."""
        return self.d * _logistic(self.b * math.log(day / self.e)) if day > 0 else 0.0

    def day_of(self, share: float) -> float:
        """The day by which `share` (between 0 and 1) of those that come up is up."""
        return self.e * (share / (1.0 - share)) ** (1.0 / self.b)


def fitted(n: int, checks: Sequence[tuple[float, int]]) -> Fitted | str:
    """The curve of `n` seeds seen at `checks`, (day, emerged so far) in order, or why there is none.

    Several counts of a day: its last one. What was up by day 0 is put to the first gap after it,
    since the curve is 0 there.
    """
    gaps, before, start = [], 0, 0.0
    for day, so_far in checks:
        if so_far < before:
            raise ValueError(f"the running count falls from {before} to {so_far}")
        if day > start:
            gaps.append((start, day, so_far - before))
            start, before = day, so_far
        elif day == start > 0:
            gaps[-1] = (*gaps[-1][:2], gaps[-1][2] + so_far - before)
            before = so_far
    if checks and checks[-1][1] > 0 and not any(new for *_, new in gaps):
        return ALL_AT_FIRST  # all of it by day 0
    return fitted_gaps(n, gaps, start)


def fitted_gaps(n: int, gaps: Gaps, last: float) -> Fitted | str:
    """The curve of `n` seeds of which `new` came up in each gap, or why there is none.

    F(t) = d / (1 + exp(-b (ln t - ln e))), 0 < d <= 1; what was seen has the likelihood
    prod (F(end) - F(start))^new (1 - F(last))^rest. `last` is the day of the last look; a start
    before day 0 is 0.

    With d = S / (n G(last)) put in, S up and G = F/d, or 1 if that is over 1, Newton's steps on ln b
    and ln e, halved until they gain, find the rest from a fixed start; standard errors by the
    observed information. It needs three gaps with something new and no day that lies in or at the
    end of all of them: else the steepest curve is the likeliest and there is no b. A half day that
    comes out after the last look nobody has seen: no curve either.

    Source: Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6. There b has the other sign: their
    chickweed has -20.77, ours 20.77.
    """
    found = sorted((max(start, 0.0), end, new) for start, end, new in gaps if new)
    if any(not start < end or new < 0 for start, end, new in found):
        raise ValueError(f"no gaps of days with seeds in them: {gaps}")
    if not found:
        return NOTHING_UP
    kinds = {(start, end) for start, end, _ in found}
    latest, soonest = max(start for start, _ in kinds), min(end for _, end in kinds)
    if len(kinds) == 1 and latest == 0:
        return ALL_AT_FIRST
    if len(kinds) < 3 or latest <= soonest:
        return TOO_FEW_CHECKS
    best = _climbed(_Sowing(n, found, max(last, *(end for _, end in kinds))))
    return best if best and best.e <= best.last else TOO_FEW_CHECKS


@dataclass(frozen=True, slots=True)
class _Point:
    """ln b and ln e with the logarithm of the likelihood (highest over d), its two slopes and three
    bends, and d."""

    p: float
    m: float
    value: float
    slope: tuple[float, float]
    bend: tuple[float, float, float]
    d: float


class _Sowing:
    """The likelihood of one sowing as a function of ln b and ln e.

    With y = b (ln t - ln e) and G = 1/(1 + e^-y), ln(G2 - G1) = ln G2 + ln(1 - G1) + ln(1 - e^-w),
    w = y2 - y1: nothing cancels, however far out. So a day needs only how often ln G and ln(1 - G)
    stand there, and a gap its length in ln t.
    """

    def __init__(self, n: int, gaps: Gaps, last: float) -> None:
        self.up = sum(new for *_, new in gaps)
        self.n, self.last = n, last
        if self.up > n:
            raise ValueError(f"{self.up} up of {n}")
        days: dict[float, list[float]] = {}
        self.lengths: list[tuple[float, float]] = []
        for start, end, new in gaps:
            days.setdefault(end, [0.0, 0.0])[0] += new
            if start > 0:
                days.setdefault(start, [0.0, 0.0])[1] += new
                self.lengths.append((math.log(end / start), new))
        self.days = [(math.log(day), of, off) for day, (of, off) in sorted(days.items())]
        middles = [(math.log(end * math.sqrt(max(s / end, 0.25))), new) for s, end, new in gaps]
        self.m0 = sum(x * new for x, new in middles) / self.up
        spread = sum((x - self.m0) ** 2 * new for x, new in middles) / self.up
        self.p0 = math.log(math.pi / math.sqrt(3.0 * spread))  # of a logistic's standard deviation

    def at(self, p: float, m: float) -> _Point:
        b, at_last = math.exp(p), math.log(self.last)
        share = _logistic(b * (at_last - m))
        d = self.up / self.n / share if share > 0 else math.inf
        value, on_p, on_m, pp, pm, mm = self._lengths(b)
        # ln d = -ln G(last) and what is constant, or rest x ln(1 - G(last))
        end = (at_last, -self.up, 0.0) if d < 1 else (at_last, 0.0, self.n - self.up)
        for x, of, off in (*self.days, end):
            y = b * (x - m)
            # G, 1 - G and their logarithms from one small number, exact far out on both sides
            small = math.exp(-abs(y)) if abs(y) < 700 else 0.0
            both, more = math.log1p(small), 1.0 / (1.0 + small)
            up, down = (more, small * more) if y >= 0 else (small * more, more)
            value -= (of + off) * both + (off * y if y >= 0 else -of * y)
            first, second = of * down - off * up, -(of + off) * up * down
            on_p += first * y
            on_m -= first * b
            pp += (second * y + first) * y
            pm -= (second * y + first) * b
            mm += second * b * b
        if d < 1:  # both at their best d, so that the two meet where d reaches 1
            value += self.up * math.log(self.up / self.n)
            value += (self.n - self.up) * math.log1p(-self.up / self.n)
        return _Point(p, m, value, (on_p, on_m), (pp, pm, mm), min(d, 1.0))

    def _lengths(self, b: float) -> tuple[float, float, float, float, float, float]:
        """What ln(1 - e^-w), w = b x length, gives; nothing of it depends on ln e."""
        value = on_p = pp = 0.0
        for length, new in self.lengths:
            w = b * length
            odds = 1.0 / math.expm1(w) if w < 700 else 0.0
            value += new * math.log(-math.expm1(-w))
            on_p += new * odds * w
            pp += new * odds * w * (1.0 - w * (1.0 + odds))
        return value, on_p, 0.0, pp, 0.0, 0.0


def _climbed(sowing: _Sowing) -> Fitted | None:
    """Newton from the fixed start to where no step gains; None if there is no such place."""
    here = sowing.at(sowing.p0, sowing.m0)
    for _ in range(_STEPS):
        step = _step(here)
        if max(abs(step[0]), abs(step[1]) * math.exp(here.p)) < _TOLERANCE:
            return _with_errors(sowing, sowing.at(here.p + step[0], here.m + step[1]))
        after = _gained(sowing, here, step)
        if after is None:
            return None
        here = after
    return None


def _gained(sowing: _Sowing, here: _Point, step: tuple[float, float]) -> _Point | None:
    """The point after the step, halved until it is no worse than `here`."""
    part = min(1.0, 1.0 / max(abs(step[0]), abs(step[1])))
    while part > 1e-12:
        after = sowing.at(here.p + part * step[0], here.m + part * step[1])
        if after.value >= here.value - 1e-12 * abs(here.value):
            return after
        part /= 2
    return None


def _step(here: _Point) -> tuple[float, float]:
    """Newton's step; where the likelihood bends the wrong way, one uphill of a like size."""
    (u, v), (pp, pm, mm) = here.slope, here.bend
    b = math.exp(here.p)
    v, pm, mm = v / b, pm / b, mm / (b * b)  # in units of b ln e, as wide as ln b
    lift = (pp + mm) / 2 + math.hypot((pp - mm) / 2, pm)  # the larger of the two bends
    size = math.hypot((pp - mm) / 2, pm) + abs(pp + mm) / 2
    if lift > -1e-9 * size:
        pp, mm = pp - lift - 0.1 * size, mm - lift - 0.1 * size
    whole = pp * mm - pm * pm
    return (pm * v - mm * u) / whole, (pm * u - pp * v) / whole / b


def _with_errors(sowing: _Sowing, top: _Point) -> Fitted | None:
    """The parameters with their standard errors.

    The inverse of the bend of the likelihood at its best d is the part for ln b and ln e of the
    inverse of all nine; with it d = S/(n G(last)) has
    var d = d^2 (rest/(n S) + (1 - G)^2 var(y)), y = b (ln last - ln e).
    """
    pp, pm, mm = top.bend
    whole = pp * mm - pm * pm
    if not (pp < 0 and mm < 0 and whole > 0):
        return None
    var_p, var_m, both = -mm / whole, -pp / whole, pm / whole
    b, e = math.exp(top.p), math.exp(top.m)
    se_d = None
    if top.d < 1:
        y = b * (math.log(sowing.last) - top.m)
        var_y = y * y * var_p - 2 * y * b * both + b * b * var_m
        rest = (sowing.n - sowing.up) / sowing.n / sowing.up
        se_d = top.d * math.sqrt(rest + _logistic(-y) ** 2 * var_y)
    se_b, se_e = b * math.sqrt(var_p), e * math.sqrt(var_m)
    return Fitted(top.d, b, e, se_d, se_b, se_e, sowing.last, top.value)


def _logistic(y: float) -> float:
    if y >= 0:
        return 1.0 / (1.0 + math.exp(-min(y, 700.0)))
    small = math.exp(max(y, -700.0))
    return small / (1.0 + small)
