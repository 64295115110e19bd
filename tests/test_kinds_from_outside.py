"""Kinds in a season through the front door: published counts in as day files, crops.csv out."""

from __future__ import annotations

import datetime as dt

import pytest
from scipy.optimize import brentq
from scipy.stats import betabinom, chi2_contingency
from statsmodels.stats.proportion import proportion_confint

from kit import load_texts, tables
from outside.data import orobanche

Z = 1.959963984540054


def plates() -> dict[str, list[tuple[int, int]]]:
    """(germinated, of) of each plate, by seed and extract."""
    out: dict[str, list[tuple[int, int]]] = {}
    for seed, root, y, n in orobanche():
        out.setdefault(f"{seed} {root}".lower(), []).append((y, n))
    return out


# source: Crowder 1978, Appl. Statist. 27, 34-37, table 3
PLATES = plates()
# source: Pearson's X2 of the plates of each, worked out in R from the counts
PEARSON = {
    "o75 bean": 9.759542, "o75 cucumber": 8.028288, "o73 bean": 7.736727, "o73 cucumber": 6.126587,
}  # fmt: skip


def written(*seasons, crops=""):
    """crops.csv of day files of (year, crop, [(how it was sown, what a check of it says)])."""
    files: dict[str, list[str]] = {}
    for year, crop, sowings in seasons:
        for how, seen in sowings:
            already = sum(
                f" {crop.replace(' ', '-')}-{year % 100}-" in x
                for x in files.get(f"{year}-03-01", ())
            )
            code = f"{crop.replace(' ', '-')}-{year % 100}-{already + 1}"
            verb = "arrived" if "plugs" in how else "sown"
            files.setdefault(f"{year}-03-01", []).append(f"{verb} {code}: {how}")
            files.setdefault(f"{year}-03-20", []).append(f"checked {code}: {seen}")
            files.setdefault(f"{year}-05-01", []).append(f"finished {code}: done")
    texts = {f"entries/{d}.md": "---\n" + "\n".join(x) + "\n---\n" for d, x in files.items()}
    if crops:
        texts["entries/crops.yaml"] = crops
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


def moments(counts, per_cell=1.0):
    """(A, B, df) of one group of sowings: A from Pearson's X2 by scipy."""
    ups, of = [y for y, _ in counts], sum(n for _, n in counts)
    p, df = sum(ups) / of, len(counts) - 1
    x2 = chi2_contingency([ups, [n - y for y, n in counts]], correction=False).statistic
    b = sum((n - 1) * (1 - n / of) for _, n in counts)
    q = (1 - p) ** (1 / per_cell)
    return x2 - df, b * per_cell**2 * (1 - q) * q ** (per_cell - 1) / p, df


def together(*found):
    return tuple(map(sum, zip((0.0, 0.0, 0), *found, strict=True)))


def shrunk(own, pool, farm, rho=0.08):
    """The kind's drawn to its pool's, that to the farm's, that to what is assumed."""
    for (a, b, df), weight in ((farm, 6), (pool, 10), (own, 8)):
        rho = (df * max(0.0, a / b if b else 0.0) + weight * rho) / (df + weight)
    return rho


@pytest.mark.parametrize("name", PLATES)
def test_pearson_of_the_plates(name):
    assert moments(PLATES[name])[0] + len(PLATES[name]) - 1 == pytest.approx(
        PEARSON[name], abs=1e-6
    )


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
    bean, cucumber = PLATES["o75 bean"], PLATES["o75 cucumber"]
    row = written((2025, "broomrape", seeds(bean)), (2026, "broomrape", seeds(cucumber)))[
        "broomrape", "2026", "up"
    ]
    a, b, df = moments(bean)
    assert a == pytest.approx(PEARSON["o75 bean"] - 4, abs=1e-6) and df == 4
    rho = shrunk((a, b, df), (a, b, df), (a, b, df))
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


