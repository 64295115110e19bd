"""What a kind's sowings at several temperatures teach, and the page Frost and light, through the front door."""

from __future__ import annotations

import datetime as dt

import pytest
from scipy.stats import linregress

from kit import days, load_texts
from outside.data import seattle
from traybook.advice.learnt import Learnt
from traybook.advice.warmth import places, warmth
from traybook.pages.build import build_pages
from traybook.pages.warmth import warmth_block
from traybook.rollup.farm import farm_figures

KEY = ("stock", "up")
PLACES = (
    "  cellar: {temperature: 12 C}\n  porch: {temperature: 16 C}\n  warm shelf: {temperature: 19-21 C}\n"
    "  mat: {temperature: 75 F}\n  bench: {light: window}\n"
)
#: Half days by 96 / (temperature - 4).
AT_12, AT_16, AT_20 = (12, "cellar"), (8, "porch"), (6, "warm shelf")


def sown(n, half, place, *more, how=""):
    """A sowing of 40 that has 10 up the day before its half day and all of its 30 three days after it:
    15 lie a quarter of the way between the two."""
    code = f"stock-26-{n}"
    return [
        (0, f"sown {code}: 40 seeds, open tray, {place}{how}"),
        (half - 1, f"checked {code}: 10 up"),
        (half + 3, f"checked {code}: 30 up"),
        (60, f"finished {code}: done"),
        *more,
    ]


def learnt(*sowings, settings="", more=None, own=True):
    lines = [line for s in sowings for line in s]
    texts = {**days(*lines), "entries/farm.yaml": f"{settings}places:\n{PLACES}", **(more or {})}
    loaded = load_texts(texts, dt.date(2026, 12, 1), own)
    assert loaded.findings == ()
    return Learnt(farm_figures(loaded.kept))


def found(*sowings, **more):
    return warmth(learnt(*sowings, **more).figures, KEY)


THREE = (sown(1, *AT_12), sown(2, *AT_16), sown(3, *AT_20))


def test_the_line_through_its_own_sowings():
    got = found(*THREE)
    assert (got.line.base, got.line.theta) == (pytest.approx(4), pytest.approx(96))
    assert got.range == (12, 20) and got.off == pytest.approx(0, abs=1e-9)
    assert got.day(14) == pytest.approx(9.6), "96 / (14 - 4)"
    assert got.day(11.9) is None and got.day(20.1) is None


def test_a_scattered_line_is_that_of_scipy():
    seen = [(12, 14), (12, 11), (16, 9), (20, 6), (20, 7)]
    names = {12: "cellar", 16: "porch", 20: "warm shelf"}
    got = found(*(sown(i, half, names[t]) for i, (t, half) in enumerate(seen, 1)))
    line = linregress([t for t, _ in seen], [1 / d for _, d in seen])
    assert got.line.theta == pytest.approx(1 / line.slope)
    assert got.line.base == pytest.approx(-line.intercept / line.slope)
    off = max(abs(1 / (line.intercept + line.slope * t) - d) for t, d in seen)
    assert got.off == pytest.approx(off)


def test_too_little_says_nothing():
    assert found(sown(1, *AT_12), sown(2, *AT_20)) is None, "two sowings"
    assert found(*(sown(i, 12 + i % 2, "cellar") for i in range(1, 5))) is None, "one temperature"
    near = "temperature cellar: 14 C"
    assert found(sown(1, 12, "cellar", (5, near)), sown(2, *AT_16), sown(3, *AT_16)) is None, (
        "2 C apart"
    )
    assert found(sown(1, 6, "cellar"), sown(2, 8, "porch"), sown(3, 12, "warm shelf")) is None, (
        "slower where it is warmer"
    )
    assert found(*THREE[:2], sown(3, 6, "bench")) is None, "a place whose temperature nobody told"


def test_readings_come_before_farm_yaml():
    # 15 C was read in the cellar while it stood there, and 3 C long after
    read = [
        (4, "temperature cellar: 14 C"),
        (9, "temperature cellar: min 12, max 20"),
        (50, "temperature cellar: 3 C"),
    ]
    got = found(sown(1, 12, "cellar", *read), *THREE[1:])
    assert sorted(got.seen) == [(15, 12), (16, 8), (20, 6)]


def test_the_sown_line_comes_before_farm_yaml():
    got = found(sown(1, 12, "cellar", how=", 13 C"), *THREE[1:])
    assert sorted(got.seen) == [(13, 12), (16, 8), (20, 6)]


def test_one_that_was_moved_before_half_were_up_is_not_in_it():
    moved = sown(4, 5, "cellar", (2, "moved stock-26-4: to warm shelf"))
    assert len(found(*THREE, moved).seen) == 3
    later = sown(4, 12, "cellar", (30, "moved stock-26-4: to warm shelf"))
    assert len(found(*THREE, later).seen) == 4


def test_one_whose_first_look_already_found_half_is_not_in_it():
    early = [(0, "sown stock-26-4: 40 seeds, open tray, cellar"), (9, "checked stock-26-4: 30 up"),
             (60, "finished stock-26-4: done")]  # fmt: skip
    assert len(found(*THREE, early).seen) == 3


def test_places_and_their_temperatures():
    book = learnt(*THREE).figures.kept.book
    assert places(book) == {
        "cellar": 12,
        "porch": 16,
        "warm shelf": 20,
        "mat": pytest.approx(23.889, abs=1e-3),
    }
    imperial = "units: imperial\n"
    got = found(*THREE, settings=imperial)
    assert got.range == (12, 20), "a unit that is written is the unit"


def block(of):
    (k,) = of.figures.kinds
    return warmth_block(k, of)


