"""Dates of a plan, worked back and forward, against hand calculations."""

from __future__ import annotations

import datetime as dt

import pytest

from kit import load_texts
from traybook.advice.coming import coming_year
from traybook.advice.learnt import Learnt
from traybook.advice.planning import PlannedYear, gaps, planned_year
from traybook.advice.sowing_days import wanted_days
from traybook.pages.plan import plan_page
from traybook.pages.today import today_page
from traybook.rollup.farm import farm_figures
from traybook.stats.response import response

FARM = "dates: day first\nfrost dates:\n  average: {last: 8 May, first: 12 October}\n"
AS_OF = dt.date(2026, 11, 25)


def farm(
    plan: str,
    *lines: tuple[str, str],
    crops: str = "",
    as_of: dt.date = AS_OF,
    settings: str = FARM,
) -> tuple[Learnt, PlannedYear]:
    texts = {"entries/farm.yaml": settings, "entries/plans/2027.yaml": plan}
    if crops:
        texts["entries/crops.yaml"] = crops
    days: dict[str, list[str]] = {}
    for on, line in lines:
        days.setdefault(on, []).append(line)
    texts |= {f"entries/{on}.md": "---\n" + "\n".join(x) + "\n---\n" for on, x in days.items()}
    loaded = load_texts(texts, as_of)
    assert [f for f in loaded.findings if f.weight == "error"] == []
    learnt = Learnt(farm_figures(loaded.kept))
    return learnt, planned_year(learnt, loaded.book.plans[0])


def zinnia(
    code: str, sown: str, planted: str, first: str, last: str, over: str
) -> list[tuple[str, str]]:
    checked = (dt.date.fromisoformat(sown) + dt.timedelta(days=12)).isoformat()
    return [
        (sown, f"sown {code}: 72 seeds, 72-cell tray"), (checked, f"checked {code}: 60 up"),
        (planted, f"planted out {code}: 58 to bed 1"), (first, f"cut {code}: 40 stems"),
        (last, f"cut {code}: 40 stems"), (over, f"finished {code}: frost"),
    ]  # fmt: skip


THREE = [
    *zinnia("zinnia-26-1", "2026-03-20", "2026-05-10", "2026-06-28", "2026-07-20", "2026-10-01"),
    *zinnia("zinnia-26-2", "2026-04-20", "2026-05-30", "2026-07-14", "2026-08-14", "2026-10-02"),
    *zinnia("zinnia-26-3", "2026-05-20", "2026-06-20", "2026-08-01", "2026-09-01", "2026-10-03"),
]


def steps(p) -> dict[str, dt.date]:
    return {s.kind: s.on for s in p.steps}


def test_the_line_of_cuts_by_hand():
    # days of the year: sown 79, 110, 140 (1 January is 1), first cut 179, 195, 213
    # means 109.667 and 195.667; Sxy = 1036.667, Sxx = 1860.667; slope .557148
    got = response([(79, 179), (110, 195), (140, 213)])
    assert got is not None and got.learnt
    assert got.slope == pytest.approx(0.557148, abs=1e-6)
    assert got.start == pytest.approx(195.6667 - 0.557148 * 109.6667, abs=1e-3)
    assert got.cut(got.sown(188.0)) == pytest.approx(188)


def test_few_or_close_sowings_need_as_long_each():
    assert response([]) is None
    one = response([(80, 180)])
    assert one is not None and (one.slope, one.learnt, one.cut(90)) == (1.0, False, 190)
    close = response([(80, 180), (90, 183), (100, 186)])
    assert close is not None and close.slope == 1.0 and not close.learnt


def test_the_line_is_numpys():
    np = pytest.importorskip("numpy")
    rng = np.random.default_rng(5)
    x = rng.uniform(60, 180, 12)
    y = 120 + 0.7 * x + rng.normal(0, 4, 12)
    slope, start = np.polyfit(x, y, 1)
    got = response(list(zip(x, y, strict=True)))
    assert got is not None and (got.slope, got.start) == pytest.approx((slope, start))


