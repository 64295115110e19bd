"""What to order for a plan, and by when; worked by hand."""

from __future__ import annotations

import datetime as dt

from test_lots import learnt, tray
from traybook.advice.bought import bought, on_order
from traybook.advice.needs import need
from traybook.advice.order import Wanted, orders
from traybook.advice.wanted import wanted
from traybook.records.plans import Plan, PlanLine

CROPS = "zinnia:\n  varieties: [Brickfield Gold, Brickfield Plum]\n"
GOLD = ("zinnia", "Brickfield Gold")
# 80 of 100 seeds up: the planned germination where a need names none
KIND = tray("zinnia-26-1", 100, 80, first="05-01", look="05-20", end="06-20")
GROWN = KIND | {"2026-06-15": "planted out zinnia-26-1: 72 to bed 4"}
LINE = PlanLine(2027, *GOLD, plants=100)


def told(days, *needs, as_of=dt.date(2026, 11, 25)):
    return orders(learnt(days, as_of, CROPS), needs)


def test_two_lots_count_as_many_seeds_as_they_are_worth():
    days = KIND | {
        "2026-01-02": "received ZIN-24: zinnia Brickfield Gold, 130 seeds, packed 2024\n"
        "received ZIN-25: zinnia Brickfield Gold, 50 seeds, packed 2025",
        "2026-11-01": "tested ZIN-24: 15 of 30, in mix, done\ntested ZIN-25: 18 of 20, in mix, done",
    }
    (o,) = told(days, (*GOLD, 120))
    # by hand: 100 left x .5/.8 = 62.5 -> 62; 30 left x .9/.8 = 33.75 -> 33; 120 - 62 - 33 = 25
    assert [(h.lot.lot.lot, h.left, h.stand_for) for h in o.have] == [("ZIN-24", 100, 62), ("ZIN-25", 30, 33)]  # fmt: skip
    assert (o.wanted, o.short, o.over, o.packets) == (120, 25, 0, None)
    (o,) = told(days, (*GOLD, 120, "", 10))
    assert (o.packet, o.packets) == (10, 3)
    (o,) = told(days, (*GOLD, 95))
    assert (o.short, o.over, o.by) == (0, 0, None)
    (o,) = told(days, (*GOLD, 80))
    assert (o.short, o.over, o.packets) == (0, 15, None)


def test_the_planned_germination_may_come_with_the_need():
    days = {"2026-01-02": "received ZIN-25: zinnia Brickfield Gold, 50 seeds",
            "2026-11-01": "tested ZIN-25: 6 of 10, in mix, done"}  # fmt: skip
    (o,) = told(days, Wanted(*GOLD, 60, planned=0.9))
    assert o.have[0].stand_for == 26  # 40 x .6/.9 = 26.67
    (o,) = told(days, Wanted(*GOLD, 60))
    assert o.have[0].stand_for == 40, "with no germination to plan by a seed is a seed"


def test_a_test_on_paper_never_makes_seeds_more_than_they_are():
    days = KIND | {"2026-01-02": "received ZIN-25: zinnia Brickfield Gold, 50 seeds",
                   "2026-11-01": "tested ZIN-25: 10 of 10, on paper, done"}  # fmt: skip
    (o,) = told(days, (*GOLD, 60))
    assert o.have[0].stand_for == 40


def test_packets_are_as_large_as_earlier_ones_and_the_plan_comes_first():
    days = KIND | {"2026-01-02": "received ZIN-25: zinnia Brickfield Gold, 2 packets of 50",
                   "2026-02-02": "finished ZIN-25: thrown"}  # fmt: skip
    assert [(o.short, o.packet, o.packets) for o in told(days, (*GOLD, 101))] == [(101, 50, 3)]
    assert [(o.packet, o.packets) for o in told(days, (*GOLD, 101, "", 200))] == [(200, 1)]
    other = told(days, ("zinnia", "Brickfield Plum", 101))
    assert [(o.packet, o.packets, o.short) for o in other] == [(None, None, 101)]


def test_what_nobody_counted_stands_for_nothing_and_is_named():
    days = KIND | {
        "2026-05-02": "sown zinnia-26-2: Brickfield Gold, lot ZIN-25, 72 seeds, open tray"
    }
    (o,) = told(days, (*GOLD, 60))
    assert o.short == 60 and [(h.lot.lot.lot, h.left) for h in o.have] == [("ZIN-25", None)]


def test_nothing_known_of_how_many_is_said_so():
    (o,) = told({}, ("ammi", "Cowl White", None, "", 100))
    assert (o.wanted, o.short, o.packets, o.over) == (None, None, None, 0)