def test_kinds_lend_within_their_pool_and_the_farm():
    """Four kinds in 2024, two of which want a treatment; in 2025 each draws on its own and its like."""
    slow = {"o75 cucumber", "o73 cucumber"}
    crops = "".join(f"{c}:\n  pre-treatment: cold 2 weeks\n" for c in sorted(slow))
    first = [(2024, c, seeds(counts)) for c, counts in PLATES.items()]
    # a kind that is new in 2025 has nothing of its own
    later = [(2025, c, seeds([(30, 60), (50, 70)])) for c in (*PLATES, "aster")]
    rows = written(*first, *later, crops=crops)
    parts = {c: moments(counts) for c, counts in PLATES.items()}
    for crop in (*PLATES, "aster"):
        own = parts.get(crop, (0.0, 0.0, 0))
        pool = together(*(m for c, m in parts.items() if (c in slow) == (crop in slow)))
        rho = shrunk(own, pool, together(*parts.values()))
        row = rows[crop, "2025", "up"]
        assert row["spread"] == f"{rho:.4f}"
        low, high = interval([(30, 60), (50, 70)], rho)[1:]
        assert (row["germination_low"], row["germination_high"]) == (f"{low:.4f}", f"{high:.4f}")
        if crop != "aster":
            assert rows[crop, "2024", "up"]["spread"] == "0.0800", "its own season says nothing yet"


@pytest.mark.parametrize("all_say", [True, False])
def test_batches_are_apart_where_all_say_theirs(all_say):
    """Two batches of very unlike germination in one season are two groups; else one."""
    plates = PLATES["o75 bean"], PLATES["o75 cucumber"]
    named = [
        (f"{variety}, {how}" if all_say or variety == "Early" else how, seen)
        for variety, counts in zip(("Early", "Late"), plates, strict=True)
        for how, seen in seeds(counts)
    ]
    rows = written(
        (2024, "bean", named), (2025, "bean", seeds([(30, 60)])),
        crops="bean:\n  varieties: [Early, Late]\n",
    )  # fmt: skip
    own = together(*map(moments, plates)) if all_say else moments([*plates[0], *plates[1]])
    assert rows["bean", "2025", "up"]["spread"] == f"{shrunk(own, own, own):.4f}"


def trays(*counts):
    """(cells, filled, seeds a cell as written)."""
    return [
        (f"{n}-cell tray, {per} per cell", f"{y} {'up' if per == '1' else 'cells'}")
        for n, y, per in counts
    ]


# source: trays of two and three seeds a cell as in the tables of occupied cells
@pytest.mark.parametrize(("per", "k"), [("2", 2), ("3", 3), ("2-3", 2.5)])
def test_cells_teach_how_far_sowings_lie_apart(per, k):
    groups = [(68, 72), (60, 72), (40, 50), (45, 50)]
    rows = written(
        (2024, "stock", trays(*((n, y, per) for y, n in groups))),
        (2025, "stock", seeds([(30, 60)])),
    )
    own = moments(groups, k)
    assert rows["stock", "2025", "up"]["spread"] == f"{shrunk(own, own, own):.4f}"


def test_cells_teach_nothing_where_seeds_were_counted():
    seen = [(20, 60), (40, 60), (50, 70)]
    rows = written(
        (2023, "stock", trays((72, 68, "2"), (72, 40, "2"), (128, 120, "3"), (50, 30, "3"))),
        (2024, "stock", seeds(seen)),
        (2025, "stock", seeds([(30, 60)])),
    )
    cells = together(moments([(68, 72), (40, 72)], 2), moments([(120, 128), (30, 50)], 3))
    assert rows["stock", "2024", "up"]["spread"] == f"{shrunk(cells, cells, cells):.4f}"
    own = moments(seen)
    assert rows["stock", "2025", "up"]["spread"] == f"{shrunk(own, own, own):.4f}"


