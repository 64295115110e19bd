"""How many to sow, seeds in a cell and plants for stems: by hand, by scipy, by published numbers."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from kit import load_texts
from traybook.advice.learnt import Learnt
from traybook.advice.needs import (
    Way,
    cell_filling,
    filling_row,
    need,
    plants_for,
    sized,
    way,
)
from traybook.rollup.farm import farm_figures
from traybook.stats.seeds import Chance, of_cells

AS_OF = dt.date(2027, 1, 10)
# The spread that is assumed where nothing of the farm's own stands behind it. common practice, no source
RHO = 0.08


def farm(lines, as_of=AS_OF, **settings):
    """A farm of day files from (day, lines) pairs."""
    texts: dict[str, str] = {}
    for day, said in lines:
        path = f"entries/{day}.md"
        texts[path] = texts.get(path, "") + said.strip("\n") + "\n"
    texts = {path: f"---\n{body}---\n" for path, body in texts.items()}
    texts |= {f"entries/{name}.yaml": text for name, text in settings.items()}
    loaded = load_texts(texts, as_of)
    assert [f for f in loaded.findings if f.weight in ("error", "pending")] == []
    return Learnt(farm_figures(loaded.kept))


def grown(year, code, how, up, planted=0, unit="up", cut="", day="03-01"):
    """A sowing of that year, counted once, planted out and finished in November."""
    lines = [(f"{year}-{day}", f"sown {code}: {how}"), (f"{year}-03-20", f"checked {code}: {up} {unit}")]  # fmt: skip
    if planted:
        lines.append((f"{year}-05-01", f"planted out {code}: {planted} to bed 1"))
    if cut:
        lines.append((f"{year}-07-01", cut))
    return [*lines, (f"{year}-11-01", f"finished {code}: season over")]


def by_hand(counts, rho, add=0.5):
    """(mean, rho*) of one step: D = 1 + rho (sum n^2/N - 1), ne = N/D, m = (x/D + add)/(ne + 1)."""
    whole = sum(n for _, n in counts)
    d = 1 + rho * (sum(n * n for _, n in counts) / whole - 1)
    ne = whole / d
    v = 1 / (ne + 2)
    return (sum(x for x, _ in counts) / d + add) / (ne + 1), v + rho * (1 - v)


def chain(*steps):
    m = math.prod(s[0] for s in steps)
    e2 = math.prod(p * p + r * p * (1 - p) for p, r in steps)
    return m, (e2 - m * m) / (m * (1 - m))


def least(plants, m, rho, aim):
    """The least number by scipy's beta-binomial, counted up one by one."""
    a, b = m * (1 - rho) / rho, (1 - m) * (1 - rho) / rho
    n = plants
    while stats.betabinom.sf(plants - 1, n, a, b) < aim:
        n += 1
    return n


GUESS = (0.7, 0.25)  # common practice, no source: a kind of which nothing is known
PRACTICE = (0.85, 0.1 + RHO * 0.9)  # 85 in 100, told by as much as eight plants: v = 1/(8 + 2)


# -- published numbers, through the same road --

# Least n with P(Bin(n, p) >= N) >= q for q = .5 and .9. source: computed with scipy 1.17.1
PUBLISHED = {0.6: {10: (16, 21), 72: (120, 132), 200: (333, 353)},
             0.8: {10: (12, 15), 72: (90, 96), 200: (250, 260)},
             0.9: {10: (11, 13), 72: (80, 84), 200: (222, 229)}}  # fmt: skip


@pytest.mark.parametrize("p", PUBLISHED)
def test_without_spread_it_is_the_binomial(p):
    one = Way(Chance(p, 0.0), "seeds", (1, 1), True, 72, True, "")
    for plants, (even, number) in PUBLISHED[p].items():
        got = sized(plants, one)
        assert (got.even, got.number, got.goes) == (even, number, 1)
        assert (got.cells, got.seeds, got.trays) == (number, number, math.ceil(number / 72))
        assert sized(plants, one, 0.5).number == even


