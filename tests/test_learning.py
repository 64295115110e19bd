"""What a farm's own history teaches: spread, years, ways, recipes, steps, what to expect, how many."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from kit import load_texts
from traybook.advice.due import due
from traybook.advice.learnt import Learnt
from traybook.advice.seeds import basis, to_sow
from traybook.rollup.compare import comparisons, year_pair
from traybook.rollup.farm import farm_figures
from traybook.rollup.ranking import ranked
from traybook.rollup.recipe import apart_from, differing, separate
from traybook.rollup.steps import largest_drop, steps_of
from traybook.stats.difference import CLEAR, NOT_CLEAR, TOO_FEW
from traybook.stats.proportions import wilson
from traybook.stats.seeds import Chance


def sown(year, code, how, *, emerged, of=72, day=1, more="", at=12):
    """A sowing of March that is counted at two looks and finished."""
    start = dt.date(year, 3, day)
    return {
        start: f"sown {code}: {of} seeds, {how}",
        start + dt.timedelta(days=at - 6): f"checked {code}: {emerged // 2} up",
        start + dt.timedelta(days=at): f"checked {code}: {emerged} up",
        start + dt.timedelta(days=40): f"{more}\nfinished {code}: done".strip(),
    }


def farm(*sowings, as_of=dt.date(2027, 1, 10), crops=""):
    """A farm of day files from such sowings."""
    days = {}
    for one in sowings:
        for day, lines in one.items():
            days.setdefault(day, []).append(lines)
    texts = {f"entries/{d}.md": "---\n" + "\n".join(x) + "\n---\n" for d, x in days.items()}
    if crops:
        texts["entries/crops.yaml"] = crops
    loaded = load_texts(texts, as_of)
    assert [f for f in loaded.findings if f.weight == "error"] == []
    return Learnt(farm_figures(loaded.kept))


def kind(learnt, season):
    return next(k for k in learnt.figures.kinds if k.season == season)


def test_the_first_season_rests_on_the_assumed_spread():
    learnt = farm(sown(2025, "stock-25-1", "72-cell tray", emerged=58))
    k = kind(learnt, 2025)
    assert k.spread.rho == 0.08 and k.spread.assumed
    d = 1 + 0.08 * 71  # by hand: one tray of 72
    assert (k.share.low, k.share.high) == pytest.approx(
        (wilson(58 / d, 72 / d).low, wilson(58 / d, 72 / d).high)
    )
    tray = learnt.figures.sowings["stock-25-1"].up.share
    assert k.share.low < tray.low and tray.high < k.share.high, "a kind is less sure than a tray"


def test_the_spread_comes_from_seasons_before_and_shrinks_by_hand():
    learnt = farm(
        sown(2025, "stock-25-1", "72-cell tray", emerged=60),
        sown(2025, "stock-25-2", "72-cell tray", emerged=36, day=2),
        sown(2026, "stock-26-1", "72-cell tray", emerged=50),
    )
    assert kind(learnt, 2025).spread.rho == 0.08, "a season never uses its own sowings"
    # by hand: p = 96/144 = 2/3; A = 2 (12^2 / (72 x 2/9)) - 1 = 17; B = 2 x 71 x 1/2 = 71
    own = 17 / 71
    whole = (1 * own + 6 * 0.08) / 7
    pool = (1 * own + 10 * whole) / 11
    assert kind(learnt, 2026).spread.rho == pytest.approx((1 * own + 8 * pool) / 9)
    assert not kind(learnt, 2026).spread.assumed


def test_kinds_lend_each_other_only_what_is_over():
    """A tray of this season that still grows changes its own kind alone."""
    open_ = {dt.date(2026, 3, 1): "sown aster-26-1: 72 seeds, 72-cell tray"}
    with_ = farm(sown(2026, "stock-26-1", "72-cell tray", emerged=60),
                 sown(2026, "stock-26-2", "72-cell tray", emerged=20, day=2), open_,
                 {dt.date(2027, 1, 2): "sown aster-27-1: 72 seeds, 72-cell tray"})  # fmt: skip
    spread = with_.figures.spreads.before(("aster", "up"), 2027)
    assert (spread.rho, spread.pool) == (0.08, 0)
    assert with_.figures.spreads.before(("stock", "up"), 2027).own == 1


def test_two_things_changed_and_neither_is_credited():
    learnt = farm(
        sown(2025, "stock-25-1", "72-cell tray, in coir, cover 5 mm, place bench", emerged=8, of=200),
        sown(2025, "stock-25-2", "72-cell tray, in coir, cover 5 mm, place bench", emerged=12, of=200, day=2),
        sown(2026, "stock-26-1", "72-cell tray, in loam, cover 5 mm, place floor", emerged=190, of=200),
        sown(2026, "stock-26-2", "72-cell tray, in loam, cover 5 mm, place floor", emerged=186, of=200, day=2),
    )  # fmt: skip
    (pair,) = learnt.pairs
    assert pair.verdict == CLEAR and pair.difference.low > 0
    assert [c.part for c in separate(pair.changed)] == ["mix", "place"]
    assert all(c.part != "cover" for c in pair.changed)


def test_what_a_place_brings_with_it_is_one_change():
    learnt = farm(
        sown(2025, "stock-25-1", "72-cell tray, place bench, light", emerged=30),
        sown(2026, "stock-26-1", "72-cell tray, place cellar, dark", emerged=60),
    )
    (pair,) = learnt.pairs
    assert {c.part for c in pair.changed} == {"light", "place"}
    assert [c.part for c in separate(pair.changed)] == ["place"]
    assert [c.part for c in apart_from("light", pair.changed)] == ["place"]


def test_one_tray_a_year_is_seldom_clear():
    """58 of 72 against 41 of 72, one tray each: with trays that differ as trays do, nobody can say."""
    learnt = farm(sown(2025, "stock-25-1", "72-cell tray", emerged=41),
                  sown(2026, "stock-26-1", "72-cell tray", emerged=58))  # fmt: skip
    (pair,) = learnt.pairs
    assert pair.verdict in (NOT_CLEAR, TOO_FEW)


def test_measures_are_never_set_side_by_side():
    learnt = farm(
        sown(2025, "stock-25-1", "on damp paper", emerged=60),
        sown(2026, "stock-26-1", "72-cell tray", emerged=20),
    )
    assert learnt.pairs == ()
    paper, tray = learnt.figures.kinds
    with pytest.raises(ValueError, match="sprouted"):
        year_pair(tray, paper, learnt.recipes)
    assert learnt.figures.spreads.before(tray.key, 2027).own == 0


def test_ways_are_compared_within_one_season_only():
    """All in the dark one year and all in the light the next is no comparison of light."""
    apart = farm(sown(2025, "stock-25-1", "72-cell tray, dark", emerged=60),
                 sown(2026, "stock-26-1", "72-cell tray, light", emerged=20))  # fmt: skip
    assert not [c for c in comparisons(apart.figures.kinds, apart.recipes) if c.part == "light"]
    within = farm(sown(2026, "stock-26-1", "72-cell tray, dark", emerged=60),
                  sown(2026, "stock-26-2", "72-cell tray, light", emerged=20))  # fmt: skip
    (found,) = [c for c in comparisons(within.figures.kinds, within.recipes) if c.part == "light"]
    assert {found.one.word, found.other.word} == {"dark", "light"} and found.also == ()
    assert found.strata == 1


def test_what_else_differed_is_named():
    learnt = farm(sown(2026, "stock-26-1", "72-cell tray, dark, in coir", emerged=60),
                  sown(2026, "stock-26-2", "72-cell tray, light, in loam", emerged=20))  # fmt: skip
    found = {c.part: c.also for c in comparisons(learnt.figures.kinds, learnt.recipes)}
    assert found == {"light": ("mix",), "mix": ("light",)}


def test_a_big_lucky_tray_does_not_lead():
    """One tray of 400 at 80 % has less to say than five of 72 at 76 %: trays differ."""
    alone = sown(2026, "stock-26-9", "400 seeds, open tray, dark", emerged=320, of=400,
                 more="planted out stock-26-9: 320 to bed 2")  # fmt: skip
    many = [sown(2026, f"stock-26-{i}", "72-cell tray, light", emerged=55, day=i,
                 more=f"planted out stock-26-{i}: 55 to bed 1") for i in range(1, 6)]  # fmt: skip
    learnt = farm(alone, *many)
    sowings = list(learnt.figures.sowings.values())
    found = ranked(sowings, learnt.recipes, 0.08)
    assert [dict(r.parts)["light"] for r in found if r.share] == ["light", "dark"]
    plain = ranked(sowings, learnt.recipes, 0.0)
    assert [dict(r.parts)["light"] for r in plain if r.share] == ["dark", "light"]


def test_a_recipe_that_failed_stands_last_but_stands():
    learnt = farm(
        sown(2026, "stock-26-1", "72-cell tray, dark", emerged=0),
        sown(2026, "stock-26-2", "72-cell tray, light", emerged=50,
             more="planted out stock-26-2: 50 to bed 1"),
    )  # fmt: skip
    found = ranked(learnt.figures.sowings.values(), learnt.recipes, 0.08)
    assert [(r.good, r.of) for r in found] == [(50, 72), (0, 72)]


def test_the_largest_drop_is_named_only_when_clear():
    learnt = farm(
        sown(
            2026,
            "stock-26-1",
            "72-cell tray",
            emerged=70,
            more="planted out stock-26-1: 20 to bed 1",
        )
    )
    steps = steps_of(learnt.figures.sowings.values(), 0.0)
    assert [(s.name, s.y, s.n) for s in steps] == [
        ("came up", 70, 72), ("good plants", 20, 70), ("planted out", 20, 20)]  # fmt: skip
    assert [s.name for s in largest_drop(steps)] == ["good plants"]
    near = farm(sown(2026, "stock-26-1", "72-cell tray", emerged=60,
                     more="planted out stock-26-1: 48 to bed 1"))  # fmt: skip
    close = largest_drop(steps_of(near.figures.sowings.values(), 0.08))
    assert {s.name for s in close} == {"came up", "good plants"}


def test_sold_plants_are_no_loss():
    learnt = farm(sown(2026, "stock-26-1", "72-cell tray", emerged=70,
                       more="planted out stock-26-1: 20 to bed 1\nsold stock-26-1: 49"))  # fmt: skip
    steps = steps_of(learnt.figures.sowings.values(), 0.0)
    assert all(s.name != "planted out" for s in largest_drop(steps))


def test_give_up_by_own_finished_sowings_of_earlier_seasons():
    learnt = farm(
        sown(2025, "stock-25-1", "72-cell tray", emerged=40, at=12),
        sown(2026, "stock-26-1", "72-cell tray", emerged=40, at=12),
        crops="stock:\n  days to sprout: 20-40\n",
    )
    first, second = (learnt.figures.sowings[f"stock-{y}-1"].up for y in (25, 26))
    assert first.give_up == math.ceil(2 * math.sqrt(800) * 9 ** (1 / 8)), "by crops.yaml"
    # by hand: half (20 of 40) was there at the first look on day 6, so 0.9 x 6; shape 8 borrowed
    assert second.give_up == math.ceil(2 * 5.4 * 9 ** (1 / 8))


def test_without_any_days_it_settles_only_when_finished():
    quiet = {dt.date(2026, 3, 1): "sown zzz-26-1: 72 seeds, 72-cell tray",
             dt.date(2026, 5, 1): "checked zzz-26-1: 40 up", dt.date(2026, 8, 1): "checked zzz-26-1: 40 up",
             dt.date(2026, 9, 1): "checked zzz-26-1: 40 up"}  # fmt: skip
    up = farm(quiet).figures.sowings["zzz-26-1"].up
    assert up.give_up is None and not up.settled
    known = farm(quiet, crops="zzz:\n  days to sprout: 7-14\n").figures.sowings["zzz-26-1"].up
    assert known.settled and known.settled_on == dt.date(2026, 9, 1)


def test_a_tray_under_way_has_a_range_that_narrows():
    lines = {dt.date(2026, 3, 1): "sown stock-26-1: 72 seeds, 72-cell tray"}
    looks = {dt.date(2026, 3, 7): 0, dt.date(2026, 3, 9): 22, dt.date(2026, 3, 12): 50,
             dt.date(2026, 3, 16): 60, dt.date(2026, 3, 20): 61}  # fmt: skip
    wide = []
    for n in range(len(looks) + 1):
        shown = dict(list(looks.items())[:n])
        as_of = max(shown, default=dt.date(2026, 3, 2))
        more = {d: f"checked stock-26-1: {c or 'none'} up" for d, c in shown.items()}
        learnt = farm(lines, more, as_of=as_of, crops="stock:\n  days to sprout: 7-14\n")
        low, middle, high = learnt.expected["stock-26-1"].final
        assert max(shown.values(), default=0) <= low <= middle <= high <= 72
        wide.append(high - low)
    assert wide[0] > 50, "before anything is seen the range is most of the tray"
    # a first look with none up makes it wider: it may be a tray that gives nothing
    assert wide[-1] < 6 and wide[1:] == sorted(wide[1:], reverse=True)


def test_behind_and_late_are_said_on_today():
    start = dt.date(2026, 3, 1)
    slow = {start: "sown stock-26-1: 72 seeds, 72-cell tray",
            dt.date(2026, 3, 20): "checked stock-26-1: 1 up",
            dt.date(2026, 3, 26): "checked stock-26-1: 2 up"}  # fmt: skip
    learnt = farm(slow, as_of=dt.date(2026, 3, 27), crops="stock:\n  days to sprout: 7-14\n")
    assert learnt.expected["stock-26-1"].behind
    found = due(learnt.figures, learnt.as_of, {"stock-26-1"})
    assert [d.kind for d in found if d.on == learnt.as_of] == ["late"]
    sound = dict(slow) | {dt.date(2026, 3, 20): "checked stock-26-1: 41 up",
                          dt.date(2026, 3, 26): "checked stock-26-1: 60 up"}  # fmt: skip
    learnt = farm(sound, as_of=dt.date(2026, 3, 27), crops="stock:\n  days to sprout: 7-14\n")
    assert not learnt.expected["stock-26-1"].behind


def test_days_are_on_the_clock_that_runs_out_of_the_cold():
    """A tray in its cold is not late: days count from the day it came out."""
    cold = {dt.date(2026, 1, 1): "sown larkspur-26-1: 72 seeds, 72-cell tray",
            dt.date(2026, 1, 2): "chilled larkspur-26-1: 4 weeks in the fridge",
            dt.date(2026, 1, 30): "chilled larkspur-26-1: out"}  # fmt: skip
    learnt = farm(cold, as_of=dt.date(2026, 2, 1), crops="larkspur:\n  days to sprout: 14-28\n")
    e = learnt.expected["larkspur-26-1"]
    assert e.look_on == dt.date(2026, 1, 30) + dt.timedelta(days=e.outlook.look)


def test_how_many_to_sow_grows_with_what_is_not_known():
    one = farm(sown(2025, "stock-25-1", "72-cell tray", emerged=60,
                    more="planted out stock-25-1: 54 to bed 1"))  # fmt: skip
    many = farm(*(sown(2025, f"stock-25-{i}", "72-cell tray", emerged=60, day=i,
                       more=f"planted out stock-25-{i}: 54 to bed 1") for i in range(1, 7)))  # fmt: skip
    few, lots = (to_sow(50, basis(x.figures, ("stock", "up")).chance) for x in (one, many))
    assert few.number > lots.number > lots.even >= 50 / (54 / 72) - 3


def test_by_the_cell_when_sown_by_the_cell():
    learnt = farm(
        sown(2025, "stock-25-1", "72-cell tray, 3 per cell", emerged=60, of=216,
             more="planted out stock-25-1: 58 to bed 1")
    )  # fmt: skip
    b = basis(learnt.figures, ("stock", "up"))
    assert b.unit == "cells" and not b.chain


def test_in_goes_where_one_go_is_never_sure():
    assert to_sow(50, Chance(0.6, 0.5)).goes > 1
    assert to_sow(50, Chance(0.8, 0.05)).goes == 1


def test_the_record_counts_only_what_had_something_to_go_by():
    learnt = farm(sown(2025, "zzz-25-1", "72-cell tray", emerged=60,
                       more="planted out zzz-25-1: 54 to bed 1"))  # fmt: skip
    assert (learnt.track.sowings, learnt.track.early.given, learnt.track.late.given) == (0, 0, 0)
    two = farm(sown(2025, "zzz-25-1", "72-cell tray", emerged=60, more="planted out zzz-25-1: 54 to bed 1"),
               sown(2026, "zzz-26-1", "72-cell tray", emerged=62, more="planted out zzz-26-1: 60 to bed 1"))  # fmt: skip
    assert (two.track.sowings, two.track.enough) == (1, 1)
    assert two.track.early.given + two.track.late.given == 1
    bad = farm(sown(2025, "zzz-25-1", "72-cell tray", emerged=60, more="planted out zzz-25-1: 54 to bed 1"),
               sown(2026, "zzz-26-1", "72-cell tray", emerged=2, more="planted out zzz-26-1: 1 to bed 1"))  # fmt: skip
    assert (bad.track.sowings, bad.track.enough) == (1, 0)


def test_differing_needs_both_to_be_told():
    learnt = farm(sown(2025, "stock-25-1", "72-cell tray, dark", emerged=50),
                  sown(2026, "stock-26-1", "72-cell tray", emerged=50))  # fmt: skip
    a, b = (learnt.recipes[c] for c in ("stock-25-1", "stock-26-1"))
    assert [c.part for c in differing([b], [a])] == []


def test_days_differ_as_far_as_the_looks_allow():
    """Half of the later year in (6, 12], of the earlier in (14, 20]: by 2 to 14 days earlier."""
    late = {dt.date(2025, 3, 1): "sown stock-25-1: 72 seeds", dt.date(2025, 3, 15): "checked stock-25-1: 5 up",
            dt.date(2025, 3, 21): "checked stock-25-1: 50 up", dt.date(2025, 5, 1): "finished stock-25-1: done"}  # fmt: skip
    soon = {dt.date(2026, 3, 1): "sown stock-26-1: 72 seeds", dt.date(2026, 3, 7): "checked stock-26-1: 5 up",
            dt.date(2026, 3, 13): "checked stock-26-1: 50 up", dt.date(2026, 5, 1): "finished stock-26-1: done"}  # fmt: skip
    (pair,) = farm(late, soon).pairs
    assert pair.days == (6 - 20, 12 - 14)


def test_no_number_is_made_up_where_nothing_good_ever_came():
    key = ("stock", "up")
    assert basis(farm(sown(2025, "stock-25-1", "72-cell tray", emerged=50)).figures, key) is None
    few = farm(sown(2025, "stock-25-1", "4 seeds, open tray", emerged=3, of=4,
                    more="planted out stock-25-1: 3 to bed 1"))  # fmt: skip
    assert basis(few.figures, key) is None
    assert to_sow(50, Chance(0.2, 0.6)).number is None, "whole sowings fail too often"


def test_cells_and_seeds_of_one_kind_are_expected_in_their_own_terms():
    """60 of 72 cells of two seeds are seeds at .59: a tray of single seeds may not expect 60 of 72."""
    cells = sown(2025, "stock-25-1", "72-cell tray, 2 per cell", emerged=60)
    cells = {d: x.replace(" up", " cells") for d, x in cells.items()}
    under_way = {dt.date(2026, 3, 1): "sown stock-26-1: 72 seeds, open tray\n"
                                      "sown stock-26-2: 72-cell tray, 2 per cell"}  # fmt: skip
    learnt = farm(
        cells, under_way, as_of=dt.date(2026, 3, 2), crops="stock:\n  days to sprout: 7-14\n"
    )
    seeds, filled = (learnt.expected[f"stock-26-{i}"] for i in (1, 2))
    assert (seeds.unit, filled.unit) == ("seeds", "cells")
    assert 36 <= seeds.final[1] <= 50 < filled.final[1] <= 66
    # by hand: 1 - sqrt(12/72) = .592, drawn half a sowing's weight towards .7
    assert 0.59 < seeds.outlook.chance.mean < 0.62
