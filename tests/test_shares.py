"""Shares against published values, other libraries, and what must hold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import minimize_scalar
from statsmodels.stats.proportion import proportion_confint

from outside.by_scipy import likelihood, score, solved
from traybook.stats.proportions import Group, design_effect, germination, wilson, z_of

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


def as_row(share):
    return share.low, share.value, share.high


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
def test_germination_from_cells_of_one_filling(y, n, k):
    got = germination([Group(n, y, k, k)])
    value, low, high = CELLS[y, n, k]
    assert (round(got.value, 6), round(got.low, 5), round(got.high, 5)) == (value, low, high)
    limits = wilson(y, n)
    assert got.low == pytest.approx(1 - (1 - limits.low) ** (1 / k), abs=1e-12)
    assert got.high == pytest.approx(1 - (1 - limits.high) ** (1 / k), abs=1e-12)
    # the way through the score, which no spread at all would not take
    near = germination([Group(n, y, k, k)], 1e-14)
    assert as_row(near) == pytest.approx(as_row(got), abs=1e-10)


# tubes, amounts in each, positive ones: what was printed. The chance that a tube stays empty is
# e^(-lambda a), and that is (1-p)^k for tubes of k parts, k in the ratio of the amounts: so it is
# the very likelihood of cells, with lambda = -ln(1-p)/(amount of one part), and no limit is taken.
# source: FDA Bacteriological Analytical Manual, App. 2, its solver and tables 1, 2 and 5 (x 100);
# Ridout's 42.7 and 21.1 as in tests of the R package MPN 0.4.0; Jarvis et al. 2010, tables 1 and 2;
# Blodgett 2002, table 1; Haas et al. 2014, example 6.4.
TUBES = [
    (10, (0.1, 0.01, 0.001), (5, 3, 0), ("9.951",)),
    (3, (0.1, 0.01, 0.001), (3, 1, 0), ("43", "42.7")),
    (3, (0.1, 0.01, 0.001), (2, 2, 0), ("21", "21.1")),
    (3, (0.1, 0.01, 0.001), (0, 0, 1), ("3.0",)),
    (3, (0.1, 0.01, 0.001), (1, 1, 1), ("11",)),
    (3, (0.1, 0.01, 0.001), (3, 3, 2), ("1.1e3",)),
    (5, (0.1, 0.01, 0.001), (4, 0, 2), ("21",)),
    (5, (0.1, 0.01, 0.001), (1, 2, 0), ("6.1",)),
    (5, (0.1, 0.01, 0.001), (5, 5, 4), ("1.6e3",)),
    (3, (1, 0.1, 0.01), (3, 1, 1), ("7.5",)),
    (20, (1, 0.1, 0.01), (20, 14, 3), ("13",)),
    (50, (2, 0.2, 0.02), (50, 35, 7), ("6.3",)),
    ((1, 5, 5, 5, 5), (5, 1, 0.5, 0.1, 0.05), (1, 5, 3, 1, 1), ("2.7",)),
    (5, (1, 0.1), (1, 5), ("1.29",)),
    (5, (1, 0.1), (5, 1), ("3.48",)),
    (10, (0.1,), (1,), ("1.1",)),
    (10, (0.1,), (5,), ("6.9",)),
    (10, (0.1,), (9,), ("23",)),
    (5, (10, 1, 0.1), (5, 3, 0), ("0.792",)),
]


@pytest.mark.parametrize(("tubes", "amounts", "positive", "printed"), TUBES)
def test_most_probable_numbers_as_printed(tubes, amounts, positive, printed):
    many = tubes if isinstance(tubes, tuple) else (tubes,) * len(amounts)
    part = min(amounts)
    parts = [round(a / part) for a in amounts]
    groups = [Group(n, y, k, k) for n, y, k in zip(many, positive, parts, strict=True)]
    density = -math.log1p(-germination(groups).value) / part
    for digits in printed:
        significant = len(digits.split("e")[0].replace(".", "").lstrip("0"))
        assert float(f"{density:.{significant - 1}e}") == float(digits)


@given(OF, st.sampled_from(LEVELS))
def test_one_seed_a_cell_is_wilson(case, level):
    y, n = case
    assert germination([Group(n, y)], level=level) == wilson(y, n, level)


SOWINGS = st.lists(
    st.integers(1, 200).flatmap(lambda n: st.builds(Group, st.just(n), st.integers(0, n))),
    min_size=1, max_size=6,
)  # fmt: skip
SPREAD = st.sampled_from((0.0, 0.01, 0.05, 0.1, 0.3))


@given(SOWINGS, SPREAD, st.sampled_from(LEVELS))
def test_seeds_of_several_sowings_are_wilson_on_effective_numbers(groups, rho, level):
    """D from the variance of the sum of the counts, each n p q (1 + (n-1) rho), in p q."""
    n, y = sum(g.n for g in groups), sum(g.y for g in groups)
    d = sum(g.n * (1 + (g.n - 1) * rho) for g in groups) / n
    assert design_effect([g.n for g in groups], rho) == pytest.approx(d, rel=1e-12)
    got = germination(groups, rho, level)
    assert as_row(got) == pytest.approx(as_row(wilson(y / d, n / d, level)), abs=1e-12)
    mirror = germination([Group(g.n, g.n - g.y) for g in groups], rho, level)
    assert as_row(mirror) == pytest.approx((1 - got.high, 1 - got.value, 1 - got.low), abs=1e-12)
    wider = germination(groups, rho + 0.05, level)
    assert wider.low <= got.low + 1e-12 and got.high <= wider.high + 1e-12
    if max(g.n for g in groups) > 1 and got.low > 0:
        assert wider.low < got.low


def test_design_effect_by_hand():
    assert design_effect([72], 0.08) == pytest.approx(6.68)  # 1 + .08 x 71
    assert design_effect([50, 100], 0.1) == pytest.approx(1 + 0.1 * (12500 / 150 - 1))
    assert design_effect([1, 1, 1], 0.5) == 1 and design_effect([], 0.08) == 1


MIXED = (
    (Group(48, 40, 2, 2), Group(24, 22, 3, 3)),
    (Group(72, 60, 2, 3),),
    (Group(50, 20), Group(36, 30, 4, 4)),
    (Group(128, 97, 1, 2), Group(72, 72, 3, 5), Group(20, 0)),
    (Group(72, 66, 2, 2), Group(72, 51, 2, 2), Group(50, 38), Group(30, 27, 2, 3)),
)


@pytest.mark.parametrize("groups", MIXED)
def test_mixed_fillings_have_the_highest_likelihood(groups):
    got = germination(groups)
    best = minimize_scalar(
        lambda p: -likelihood(groups, p), bounds=(1e-6, 1 - 1e-6), method="bounded",
        options={"xatol": 1e-10},
    ).x  # fmt: skip
    assert got.value == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize("rho", [0.0, 0.02, 0.08, 0.2])
@pytest.mark.parametrize("groups", MIXED)
def test_mixed_fillings_with_spread_by_scipy(groups, rho):
    """Chances from scipy's beta-binomial, slopes by differences, roots by Brent's method."""
    got, z = germination(groups, rho), stats.norm.ppf(0.975)
    want = (solved(groups, rho, z), solved(groups, rho, 0), solved(groups, rho, -z))
    assert as_row(got) == pytest.approx(want, abs=1e-7)


@st.composite
def cell_groups(draw):
    out = []
    for _ in range(draw(st.integers(1, 3))):
        cells, low = draw(st.integers(1, 150)), draw(st.integers(1, 4))
        high = low + draw(st.integers(0, 2))
        out.append(Group(cells, draw(st.integers(0, cells)), low, high))
    return tuple(out)


@settings(max_examples=80)
@given(cell_groups(), SPREAD, st.sampled_from(LEVELS))
def test_germination_of_any_fillings(groups, rho, level):
    got = germination(groups, rho, level)
    filled, cells = sum(g.y for g in groups), sum(g.n for g in groups)
    assert 0 <= got.low <= got.value <= got.high <= 1
    assert (got.value == 0) == (filled == 0) == (got.low == 0)
    assert (got.value == 1) == (filled == cells) == (got.high == 1)
    z = stats.norm.ppf(0.5 + level / 2)
    # scipy's chances lose digits where hardly a seed or all but a seed came up
    if got.low > 1e-3:
        assert score(groups, got.low, rho) == pytest.approx(z, abs=1e-4)
    if got.high < 1 - 1e-3:
        assert score(groups, got.high, rho) == pytest.approx(-z, abs=1e-4)
    if 1e-3 < got.value < 1 - 1e-3:
        assert score(groups, got.value, rho) == pytest.approx(0, abs=1e-4)
    # in what order the sowings are told changes nothing
    assert germination(groups[::-1], rho, level) == got


@settings(max_examples=60)
@given(cell_groups(), SPREAD)
def test_one_more_up_never_says_less(groups, rho):
    got = germination(groups, rho)
    for i, g in enumerate(groups):
        if g.y < g.n:
            more = [*groups[:i], Group(g.n, g.y + 1, g.low, g.high), *groups[i + 1 :]]
            after = germination(more, rho)
            assert got.value < after.value
            assert got.low <= after.low + 1e-9 and got.high <= after.high + 1e-9


@settings(max_examples=60)
@given(cell_groups(), st.data())
def test_without_spread_a_sowing_in_two_parts_is_the_same(groups, data):
    """With spread it isn't: two trays with luck of their own say more than one."""
    g = groups[0]
    n = data.draw(st.integers(0, g.n))
    y = data.draw(st.integers(max(0, g.y - (g.n - n)), min(n, g.y)))
    parts = (Group(n, y, g.low, g.high), Group(g.n - n, g.y - y, g.low, g.high), *groups[1:])
    assert as_row(germination(parts)) == pytest.approx(as_row(germination(groups)), abs=1e-12)
    if g.low == g.high == 1 and 0 < n < g.n:
        whole, split = germination(groups[:1], 0.1), germination(parts[:2], 0.1)
        assert split.high - split.low < whole.high - whole.low


