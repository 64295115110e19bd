"""Speed against published values, other libraries, and what must hold."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import traybook.stats
from traybook.stats.speed import (
    Reached,
    evenness,
    mean_days,
    reached,
)

Counts = list[tuple[float, int]]

# source of the counts: C chickweed at 5 C, in hours (Ritz, Pipper & Streibig 2013, Eur. J. Agron.
# 45, 1-6, data drc/chickweed); A mungbean and B wheat at 16 C, laboratory counts whose paper was
# not at hand; D, F, G made up by ourselves. Checks that found nothing stand where they were made: C
# at 133, 176.5, 266.5 hours, B on days 2, 3, 6 and from 9 on; F and G looked at daily from day 4.
# source of the days: computed by ourselves in plain Python from T50 of Farooq et al. 2005, J.
# Integr. Plant Biol. 47, 187-193 (half of S), T50 of Coolbear et al. 1984, J. Exp. Bot. 35,
# 1609-1617 ((S+1)/2), half of the N sown, and mean germination time (Ranal & Santana 2006, Revista
# Brasil. Bot. 29, 1-11). No printed day-by-day example was at hand.
EXAMPLES: dict[str, tuple[Counts, int]] = {
    "A": ([(2, 1), (3, 8), (4, 20)], 20),
    "B": ([(2, 0), (3, 0), (4, 11), (5, 18), (6, 18), (7, 19), (9, 19), (12, 19), (18, 19)], 20),
    "C": (
        [(133, 0), (143, 2), (176.5, 2), (182.5, 5), (192.5, 15), (200.5, 26), (206.5, 32),
         (216.5, 37), (224.5, 39), (266.5, 39), (276.5, 40)],
        200,
    ),
    "D": ([(4, 6), (6, 21), (9, 38), (13, 41)], 50),
    "F": ([(4, 0), *((d, d - 4) for d in range(5, 13))], 10),
    "G": ([(4, 0), (5, 10), (6, 20), (7, 30)], 30),
}  # fmt: skip
FAROOQ = {"A": 3.166667, "B": 3.863636, "C": 196.136364, "D": 5.933333, "F": 8.0, "G": 5.5}
COOLBEAR = {"A": 3.208333, "B": 3.909091, "C": 196.5, "D": 6.0, "F": 8.5, "G": 5.55}
OF_SOWN = {"A": 3.166667, "B": 3.909091, "C": None, "D": 6.705882, "F": 9.0, "G": 5.5}
MEAN = {"A": 3.55, "B": 4.526316, "C": 200.275, "D": 7.463415, "F": 8.5, "G": 6.0}


@pytest.mark.parametrize("name", EXAMPLES)
def test_half_and_mean_days_of_known_counts(name):
    counts, sown = EXAMPLES[name]
    of = counts[-1][1]
    assert round(reached(counts, 0.5).point, 6) == FAROOQ[name]
    assert round(mean_days(counts), 6) == MEAN[name]
    assert round(reached(counts, (of + 1) / 2 / of).point, 6) == COOLBEAR[name]
    sown_half = reached(counts, sown / 2 / of)
    assert (sown_half and round(sown_half.point, 6)) == OF_SOWN[name]


def test_the_gap_that_holds_the_half_day():
    # by hand: 20 of 40 lies between 15 at 192.5 and 26 at 200.5; 9.5 of 19 before the first 11
    half = reached(EXAMPLES["C"][0], 0.5)
    assert (half.after, half.by) == (192.5, 200.5)
    half = reached(EXAMPLES["B"][0], 0.5)
    assert (half.after, half.by) == (3, 4)
    # by hand: the first look that found just as many as asked for: 4 of 8, 3 of 30
    half = reached(EXAMPLES["F"][0], 0.5)
    assert (half.after, half.by, half.point) == (7, 8, 8)
    tenth = reached([(4, 0), (5, 3), (6, 30)], 0.1)
    assert (tenth.after, tenth.by, tenth.point) == (4, 5, 5)


def test_all_at_the_first_look_has_no_half_day():
    """Straight from day 0 it would be 3.5: nobody looked in between, so no day is given."""
    half = reached([(7, 40)], 0.5)
    assert (half.after, half.by, half.point) == (0.0, 7, None)
    assert mean_days([(7, 40)]) == 7
    # half is there at the first look, the rest comes later: no day for half, one for nine tenths
    counts = [(7, 20), (9, 40)]
    assert reached(counts, 0.5).point is None and reached(counts, 0.9).point == pytest.approx(8.6)


def test_one_seed_has_a_day_like_any_other():
    # by hand: half a seed of one, looked at on days 4 and 6; the seed itself was seen on day 6
    assert reached([(4, 0), (6, 1)], 0.5) == Reached(4, 6, 5.0)
    assert mean_days([(4, 0), (6, 1)]) == 6


def test_nothing_up_has_no_days():
    for counts in ([], [(5, 0)], [(5, 0), (9, 0)]):
        assert reached(counts, 0.5) is None
        assert mean_days(counts) is None
        assert evenness(counts) is None


COUNTS = st.lists(
    st.tuples(st.integers(1, 9), st.integers(0, 30)), min_size=1, max_size=8
).map(
    lambda steps: [
        (sum(a for a, _ in steps[: i + 1]), sum(n for _, n in steps[: i + 1]))
        for i in range(len(steps))
    ]
)  # fmt: skip
SOME = COUNTS.filter(lambda counts: counts[-1][1] > 0)


@given(SOME, st.integers(1, 10))
def test_reached_in_fractions(counts, tenths):
    """The same said with whole numbers and fractions, so that no rounding enters."""
    target = Fraction(tenths, 10) * counts[-1][1]
    got = reached(counts, tenths / 10)
    i = next(i for i, (_, n) in enumerate(counts) if n >= target)
    assert got.by == counts[i][0]
    if i == 0:
        assert (got.after, got.point) == (0, None)
        return
    (a, m), (b, n) = counts[i - 1], counts[i]
    assert got.after == a and a <= got.point <= b
    assert got.point == pytest.approx(float(a + (target - m) * (b - a) / (n - m)), abs=1e-7)


@given(SOME)
def test_the_middle_seed_is_not_before_the_half(counts):
    """(S+1)/2 is never reached before S/2; all at the first look leaves no point to either."""
    of = counts[-1][1]
    half, middle = reached(counts, 0.5), reached(counts, (of + 1) / 2 / of)
    assert half.by <= middle.by
    if half.point is not None:
        assert half.point <= middle.point + 1e-9
    if counts[0][1] == of:
        assert half.point is None and middle.point is None
        assert mean_days(counts) == pytest.approx(counts[0][0])


@given(SOME)
def test_mean_days_in_numpy(counts):
    days, running = zip(*counts, strict=True)
    new = np.diff(running, prepend=0)
    assert mean_days(counts) == pytest.approx(np.average(days, weights=new))
    assert days[0] <= mean_days(counts) + 1e-9 and mean_days(counts) - 1e-9 <= days[-1]


@given(SOME, st.integers(2, 5), st.integers(1, 20))
def test_days_move_with_the_clock_and_not_with_the_number(counts, times, later):
    half, mean, even = reached(counts, 0.5), mean_days(counts), evenness(counts)
    more = [(d, n * times) for d, n in counts]
    shifted = [(d + later, n) for d, n in counts]
    longer = [(d * times, n) for d, n in counts]
    for other, day in (
        (more, lambda d: d),
        (shifted, lambda d: d + later),
        (longer, lambda d: d * times),
    ):
        assert mean_days(other) == pytest.approx(day(mean))
        assert reached(other, 0.5).by == day(half.by)
        point = reached(other, 0.5).point
        assert point == (None if half.point is None else pytest.approx(day(half.point)))
    assert evenness(more) == (even and pytest.approx(even))
    # looks after the last new one change nothing
    assert reached([*counts, (counts[-1][0] + later, counts[-1][1])], 0.5) == half
    assert mean_days([*counts, (counts[-1][0] + later, counts[-1][1])]) == pytest.approx(mean)


@given(SOME)
def test_earlier_shares_are_reached_earlier(counts):
    ten, half, ninety = (reached(counts, s) for s in (0.1, 0.5, 0.9))
    assert ten.by <= half.by <= ninety.by and ten.after <= half.after <= ninety.after
    points = [r.point for r in (ten, half, ninety) if r.point is not None]
    assert points == sorted(points)
    length = evenness(counts)
    assert length is None or length == pytest.approx(ninety.point - ten.point)


def test_evenness_needs_close_looks():
    # by hand: 10 of 100 on day 5, 90 on day 13
    close = [(4, 0), *((d, (d - 4) * 10) for d in range(5, 15))]
    assert evenness(close) == pytest.approx(8.0)
    # by hand, in gaps of 4 days: 10 on day 2 and 90 on day 10, so that no gap is over half of 8
    just = [(0, 0), (4, 20), (8, 80), (12, 100)]
    assert evenness(just) == pytest.approx(8.0)
    assert evenness([(0, 0), (4, 21), (8, 79), (12, 100)]) is not None
    assert evenness([(0, 0), (4, 19), (8, 80), (12, 100)]) is None, "10 on day 2.1: 7.9 in all"
    assert evenness([(-30, 0), *just, (60, 100)]) == pytest.approx(8.0), "gaps outside don't count"
    assert evenness([(4, 0), (5, 20), (11, 80), (12, 100)]) is None, "six days unseen in between"
    assert evenness([(4, 0), (9, 50), (14, 100)]) is None
    assert evenness([(4, 0), (14, 100)]) is None, "both in one gap"
    assert evenness([(4, 40), (5, 60), (6, 100)]) is None, "a tenth was up at the first look"
    # source: chickweed as above; 4 of 40 at 180.5, 36 at 214.5, by hand
    assert evenness(EXAMPLES["C"][0]) == pytest.approx(34.0)


def test_examples_in_the_words_of_the_code_hold():
    names = [m.name for m in pkgutil.iter_modules(traybook.stats.__path__)]
    tried = [doctest.testmod(importlib.import_module(f"traybook.stats.{name}")) for name in names]
    assert sum(t.failed for t in tried) == 0 and sum(t.attempted for t in tried) > 0