def test_successions_are_sown_back_from_the_cut_by_the_farms_own_response():
    _, year = farm(
        "zinnia:\n  plants: 150\n  cut: 1 July to 20 September\n  successions: 3\n", *THREE
    )
    a, b, c = year.sowings
    # the window of 82 days in three: from 1 July, 28 July (82/3 = 27.3 days on), 24 August (54.7)
    assert [p.wanted for p in year.sowings] == [
        dt.date(2027, 7, 1),
        dt.date(2027, 7, 28),
        dt.date(2027, 8, 24),
    ]
    # by hand, days from 1 January 2027 = 0: start 134.1233, slope .557148:
    # (181 - 134.1233)/.557148 = 84.1 -> 26 March; (208 - ...) = 132.6 -> 14 May; (235 - ...) = 181.1 -> 1 July
    assert [p.sow for p in year.sowings] == [
        dt.date(2027, 3, 26),
        dt.date(2027, 5, 14),
        dt.date(2027, 7, 1),
    ]
    assert [p.plants for p in year.sowings] == [50, 50, 50]
    # planted 51, 40 and 31 days after sowing: 40 in the middle; cut 22, 31 and 31 days: 31
    assert steps(a)["plant"] == dt.date(2027, 5, 5) and steps(a)["cut"] == dt.date(2027, 7, 1)
    assert steps(a)["last cut"] == dt.date(2027, 8, 1)
    assert all(
        s.source == "own" for s in a.steps if s.kind in ("sow", "plant", "cut", "last cut", "look")
    )
    assert (
        "You have not sown it at this time of year, so the day of the cut is a guess." in c.doubts
    )
    assert not b.doubts


def test_gaps_and_overlaps_are_told_on_the_plans_page():
    learnt, _ = farm(
        "zinnia:\n  plants: 150\n  cut: 1 July to 20 September\n  successions: 3\n", *THREE
    )
    page = plan_page(learnt, learnt.figures.kept.book.plans[0])
    block = next(b for b in page.blocks if b.anchor == "successions")
    assert block.table is not None
    # cut about 1 July to 1 August, 28 July to 28 August, 24 August to 24 September: 5 days shared each time
    assert [r[2].text for r in block.table.rows] == [
        "-",
        "overlaps by 5 days",
        "overlaps by 5 days",
    ]


def test_gaps_by_hand():
    day = dt.date(2027, 7, 1)
    assert gaps(
        [(day, day), (day + dt.timedelta(days=1), day), (day + dt.timedelta(days=9), day)]
    ) == [0, 8]


def test_a_first_year_goes_by_the_handbook_and_says_so_on_every_line():
    _, year = farm("snapdragon: 60 plants\nlarkspur: 40 plants\nzinnia: 30 plants\n")
    assert {s.source for p in year.sowings for s in p.steps} <= {"published", "common practice"}
    snap, lark, zin = year.sowings
    # handbook: planted out 4 to 2 weeks before the last frost after 8 to 10 weeks, so sown 14 to 10 weeks
    # before it: 12 weeks before 8 May is 13 February; 9 weeks on 17 April; cut after 100-130 days: 115, 8 June
    got = snap.step("sow")
    assert got is not None and (got.early, got.on, got.late) == (
        dt.date(2027, 1, 30),
        dt.date(2027, 2, 13),
        dt.date(2027, 2, 27),
    )
    assert steps(snap)["plant"] == dt.date(2027, 4, 17) and steps(snap)["cut"] == dt.date(
        2027, 6, 8
    )
    # common practice, no source: ten days of hardening off
    assert steps(snap)["harden"] == dt.date(2027, 4, 7)
    # larkspur: 1 to 2 weeks of cold, 10.5 days, before the same 12 weeks (6-8 weeks inside, out 6 to 4 before)
    assert steps(lark)["sow"] == dt.date(2027, 2, 13) and steps(lark)["treat"] == dt.date(
        2027, 2, 2
    )
    assert all(not p.need.own for p in year.sowings)
    assert zin.step("treat") is None


def test_own_weeks_from_the_last_frost_of_their_year():
    # 20 March, 20 April, 20 May 2026 with a last frost of 1 May 2026: -42, -11 and +19 days; -11 in the middle;
    # 2027 goes by the usual 8 May: 27 April, between 27 March and 27 May
    settings = FARM + "  2026: {last: 1 May}\n"
    _, year = farm("zinnia: 60\n", *THREE, settings=settings)
    got = year.sowings[0].step("sow")
    assert got is not None
    assert (got.on, got.early, got.late) == (
        dt.date(2027, 4, 27),
        dt.date(2027, 3, 27),
        dt.date(2027, 5, 27),
    )
    assert got.source == "own" and "3 of your own" in got.why


def test_without_frost_dates_the_same_day_as_before():
    _, year = farm("zinnia: 60\n", *THREE, settings="dates: day first\n")
    assert year.sowings[0].sow == dt.date(2027, 4, 20)
    _, year = farm("stock: 60\n", settings="dates: day first\n")
    assert (
        year.sowings[0].sow is None and "Nothing says when to sow it" in year.sowings[0].doubts[0]
    )


def test_own_days_in_the_plan_stand():
    _, year = farm("zinnia:\n  plants: 91\n  sow: 20 March, 3 May\n  plant out: 20 May\n", *THREE)
    assert [p.sow for p in year.sowings] == [dt.date(2027, 3, 20), dt.date(2027, 5, 3)]
    assert [p.plants for p in year.sowings] == [46, 45]
    assert steps(year.sowings[0])["plant"] == dt.date(2027, 5, 20)