def test_two_seeds_a_cell_fill_a_tray_with_twice_as_many():
    """144 seeds for a 72-cell tray at two a cell. common practice, no source"""
    sure = Way(Chance(1.0, 0.0), "cells", (2, 2), True, 72, True, "")
    got = sized(72, sure)
    assert (got.number, got.seeds, got.trays, got.per_cell) == (72, 144, 1, "2")
    # half coming up, two a cell: 3 cells in 4, as the manual's example has it
    half = replace(sure, chance=of_cells(Chance(0.5, 0.0), 2, 2))
    got = sized(54, half)
    want = next(n for n in range(54, 200) if stats.binom.sf(53, n, 0.75) >= 0.9)
    assert (got.number, got.seeds, got.trays) == (want, 2 * want, 2) == (78, 156, 2)


# -- the farm's own, written as day files --


def test_own_sowings_one_after_the_other_by_scipy():
    learnt = farm(grown(2026, "stock-26-1", "72 seeds, 72-cell tray", 60, planted=54))
    m, rho = chain(by_hand([(60, 72)], RHO), by_hand([(54, 60)], RHO))
    got = need(learnt, "stock", 50)
    assert got.number == least(50, m, rho, 0.9) and got.even == least(50, m, rho, 0.5)
    assert (got.goes, got.unit, got.cells, got.seeds) == (1, "seeds", got.number, got.number)
    assert (got.tray, got.trays) == (72, math.ceil(got.number / 72))
    assert got.own and got.why == "your own: 1 sowing"


def test_sown_by_the_cell_it_is_reckoned_by_the_cell():
    learnt = farm(
        grown(2026, "stock-26-1", "72-cell tray, 2 per cell", 66, planted=60, unit="cells")
    )
    m, rho = by_hand([(60, 72)], RHO)
    got = need(learnt, "stock", 40)
    assert got.number == least(40, m, rho, 0.9) and got.unit == "cells" and got.per_cell == "2"
    assert got.seeds == 2 * got.number and got.cells == got.number and got.own
    asked = need(learnt, "stock", 40, per_cell=2)
    assert asked == got, "asked for what is done anyway"


def test_a_range_of_seeds_a_cell_counts_its_middle():
    learnt = farm(
        grown(2026, "stock-26-1", "72-cell tray, 2-3 per cell", 66, planted=60, unit="cells")
    )
    got = need(learnt, "stock", 41)
    assert got.per_cell == "2 to 3" and got.seeds == math.ceil(2.5 * got.number)


@pytest.mark.parametrize("k", [2, 3])
def test_another_filling_is_worked_out_from_a_seed(k):
    learnt = farm(grown(2026, "stock-26-1", "72 seeds, 72-cell tray", 36, planted=30))
    p, rho = by_hand([(36, 72)], RHO, add=0.7)
    # the chance that none of k seeds of a sowing with a beta of its own comes up
    a, b = p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho
    empty = stats.betabinom.pmf(0, k, a, b)
    both = stats.betabinom.pmf(0, 2 * k, a, b)
    icc = (both - empty**2) / (empty * (1 - empty))
    m, r = chain((1 - empty, icc), by_hand([(30, 36)], RHO))
    got = need(learnt, "stock", 40, per_cell=k)
    assert got.even == least(40, m, r, 0.5)
    assert (got.unit, got.per_cell, got.seeds) == ("cells", str(k), k * got.number)
    assert got.own and "36 of 72 seeds" in got.why
    assert got.even < need(learnt, "stock", 40, per_cell=1).even


def test_the_container_of_the_plan_says_the_trays():
    learnt = farm(grown(2026, "stock-26-1", "72 seeds, 72-cell tray", 60, planted=54))
    got = {held: need(learnt, "stock", 100, container=held)
           for held in ("", "128-cell tray", "open tray", "2 in blocks", "direct", "damp paper")}  # fmt: skip
    number = got[""].number
    assert (got[""].tray, got["128-cell tray"].tray) == (72, 128)
    assert got["128-cell tray"].trays == math.ceil(number / 128) < got[""].trays
    assert [(got[h].cells, got[h].trays) for h in ("open tray", "2 in blocks")] == [
        (0, 0),
        (number, 0),
    ]
    for held in ("direct", "damp paper"):
        # another measure: what trays did says nothing of it
        assert (got[held].cells, got[held].trays, got[held].own) == (0, 0, False), held
        assert got[held].seeds == got[held].number and got[held].per_cell == "", held


