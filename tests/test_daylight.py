"""The length of the day and the ten-hour day against printed tables and another published formula."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from traybook.advice.daylight import TenHours, day_length, ten_hours

COLUMNS = ((1, 15), (2, 10), (3, 20), (5, 1), (6, 21), (9, 22), (11, 5), (12, 21))
# source: astral 3.2 (equations of NOAA after J. Meeus) at longitude 0 in 2025, hours
HOURS = {
    0: (12.1156, 12.1086, 12.1027, 12.1081, 12.1165, 12.1023, 12.1096, 12.1188),
    30: (10.4265, 11.0089, 12.1232, 13.3333, 14.0719, 12.1266, 10.8715, 10.2073),
    35: (10.0636, 10.7766, 12.1310, 13.6012, 14.5057, 12.1353, 10.6089, 9.7936),
    40: (9.6490, 10.5137, 12.1409, 13.9076, 15.0079, 12.1462, 10.3112, 9.3190),
    45: (9.1607, 10.2081, 12.1535, 14.2677, 15.6088, 12.1599, 9.9641, 8.7564),
    50: (8.5637, 9.8413, 12.1698, 14.7053, 16.3603, 12.1775, 9.5461, 8.0617),
    55: (7.7964, 9.3834, 12.1912, 15.2596, 17.3610, 12.2006, 9.0215, 7.1533),
    60: (6.7346, 8.7815, 12.2204, 16.0028, 18.8485, 12.2318, 8.3260, 5.8518),
}


@pytest.mark.parametrize("latitude", HOURS)
def test_hours_of_the_table(latitude):
    got = [day_length(latitude, dt.date(2025, m, d)) for m, d in COLUMNS]
    assert [round(h, 4) for h in got] == list(HOURS[latitude])


def forsythe(latitude, on):
    """source: W. C. Forsythe and others, Ecological Modelling 80 (1995), 87-95, the model CBM with p =
    0.8333, the sun's upper edge with refraction."""
    j = on.timetuple().tm_yday
    turn = 0.2163108 + 2 * math.atan(0.9671396 * math.tan(0.00860 * (j - 186)))
    tilt = math.asin(0.39795 * math.cos(turn))
    at = math.radians(latitude)
    up = math.sin(math.radians(0.8333)) + math.sin(at) * math.sin(tilt)
    return 24 - 24 / math.pi * math.acos(up / (math.cos(at) * math.cos(tilt)))


@pytest.mark.parametrize("latitude", [-60, -45, -33.9, -10, 0, 19, 35, 42.4, 51.5, 60])
def test_another_published_formula_agrees(latitude):
    one = dt.timedelta(days=1)
    for n in range(365):
        on = dt.date(2025, 1, 1) + n * one
        # within a tenth of an hour, a fifth where days change by six minutes a day
        assert day_length(latitude, on) == pytest.approx(forsythe(latitude, on), abs=0.2)


def test_printed_days():
    # source: lion-tales.blogspot.com, January 2011: at 45 N 15 h 37 and 8 h 46, at 35 N 14 h 31 and 9 h 48
    printed = {
        (45, 6, 21): 15 * 60 + 37,
        (45, 12, 21): 526,
        (35, 6, 21): 14 * 60 + 31,
        (35, 12, 21): 588,
    }
    for (latitude, month, day), minutes in printed.items():
        assert day_length(latitude, dt.date(2010, month, day)) * 60 == pytest.approx(minutes, abs=1)
    # source: fgcommunitygarden.org, London: 7 h 50 on 21 December 2020, 16 h 38 on 21 June 2021
    assert day_length(51.5, dt.date(2020, 12, 21)) * 60 == pytest.approx(470, abs=1)
    assert day_length(51.5, dt.date(2021, 6, 21)) * 60 == pytest.approx(998, abs=1)


# source: astral 3.2 in 2025: the first day under ten hours in autumn and the last in winter
UNDER_TEN = {
    34: ((12, 5), (1, 6)), 35: ((11, 30), (1, 11)), 37.5: ((11, 21), (1, 20)), 40: ((11, 14), (1, 26)),
    42.5: ((11, 9), (2, 1)), 45: ((11, 5), (2, 5)), 47.5: ((11, 1), (2, 9)), 50: ((10, 28), (2, 12)),
    55: ((10, 22), (2, 18)),
}  # fmt: skip


@pytest.mark.parametrize("latitude", UNDER_TEN)
def test_the_ten_hour_day(latitude):
    one = dt.timedelta(days=1)
    autumn, winter = (dt.date(2025, *md) for md in UNDER_TEN[latitude])
    assert ten_hours(latitude, 2025) == TenHours(autumn - one, winter + one)


def test_the_ten_hour_day_as_printed_near_boston():
    # source: skippysgarden.com 2015, 42.4 N: below ten hours from 10 November, over on 2 February
    got = ten_hours(42.4, 2014)
    assert abs(got.last - dt.date(2014, 11, 9)).days <= 1
    assert abs(ten_hours(42.4, 2015).first - dt.date(2015, 2, 2)).days <= 1


def test_the_south_has_it_about_june():
    got = ten_hours(-45, 2025)
    assert (got.last.month, got.first.month) == (5, 8)
    one = dt.timedelta(days=1)
    assert day_length(-45, got.last) >= 10 > day_length(-45, got.last + one)
    assert day_length(-45, got.first) >= 10 > day_length(-45, got.first - one)


def test_at_33_degrees_it_lasts_to_the_end_of_the_year():
    # source: astral 3.2, 2025: from 12 December, 19 days in the calendar year
    got = ten_hours(33, 2025)
    assert got.last == dt.date(2025, 12, 11)
    short = [n for n in range(365) if day_length(33, dt.date(2025, 1, 1) + dt.timedelta(n)) < 10]
    assert len(short) == 19


@pytest.mark.parametrize("latitude", [-90, -78, -67, 0, 20, 32, 66.5, 70, 90])
def test_where_there_is_none_it_says_none(latitude):
    assert ten_hours(latitude, 2025) is None


@pytest.mark.parametrize("latitude", [*range(-90, 91, 3), 65.7, 66.0, -65.8, 89.99])
def test_no_latitude_raises(latitude):
    for month in range(1, 13):
        hours = day_length(latitude, dt.date(2024, month, 21))
        assert hours is None or 0 < hours < 24
