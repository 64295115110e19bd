"""Frost dates: chances from years by the printed meaning, and farms through the front door."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm
from scipy.stats.mstats import mquantiles

from traybook.stats.frost import (
    autumn,
    autumn_normal,
    quantile,
    reached,
    spring,
    spring_normal,
)

DAYS = st.lists(st.integers(0, 200), min_size=1, max_size=40)


def test_a_minimum_at_the_threshold_reached_it():
    # source: MRCC Freeze Date Tool, About: the first or last day at or below the threshold
    assert reached(0.0) and reached(-3.1) and not reached(0.1)
    # source: weather.gov/jan/frostfreeze: 28 F is a hard freeze
    assert reached(28.0, 28.0) and not reached(29.0, 28.0)


@given(DAYS, st.floats(0, 1))
def test_the_quantile_is_type_6(days, share):
    assert quantile(days, share) == pytest.approx(np.quantile(days, share, method="weibull"))
    assert quantile(days, share) == pytest.approx(float(mquantiles(days, share, 0, 0)[0]))


def test_in_spring_nine_years_in_ten_have_it_later_than_the_early_date():
    # source: NCDC freeze/frost record: "nine years out of ten a temperature as cold or colder ... is
    # expected to occur later than March 1", the date of the 90 percent level
    days = list(range(60, 79))  # nineteen years, each another day
    early, late = spring(days, 0.9), spring(days, 0.1)
    assert (early, spring(days, 0.5), late) == (61, 69, 77)
    assert autumn(days, 0.1) == 61 and autumn(days, 0.9) == 77, "in autumn: earlier than the date"


@given(st.lists(st.integers(0, 200), min_size=2, max_size=30), st.integers(0, 10))
def test_a_year_without_frost_counts(days, without):
    f = len(days) / (len(days) + without)
    for chance in (0.1, 0.5, 0.9):
        late, soon = spring(days, chance, without), autumn(days, chance, without)
        if chance > f + 1e-9:
            assert late is None and soon is None, (
                "no date where the chance is over the share of years"
            )
        else:
            assert late == pytest.approx(
                np.quantile(days, max(0, 1 - chance / f), method="weibull")
            )
            assert soon == pytest.approx(np.quantile(days, min(1, chance / f), method="weibull"))


def test_frost_in_half_of_the_years():
    # by hand: f = 1/2, so a chance of .1 is one in five of the years with frost: F = .8 of four is
    # place .8 x 5 = 4, the latest; .5 is all of them, the earliest; .9 is never
    days = [100, 104, 110, 120]
    assert spring(days, 0.1, 4) == 120 and spring(days, 0.5, 4) == 100
    assert spring(days, 0.9, 4) is None
    assert autumn(days, 0.1, 4) == 100 and autumn(days, 0.5, 4) == 120
    assert spring([], 0.1, 4) is None and autumn([], 0.1) is None


def test_the_next_year_lies_past_the_late_date_as_often_as_it_says():
    made = np.random.default_rng(7).normal(120, 12, size=(4000, 20))
    past = [year[-1] > spring(list(year[:-1]), 0.1) for year in made]
    # 10 % to within three standard errors, from nineteen years of any one distribution
    assert np.mean(past) == pytest.approx(0.1, abs=3 * (0.1 * 0.9 / 4000) ** 0.5)


@given(st.lists(st.integers(50, 150), min_size=3, max_size=40, unique=True), st.integers(0, 5))
def test_the_normal_form(days, without):
    f = len(days) / (len(days) + without)
    mean, sd = np.mean(days), np.std(days, ddof=1)
    for chance in (0.1, 0.5, 0.9):
        if chance < f:
            # source: x = mean + s z, z the point of the standard normal; scipy's in place of ours
            assert spring_normal(days, chance, without) == pytest.approx(
                mean + sd * norm.ppf(1 - chance / f)
            )
            assert autumn_normal(days, chance, without) == pytest.approx(
                mean + sd * norm.ppf(chance / f)
            )


def test_both_ways_agree_on_many_even_years():
    days = [120 + 10 * NormalDist().inv_cdf(k / 101) for k in range(1, 101)]
    for chance in (0.1, 0.5, 0.9):
        assert spring(days, chance) == pytest.approx(spring_normal(days, chance), abs=0.5)


def test_no_dates_is_our_mistake():
    with pytest.raises(ValueError, match="values"):
        quantile([], 0.5)
    with pytest.raises(ValueError, match="two dates"):
        spring_normal([100], 0.5)