def test_lines_of_one_variety_share_its_lots_and_a_kind_takes_what_is_over():
    days = KIND | {"2026-01-02": "received ZIN-25: zinnia Brickfield Gold, 100 seeds, tested 80 %",
                   "2026-01-03": "received ZIP-25: zinnia Brickfield Plum, 30 seeds, tested 80 %"}  # fmt: skip
    any_, gold = told(days, ("zinnia", "", 70), (*GOLD, 40), (*GOLD, 30, "ZIN-25"))
    assert (gold.wanted, gold.short, gold.over) == (70, 0, 30)
    # 30 of Gold are over and 30 of Plum there
    assert (any_.wanted, any_.short) == (70, 10)


def test_a_lot_named_for_a_kind_tells_the_variety_and_is_used_first():
    days = KIND | {"2026-01-02": "received ZIN-24: zinnia Brickfield Gold, 50 seeds, tested 80 %, packed 2024",
                   "2026-01-03": "received ZIN-25: zinnia Brickfield Gold, 50 seeds, tested 80 %, packed 2025"}  # fmt: skip
    (o,) = told(days, ("zinnia", "", 120, "ZIN-25"))
    assert o.variety == "Brickfield Gold" and o.short == 20
    assert [h.lot.lot.lot for h in o.have] == ["ZIN-25", "ZIN-24"]


def test_what_is_on_order_counts_until_it_comes():
    ordered = KIND | {"2026-11-03": "ordered zinnia Brickfield Gold: 100 seeds"}
    (o,) = told(ordered, (*GOLD, 130))
    assert (o.short, [c.seeds for c in o.coming]) == (30, [100])
    came = ordered | {
        "2026-11-20": "received ZIN-26: zinnia Brickfield Gold, 100 seeds, tested 80 %"
    }
    (o,) = told(came, (*GOLD, 130))
    assert (o.short, o.coming) == (30, ())
    gone = ordered | {"2026-11-20": "ordered zinnia Brickfield Gold: sold out"}
    (o,) = told(gone, (*GOLD, 130))
    assert (o.short, o.coming) == (130, ())
    assert on_order(learnt(ordered, dt.date(2027, 11, 25)).figures.kept) == (), "forgotten"


# -- by when


def by(days, first=None, as_of=dt.date(2026, 11, 25)):
    (o,) = told(days, Wanted(*GOLD, 60, line=LINE, first=first), as_of=as_of)
    return o.by, o.why, o.past


def test_seed_sold_out_once_is_ordered_two_weeks_before_that_day():
    days = {"2025-02-02": "ordered zinnia Brickfield Gold: 2 packets, sold out, from Hill Seeds"}
    assert by(days) == (dt.date(2027, 1, 19), "sold out on 2 February 2025", False)
    assert by(days, dt.date(2027, 4, 20))[0] == dt.date(2027, 1, 19)
    assert by(days, as_of=dt.date(2027, 1, 20))[2] is True


def test_across_the_years_end():
    early = {"2026-01-05": "ordered zinnia Brickfield Gold: sold out"}
    assert by(early)[0] == dt.date(2026, 12, 22)
    assert by(early, dt.date(2027, 4, 20))[0] == dt.date(2026, 12, 22)
    autumn = {"2025-11-20": "ordered zinnia: sold out"}  # the whole kind
    assert by(autumn, as_of=dt.date(2026, 10, 1))[0] == dt.date(2026, 11, 6)
    leap = {"2024-02-29": "ordered zinnia Brickfield Gold: sold out"}
    assert by(leap)[0] == dt.date(2027, 2, 14)


def test_the_earliest_day_counts_and_another_variety_does_not():
    days = {"2025-02-02": "ordered zinnia Brickfield Gold: sold out",
            "2026-01-20": "received zinnia Brickfield Gold: sold out",
            "2026-01-05": "ordered zinnia Brickfield Plum: sold out"}  # fmt: skip
    assert by(days)[:2] == (dt.date(2027, 1, 6), "sold out on 20 January 2026")


def test_never_later_than_two_weeks_before_it_is_wanted():
    assert by({}, dt.date(2027, 4, 20)) == (
        dt.date(2027, 4, 6),
        "two weeks before it is wanted",
        False,
    )
    late = {"2025-05-10": "ordered zinnia Brickfield Gold: sold out"}
    assert by(late, dt.date(2027, 3, 1))[0] == dt.date(2027, 2, 15)
    assert by({}) == (None, "", False)