@pytest.mark.parametrize(
    "groups",
    [
        # as in counts by dilution: ten cells at each filling, the same seeds
        [(10, 3, 1), (10, 6, 2), (10, 9, 4)],
        [(10, 10, 5), (10, 5, 1), (10, 2, 1)],
        [(10, 0, 1), (10, 1, 2), (10, 2, 3)],
        [(10, 10, 6), (10, 10, 4), (10, 9, 2), (10, 6, 1)],
    ],
)
def test_ten_cells_at_each_filling(groups):
    rows = written((2025, "stock", trays(*((n, y, f"{k}") for n, y, k in groups))))
    row = rows["stock", "2025", "up"]
    four = [(n, y, k, k) for n, y, k in groups]
    want = [
        brentq(lambda p, to=to: standing(four, p, 0.08) - to, 2e-5, 1 - 2e-5) for to in (0, Z, -Z)
    ]
    assert [row[f"germination{x}"] for x in ("", "_low", "_high")] == [f"{x:.4f}" for x in want]


def test_fillings_differ_within_a_season_with_a_spread_that_was_learnt():
    bean = PLATES["o75 bean"]
    rows = written(
        (2024, "stock", seeds(bean)),
        (2025, "stock", trays((72, 60, "2"), (128, 120, "3"), (72, 44, "1"), (50, 44, "2-3"))),
    )
    row, own = rows["stock", "2025", "up"], moments(bean)
    rho = shrunk(own, own, own)
    four = [(72, 60, 2, 2), (128, 120, 3, 3), (72, 44, 1, 1), (50, 44, 2, 3)]
    want = [
        brentq(lambda p, to=to: standing(four, p, rho) - to, 1e-4, 1 - 1e-4) for to in (0, Z, -Z)
    ]
    assert row["spread"] == f"{rho:.4f}"
    assert [row[f"germination{x}"] for x in ("", "_low", "_high")] == [f"{x:.4f}" for x in want]


#: How it is sown and what a look says, by measure.
WAYS = {
    "up": ("{n} seeds, open tray", "{y} up"),
    "sprouted": ("{n} seeds, damp paper", "{y} sprouted"),
    "stand": ("{n} seeds, bed 2", "{y} up"),
    "corm": ("{n} corms, in bed 3", "{y} up"),
}


def test_five_measures_of_one_crop_are_five_kinds():
    """Each has its own sums and goes by its own seasons alone; plants bought in have no germination."""
    before = dict(zip(WAYS, PLATES.values(), strict=True))
    now = {"up": (60, 72), "sprouted": (40, 50), "stand": (30, 80), "corm": (12, 30)}
    sown = [
        (
            2025,
            "stock",
            [(how.format(n=n), seen.format(y=y) if y else "none up") for y, n in before[m]],
        )
        for m, (how, seen) in WAYS.items()
    ]
    sown += [
        (2026, "stock", [(how.format(n=now[m][1]), seen.format(y=now[m][0]))])
        for m, (how, seen) in WAYS.items()
    ]
    sown += [(2026, "stock", [("100 plugs", "100 alive")])]
    rows = written(*sown)
    assert {k[1:] for k in rows} == {(y, m) for y in ("2025", "2026") for m in WAYS} | {
        ("2026", "bought in")
    }
    for m, (y, n) in now.items():
        row, own = rows["stock", "2026", m], moments(before[m])
        rho = shrunk(own, own, own)
        assert (row["seeds"], row["emerged"], row["sowings"]) == (f"{n}", f"{y}", "1")
        assert row["spread"] == f"{rho:.4f}"
        low, high = interval([(y, n)], rho)[1:]
        assert (row["germination_low"], row["germination_high"]) == (f"{low:.4f}", f"{high:.4f}")
        old = rows["stock", "2025", m]
        assert (int(old["emerged"]), int(old["seeds"])) == tuple(
            map(sum, zip(*before[m], strict=True))
        )
    assert len({rows["stock", "2026", m]["spread"] for m in WAYS}) == 4
    plugs = rows["stock", "2026", "bought in"]
    assert [plugs[c] for c in ("germination", "germination_low", "spread")] == ["", "", ""]
