"""The pooled curve against published values, a slow way, and what must hold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traybook.stats.pooled import Corner, curve, drawn_to, turnbull

INF = math.inf
# source: Finkelstein & Wolfe 1985, Biometrics 41, 933-945: months to breast retraction under two
# treatments, (last visit without, first with]; a blank right end: not yet at the last visit
RAD = """45, | 6,10 | 0,7 | 46, | 46, | 7,16 | 17, | 7,14 | 37,44 | 0,8 | 4,11 | 15, | 11,15 | 22, | 46, |
46, | 25,37 | 46, | 26,40 | 46, | 27,34 | 36,44 | 46, | 36,48 | 37, | 40, | 17,25 | 46, | 11,18 | 38, |
5,12 | 37, | 0,5 | 18, | 24, | 36, | 5,11 | 19,35 | 17,25 | 24, | 32, | 33, | 19,26 | 37, | 34, | 36,"""
BOTH = """8,12 | 0,22 | 24,31 | 17,27 | 17,23 | 24,30 | 16,24 | 13, | 11,13 | 16,20 | 18,25 | 17,26 | 32, |
23, | 44,48 | 14,17 | 0,5 | 5,8 | 12,20 | 11, | 33,40 | 31, | 13,39 | 19,32 | 34, | 13, | 16,24 | 35, |
15,22 | 11,17 | 22,32 | 10,35 | 30,34 | 13, | 10,17 | 8,21 | 4,9 | 11, | 14,19 | 4,8 | 34, | 30,36 |
18,24 | 16,60 | 35,39 | 21, | 11,20 | 48,"""
# source: the masses as printed by Fay & Shaw 2010, J. Stat. Softw. 36(2), section 4.1
PRINTED = {
    RAD: {(4, 5): .0463, (6, 7): .0334, (7, 8): .0887, (11, 12): .0708, (24, 25): .0926,
          (33, 34): .0818, (38, 40): .1209, (46, 48): .4656},
    BOTH: {(4, 5): .0433, (5, 8): .0433, (11, 12): .0692, (16, 17): .1454, (18, 19): .1411,
           (19, 20): .1157, (24, 25): .0999, (30, 31): .0709, (35, 36): .1608, (44, 48): .0552,
           (48, 60): .0552},
}  # fmt: skip
# source: log likelihoods of the same estimates, worked out apart in plain Python
LOG_LIKELIHOOD = {RAD: -58.060022, BOTH: -65.636965}


def gaps(text: str) -> list[tuple[float, float, float]]:
    pairs = (x.split(",") for x in text.replace("\n", " ").split("|"))
    return [(float(a), float(b) if b.strip() else INF, 1.0) for a, b in pairs]


def log_likelihood(intervals, steps) -> float:
    """Of masses on their own intervals."""
    held = [(w, sum(s.mass for s in steps if s.after >= a and s.by <= b)) for a, b, w in intervals]
    return sum(w * math.log(p) for w, p in held)


@pytest.mark.parametrize("text", [RAD, BOTH], ids=["radiation", "with chemotherapy"])
def test_breast_cosmesis_to_the_printed_digits(text):
    found = gaps(text)
    assert len(found) == (46 if text is RAD else 48)
    steps = turnbull(found)
    assert {(s.after, s.by): round(s.mass, 4) for s in steps} == PRINTED[text]
    assert log_likelihood(found, steps) == pytest.approx(LOG_LIKELIHOOD[text], abs=1e-4)


def slowly(intervals, rounds=20_000):
    """Plain self-consistency over every pair of a left end and the next right end."""
    lefts, rights = sorted({a for a, _, _ in intervals}), sorted({b for _, b, _ in intervals})
    cells = []
    for a in lefts:
        b = next((r for r in rights if r > a), None)
        if b is not None and not any(a < x < b for x in lefts):
            cells.append((a, b))
    p = [1 / len(cells)] * len(cells)
    inside = [[i for i, (c, d) in enumerate(cells) if c >= a and d <= b] for a, b, _ in intervals]
    whole = sum(w for _, _, w in intervals)
    for _ in range(rounds):
        new = [0.0] * len(cells)
        for (_, _, w), mine in zip(intervals, inside, strict=True):
            held = sum(p[i] for i in mine)
            for i in mine:
                new[i] += w * p[i] / held / whole
        if max(abs(x - y) for x, y in zip(p, new, strict=True)) < 1e-12:
            break
        p = new
    return dict(zip(cells, p, strict=True))


@st.composite
def looks(draw):
    """Some sowings, each looked at on days of its own."""
    out = []
    for _ in range(draw(st.integers(1, 4))):
        day = 0.0
        for _ in range(draw(st.integers(1, 5))):
            on = day + draw(st.integers(1, 5))
            out.append((day, on, float(draw(st.integers(0, 20)))))
            day = on
        out.append((day, INF, float(draw(st.integers(0, 10)))))
    return out


@settings(deadline=None)
@given(looks().filter(lambda x: sum(w for *_, w in x) > 0))
def test_as_plain_self_consistency_has_it(found):
    steps = turnbull(found)
    assert math.fsum(s.mass for s in steps) == pytest.approx(1, abs=1e-4)
    weighed = [g for g in found if g[2] > 0]
    slow = slowly(weighed, rounds=3000)
    best = sum(w * math.log(sum(m for (c, d), m in slow.items() if c >= a and d <= b))
               for a, b, w in weighed)  # fmt: skip
    assert log_likelihood(weighed, steps) >= best - 1e-5 * max(1.0, abs(best))
    assert turnbull(found[::-1]) == steps, "the order is nothing"
    double = turnbull([(a, b, 2 * w) for a, b, w in found])
    assert [s.mass for s in double] == pytest.approx([s.mass for s in steps], abs=1e-5)


def test_one_sowing_is_its_own_share():
    steps = turnbull([(0, 5, 8), (5, 8, 15), (8, 12, 9), (12, INF, 40)])
    assert [(s.after, s.by) for s in steps] == [(0, 5), (5, 8), (8, 12), (12, INF)]
    assert [s.mass for s in steps] == pytest.approx([8 / 72, 15 / 72, 9 / 72, 40 / 72])
    assert curve(steps)[1] == Corner(5, 8, pytest.approx(8 / 72), pytest.approx(23 / 72))
    assert len(curve(steps)) == 3, "what is not yet up is no part of the curve"


def test_nothing_and_exact_days():
    assert turnbull([]) == () and turnbull([(0, 5, 0)]) == ()
    (one,) = turnbull([(7, 7, 3)])
    assert (one.by, one.mass) == (7, 1.0)


def test_drawn_while_half_were_looked_at():
    assert [drawn_to(x) for x in ([20], [10, 20], [10, 20, 30], [10, 20, 30, 40], [])] == [
        20,
        20,
        20,
        30,
        0,
    ]