def test_stems_are_turned_into_plants():
    # 240 stems of 174 plants: 1.379 stems a plant, 600 stems need 435
    learnt, year = farm("zinnia:\n  stems: 600\n", *THREE)
    assert year.sowings[0].plants == 435
    page = plan_page(learnt, year.plan)
    rows = next(b.table.rows for b in page.blocks if b.anchor == "sowings")
    assert rows[0][1].text == "435" and rows[0][1].more.startswith(
        "for 600 stems; your own: 3 sowings in 1 season, 1.4 stems a plant"
    )


def test_stems_that_come_after_the_weeks_they_are_wanted_in_do_not_count():
    # Four weeks: the second cuts came on day 22, 31 and 31 after the first, so one of them counts:
    # 40 stems four times of 174 plants, 600 / (160 / 174) = 652.5
    _, year = farm("zinnia:\n  stems: 600\n  cut: weeks 27-30\n", *THREE)
    assert year.sowings[0].plants == 653
    assert "the first 28 days of cutting" in year.sowings[0].plants_why
    # Eight weeks in two sowings: the first is cut for 56 days, which takes in all 240, the second for 28:
    # 600 / ((240 + 160) / 2 / 174) = 522
    _, year = farm("zinnia:\n  stems: 600\n  cut: weeks 27-34\n  successions: 2\n", *THREE)
    assert [p.plants for p in year.sowings] == [261, 261]
    assert "the first 28 to 56 days of cutting" in year.sowings[0].plants_why
    # Own days of sowing need not meet the weeks, so all stems count.
    _, year = farm("zinnia:\n  stems: 600\n  cut: weeks 27-30\n  sow: 20 March\n", *THREE)
    assert year.sowings[0].plants == 435


def test_the_last_useful_day_to_sow():
    # the handbook's zinnia is cut at 90 days at the latest; ten more for safety (common practice, no source):
    # 12 October less 100 days is 4 July
    doubt = (
        "Late: the last useful day to sow is about 4 Jul (first frost about 12 Oct, less 90 days"
    )
    for sow, late in (("4 July", False), ("5 July", True)):
        _, year = farm(f"zinnia:\n  plants: 30\n  sow: {sow}\n")
        assert any(d.startswith(doubt) for d in year.sowings[0].doubts) is late


def test_two_weeks_of_cold_from_1_february_end_on_15_february():
    # common practice, no source
    crops = "larkspur:\n  pre-treatment: cold 2 weeks\n"
    _, year = farm("larkspur:\n  plants: 30\n  sow: 15 February\n", crops=crops)
    assert steps(year.sowings[0])["treat"] == dt.date(2027, 2, 1)
    assert steps(year.sowings[0])["out"] == dt.date(2027, 2, 15)


def test_what_was_done_is_set_beside_the_plan_nearest_first():
    done = [
        ("2027-03-29", "sown zinnia-27-1: 72 seeds, 72-cell tray"),
        ("2027-05-12", "sown zinnia-27-2: 72 seeds, 72-cell tray"),
        ("2027-05-20", "sown statice-27-1: 72 seeds, 72-cell tray"),
    ]
    _, year = farm("zinnia:\n  plants: 150\n  cut: 1 July to 20 September\n  successions: 3\n",
                   *THREE, *done, as_of=dt.date(2027, 6, 1))  # fmt: skip
    assert [(p.done, p.lag) for p in year.sowings] == [
        ("zinnia-27-1", 3),
        ("zinnia-27-2", -2),
        ("", None),
    ]
    assert [s.code for s in year.unplanned] == ["statice-27-1"]


def test_wanted_days_share_the_window():
    days = wanted_days((dt.date(2027, 1, 1), dt.date(2027, 1, 10)), 3)
    assert days == [dt.date(2027, 1, 1), dt.date(2027, 1, 4), dt.date(2027, 1, 7)]


@pytest.mark.parametrize("own", [[], THREE])
def test_a_plan_does_not_follow_what_was_made_of_it(own):
    plan = "zinnia:\n  plants: 60\n"
    _, before = farm(plan, *own)
    made = [("2027-06-20", "sown zinnia-27-1: 72 seeds, 72-cell tray")]
    _, after = farm(plan, *own, *made, as_of=dt.date(2027, 7, 1))
    (p,) = after.sowings
    # 20 April is in the middle of the three, 17 April three weeks before 8 May, the handbook's middle
    assert p.sow == before.sowings[0].sow == dt.date(2027, 4, 20 if own else 17)
    assert p.done == "zinnia-27-1" and p.lag == (dt.date(2027, 6, 20) - p.sow).days


