"""Differences of shares against published values, statsmodels, and what must hold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from statsmodels.stats.contingency_tables import StratifiedTable
from statsmodels.stats.proportion import confint_proportions_2indep

from traybook.stats.difference import (
    CLEAR,
    NOT_CLEAR,
    SAME,
    TOO_FEW,
    Arm,
    Difference,
    difference,
    stratified,
    verdict,
)
from traybook.stats.proportions import Group, Share, design_effect, germination, wilson

# source: the contrasts are the eight of table II of Newcombe 1998, Statist. Med. 17, 873-890. Of d
# the limits of method 10 are quoted in tests of the R package ratesci; the others were computed by
# ourselves in plain Python and with statsmodels 0.15.0 (method="newcomb"), and equal the printed
# ones as remembered: from memory, the table was not at hand.
NEWCOMBE = {
    "a": (56, 70, 48, 80, 0.0524, 0.3339),
    "b": (9, 10, 3, 10, 0.1705, 0.8090),
    "c": (6, 7, 2, 7, 0.0582, 0.8062),
    "d": (5, 56, 0, 29, -0.0381, 0.1926),
    "e": (0, 10, 0, 20, -0.1611, 0.2775),
    "f": (0, 10, 0, 10, -0.2775, 0.2775),
    "g": (10, 10, 0, 20, 0.6791, 1.0),
    "h": (10, 10, 0, 10, 0.6075, 1.0),
}


def as_row(d):
    return d.low, d.value, d.high


@pytest.mark.parametrize("name", NEWCOMBE)
def test_newcombe_as_published(name):
    x1, n1, x0, n0, low, high = NEWCOMBE[name]
    got = difference(wilson(x1, n1), wilson(x0, n0))
    assert got.value == x1 / n1 - x0 / n0
    assert (round(got.low, 4), round(got.high, 4)) == (low, high)


def test_fagerland_as_published():
    # source: Fagerland, Lydersen & Laake 2015 as quoted in the tests of statsmodels: 7 of 34 against
    # 1 of 34
    got = difference(wilson(7, 34), wilson(1, 34))
    assert (round(got.low, 3), round(got.high, 2)) == (0.019, 0.34)


OF = st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@given(OF, OF, st.sampled_from((0.8, 0.95, 0.99)))
def test_newcombe_as_statsmodels(now, then, level):
    got = difference(wilson(*now, level), wilson(*then, level))
    want = confint_proportions_2indep(*now, *then, method="newcomb", alpha=1 - level)
    assert (got.low, got.high) == pytest.approx(want, abs=1e-9)


@given(OF, OF)
def test_differences_mirror_and_hold_what_they_say(now, then):
    a, b = wilson(*now), wilson(*then)
    got, back = difference(a, b), difference(b, a)
    assert as_row(back) == pytest.approx((-got.high, -got.value, -got.low), abs=1e-12)
    assert -1 - 1e-12 <= got.low <= got.value <= got.high <= 1 + 1e-12
    empty = difference(wilson(now[1] - now[0], now[1]), wilson(then[1] - then[0], then[1]))
    assert as_row(empty) == pytest.approx(as_row(back), abs=1e-12)
    same = difference(a, a)
    assert same.value == 0 and same.low == pytest.approx(-same.high)


def arm(x: float, n: float, rho: float = 0.0) -> Arm:
    d = design_effect([n], rho)
    return Arm(germination([Group(n, x)], rho), n / d)


@given(OF, OF, st.sampled_from((0.0, 0.08)))
def test_one_stratum_is_the_plain_difference(now, then, rho):
    one, other = arm(*now, rho), arm(*then, rho)
    got = stratified([(one, other)])
    assert as_row(got) == pytest.approx(as_row(difference(one.share, other.share)), abs=1e-12)
    # the same again and again: the same difference, and the width falls with the root
    four = stratified([(one, other)] * 4)
    assert as_row(four) == pytest.approx(
        (got.value + (got.low - got.value) / 2, got.value, got.value + (got.high - got.value) / 2),
        abs=1e-12,
    )


STRATA = st.lists(st.tuples(OF, OF), min_size=1, max_size=5)


@settings(max_examples=60)
@given(STRATA)
def test_strata_in_numpy(strata):
    """The formula written again with arrays, from counts."""
    got = stratified([(arm(*now), arm(*then)) for now, then in strata])
    x1, n1, x0, n0 = np.array([(*now, *then) for now, then in strata], float).T
    w = n1 * n0 / (n1 + n0)
    w /= w.sum()
    z2 = 1.959963984540054**2

    def limits(x, n):
        half = np.sqrt(z2 * x * (n - x) / n + z2**2 / 4) / (n + z2)
        middle = (x + z2 / 2) / (n + z2)
        return x / n - (middle - half), middle + half - x / n

    (below1, above1), (below0, above0) = limits(x1, n1), limits(x0, n0)
    d = (w * (x1 / n1 - x0 / n0)).sum()
    low = d - np.sqrt((w**2 * (below1**2 + above0**2)).sum())
    high = d + np.sqrt((w**2 * (above1**2 + below0**2)).sum())
    assert as_row(got) == pytest.approx((low, d, high), abs=1e-9)
    turned = stratified([(arm(*then), arm(*now)) for now, then in strata[::-1]])
    assert as_row(turned) == pytest.approx((-high, -d, -low), abs=1e-9)


def test_strata_without_two_sides_are_left_out():
    nothing = Arm(Share(0.0, 0.0, 1.0), 0.0)
    good = (arm(60, 72), arm(48, 72))
    assert stratified([]) is None
    assert stratified([(nothing, good[1]), (good[0], nothing), (nothing, nothing)]) is None
    assert stratified([(nothing, good[1]), good]) == stratified([good])


# three varieties, (up, not up) in a later and an earlier year, made up by ourselves
# source: Cochran-Mantel-Haenszel by R 4.2.2 and statsmodels: 6.997225, p .008164; OR 1.859813
YEARS = [((60, 12), (48, 24)), ((66, 6), (60, 12)), ((50, 22), (45, 27))]


def test_strata_agree_with_cochran_mantel_haenszel_without_spread():
    table = StratifiedTable([np.array(t, float) for t in YEARS])
    test = table.test_null_odds(correction=False)
    assert (round(test.statistic, 6), round(test.pvalue, 6)) == (6.997225, 0.008164)
    pairs = [(arm(a, a + b), arm(c, c + d)) for (a, b), (c, d) in YEARS]
    got = stratified(pairs)
    assert got.value > 0 and table.oddsratio_pooled > 1
    assert got.value == pytest.approx((60 + 66 + 50 - 48 - 60 - 45) / 216)  # all of 72: by hand
    assert verdict(got) == CLEAR and test.pvalue < 0.05


def test_strata_with_spread_are_not_called_clear():
    """What the plain test calls clear at .008 is one tray a year and variety."""
    pairs = [(arm(a, a + b, 0.08), arm(c, c + d, 0.08)) for (a, b), (c, d) in YEARS]
    got, plain = (
        stratified(pairs),
        stratified([(arm(a, 72), arm(c, 72)) for (a, _), (c, _) in YEARS]),
    )
    assert got.value == pytest.approx(plain.value)
    assert got.high - got.low > 2 * (plain.high - plain.low)
    assert verdict(got) == NOT_CLEAR


def test_strata_sides_with_crowders_test_of_roots():
    """Cucumber against bean in two batches of seed, strata: source: Crowder 1978, table 3; CMH
    55.702137, RR 1.691158 by R and statsmodels."""
    tables = [((201, 94), (99, 173)), ((75, 66), (49, 74))]
    table = StratifiedTable([np.array(t, float) for t in tables])
    assert round(table.test_null_odds().statistic, 6) == 55.702137
    got = stratified([(arm(a, a + b), arm(c, c + d)) for (a, b), (c, d) in tables])
    assert verdict(got) == CLEAR and got.low > 0
    # by hand: .317 at weight 141.5, .134 at weight 65.7
    assert got.value == pytest.approx((141.5 * 0.3174 + 65.7 * 0.1335) / 207.2, abs=2e-4)


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (0.01, 0.10, CLEAR),  # small and clear: clear comes first
        (0.04, 0.84, CLEAR),
        (-0.9, -0.001, CLEAR),
        (0.0, 0.10, SAME),  # 0 on the edge isn't outside
        (-0.10, 0.0, SAME),
        (-0.15, 0.15, SAME),
        (-0.151, 0.10, NOT_CLEAR),
        (-0.10, 0.151, NOT_CLEAR),
        (-0.25, 0.25, NOT_CLEAR),
        (-0.26, 0.25, TOO_FEW),
        (0.0, 0.6, TOO_FEW),
        (-1.0, 1.0, TOO_FEW),
    ],
)
def test_verdicts_at_the_edges(low, high, words):
    assert verdict(Difference((low + high) / 2, low, high)) == words


@given(OF, OF)
def test_verdicts_do_not_depend_on_the_side(now, then):
    d = difference(wilson(*now), wilson(*then))
    assert verdict(Difference(-d.value, -d.high, -d.low)) == verdict(d)
    # and more of the same makes nothing less sure
    if verdict(d) == CLEAR:
        more = difference(*(wilson(9 * x, 9 * n) for x, n in (now, then)))
        assert verdict(more) == CLEAR


def test_width_of_one_tray_against_one_by_hand():
    """58 and 41 of 72 at a spread of .08: m 10.78; .8056 (.507, .944) and .5694 (.297, .806)."""
    got = difference(arm(58, 72, 0.08).share, arm(41, 72, 0.08).share)
    low, high = math.hypot(0.2986, 0.2366), math.hypot(0.1384, 0.2724)
    assert as_row(got) == pytest.approx((0.236 - low, 0.236, 0.236 + high), abs=2e-3)
