"""A smooth curve through how one sowing came up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

NOTHING_UP = "nothing up"
ALL_AT_FIRST = "all up at the first check"
TOO_FEW_CHECKS = "too few checks to draw a curve"
_FEWEST = 3
_ROUNDS = 60
_TOLERANCE = 1e-11
# A curve steeper than this is a step: its steepness can't be told from the looks.
_STEEPEST = 400.0

_Gap = tuple[float, float, int]


@dataclass(frozen=True, slots=True)
class Fitted:
    """F(t) = d/(1 + (e/t)^b): in the end a share `d` of the seeds, half of those by day `e`, the
    steeper the larger `b`; each with its standard error, that of `d` None where it is 1. `last` is the
    day of the last look: the curve says nothing of later days. `log_likelihood` is the kernel's."""

    d: float
    b: float
    e: float
    se_d: float | None
    se_b: float
    se_e: float
    last: float
    log_likelihood: float

    def at(self, day: float) -> float:
        """The share of the seeds up by a day."""
        return self.d * _up(day, self.b, math.log(self.e))

    def day_of(self, share: float) -> float:
        """The day by which so much of what comes in the end is up; `share` between 0 and 1."""
        return self.e * (share / (1 - share)) ** (1 / self.b)


def fitted(n: int, checks: Sequence[tuple[float, int]]) -> Fitted | str:
    """The curve of a sowing of `n` seeds from (day, emerged so far) at its looks; else why there is none.

    A first look with some up counts as a gap from day 0.
    """
    gaps, day, had = [], 0.0, 0
    for on, so_far in checks:
        if so_far > had:
            gaps.append((day if on > day else 0.0, max(on, 0.0), so_far - had))
            had = so_far
        day = max(day, on)
    return fitted_gaps(n, gaps, day)


def fitted_gaps(n: int, gaps: Sequence[_Gap], last: float) -> Fitted | str:
    """The same from gaps (start, end, how many came up in it) and the day of the last look.

    Maximises sum new ln(F(end) - F(start)) + (n - S) ln(1 - F(last)). For given b and e the best d is
    S/(n G(last)), at most 1; ln b and ln e by Newton's method with halved steps from a fixed start.
    Standard errors by the observed information. Needs three gaps with something new.

    Sources: Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6 (their b has the other sign); Onofri,
    Gresta & Tei 2010, Weed Res. 50, 187-198 (from memory).
    """
    found = [g for g in gaps if g[2] > 0 and g[1] > 0]
    if not found:
        return NOTHING_UP
    if len(found) < 2:
        return ALL_AT_FIRST if found[0][0] <= 0 else TOO_FEW_CHECKS
    if len(found) < _FEWEST:
        return TOO_FEW_CHECKS
    up = sum(g[2] for g in found)
    if up > n:
        raise ValueError(f"{up} up of {n}")
    looks = _Looks(n, up, found, last)
    best = _best(looks, _middle(found))
    errors = _errors(looks, best) if best else None
    if best is None or errors is None:
        return TOO_FEW_CHECKS
    d, b, e = best
    return Fitted(d, b, e, *errors, last, looks.height(looks.shares(b, math.log(e)), d))


def _up(day: float, b: float, log_e: float) -> float:
    if day <= 0:
        return 0.0
    x = b * (log_e - math.log(day))
    return 1.0 / (1.0 + math.exp(x)) if x < 700 else 0.0


class _Looks:
    """The gaps of one sowing, ready to be asked again and again: each day's logarithm once."""

    def __init__(self, n: int, up: int, gaps: Sequence[_Gap], last: float) -> None:
        days = sorted({day for start, end, _ in gaps for day in (start, end) if day > 0} | {last})
        place = {day: i + 1 for i, day in enumerate(days)}
        self.logs = [math.log(day) for day in days]
        self.gaps = [(place.get(start, 0), place[end], float(new)) for start, end, new in gaps]
        self.last, self.n, self.up = place[last], n, up

    def shares(self, b: float, log_e: float) -> list[float]:
        """G at day 0 and at each day."""
        out = [0.0]
        for log in self.logs:
            x = b * (log_e - log)
            out.append(1.0 / (1.0 + math.exp(x)) if x < 700 else 0.0)
        return out

    def best_d(self, shares: list[float]) -> float:
        """The likeliest d for given b and e."""
        reached = shares[self.last]
        return min(1.0, self.up / (self.n * reached)) if reached > 0 else 1.0

    def height(self, shares: list[float], d: float) -> float:
        """The log likelihood; minus infinity where it has none."""
        out = self.up * math.log(d)
        for one, two, new in self.gaps:
            mass = shares[two] - shares[one]
            if mass <= 0:
                return -math.inf
            out += new * math.log(mass)
        if self.n > self.up:
            rest = 1.0 - d * shares[self.last]
            if rest <= 0:
                return -math.inf
            out += (self.n - self.up) * math.log(rest)
        return out