def test_what_is_sold_out_this_season_gives_no_day():
    days = {"2027-01-10": "ordered zinnia Brickfield Gold: sold out"}
    (o,) = told(days, Wanted(*GOLD, 60, line=LINE), as_of=dt.date(2027, 2, 1))
    assert o.by is None and [b.what for b in o.told] == ["sold out"]


def test_nothing_to_order_has_no_day():
    days = {"2025-02-02": "ordered zinnia Brickfield Gold: sold out",
            "2026-01-02": "received ZIN-25: zinnia Brickfield Gold, 100 seeds"}  # fmt: skip
    assert by(days) == (None, "", False)


def test_what_was_sent_instead_and_what_was_late_is_told():
    days = {
        "2026-01-03": "ordered zinnia Brickfield Gold: 100 seeds",
        "2026-02-20": "received ZIN-26: zinnia Brickfield Gold, 100 seeds, from Hill Seeds; six weeks late",
        "2026-02-21": "received ZIP-26: zinnia Brickfield Plum, 50 seeds; substituted for Gold",
        "2026-02-22": "received ZIX-26: zinnia, 50 seeds; slate grey seed",
    }
    found = bought(learnt(days, crops=CROPS).figures.kept)
    assert [(b.what, b.variety, b.supplier, b.ordered) for b in found] == [
        ("late", "Brickfield Gold", "Hill Seeds", dt.date(2026, 1, 3)),
        ("substituted", "Brickfield Plum", "", None),
    ]


# -- from a plan


def with_plan(days, *lines, as_of=dt.date(2026, 11, 25)):
    got = learnt(days, as_of, CROPS)
    return got, wanted(got, Plan(2027, lines))


def test_a_plan_wants_what_each_of_its_sowings_needs():
    sow = (dt.date(2027, 4, 20), dt.date(2027, 5, 11))
    line = PlanLine(2027, *GOLD, plants=81, successions=2, sow=sow, packet=50, lot="ZIN-25")
    got, (one, two) = with_plan(GROWN, line)
    assert (one.packet, one.lot, one.first, two.first) == (50, "ZIN-25", *sow)
    assert one.seeds == need(got, "zinnia", 41).seeds and two.seeds == need(got, "zinnia", 40).seeds
    assert one.why == "", "these are the kind's own numbers"
    (o,) = orders(got, (one, two))
    assert o.wanted == one.seeds + two.seeds and o.by == dt.date(2027, 4, 6)


def test_what_is_not_the_farms_own_number_says_so_and_what_nobody_knows_is_none():
    got, (n,) = with_plan({}, PlanLine(2027, "ammi", plants=40))
    assert n.seeds == need(got, "ammi", 40).seeds and n.why == need(got, "ammi", 40).why != ""
    assert orders(got, [n])[0].guess == n.why
    _, (n,) = with_plan({}, PlanLine(2027, "no such kind", stems=400))
    assert n.seeds is None


def test_a_sowing_that_is_made_wants_no_more_seed():
    line = PlanLine(2027, *GOLD, plants=80, sow=(dt.date(2027, 4, 20), dt.date(2027, 5, 11)))
    sown = GROWN | {"2027-04-21": "sown zinnia-27-1: Brickfield Gold, 60 seeds, open tray"}
    _, left = with_plan(sown, line, as_of=dt.date(2027, 4, 25))
    assert [n.first for n in left] == [dt.date(2027, 5, 11)]


def test_seed_that_needs_a_treatment_is_wanted_before_its_sowing():
    sow = (dt.date(2027, 3, 20),)
    got, (n,) = with_plan({}, PlanLine(2027, "eryngium", plants=10, sow=sow))
    days = got.figures.kept.book.fact("eryngium").treatment_days
    assert sow[0] - dt.timedelta(days=days[1]) <= n.first <= sow[0] - dt.timedelta(days=days[0])
    _, (n,) = with_plan({}, PlanLine(2027, "zinnia", plants=10, sow=sow))
    assert n.first == sow[0]


def test_trays_do_not_make_seed_for_a_direct_row_worth_more():
    days = KIND | {"2026-01-02": "received ZIN-25: zinnia Brickfield Gold, 50 seeds",
                   "2026-11-01": "tested ZIN-25: 9 of 10, in mix, done"}  # fmt: skip
    (o,) = told(days, Wanted(*GOLD, 60, planned=0.5, measure="stand"))
    assert o.have[0].stand_for == 40
    (o,) = told(days, Wanted(*GOLD, 60, planned=0.5))
    assert o.have[0].stand_for == 72
