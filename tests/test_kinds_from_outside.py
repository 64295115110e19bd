"""Kinds in a season through the front door: published counts in as day files, crops.csv out."""

from __future__ import annotations

import datetime as dt

import pytest
from scipy.optimize import brentq
from scipy.stats import betabinom
from statsmodels.stats.proportion import proportion_confint

from kit import load_texts, tables

Z = 1.959963984540054
# source: Crowder 1978, Appl. Statist. 27, 34-37, table 3: seeds of Orobanche germinated on plates,
# (germinated, of) by seed and extract
PLATES = {
    "aegyptiaca bean": [(10, 39), (23, 62), (23, 81), (26, 51), (17, 39)],
    "aegyptiaca cucumber": [(5, 6), (53, 74), (55, 72), (32, 51), (46, 79), (10, 13)],
    "cernua bean": [(8, 16), (10, 30), (8, 28), (23, 45), (0, 4)],
    "cernua cucumber": [(3, 12), (22, 41), (15, 30), (32, 51), (3, 7)],
}


def written(*seasons):
    """Day files of (year, crop, [(how it was sown, what a check of it says)])."""
    files: dict[str, list[str]] = {}
    for year, crop, sowings in seasons:
        for i, (how, seen) in enumerate(sowings, 1):
            code = f"{crop.replace(' ', '-')}-{year % 100}-{i}"
            files.setdefault(f"{year}-03-01", []).append(f"sown {code}: {how}")
            files.setdefault(f"{year}-03-20", []).append(f"checked {code}: {seen}")
            files.setdefault(f"{year}-05-01", []).append(f"finished {code}: done")
    texts = {f"entries/{d}.md": "---\n" + "\n".join(x) + "\n---\n" for d, x in files.items()}
    loaded = load_texts(texts, dt.date(2027, 6, 1))
    assert loaded.findings == ()
    return {(r["crop"], r["season"], r["measure"]): r for r in tables(loaded)["crops.csv"]}


def seeds(counts):
    return [(f"{n} seeds, open tray", f"{y} up" if y else "none up") for y, n in counts]


def interval(counts, rho):
    """By statsmodels, of the counts divided by their design effect."""
    total, up = sum(n for _, n in counts), sum(y for y, _ in counts)
    d = 1 + rho * (sum(n * n for _, n in counts) / total - 1)
    return up / total, *proportion_confint(up / d, total / d, method="wilson")


@pytest.mark.parametrize("name", PLATES)
def test_plates_as_a_kinds_first_season(name):
    counts = PLATES[name]
    row = written((2025, name, seeds(counts)))[name, "2025", "up"]
    assert (int(row["seeds"]), int(row["emerged"])) == (
        sum(n for _, n in counts), sum(y for y, _ in counts))  # fmt: skip
    assert row["spread"] == "0.0800"
    value, low, high = interval(counts, 0.08)
    got = [row[f"germination{x}"] for x in ("", "_low", "_high")]
    assert got == [f"{x:.4f}" for x in (value, low, high)]


def test_plates_teach_the_next_season_how_far_they_lie_apart():
    """Bean one year, cucumber the next: by hand from the moments of the bean plates."""
    bean, cucumber = PLATES["aegyptiaca bean"], PLATES["aegyptiaca cucumber"]
    row = written((2025, "broomrape", seeds(bean)), (2026, "broomrape", seeds(cucumber)))[
        "broomrape", "2026", "up"
    ]
    n, p = 272, 99 / 272
    # source: Pearson's X2 of the five bean plates is 9.759542 on 4 df (worked out in R from the counts)
    a = 9.759542 - 4
    b = sum((m - 1) * (1 - m / n) for _, m in bean)
    assert sum((y - m * p) ** 2 / (m * p * (1 - p)) for y, m in bean) - 4 == pytest.approx(
        a, abs=1e-6
    )
    own = a / b
    farm = (4 * own + 6 * 0.08) / 10
    pool = (4 * own + 10 * farm) / 14
    rho = (4 * own + 8 * pool) / 12
    assert row["spread"] == f"{rho:.4f}"
    assert [row["germination_low"], row["germination_high"]] == [
        f"{x:.4f}" for x in interval(cucumber, rho)[1:]
    ]