def test_the_block_on_the_crops_page():
    (b,) = block(learnt(*THREE))
    assert b.words[0] == (
        "At 13 C expect half up by about day 11, at 19 C day 6 (learnt from 3 sowings at 12 to 20 C)."
    )
    assert b.words[1].startswith("Those sowings lay within 1 day of it.")
    assert [tuple(c.text for c in row) for row in b.table.rows] == [
        ("cellar", "12 C", "day 12"),
        ("porch", "16 C", "day 8"),
        ("warm shelf", "20 C", "day 6"),
        ("mat", "24 C", "not known: nothing was sown outside 12 to 20 C"),
    ]
    assert block(learnt(*THREE[:2])) == []
    (f,) = block(learnt(*THREE, settings="units: imperial\n"))
    assert "learnt from 3 sowings at 54 to 68 F" in f.words[0] and f.table.rows[0][1].text == "54 F"


def page(settings, lines=(), csv="", as_of=dt.date(2026, 12, 1), own=True):
    texts = {f"entries/{on}.md": f"---\n{words}\n---\n" for on, words in lines}
    texts["entries/farm.yaml"] = settings
    if csv:
        texts["entries/weather/station.csv"] = csv
    loaded = load_texts(texts, as_of, own)
    pages = build_pages(farm_figures(loaded.kept))
    return next(p for p in pages if p.address == "frost-and-light.html")


def said(p):
    return {b.heading: b for b in p.blocks}


def rows(b):
    return [tuple(c.text for c in row) for row in b.table.rows]


def test_a_farm_that_tells_nothing_is_told_what_to_write():
    p = page("name: A farm\n")
    assert p.blocks == () and "`latitude`" in p.lead[0] and p.nav == "Frost and light"


def test_the_usual_date():
    b = said(page("last frost: 8 May\n"))["Last and first frost"]
    assert rows(b) == [
        ("Last frost in spring", "8 May", "8 May", "8 May", "the usual date", "farm.yaml")
    ]
    assert "it takes 3 years of your own" in b.words[1]


YEARS = "frost dates:\n  2024: {last: 3 May}\n  2025: {last: 11 May, first: 2 October}\n  2026: {last: 20 April}\n"


def test_years_and_their_count_are_told():
    got = said(page(YEARS))
    assert rows(got["Last and first frost"])[0] == (
        "Last frost in spring", "20 Apr", "3 May", "11 May", "3", "farm.yaml"
    )  # fmt: skip
    words = " ".join(got["Last and first frost"].words)
    assert (
        "by 3 springs" in words
        and "one year in 4 goes beyond each" in words
        and "by 1 autumn." in words
    )
    assert rows(got["Year by year"]) == [
        ("2026", "20 Apr", "-"), ("2025", "11 May", "2 Oct"), ("2024", "3 May", "-"),
    ]  # fmt: skip
    assert got["Year by year"].table.rows[1][2].more == "farm.yaml"


def test_day_length_and_the_ten_hour_day():
    b = said(page("latitude: 45\n", as_of=dt.date(2025, 6, 1)))["Length of the day"]
    # source: astral 3.2, 2025, 45 N: under ten hours from 5 November to 5 February
    assert b.words[0].startswith("In 2025 days have ten hours or more from 6 Feb to 4 Nov.")
    south = said(page("latitude: -45\n", as_of=dt.date(2025, 6, 1)))["Length of the day"]
    assert south.words[0].startswith(
        "In 2025 days have ten hours or more to 2 May and again from 10 Aug."
    )
    # source: the same, 15 January: 9.1607 hours
    assert rows(b)[0][2] == "9 h 10 min"
    assert len(rows(b)) == 12
    tropics = said(page("latitude: 8\n"))["Length of the day"]
    assert "none is told" in tropics.words[0]
    pole = said(page("latitude: 78\n"))["Length of the day"]
    assert rows(pole)[5][1] == "no sunrise or no sunset"


def test_the_shared_page_goes_by_the_rounded_latitude():
    b = said(page("latitude: 52.3\n", own=False))["Length of the day"]
    assert "52 degrees north" in b.words[1] and "52.3" not in str(b)


def test_degree_days_of_the_running_year():
    days_ = [d for d in seattle() if d[0].year == 2015]
    csv = "date,min,max\n" + "".join(f"{d},{low},{high}\n" for d, low, high in seattle())
    b = said(page("latitude: 47.6\n", csv=csv, as_of=dt.date(2015, 9, 30)))["Warmth of 2015"]
    assert b.words[0].startswith("273 of 273 days of 2015 so far were measured.")
    assert len(rows(b)) == 9 and rows(b)[0][1] == "31 of 31"
    # every day of June to August lies whole above 5 C, so sine and plain middle agree there
    june = sum((low + high) / 2 - 5 for d, low, high in days_ if d.month == 6)
    assert min(low for d, low, _ in days_ if d.month == 6) >= 5
    assert rows(b)[5][2] == f"{june:,.0f}"
    f = said(page("latitude: 47.6\nunits: imperial\n", csv=csv, as_of=dt.date(2015, 9, 30)))[
        "Warmth of 2015"
    ]
    assert f.table.columns[2] == "#Above 40 F"
    above = sum((low + high) / 2 * 1.8 + 32 - 40 for d, low, high in days_ if d.month == 6)
    assert rows(f)[5][2] == f"{above:,.0f}"


def test_no_frost_in_any_year_is_said():
    csv = "date,min,max\n" + "".join(
        f"{dt.date(2025, 1, 1) + dt.timedelta(n)},9,18\n" for n in range(365)
    )
    b = said(page("name: A farm\n", csv=csv))["Last and first frost"]
    assert "Last frost in spring: none in 1 spring on record." in b.words
    assert b.table is None
