"""Frost dates: chances from years by the printed meaning, and farms through the front door."""

from __future__ import annotations

import datetime as dt
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm
from scipy.stats.mstats import mquantiles

from kit import load_texts
from outside.data import seattle, weather_of
from traybook.advice.frosts import FILE, FrostDates, FrostYear, frosts
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


NORTH, SOUTH = "latitude: 52.3\n", "latitude: -36.8\n"


def farm(settings=NORTH, lines=(), csv="", as_of=dt.date(2026, 12, 31), own=True):
    """Frosts of a farm of some lines (day, words) and a file of temperatures."""
    texts = {f"entries/{on}.md": f"---\n{words}\n---\n" for on, words in lines}
    texts["entries/farm.yaml"] = settings
    if csv:
        texts["entries/weather/station.csv"] = csv
    loaded = load_texts(texts, as_of, own)
    assert loaded.findings == ()
    return frosts(loaded.book)


def daily(begin, end, lows, header="date,min,max"):
    """A file of every day, 8 to 15 C but for the lows named."""
    days = [begin + dt.timedelta(n) for n in range((end - begin).days + 1)]
    return header + "\n" + "".join(f"{d},{lows.get(str(d), 8)},15\n" for d in days)


# source: last and first day of 32 F or less in each year of mosaicData/Weather, found by pandas outside
# of this project
CITIES = {
    "Chicago": (("2016-04-12", "2017-03-23"), ("2016-11-12", "2017-11-06")),
    "Beijing": (("2016-03-25", "2017-03-16"), ("2016-10-29", "2017-10-30")),
    "San Diego": ((None, None), (None, None)),
    "Mumbai": ((None, None), (None, None)),
}  # fmt: skip


@pytest.mark.parametrize("city", CITIES)
def test_frosts_of_open_weather_through_the_front_door(city):
    found = farm(csv=weather_of(city), as_of=dt.date(2018, 3, 1))
    last, first = CITIES[city]
    assert tuple(str(y.on) if y.on else None for y in found.springs) == last
    assert tuple(str(y.on) if y.on else None for y in found.autumns) == first
    assert {y.source for y in found.springs} == {FILE}
    if None in last:
        assert found.last(2018) is None, "two years, and no frost in either"
    else:
        assert found.last(2018).years == 2


def test_a_southern_city_has_its_spring_after_its_winter():
    found = farm(SOUTH, csv=weather_of("Auckland"), as_of=dt.date(2018, 3, 1))
    # source: as above: no day of 32 F or less; the spring of 2017 runs to January 2018, past the file
    assert found.springs == (FrostYear(2016, None, FILE),)
    assert found.autumns == (FrostYear(2016, None, FILE), FrostYear(2017, None, FILE))


def test_seattles_four_years():
    days = seattle()
    csv = "date,min,max\n" + "".join(f"{d},{low},{high}\n" for d, low, high in days)
    found = farm(csv=csv, as_of=dt.date(2016, 3, 1))
    lasts, firsts = [], []
    for year in range(2012, 2016):
        cold = [d for d, low, _ in days if low <= 0 and d.year == year]
        lasts.append(max(d for d in cold if d.month < 8))
        firsts.append(min(d for d in cold if d.month > 7))
    assert [y.on for y in found.springs] == lasts and [y.on for y in found.autumns] == firsts

    def by_numpy(dates, share):
        after = [(d - dt.date(d.year, 8, 1)).days for d in dates]
        return dt.date(2016, 8, 1) + dt.timedelta(
            days=int(np.floor(np.quantile(after, share, method="weibull") + 0.5))
        )

    assert found.last(2016) == FrostDates(
        by_numpy(lasts, 0.1), by_numpy(lasts, 0.5), by_numpy(lasts, 0.9), 4, FILE
    )
    assert found.first(2016) == FrostDates(
        by_numpy(firsts, 0.1), by_numpy(firsts, 0.5), by_numpy(firsts, 0.9), 4, FILE
    )


def test_the_usual_date_alone():
    found = farm(NORTH + "frost dates:\n  average: {last: 8 May, first: 12 October}\n")
    may, october = dt.date(2027, 5, 8), dt.date(2027, 10, 12)
    assert found.last(2027) == FrostDates(may, may, may, 0, "farm.yaml")
    assert found.first(2027) == FrostDates(october, october, october, 0, "farm.yaml")
    assert farm().last(2027) is None and farm().first(2027) is None, "nothing is known"


YEARS = (
    "frost dates:\n  average: {last: 8 May}\n"
    "  2024: {last: 3 May}\n  2025: {last: 11 May}\n  2026: {last: 20 April}\n"
)


def test_three_years_of_farm_yaml_come_before_the_usual_date():
    found = farm(NORTH + YEARS)
    assert found.last(2028) == FrostDates(
        dt.date(2028, 4, 20), dt.date(2028, 5, 3), dt.date(2028, 5, 11), 3, "farm.yaml"
    )  # 2028 is a leap year, and a day of May is the same day
    two = farm(NORTH + YEARS, as_of=dt.date(2025, 12, 31))
    assert two.last(2026).years == 0 and two.last(2026).middle == dt.date(2026, 5, 8)
    without = farm(
        NORTH + YEARS.replace("  average: {last: 8 May}\n", ""), as_of=dt.date(2025, 12, 31)
    )
    assert without.last(2026).years == 2, "with no usual date two years are better than nothing"