def empty(k, p, rho):
    """The chance that none of k seeds of one sowing comes up, by scipy's beta-binomial."""
    if rho == 0:
        return (1 - p) ** k
    return betabinom.pmf(0, k, p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho)


def fillings(low, high):
    return (low,) if low == high else (low, high)


def standing(groups, p, rho):
    """Score over its standard deviation, slopes by differences."""
    u = v = 0.0
    for n, y, low, high in groups:
        ks = fillings(low, high)
        none = sum(empty(k, p, rho) for k in ks) / len(ks)
        both = sum(empty(a + b, p, rho) for a in ks for b in ks) / len(ks) ** 2
        slope = sum(empty(k, p - 1e-6, rho) - empty(k, p + 1e-6, rho) for k in ks) / len(ks) / 2e-6
        var = none * (1 - none)
        u += (y - n * (1 - none)) * slope / var
        v += n * slope**2 / var * (1 + (n - 1) * (both - none**2) / var)
    return u / v**0.5


@pytest.mark.parametrize(
    "groups",
    [
        # source: trays of group testing worked out for the tables of occupied cells: 68 and 60 of 72 at
        # two seeds, 45 of 50 and 120 of 128 at three
        [(72, 68, 2, 2)],
        [(72, 60, 2, 2), (50, 45, 3, 3)],
        [(72, 60, 2, 2), (128, 120, 3, 3), (72, 44, 1, 1)],
        [(72, 64, 2, 3)],
        [(72, 64, 2, 3), (50, 40, 2, 2), (60, 45, 1, 1)],
        # source: 24 plants with 7 insects each, 3 of them infected: Ornaghi and others 1999 by way of
        # Tebbs & Bilder 2004, JABES 9, 75-90
        [(24, 3, 7, 7)],
    ],
)
def test_cells_of_several_seeds_by_scipy(groups):
    sowings = []
    for n, y, low, high in groups:
        per = f"{low}" if low == high else f"{low}-{high}"
        unit = "cells" if high > 1 else "up"
        sowings.append((f"{n}-cell tray, {per} per cell", f"{y} {unit}"))
    row = written((2025, "stock", sowings))["stock", "2025", "up"]
    assert row["spread"] == "0.0800"
    want = [
        brentq(lambda p, to=to: standing(groups, p, 0.08) - to, 1e-4, 1 - 1e-4) for to in (0, Z, -Z)
    ]
    got = [row[f"germination{x}"] for x in ("", "_low", "_high")]
    assert got == [f"{x:.4f}" for x in want]


def test_every_cell_full_has_a_lower_end_alone():
    row = written((2025, "stock", [("72-cell tray, 2 per cell", "72 cells")]))[
        "stock", "2025", "up"
    ]
    assert row["germination"] == "" and row["germination_high"] == "1.0000"
    low = brentq(lambda p: standing([(72, 72, 2, 2)], p, 0.08) - Z, 1e-4, 1 - 1e-4)
    assert row["germination_low"] == f"{low:.4f}"


def test_five_measures_of_one_crop_are_five_kinds():
    rows = written((2025, "stock", [
        ("72-cell tray, 1 per cell", "60 up"), ("50 seeds, damp paper", "40 sprouted"),
        ("80 seeds, bed 2", "30 up"), ("30 corms, in bed 3", "12 up")]))  # fmt: skip
    got = {m: (int(r["seeds"]), int(r["emerged"])) for (_, _, m), r in rows.items()}
    assert got == {"up": (72, 60), "sprouted": (50, 40), "stand": (80, 30), "corm": (30, 12)}
