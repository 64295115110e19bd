"""What must hold of the tables whatever is written, in any order, with any verb."""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit import DAY0, load_texts, tables
from oracle.extras import enriched
from oracle.farm import generate
from oracle.write import write
from traybook.pages.build import build_pages
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures

N = st.sampled_from(["0", "1", "5", "20", "31", "44", "60", "72", "none", "all", "half", "rest"])
FEW = st.integers(1, 60)
CODE = st.sampled_from(["x-26-1", "x-26-2", "y-26-1"])
BACK = st.integers(1, 30)
SHARES = ("germination", "germination_low", "germination_high", "good_share", "cell_stand")


def line(shape: str, *parts):
    return st.builds(shape.format, *parts)


# `resown` and a test of more than were put down are in test_asked_about.py until they are answered.
# {day} is the day some days before the line's own
LINE = st.one_of(
    line("checked {}: {} up", CODE, N),
    line("checked {}: {} up, {} lost to mice", CODE, N, FEW),
    line("checked {}: {} of 72", CODE, FEW),
    line("checked {}: {} cells, {} seedlings", CODE, FEW, FEW),
    line("checked {}: {} sprouted, {} to 72-cell tray", CODE, FEW, FEW),
    line("checked {}: {} alive in bed 1", CODE, N),
    line("checked {}: {} per ft", CODE, FEW),
    line("checked {}: {} of 120 ft alive", CODE, FEW),
    line("checked {}: {} lost in bed 1", CODE, FEW),
    line("moved {}: {} to frame", CODE, N),
    line("pricked out {}: {} into 50s, {} left", CODE, FEW, FEW),
    line("potted on {}: {} from 50s into 9 cm pots", CODE, N),
    line("thinned {}: {} out", CODE, FEW),
    line("thinned {}: to 3/ft", CODE),
    line("planted out {}: {} to bed 1 at 20 cm, 4 rows, {} spare", CODE, N, FEW),
    line("planted out {}: {} to bed 2, {} to bed 3", CODE, FEW, FEW),
    line("{} {}: {}", st.sampled_from(["sold", "gave", "spare"]), CODE, N),
    line("sold {}: {} from bed 1", CODE, FEW),
    line("harvested {}: {} bunches, {} over", CODE, FEW, FEW),
    line("harvested x: {} stems", FEW),
    line("finished {}: {}", CODE, st.sampled_from(["over", "paper", "mice"])),
    line("chilled {}: 2 weeks", CODE),
    line("chilled {}: out, {} sprouted", CODE, FEW),
    line("chilled LAR-25: {}", st.sampled_from(["3 weeks", "out"])),
    line("soaked {}: 24 hours", CODE),
    line("arrived x-26-3: {} plugs, {} dead", FEW, FEW),
    line("received LAR-25: x Mist Tower, {} seeds", FEW),
    line("have LAR-25: {} seeds", FEW),
    line("tested LAR-25: {} of 60", FEW),
    line("sown x: {} seeds, lot LAR-25", FEW),
    line("sown x: like x-26-1, {} per cell", st.integers(1, 3)),
    line("sown x: {} corms", FEW),
    line("corrected {{day}} {}: {} up", CODE, N),
    line("corrected {{day}} {}: {} up, {} lost", CODE, FEW, FEW),
    line("dropped {{day}} {}: the wrong tray", CODE),
    st.just("swapped x-26-1 with x-26-2 since {day}"),
    line("renamed {}: Ash Lane", CODE),
    line("bunch {}", FEW),
    line("bunch x: {}", FEW),
    line("seen {}: aphids, {} of {}", CODE, FEW, FEW),
    line("pinched {}: {}", CODE, FEW),
    st.just("weather: min -2, max 9, 4 mm rain"),
)
SOWN = st.sampled_from(
    [
        "72 seeds",
        "damp paper, 50 seeds",
        "36 cells, 2 per cell",
        "36 cells, 2-3 per cell",
        "72-cell tray",
        "72-cell tray, 1 per cell, lot LAR-25",
        "open tray, 250 seeds",
        "bed 4, 3 rows x 40 ft",
        "2 x 36s, 1 per cell",
        "40 corms",
    ]
)
HISTORY = st.lists(st.tuples(st.integers(1, 60), LINE, BACK), max_size=25)