def test_potting_on_that_would_come_after_hardening_began_is_left_out():
    # handbook's zinnia: planted after 21 to 35 days, hardened off from day 18 on; potting on by common
    # practice falls on day 21
    _, year = farm("zinnia: 60 plants\n")
    kinds = [s.kind for s in year.sowings[0].steps]
    assert "pot" not in kinds and {"harden", "plant"} <= {*kinds}


def test_a_kind_that_may_bloom_in_its_second_year_is_not_called_late():
    # the handbook's foxglove blooms 110 to 400 days from sowing
    _, year = farm("foxglove: 20 plants\n")
    (doubt,) = year.sowings[0].doubts
    assert doubt.startswith("It may be cut only in the year after") and "400 days" in doubt


@pytest.mark.parametrize(
    ("as_of", "years", "ahead"),
    [
        ("2026-11-25", (2027, 2028), 2027),
        ("2027-03-01", (2027, 2028), 2027),
        ("2026-03-01", (2027,), 2027),
        ("2026-11-25", (2026,), 2027),
        ("2026-03-01", (2026,), 2026),
        ("2026-07-31", (), 2026),
        ("2026-08-01", (), 2027),
    ],
)
def test_the_year_ahead_is_the_next_one_even_where_later_ones_are_planned(as_of, years, ahead):
    texts = {f"entries/plans/{y}.yaml": "zinnia: 60 plants\n" for y in years}
    loaded = load_texts(texts, dt.date.fromisoformat(as_of))
    assert coming_year(Learnt(farm_figures(loaded.kept))) == ahead


def test_today_and_due_go_by_a_plan_before_anything_is_sown():
    # the handbook's lisianthus: 17 weeks before 8 May 2027 is 9 January
    learnt, _ = farm("lisianthus: 60 plants\n", as_of=dt.date(2027, 1, 2))
    page = today_page(learnt)
    assert page.template == "start" and page.lead == (
        "Nothing on Saturday 2 Jan 2027, 1 more up to 15 Jan 2027.",
    )
    assert [b.heading for b in page.blocks] == ["Saturday 9 Jan 2027"]
    learnt, _ = farm("lisianthus: 60 plants\n", as_of=dt.date(2026, 12, 2))
    assert today_page(learnt).lead == ("Nothing is due from 2 Dec 2026 to 15 Dec 2026.",)


@pytest.mark.parametrize(
    ("places", "told"),
    [
        ("", ["Some trays have no place yet: write `place: warm shelf` under the kind in the plan."]),
        ("places:\n  shelf: {trays: 4}\n", ["There is room for all of it."]),
        ("places:\n  shelf: {light: lamps}\n",
         ["No room is given for shelf: write `trays: 8` under it in farm.yaml."]),
    ],
)  # fmt: skip
def test_room_is_promised_only_where_it_is_known(places, told):
    where = "  place: shelf\n" if places else ""
    learnt, _ = farm("zinnia:\n  plants: 60\n" + where, settings=FARM + places)
    page = plan_page(learnt, learnt.figures.kept.book.plans[0])
    assert list(next(b for b in page.blocks if b.anchor == "room").words) == told


def test_published_days_of_spring_sowings_are_not_told_of_one_that_winters():
    _, year = farm("sweet pea:\n  plants: 40\n  sow: 18 October 2026\n")
    (p,) = year.sowings
    assert [s.kind for s in p.steps if s.kind not in ("treat", "out")] == ["sow", "look"]
    assert p.doubts == (
        "It winters, and nothing of your own says yet when such a sowing is planted and cut.",
    )


def test_what_crops_yaml_says_is_not_called_published():
    crops = "zinnia:\n  weeks under cover: 4-6\n  days to bloom: 80-100\n"
    _, year = farm("zinnia:\n  plants: 40\n  sow: 1 April\n", crops=crops)
    told = {s.kind: (s.on, s.source) for s in year.sowings[0].steps}
    # 5 weeks and 90 days from 1 April
    assert told["plant"] == (dt.date(2027, 5, 6), "crops.yaml")
    assert told["cut"] == (dt.date(2027, 6, 30), "crops.yaml")
    assert told["look"][1] == "published"


def test_without_crops_yaml_the_handbook_tells_a_kind_from_its_variety():
    _, year = farm(
        "zinnia Brickfield Gold: 40 plants\nsweet pea Tarn: 12 plants\nno such kind: 5 plants\nbells of ireland: 9\n"
    )
    told = [(p.line.crop, p.line.variety) for p in year.sowings]
    assert told == [
        ("zinnia", "Brickfield Gold"),
        ("sweet pea", "Tarn"),
        ("no such kind", ""),
        ("bells of ireland", ""),
    ]
