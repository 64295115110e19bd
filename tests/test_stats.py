"""Statistics against published values, other libraries, and what must hold."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import brentq, minimize_scalar
from statsmodels.stats.proportion import proportion_confint

from outside.by_scipy import likelihood, score
from traybook.stats.proportions import CellGroup, share_from_cells, wilson, z_of
from traybook.stats.speed import (
    Reached,
    evenness,
    give_up_day,
    late_day,
    look_from_day,
    mean_days,
    reached,
)

Counts = list[tuple[float, int]]

# source: the counts are the four examples of Newcombe 1998, Statist. Med. 17, 857-872. The limits
# were computed with statsmodels 0.15.0 proportion_confint(method="wilson"); they equal his Wilson
# column (method 3) as remembered: from memory, the printed table was not at hand.
NEWCOMBE = {
    (81, 263): (0.2553, 0.3662),
    (15, 148): (0.0624, 0.1605),
    (0, 20): (0.0, 0.1611),
    (1, 29): (0.0061, 0.1718),
}
# source: computed by ourselves with statsmodels 0.15.0 proportion_confint(method="wilson")
COMPUTED = {
    (29, 29): (0.8830, 1.0),
    (20, 20): (0.8389, 1.0),
    (70, 72): (0.9043, 0.9923),
    (72, 72): (0.9493, 1.0),
    (56, 72): (0.6691, 0.8583),
    (36, 50): (0.5833, 0.8253),
    (45, 50): (0.7864, 0.9565),
    (18, 24): (0.5510, 0.8800),
    (0, 6): (0.0, 0.3903),
    (6, 6): (0.6097, 1.0),
    (0, 1): (0.0, 0.7935),
}
WILSON = NEWCOMBE | COMPUTED
LEVELS = (0.5, 0.8, 0.9, 0.95, 0.99)
OF = st.integers(1, 2000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@pytest.mark.parametrize(("x", "n"), WILSON)
def test_wilson_as_published(x, n):
    got = wilson(x, n)
    assert got.value == x / n
    assert (round(got.low, 4), round(got.high, 4)) == WILSON[x, n]


@given(OF, st.sampled_from(LEVELS))
def test_wilson_as_statsmodels_and_scipy(case, level):
    x, n = case
    got = wilson(x, n, level)
    low, high = proportion_confint(x, n, alpha=1 - level, method="wilson")
    other = stats.binomtest(x, n).proportion_ci(level, method="wilson")
    for a, b in ((low, high), (other.low, other.high)):
        assert got.low == pytest.approx(max(0.0, a), abs=1e-9)
        assert got.high == pytest.approx(min(1.0, b), abs=1e-9)


@given(OF)
def test_wilson_is_the_score_test_turned_round(case):
    """What the interval is by definition: the chances that a score test at 5 % would not reject."""
    x, n = case
    got, z = wilson(x, n), stats.norm.ppf(0.975)
    for limit, side in ((got.low, 1), (got.high, -1)):
        if 0 < limit < 1:
            score = (x / n - limit) / np.sqrt(limit * (1 - limit) / n)
            assert score == pytest.approx(side * z, rel=1e-6)


@given(OF, st.sampled_from(LEVELS))
def test_wilson_stays_within_and_mirrors(case, level):
    x, n = case
    got, mirror = wilson(x, n, level), wilson(n - x, n, level)
    assert 0 <= got.low <= got.value <= got.high <= 1
    assert (got.low == 0) == (x == 0) and (got.high == 1) == (x == n)
    assert mirror.low == pytest.approx(1 - got.high, abs=1e-12)
    assert mirror.high == pytest.approx(1 - got.low, abs=1e-12)
    wider = wilson(x, n, 0.999)
    assert wider.low <= got.low and got.high <= wider.high
    more = wilson(3 * x, 3 * n, level)
    assert more.high - more.low < got.high - got.low, "three times as many say more"


def test_wilson_of_nothing_is_nothing():
    assert wilson(0, 0) is None


@pytest.mark.parametrize("level", LEVELS)
def test_normal_quantile(level):
    assert z_of(level) == pytest.approx(stats.norm.ppf(0.5 + level / 2), abs=1e-12)


# source: p = 1 - (1 - y/n)^(1/k) and Wilson's limits turned the same way (group testing: Thompson
# 1962, Biometrics 18, 568-578, from memory); the numbers, by (filled, cells, seeds a cell), were
# computed by ourselves in plain Python.
CELLS = {
    (68, 72, 2): (0.764298, 0.63350, 0.85230),
    (60, 72, 2): (0.591752, 0.48124, 0.68696),
    (40, 50, 2): (0.552786, 0.42522, 0.66468),
    (45, 50, 3): (0.535841, 0.40223, 0.64837),
    (120, 128, 3): (0.603150, 0.50884, 0.68250),
    (72, 72, 2): (1.0, 0.77494, 1.0),
    (0, 72, 2): (0.0, 0.0, 0.02565),
    # source: counts of Ornaghi et al. 1999 via Tebbs & Bilder 2004, JABES 9, 75-90: 3 of 24 plants
    # infected, 7 vectors each. Their p of .0189 is from memory; the six digits and the limits were
    # computed by ourselves.
    (3, 24, 7): (0.018895, 0.00632, 0.05164),
}


@pytest.mark.parametrize(("y", "n", "k"), CELLS)
def test_share_from_cells_of_one_filling(y, n, k):
    got = share_from_cells((CellGroup(n, y, k, k),))
    value, low, high = CELLS[y, n, k]
    assert (round(got.value, 6), round(got.low, 5), round(got.high, 5)) == (value, low, high)
    limits = wilson(y, n)
    assert got.low == pytest.approx(1 - (1 - limits.low) ** (1 / k), abs=1e-9)
    assert got.high == pytest.approx(1 - (1 - limits.high) ** (1 / k), abs=1e-9)


@given(OF, st.sampled_from(LEVELS))
def test_one_seed_a_cell_is_wilson(case, level):
    y, n = case
    got, want = share_from_cells((CellGroup(n, y, 1, 1),), level), wilson(y, n, level)
    for a, b in ((got.value, want.value), (got.low, want.low), (got.high, want.high)):
        assert a == pytest.approx(b, abs=1e-9)


MIXED = (
    (CellGroup(48, 40, 2, 2), CellGroup(24, 22, 3, 3)),
    (CellGroup(72, 60, 2, 3),),
    (CellGroup(50, 20, 1, 1), CellGroup(36, 30, 4, 4)),
    (CellGroup(128, 97, 1, 2), CellGroup(72, 72, 3, 5), CellGroup(20, 0, 1, 1)),
)


@pytest.mark.parametrize("groups", MIXED)
def test_mixed_fillings_by_scipy(groups):
    """Highest likelihood by search, limits where the score reaches z by root finding."""
    got = share_from_cells(groups)
    best = minimize_scalar(
        lambda p: -likelihood(groups, p), bounds=(1e-6, 1 - 1e-6), method="bounded",
        options={"xatol": 1e-10},
    ).x  # fmt: skip
    assert got.value == pytest.approx(best, abs=1e-6)
    z = stats.norm.ppf(0.975)
    assert got.low == pytest.approx(brentq(lambda p: score(groups, p) - z, 1e-4, best), abs=1e-8)
    assert got.high == pytest.approx(
        brentq(lambda p: score(groups, p) + z, best, 1 - 1e-4), abs=1e-8
    )


@st.composite
def cell_groups(draw):
    out = []
    for _ in range(draw(st.integers(1, 3))):
        cells, low = draw(st.integers(1, 150)), draw(st.integers(1, 4))
        out.append(
            CellGroup(cells, draw(st.integers(0, cells)), low, low + draw(st.integers(0, 2)))
        )
    return tuple(out)


@settings(max_examples=60)
@given(cell_groups(), st.sampled_from(LEVELS))
def test_share_from_cells_of_any_fillings(groups, level):
    got = share_from_cells(groups, level)
    filled, cells = sum(g.filled for g in groups), sum(g.cells for g in groups)
    assert 0 <= got.low <= got.value <= got.high <= 1
    assert (got.value == 0) == (filled == 0) == (got.low == 0)
    assert (got.value == 1) == (filled == cells) == (got.high == 1)
    z = stats.norm.ppf(0.5 + level / 2)
    if got.low > 0:
        assert score(groups, got.low) == pytest.approx(z, abs=1e-5)
    if got.high < 1:
        assert score(groups, got.high) == pytest.approx(-z, abs=1e-5)
    if 0 < filled < cells:
        assert score(groups, got.value) == pytest.approx(0, abs=1e-5)
    grid = np.linspace(0.01, 0.99, 15)
    inside = min(max(got.value, 1e-12), 1 - 1e-12)
    assert likelihood(groups, inside) >= max(likelihood(groups, p) for p in grid) - 1e-7
    # in what order and in how many parts the cells are told changes nothing
    other = share_from_cells(tuple(reversed(groups + groups)), level)
    whole = tuple(CellGroup(g.cells * 2, g.filled * 2, g.low, g.high) for g in groups)
    same = share_from_cells(whole, level)
    assert (other.value, other.low, other.high) == pytest.approx((same.value, same.low, same.high))


def test_no_cells_no_share():
    assert share_from_cells(()) is None
    assert share_from_cells((CellGroup(0, 0, 2, 2),)) is None


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


def test_give_up_day_by_hand():
    # sqrt(7 x 14) = 9.899, x 9^(1/8) = 1.3161 -> 13.03, twice is 26.06
    assert give_up_day(7, 14, slow=False) == 27
    assert give_up_day(7, 14, slow=True) == 42
    assert give_up_day(20, 60, slow=True) == 92 == give_up_day(20, 60, slow=False)
    assert (look_from_day(7, 14), late_day(7, 14)) == (7, 14)


@given(st.floats(1, 60), st.floats(1, 4), st.booleans())
def test_days_to_look_and_give_up_are_log_logistic_points(low, times, slow):
    """Shape 8 about the middle of the range: scipy's log-logistic at 1 in 50 and nine tenths."""
    curve = stats.fisk(c=8, scale=np.sqrt(low * low * times))
    first, last = curve.ppf(1 / 50), curve.ppf(0.9)
    assume(min(abs(x - round(x)) for x in (first, last, 2 * last)) > 1e-6)
    high = low * times
    assert look_from_day(low, high) == np.ceil(first)
    assert late_day(low, high) == np.ceil(last)
    assert give_up_day(low, high, slow) == max(42 if slow else 0, np.ceil(2 * last))