def test_several_goes_are_trays_of_their_own():
    poor = Way(Chance(0.6, 0.5), "seeds", (1, 1), True, 72, True, "")
    got = sized(50, poor)
    assert got.goes > 1 and got.number % got.goes == 0
    assert got.trays == got.goes * math.ceil(got.number / got.goes / 72)


def test_on_paper_and_direct_by_their_own_measure():
    learnt = farm([
        *grown(2026, "sweet-pea-26-1", "60 seeds, damp paper", 50, planted=45, unit="sprouted"),
        *grown(2026, "nigella-26-1", "100 seeds, direct in bed 2", 60),
    ])  # fmt: skip
    paper, direct = need(learnt, "sweet pea", 30), need(learnt, "nigella", 30)
    m, rho = chain(by_hand([(50, 60)], RHO), by_hand([(45, 50)], RHO))
    assert paper.number == least(30, m, rho, 0.9) and paper.own
    m, rho = chain(by_hand([(60, 100)], RHO, add=0.7), PRACTICE)
    assert direct.even == least(30, m, rho, 0.5) and direct.own
    assert "85 in 100" in direct.why and "common practice" in direct.why
    assert all((n.unit, n.cells, n.tray, n.trays) == ("seeds", 0, 0, 0) for n in (paper, direct))


# -- where the kind has nothing of its own --


def test_a_first_year_farm_goes_by_guesses_that_are_said_to_be():
    got = need(farm([("2026-03-01", "noted: the first day")]), "stock", 50)
    m, rho = chain(GUESS, PRACTICE)
    assert got.even == least(50, m, rho, 0.5) and not got.own
    assert (got.tray, got.unit, got.per_cell) == (72, "seeds", "1")
    for said in ("70 in 100", "which is a guess", "85 in 100", "common practice", "so trays of 72"):
        assert said in got.why
    named = need(
        farm([("2026-03-01", "noted: the first day")]), "stock", 50, container="50-cell tray"
    )
    assert "no tray is named" not in named.why and named.tray == 50


OTHERS = {"aster": 54, "cosmos": 63, "zinnia": 45, "statice": 36, "celosia": 60}


def others(up=OTHERS, planted=0):
    return [x for crop, n in up.items() for x in grown(2025, f"{crop}-25-1", "72 seeds, 72-cell tray", n, planted)]  # fmt: skip


def test_five_other_kinds_lend_what_comes_up():
    told = way(farm(others()), "stock")
    # by hand: shares .75 .875 .625 .5 .8333, mean .716667
    shares = [n / 72 for n in OTHERS.values()]
    m = sum(shares) / 5
    s2 = sum((x - m) ** 2 for x in shares) / 4
    v = s2 * 1.2 / (m * (1 - m))
    want = chain((m, v + RHO * (1 - v)), PRACTICE)
    assert (told.chance.mean, told.chance.rho) == pytest.approx(want)
    assert "72 in 100, as your 5 other kinds came up" in told.why and not told.own
    four = {k: v for k, v in OTHERS.items() if k != "zinnia"}
    assert "which is a guess" in way(farm(others(four)), "stock").why
    # a kind that needs a treatment isn't like kinds that don't
    slow = way(farm(others(), crops="stock:\n  pre-treatment: cold 4 weeks\n"), "stock")
    assert "which is a guess" in slow.why


def test_seasons_still_open_lend_nothing():
    lines = [x for x in others() if "zinnia" not in x[1]]
    lines += [("2026-12-01", "sown zinnia-26-1: 72 seeds"), ("2027-01-05", "checked zinnia-26-1: 45 up")]  # fmt: skip
    assert "which is a guess" in way(farm(lines), "stock").why


