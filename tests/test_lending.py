"""What one count lends to another: seeds to cells, kinds to kinds, and what is too little to lend."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from scipy.stats import betabinom

from kit import load_texts
from traybook.advice.expecting import Outlooks, expected
from traybook.rollup.farm import farm_figures
from traybook.rollup.habits import Borrowed, Pace, borrowed_of
from traybook.stats.seeds import Chance, of_cells


def farm(*acts, as_of):
    """Figures of (day, line)s."""
    files: dict[str, list[str]] = {}
    for day, line in acts:
        files.setdefault(day, []).append(line)
    texts = {f"entries/{d}.md": "---\n" + "\n".join(x) + "\n---\n" for d, x in files.items()}
    loaded = load_texts(texts, dt.date.fromisoformat(as_of))
    assert loaded.findings == ()
    return farm_figures(loaded.kept)


def sowings(year, how, seen, many=4):
    """Sowings of stock that are looked at four times and finished."""
    out = []
    for i in range(1, many + 1):
        code = f"stock-{year % 100}-{i}"
        out.append((f"{year}-03-01", f"sown {code}: {how}"))
        for day, n in zip((9, 11, 14, 20), seen, strict=True):
            out.append((f"{year}-03-{day:02}", f"checked {code}: {n}"))
        out.append((f"{year}-05-01", f"finished {code}: done"))
    return out


@pytest.mark.parametrize(("mean", "rho"), [(0.6, 0.0), (0.6, 0.05), (0.9, 0.2), (0.3, 0.4)])
@pytest.mark.parametrize(("low", "high"), [(1, 1), (2, 2), (3, 3), (2, 3)])
def test_a_cell_by_scipy(mean, rho, low, high):
    def empty(k):
        if rho == 0:
            return (1 - mean) ** k
        return betabinom.pmf(0, k, mean * (1 - rho) / rho, (1 - mean) * (1 - rho) / rho)

    ks = {low, high}
    one = sum(map(empty, ks)) / len(ks)
    both = sum(empty(a + b) for a in ks for b in ks) / len(ks) ** 2
    got = of_cells(Chance(mean, rho), low, high)
    assert got.mean == pytest.approx(1 - one)
    assert got.rho == pytest.approx((both - one**2) / (one * (1 - one)), abs=1e-12)


SEEDS = ("72 seeds, open tray", ("8 up", "24 up", "40 up", "43 up"))
# by hand: of seeds .6 come up (43 of 72), so of cells of two 1 - .4^2 = .84, 60 of 72
CELLS = ("72-cell tray, 2 per cell", ("14 cells", "38 cells", "57 cells", "60 cells"))


@pytest.mark.parametrize("before", [SEEDS, CELLS], ids=["by seeds", "by cells"])
@pytest.mark.parametrize(
    ("now", "unit", "comes"), [(SEEDS, "seeds", 43), (CELLS, "cells", 60)], ids=["seeds", "cells"]
)
def test_what_seeds_did_is_expected_of_cells_in_cells(before, now, unit, comes):
    figures = farm(
        *sowings(2024, *before),
        ("2025-03-01", f"sown stock-25-1: {now[0]}"),
        ("2025-03-09", f"checked stock-25-1: {now[1][0]}"),
        as_of="2025-03-09",
    )
    got = expected(figures.sowings["stock-25-1"], Outlooks(figures), figures.kept.book.as_of)
    assert (got.of, got.unit, got.behind) == (72, unit, False)
    low, middle, high = got.final
    assert low < comes < high and abs(middle - comes) <= 3


def test_survival_is_lent_by_seasons_that_are_over():
    """Trays of aster still growing change what is said of aster, not of stock."""

    def grown(crop, year, ends):
        out = []
        for i, good in enumerate((20, 55, 40), 1):
            code = f"{crop}-{year % 100}-{i}"
            out += [
                (f"{year}-03-01", f"sown {code}: 72 seeds, 72-cell tray"),
                (f"{year}-03-20", f"checked {code}: 60 up"),
                (f"{year}-04-20", f"planted out {code}: {good} to bed 1"),
                (f"{year}-05-20", f"checked {code}: {60 - good} lost to slugs"),
            ]
            if ends:
                out.append((f"{year}-09-01", f"finished {code}: done"))
        return out

    # one tray of the season stands untouched, so that the season is not over
    open_ = [("2026-03-01", "sown statice-26-1: 72 seeds, 72-cell tray")]
    over = farm(*grown("aster", 2026, True), as_of="2026-10-01").spreads
    going = farm(*grown("aster", 2026, True), *open_, as_of="2026-10-01").spreads
    aster, stock = ("aster", "up"), ("stock", "up")
    assert over.survival(stock).rho > 0.08 and over.survival(stock).farm == 2
    assert going.survival(stock).rho == pytest.approx(0.08) and going.survival(stock).assumed
    assert going.survival(aster).own == over.survival(aster).own == 2


def test_a_pair_of_sowings_is_too_little_to_lend():
    """Ten sowings of nine kinds: one pair alone tells how far sowings of a kind lie apart."""
    singles = {(f"kind {i}", "up"): [Pace(10.0, 8.0)] for i in range(8)}
    pair = {("stock", "up"): [Pace(10.0, None), Pace(10.1, None)]}
    assert borrowed_of(singles | pair) == Borrowed(0.22, 8.0, 10)
    # by hand: eleven in pairs a factor e^.2 apart, so each .1 from its mean
    pairs = {
        (f"kind {i}", "up"): [Pace(10.0, 4.0), Pace(10.0 * math.exp(0.2), 4.0)] for i in range(11)
    }
    got = borrowed_of(pairs)
    assert got.s == pytest.approx(math.sqrt(11 * 2 * 0.1**2 / 11)) and got.b == pytest.approx(4.0)


@pytest.mark.parametrize(("up", "day"), [(4, None), (5, 17)])
def test_a_habit_takes_five_that_came_up(up, day):
    acts = [
        ("2024-03-01", "sown zzz-24-1: 72 seeds, open tray"), ("2024-03-08", f"checked zzz-24-1: {up} up"),
        ("2024-05-01", "finished zzz-24-1: done"), ("2025-03-01", "sown zzz-25-1: 72 seeds, open tray"),
    ]  # fmt: skip
    figures = farm(*acts, as_of="2025-03-02")
    # by hand: all up at the first look on day 7, so 6.3; 2 x 6.3 x 9^(1/8) = 16.6
    assert figures.sowings["zzz-25-1"].up.give_up == day
