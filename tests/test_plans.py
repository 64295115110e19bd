"""plans/YEAR.yaml: what is read, and what is asked about."""

from __future__ import annotations

import datetime as dt

import pytest

from traybook.records.plans import Plan, PlanLine, read_plan
from traybook.records.settings import read_crops, read_farm
from traybook.text.source import Source

CROPS = "snapdragon:\n  spellings: [snap, snaps]\n  varieties: [Cinder Rose]\nsweet pea:\n  varieties: [Tarn]\n"


def plan(text: str, year: int = 2027, dates: str = "day first") -> tuple[Plan, list[str]]:
    crops, _ = read_crops(Source("entries/crops.yaml", CROPS))
    farm, _ = read_farm(Source("entries/farm.yaml", f"dates: {dates}\n"), crops)
    got, findings = read_plan(Source(f"entries/plans/{year}.yaml", text), year, farm)
    return got, [f"{f.at.line}: {f.message}" for f in findings]


def one(text: str, **how: str) -> PlanLine:
    got, found = plan(text, **how)  # type: ignore[arg-type]
    assert not found
    return got.lines[0]


def test_a_mapping_a_flow_and_a_short_form_say_the_same():
    long = one("zinnia:\n  plants: 120\n")
    assert (
        long
        == one("zinnia: {plants: 120}\n")
        == one("zinnia: 120 plants\n")
        == one("zinnia: 120\n")
    )
    assert (long.crop, long.plants, long.stems, long.successions) == ("zinnia", 120, None, 1)
    assert one("zinnia: 1,200 stems\n").stems == 1200


def test_the_farms_names_and_spellings_and_a_variety_after_them():
    assert (one("snaps Cinder Rose: 60\n").crop, one("snaps Cinder Rose: 60\n").variety) == (
        "snapdragon",
        "Cinder Rose",
    )
    assert one("Sweet Pea: 60\n").crop == "sweet pea"
    assert one("snapdragon:\n  variety: Slate\n  plants: 4\n").variety == "Slate"


def test_windows_in_days_and_in_iso_weeks():
    # source: ISO 8601: week 27 of 2027 begins on Monday 5 July, week 38 ends on Sunday 26 September
    assert one("zinnia:\n  plants: 9\n  cut: weeks 27-38\n").cut == (
        dt.date(2027, 7, 5),
        dt.date(2027, 9, 26),
    )
    days = (dt.date(2027, 7, 1), dt.date(2027, 9, 20))
    for said in ("1 July to 20 September", "1/7 to 20/9", "2027-07-01 to 2027-09-20"):
        assert one(f"zinnia:\n  plants: 9\n  cut: {said}\n").cut == days
    assert one("zinnia:\n  plants: 9\n  cut: 7/1 to 9/20\n", dates="month first").cut == days
    # source: ISO 8601: 2026 has a week 53, that ends on 3 January 2027; 2027 has none
    assert one("zinnia:\n  plants: 9\n  cut: week 53\n", year=2026).cut == (
        dt.date(2026, 12, 28),
        dt.date(2027, 1, 3),
    )
    assert plan("zinnia:\n  plants: 9\n  cut: week 53\n")[1]


def test_own_days_to_sow_and_of_the_year_before():
    got = one("zinnia:\n  plants: 90\n  sow: 20 March, 3/5\n")
    assert got.sow == (dt.date(2027, 3, 20), dt.date(2027, 5, 3)) and got.successions == 2
    assert one("sweet pea: {plants: 60, sow: 20 October 2026}\n").sow == (dt.date(2026, 10, 20),)


def test_a_kind_may_stand_twice():
    got, found = plan("zinnia: 60\nzinnia:\n  stems: 200\n")
    assert not found and [x.number for x in got.lines] == [1, 2]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("zinnia: many\n", "1: `many` could not be read as a number of plants or stems"),
        (
            "zinnia:\n  variety: Lime\n",
            "1: `zinnia` says neither how many plants nor how many stems",
        ),
        ("zinnia:\n  plants: lots\n", "2: `lots` is no whole number"),
        (
            "zinnia:\n  plants: 3\n  cut: 9 Sept to 1 July\n",
            "3: `9 Sept to 1 July` is no time from one day to a later one",
        ),
        ("zinnia:\n  plants: 3\n  sow: 31 April\n", "3: `31 April` could not be read as a day"),
        ("zinnia:\n  plants: 3\n  colour: red\n", "3: `colour` is no setting here"),
    ],
)
def test_what_cannot_be_read_is_one_doubt_at_its_place(text, told):
    assert plan(text)[1] == [told]


def test_one_bad_line_loses_nothing_else():
    got, found = plan("zinnia: many\nstatice: 40\nlarkspur:\n  plants: 9\n  cut: whenever\n")
    assert [(x.crop, x.plants) for x in got.lines] == [("statice", 40), ("larkspur", 9)]
    assert len(found) == 2