def rows_of(sown: list[str], history: list[tuple[int, str, int]]):
    """The tables of a farm of three sowings and whatever was written about them."""
    codes = ("x-26-1", "x-26-2", "y-26-1")
    first = "".join(f"sown {c}: {s}\n" for c, s in zip(codes, sown, strict=True))
    texts = {f"entries/{DAY0}.yaml": first}
    for day, text, back in history:
        path = f"entries/{DAY0 + dt.timedelta(days=day)}.yaml"
        before = (DAY0 + dt.timedelta(days=max(0, day - back))).isoformat()
        texts[path] = texts.get(path, "") + text.replace("{day}", before) + "\n"
    return tables(load_texts(texts))


def number(row: dict[str, str], name: str) -> float:
    return float(row[name] or 0)


FARMS = (st.lists(SOWN, min_size=3, max_size=3), HISTORY)


@settings(max_examples=300, deadline=None)
@given(*FARMS)
def test_no_share_lies_outside_nought_and_one(sown, history):
    found = rows_of(sown, history)
    for row in found["sowings.csv"] + found["crops.csv"]:
        for name in SHARES:
            assert not row.get(name) or 0 <= float(row[name]) <= 1, (name, row[name])
        low, high = row["germination_low"], row["germination_high"]
        if low and high:
            assert float(low) <= float(row["germination"] or low) <= float(high)


@settings(max_examples=300, deadline=None)
@given(*FARMS)
def test_what_left_and_what_was_lost_had_come_up(sown, history):
    """Where one tally runs: emerged less lost, taken and missing is what stands, never under 0."""
    found = rows_of(sown, history)
    resown = any("resown" in text for _, text, _ in history)
    for row in found["sowings.csv"]:
        gone = sum(number(row, name) for name in ("lost", "taken", "missing"))
        parted = sum(number(row, name) for name in ("planted_out", "sold", "given", "spare"))
        assert number(row, "good") <= parted
        bought = row["measure"] == "bought in" or row["clock"] == "arrival"
        came = row["seeds"] if bought else row["emerged"]
        if row["seeds_per_cell"] not in ("", "1") or resown or not came:
            continue
        assert gone <= float(came)
        assert number(row, "good") <= float(came)
        assert not row["seeds"] or float(came) <= float(row["seeds"])


@settings(max_examples=200, deadline=None)
@given(*FARMS)
def test_the_tables_add_up_to_one_another(sown, history):
    found = rows_of(sown, history)
    planted, potted, kinds = Counter(), Counter(), defaultdict(Counter)
    for r in found["plantings.csv"]:
        planted[r["code"]] += int(r["plants"])
    for r in found["pottings.csv"]:
        potted[r["code"]] += int(r["plants"]) if r["from"] == "sown" else 0
    for r in found["sowings.csv"]:
        if r["measure"] != "stand":  # what is dug out of a drill and planted elsewhere: asked about
            assert number(r, "planted_out") == planted[r["code"]]
        assert number(r, "potted_on") == potted[r["code"]]
        kind = kinds[r["crop"], r["season"], r["measure"]]
        kind["sowings"] += 1
        for name in ("planted_out", "stems", "good"):
            kind[name] += number(r, name)
    for r in found["crops.csv"]:
        kind = kinds.pop((r["crop"], r["season"], r["measure"]))
        for name, value in kind.items():
            assert number(r, name) == value, name
    assert not kinds
    for lot in found.get("lots.csv", []):
        assert number(lot, "seeds_left") >= 0
        assert number(lot, "tested_sprouted") <= number(lot, "tested_n")


@settings(max_examples=100, deadline=None)
@given(*FARMS)
def test_first_up_half_and_the_rest_come_in_order(sown, history):
    """On whichever clock: never before day 0, and a tenth no later than half than nine tenths."""
    for row in rows_of(sown, history)["sowings.csv"]:
        said = [number(row, n) for n in ("first_up_after", "first_up_by") if row[n]]
        said_half = [number(row, n) for n in ("half_after", "half_by") if row[n]]
        points = [number(row, n) for n in ("tenth_day", "half_day", "ninetieth_day") if row[n]]
        for days in (said, said_half, points):
            assert days == sorted(days) and all(d >= 0 for d in days)


@pytest.mark.parametrize("seed", range(300, 304))
def test_pages_of_any_farm_on_any_day_are_made(tmp_path, seed):
    farm = enriched(seed) if seed % 2 else generate(seed, (40, 60), (2023, 2024, 2025))
    write(farm, tmp_path, seed)
    for day in (dt.date(2025, 4, 10), dt.date(2026, 11, 1)):
        loaded = load(tmp_path, day)
        pages = build_pages(farm_figures(loaded.kept), loaded.findings)
        assert len({p.address for p in pages}) == len(pages) > 10