@pytest.mark.parametrize("y", [0, 20, 40, 60, 68, 72])
@pytest.mark.parametrize("ks", [(2, 2), (3, 3), (2, 3)])
def test_cells_say_less_where_sowings_differ(y, ks):
    widths = []
    for rho in (0, 0.02, 0.05, 0.1, 0.2):
        got = germination([Group(72, y, *ks)], rho)
        widths.append(got.high - got.low)
    assert widths == sorted(widths) and widths[-1] > 1.2 * widths[0]


def test_many_trays_of_cells_come_to_the_true_germination():
    """Beta-binomial sowings made by numpy: the naive way through theta would say .64 for .70."""
    rng = np.random.default_rng(20)
    p, rho, k, n = 0.7, 0.1, 3, 72
    luck = rng.beta(p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho, 4000)
    groups = [Group(n, int(y), k, k) for y in rng.binomial(n, 1 - (1 - luck) ** k)]
    got, naive = germination(groups, rho), germination(groups)
    assert got.low < p < got.high and got.value == pytest.approx(p, abs=0.01)
    assert naive.value < 0.66


def test_the_interval_holds_the_true_germination():
    """Three sowings of 72 cells of two, spread .05 known: 95 of 100 times, give or take."""
    rng = np.random.default_rng(21)
    p, rho, rounds, held = 0.7, 0.05, 1500, 0
    luck = rng.beta(p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho, (rounds, 3))
    for row in rng.binomial(72, 1 - (1 - luck) ** 2):
        got = germination([Group(72, int(y), 2, 2) for y in row], rho)
        held += got.low <= p <= got.high
    assert 0.935 <= held / rounds <= 0.98


def test_what_cannot_be_is_held_to_what_can():
    assert germination([Group(10, 12)]) == germination([Group(10, 10)])
    assert germination([Group(10, -1, 2, 2)]) == germination([Group(10, 0, 2, 2)])
    assert germination([Group(0, 0), Group(10, 4)], 0.1) == germination([Group(10, 4)], 0.1)
    assert germination([Group(9, 4, 2, 3)]) == germination([Group(9, 4, 3, 2)])
    for rho in (0.999, 1.0, 2.0):
        got = germination([Group(72, 60, 2, 2)], rho)
        assert 0 < got.low < got.value < got.high < 1
    with pytest.raises(ValueError, match="at least one seed"):
        germination([Group(9, 4, 0, 2)])


def test_no_cells_no_share():
    assert germination(()) is None
    assert germination([Group(0, 0, 2, 2)], 0.08) is None