def test_the_farm_lends_survival():
    learnt = farm(
        others({"aster": 50}, planted=40) + grown(2026, "stock-26-1", "72 seeds, 72-cell tray", 60)
    )
    got = need(learnt, "stock", 50)
    # 0.8 x as told by eight plants; stock's own 0 of 60 says only that nobody wrote it down
    lent = (0.8, 0.1 + RHO * 0.9)
    m, rho = chain(by_hand([(60, 72)], RHO, add=0.7), lent)
    assert got.even == least(50, m, rho, 0.5) and got.own
    assert "lent by your other kinds, 80 in 100" in got.why and "60 of 72 seeds" in got.why


def test_nothing_ever_came_is_no_number():
    learnt = farm(grown(2026, "stock-26-1", "72 seeds, 72-cell tray", 0))
    got = need(learnt, "stock", 50)
    assert (got.number, got.even, got.cells, got.trays, got.seeds) == (None,) * 5
    assert "none of them came up" in got.why and "0 of 72 seeds" in got.why


def test_the_latest_sowing_says_how_it_is_usually_begun():
    early = grown(2025, "stock-25-1", "60 seeds, damp paper", 50, planted=45, unit="sprouted")
    late = grown(2026, "stock-26-1", "128-cell tray, 1 per cell", 100, planted=90)
    learnt = farm(early + late)
    assert need(learnt, "stock", 50).tray == 128
    assert need(learnt, "stock", 50, measure="sprouted").tray == 0
    assert need(farm(early), "stock", 50).trays == 0


# -- seeds in a cell --


@pytest.mark.parametrize(("p", "filled"), [(0.7, (70, 91, 97)), (0.5, (50, 75, 88))])
def test_cells_with_one_or_more_as_growers_have_it(p, filled):
    """source: 1 - (1 - p)^k; in whole percent as trade notes print it"""
    rows = [filling_row(Chance(p, 0.0), k, 72) for k in (1, 2, 3)]
    assert tuple(math.floor(100 * r.stand + 0.5) for r in rows) == filled


# 72 cells: expected cells with one or more, 5 and 95 % points. source: computed with plain Python
CELLS = {(0.8, 1): (57.6, 52, 63), (0.8, 2): (69.12, 66, 72), (0.6, 2): (60.48, 55, 65),
         (0.9, 3): (71.928, 71, 72), (0.5, 3): (63.0, 58, 67)}  # fmt: skip


@pytest.mark.parametrize(("p", "k"), CELLS)
def test_a_tray_of_72_as_computed_elsewhere(p, k):
    want, low, high = CELLS[p, k]
    row = filling_row(Chance(p, 0.0), k, 72)
    assert 72 * row.stand == pytest.approx(want)
    assert (72 * row.low, 72 * row.high) == pytest.approx((low, high), abs=1e-9)
    assert row.seeds == 72 * k
    # mean seedlings of a cell with one or more is k p / theta, of which one stays
    assert row.thinned == pytest.approx(want * (k * p / (want / 72) - 1))


@given(st.floats(0.02, 0.98), st.floats(0, 0.5))
def test_more_seeds_fill_more_and_waste_more(p, rho):
    rows = [filling_row(Chance(p, rho), k, 72) for k in (1, 2, 3)]
    assert rows[0].stand == pytest.approx(p) and rows[0].thinned == pytest.approx(0, abs=1e-9)
    for less, more in pairwise(rows):
        assert p - 1e-12 <= less.stand <= more.stand <= 1
        assert less.thinned <= more.thinned and less.empty >= more.empty
    for r in rows:
        alike = 1 - (1 - p) ** r.per_cell
        assert r.stand <= alike + 1e-12, "seeds that share their luck fill less"
        assert 0 <= r.low <= r.high <= 1
        assert r.empty + 72 * r.stand == pytest.approx(72)
        assert r.thinned + 72 * r.stand == pytest.approx(r.seeds * p), "each seedling once"


def test_the_table_of_a_kind_goes_by_its_own_count():
    own = cell_filling(farm(grown(2026, "stock-26-1", "72 seeds, 72-cell tray", 36)), "stock")
    assert own.own and own.why == "your own: 1 sowing, 36 of 72 seeds"
    m, _ = by_hand([(36, 72)], RHO, add=0.7)
    assert own.rows[0].stand == pytest.approx(m)
    none = cell_filling(farm([("2026-03-01", "noted: the first day")]), "stock")
    assert not none.own and none.rows[0].stand == 0.7
    cells = farm(grown(2026, "stock-26-1", "72-cell tray, 2 per cell", 60, unit="cells"))
    # by hand: 1 - (1 - 60/72)^(1/2) = .592
    assert "about 59 in 100 seeds, worked out from cells" in cell_filling(cells, "stock").why