def test_a_year_of_farm_yaml_wins_over_lines_and_file():
    csv = daily(dt.date(2025, 1, 1), dt.date(2025, 12, 31), {"2025-05-14": -1, "2025-10-20": 0})
    lines = [("2025-05-02", "weather: min -1, frost"), ("2025-09-30", "weather: frost")]
    found = farm(NORTH + "frost dates:\n  2025: {last: 11 May}\n", lines, csv)
    assert found.springs == (FrostYear(2025, dt.date(2025, 5, 11), "farm.yaml"),)
    assert found.autumns == (FrostYear(2025, dt.date(2025, 9, 30), "your own records"),)
    unnamed = farm(NORTH, lines, csv)
    assert unnamed.springs == (FrostYear(2025, dt.date(2025, 5, 14), FILE),)


def test_years_of_several_sources_are_told_together():
    csv = daily(dt.date(2024, 1, 1), dt.date(2024, 7, 31), {"2024-04-28": -0.5})
    lines = [("2025-05-12", "weather: frost"), ("2025-05-14", "weather: min 1, no frost")]
    found = farm(NORTH + "frost dates:\n  2026: {last: 1 May}\n", lines, csv)
    assert [(y.year, y.on.month, y.on.day) for y in found.springs] == [
        (2024, 4, 28), (2025, 5, 12), (2026, 5, 1)
    ]  # fmt: skip
    assert found.last(2027).source == "farm.yaml and your own records and the temperature file"
    assert found.last(2027).years == 3


def test_a_season_that_misses_ten_days_does_not_count():
    # source: Utah Climate Center, freeze table help: ten or more missing days make a season invalid
    def missing(n, where="2025-06-01"):
        gap = dt.date.fromisoformat(where)
        off = {str(gap + dt.timedelta(i)) for i in range(n)}
        csv = daily(
            dt.date(2025, 1, 1), dt.date(2025, 12, 31), {"2025-05-03": -1, "2025-10-09": -1}
        )
        return farm(csv="".join(x for x in csv.splitlines(True) if x[:10] not in off))

    assert [y.on for y in missing(9).springs] == [dt.date(2025, 5, 3)]
    assert missing(10).springs == () and len(missing(10).autumns) == 1
    assert [y.on for y in missing(40, "2025-02-01").springs] == [dt.date(2025, 5, 3)], (
        "before the frost that was last nothing can be missed"
    )
    assert missing(10, "2025-09-20").autumns == ()
    assert [y.on for y in missing(40, "2025-11-01").autumns] == [dt.date(2025, 10, 9)]


def test_a_spring_is_not_told_before_it_is_over():
    csv = daily(dt.date(2025, 1, 1), dt.date(2025, 7, 31), {"2025-05-03": -1})
    lines = [("2024-05-02", "weather: frost")]
    early = farm(csv=csv, lines=lines, as_of=dt.date(2025, 6, 15))
    assert [y.year for y in early.springs] == [2024]
    assert [y.year for y in farm(csv=csv, lines=lines).springs] == [2024, 2025]
    assert farm(lines=lines, as_of=dt.date(2024, 6, 1)).springs == ()


def test_a_frost_of_winter_is_no_last_frost_unless_it_is_called_so():
    assert farm(lines=[("2025-02-03", "weather: min -4, frost")]).springs == ()
    called = farm(lines=[("2025-02-03", "weather: last frost")])
    assert [y.on for y in called.springs] == [dt.date(2025, 2, 3)]
    assert farm(lines=[("2025-05-03", "weather: ground frost")]).springs == ()
    assert [y.on for y in farm(lines=[("2025-05-03", "weather: min 0")]).springs] == [
        dt.date(2025, 5, 3)
    ]


def test_imperial_farms_and_fahrenheit():
    lines = [("2025-05-03", "weather: min 32, max 60"), ("2025-05-09", "weather: min 33, max 61")]
    assert [y.on for y in farm(NORTH + "units: imperial\n", lines).springs] == [dt.date(2025, 5, 3)]
    lines = [("2025-05-03", "weather: min 31 F, max 60 F")]
    assert [y.on for y in farm(lines=lines).springs] == [dt.date(2025, 5, 3)]


def test_southern_years():
    lines = [("2025-10-12", "weather: frost"), ("2026-05-20", "weather: frost"),
             ("2026-06-03", "weather: frost")]  # fmt: skip
    found = farm(SOUTH, lines, as_of=dt.date(2026, 12, 31))
    assert found.springs == (FrostYear(2025, dt.date(2025, 10, 12), "your own records"),)
    assert found.autumns == (FrostYear(2026, dt.date(2026, 5, 20), "your own records"),)
    usual = farm(SOUTH + "last frost: 30 September\nfirst frost: 10 May\n")
    assert usual.last(2027).middle == dt.date(2027, 9, 30)
    assert usual.first(2027).middle == dt.date(2027, 5, 10)


def test_a_private_line_is_in_no_shared_frost():
    lines = [("2025-05-03", "private weather: min -1, frost")]
    assert len(farm(lines=lines).springs) == 1
    assert farm(lines=lines, own=False).springs == ()


def test_a_line_of_ones_own_is_before_the_file():
    texts = {
        "entries/farm.yaml": NORTH,
        "entries/2025-05-03.md": "---\nweather: min -2\n---\n",
        "entries/weather/a.csv": "date,min,max\n2025-05-03,1,14\n2027-01-01,1,2\n",
    }
    book = load_texts(texts, dt.date(2026, 1, 1)).book
    assert book.temperatures == {dt.date(2025, 5, 3): (-2, 14)}, "and nothing after the book's day"