def _best(looks: _Looks, log_e: float) -> tuple[float, float, float] | None:
    """d, b and e of the largest likelihood; None where b runs away."""
    u, v = math.log(6.0), log_e

    def height(u: float, v: float) -> float:
        shares = looks.shares(math.exp(u), v)
        return looks.height(shares, looks.best_d(shares))

    here = height(u, v)
    for _ in range(_ROUNDS):
        du, dv = _newton(looks, math.exp(u), v)
        size, there = 1.0, height(u + du, v + dv)
        while there <= here and size > 1e-8:
            size /= 4
            there = height(u + size * du, v + size * dv)
        if there <= here:
            break
        u, v, gain, here = u + size * du, v + size * dv, there - here, there
        if u > math.log(_STEEPEST) or (gain < _TOLERANCE and size == 1.0):
            break
    b = math.exp(u)
    return None if b > _STEEPEST else (looks.best_d(looks.shares(b, v)), b, math.exp(v))


def _middle(gaps: Sequence[_Gap]) -> float:
    """Log of the day in whose gap half was reached, to start from."""
    half, so_far = sum(g[2] for g in gaps) / 2, 0
    for start, end, new in gaps:
        so_far += new
        if so_far >= half:
            return math.log((max(start, end / 2) + end) / 2)
    raise AssertionError("half of them is always reached")


def _newton(looks: _Looks, b: float, log_e: float) -> tuple[float, float]:
    """The step in ln b and ln e to the top of the parabola, the best d going along; uphill where there is
    no top."""
    shares = looks.shares(b, log_e)
    d = looks.best_d(shares)
    (gb, gv), (dd, db, dv, bb, bv, vv) = _derivatives(looks, shares, d, b, log_e)
    if d < 1.0 and dd < 0:  # d goes along: what it takes up of the curvature comes off
        bb, bv, vv = bb - db * db / dd, bv - db * dv / dd, vv - dv * dv / dd
    gu, huu, huv = b * gb, b * b * bb + b * gb, b * bv
    det = huu * vv - huv * huv
    if huu < 0 and det > 0:
        du, step = (huv * gv - vv * gu) / det, (huv * gu - huu * gv) / det
        most = max(abs(du), abs(step), 1.0)
        return du / most, step / most
    length = math.hypot(gu, gv)
    return (0.5 * gu / length, 0.1 * gv / length) if length else (0.0, 0.0)


_First = tuple[float, float]
_Second = tuple[float, float, float, float, float, float]


def _derivatives(
    looks: _Looks, shares: list[float], d: float, b: float, log_e: float
) -> tuple[_First, _Second]:
    """First derivatives of the log likelihood in b and v = ln e, and second ones in d, b and v.

    With G = 1/(1 + exp(-b (ln t - v))) and g = G (1 - G): G_b = g (ln t - v), G_v = -b g, and from
    g' = g (1 - 2 G) the second ones.
    """
    at = [(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)]
    for log, up in zip(looks.logs, shares[1:], strict=True):
        x, g = log - log_e, up * (1.0 - up)
        turn = g * (1.0 - 2.0 * up)
        at.append((up, g * x, -b * g, turn * x * x, -g - b * turn * x, b * b * turn))
    gb = gv = db = dv = bb = bv = vv = 0.0
    dd = -looks.up / (d * d)
    for one, two, w in looks.gaps:
        p, q = at[one], at[two]
        m = q[0] - p[0]
        if m <= 0:
            continue
        rb, rv = (q[1] - p[1]) / m, (q[2] - p[2]) / m
        gb, gv = gb + w * rb, gv + w * rv
        bb += w * ((q[3] - p[3]) / m - rb * rb)
        bv += w * ((q[4] - p[4]) / m - rb * rv)
        vv += w * ((q[5] - p[5]) / m - rv * rv)
    end, w = at[looks.last], float(looks.n - looks.up)
    rest = 1.0 - d * end[0]
    if w > 0 and rest > 0:
        k = d / rest
        rb, rv, one_d = k * end[1], k * end[2], end[0] / rest
        gb, gv = gb - w * rb, gv - w * rv
        bb -= w * (k * end[3] + rb * rb)
        bv -= w * (k * end[4] + rb * rv)
        vv -= w * (k * end[5] + rv * rv)
        dd -= w * one_d * one_d
        db -= w * (end[1] / rest + rb * one_d)
        dv -= w * (end[2] / rest + rv * one_d)
    return (gb, gv), (dd, db, dv, bb, bv, vv)


def _errors(
    looks: _Looks, best: tuple[float, float, float]
) -> tuple[float | None, float, float] | None:
    """Standard errors of d, b and e by the observed information; None where it can't be turned."""
    d, b, e = best
    log_e = math.log(e)
    _, (dd, db, dv, bb, bv, vv) = _derivatives(looks, looks.shares(b, log_e), d, b, log_e)
    bound = d >= 1.0 - 1e-9
    if not bound:
        if dd >= 0:
            return None
        bb, bv, vv = bb - db * db / dd, bv - db * dv / dd, vv - dv * dv / dd
    det = bb * vv - bv * bv
    if bb >= 0 or det <= 0:
        return None
    var_b, var_v, cov = -vv / det, -bb / det, bv / det
    if bound:
        return None, math.sqrt(var_b), e * math.sqrt(var_v)
    # the variance of d: what it has alone, and what it takes over from b and e
    kb, kv = db / dd, dv / dd
    var_d = -1.0 / dd + kb * kb * var_b + 2 * kb * kv * cov + kv * kv * var_v
    return math.sqrt(var_d), math.sqrt(var_b), e * math.sqrt(var_v)