# -- plants for stems --


def stems(code, year, n, planted, cut="harvested"):
    return grown(
        year, code, "72 seeds, 72-cell tray", 60, planted=planted, cut=f"{cut} {code}: {n} stems"
    )


def test_plants_for_stems_by_hand():
    learnt = farm(stems("stock-24-1", 2024, 100, 50) + stems("stock-25-1", 2025, 180, 45)
                  + stems("stock-25-2", 2025, 120, 55))  # fmt: skip
    got = plants_for(learnt, "stock", 600)
    # 400 stems of 150 plants; 2024 2.0 a plant, 2025 300 of 100 plants: 3.0
    assert (got.plants, got.low, got.high, got.own) == (225, 200, 300, True)
    assert got.why == "your own: 3 sowings in 2 seasons, 2.7 stems a plant, seasons from 2.0 to 3.0"
    assert got.sowings == (
        ("stock-24-1", 100, 50),
        ("stock-25-1", 180, 45),
        ("stock-25-2", 120, 55),
    )
    one_year = plants_for(
        farm(stems("stock-25-1", 2025, 180, 45) + stems("stock-25-2", 2025, 120, 55)), "stock", 600
    )
    # 300 of 100; by sowings 4.0 and 120/55
    assert (one_year.plants, one_year.low, one_year.high) == (200, 150, 275)
    single = plants_for(farm(stems("stock-25-1", 2025, 180, 45)), "stock", 600)
    assert (single.plants, single.low, single.high) == (150, 150, 150)
    assert "one sowing tells no range" in single.why


def test_a_year_that_gave_nothing_leaves_the_range_open():
    learnt = farm(stems("stock-24-1", 2024, 0, 50) + stems("stock-25-1", 2025, 100, 50))
    got = plants_for(learnt, "stock", 100)
    assert (got.plants, got.low, got.high) == (100, 50, None)


def test_sowings_of_which_stems_stayed_with_the_crop_are_left_out():
    unshared = [("2025-07-02", "harvested stock: 30 stems")]
    mixed = stems("stock-25-1", 2025, 40, 20) + stems("stock-25-2", 2025, 30, 20) + unshared
    sure = stems("stock-24-1", 2024, 100, 50)
    assert plants_for(farm(mixed + sure), "stock", 100).sowings == (("stock-24-1", 100, 50),)
    only = plants_for(farm(mixed), "stock", 140)
    # 70 of 40 plants at least: 1.75
    assert only.at_least and only.plants == 80 and "fewer plants may do" in only.why
    assert "at least 1.8 stems" in only.why


def test_a_sowing_that_is_still_cut_says_nothing_yet():
    lines = [x for x in stems("stock-26-1", 2026, 100, 50) if "finished" not in x[1]]
    assert plants_for(farm(lines, as_of=dt.date(2026, 7, 20)), "stock", 100).own is False
    assert plants_for(farm(lines, as_of=dt.date(2026, 8, 27)), "stock", 100).own is True


def test_the_handbook_has_both_ends_and_the_middle_by_factors():
    learnt = farm([("2026-03-01", "noted: the first day")])
    fact = learnt.figures.kept.book.fact("snapdragon")
    assert fact.stems == (3, 8)  # source: the handbook's row, from memory
    got = plants_for(learnt, "snapdragon", 600)
    assert (got.plants, got.low, got.high, got.own) == (
        math.ceil(600 / math.sqrt(24)),
        75,
        200,
        False,
    )
    assert "3 to 8 stems a plant" in got.why and "published, not your own" in got.why
    assert plants_for(learnt, "toothpick ammi", 100).why.startswith("from memory, no source")
    nothing = plants_for(learnt, "moonwort", 100)
    assert (nothing.plants, nothing.low, nothing.high) == (
        None,
    ) * 3 and "nothing is known" in nothing.why
