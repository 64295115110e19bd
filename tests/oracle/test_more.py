"""The oracle against cases of the rest of the entry language, worked by hand."""

from __future__ import annotations

from dataclasses import replace

from .events import (
    Bunch,
    Checked,
    Corrected,
    CropFact,
    Density,
    Dropped,
    Farm,
    Harvested,
    Loss,
    Lot,
    Part,
    Parted,
    Planted,
    Renamed,
    Resown,
    SeedTest,
    Sown,
    Stretch,
    Swapped,
    Thinned,
    Treated,
)
from .ledger import expected
from .test_self import CODE, START, check, has, on


def tray(code: str = CODE, day: int = 0, **more) -> Sown:
    more = {"cells": 72, "per_cell": 1, "place": "shelf"} | more
    return Sown(on(day), code, "stock", more.pop("kind", "cells"), "72-cell tray", **more)


STOCK = (CropFact("stock"),)


def tables(*events, crops=STOCK, days: int = 400):
    events = tuple(sorted(events, key=lambda e: e.day))
    return expected(Farm("Test", 50, (), (), ("jo",), crops, 10, "stems", events), on(days))


def rows(*events, **more) -> dict[str, dict]:
    return {r["code"]: r for r in tables(*events, **more)["sowings.csv"]}


def row(*events, **more) -> dict:
    return rows(*events, **more)[CODE]


def bought(n: int, dead: int, *events) -> dict:
    plugs = replace(tray(kind="bought", cells=None, per_cell=None), seeds_said=n, dead=dead)
    return row(plugs, *events)


def test_case_15_plugs():
    got = bought(
        420,
        6,
        Planted(on(10), CODE, (Part(300, "bed 1"),)),
        Parted(on(12), CODE, "sold", 90),
        Parted(on(12), CODE, "spare", 24),
    )
    has(got, good="414", good_share="0.9857", lost="6", clock="arrival", settled="true")
    has(got, emerged="", germination="", half_by="", first_up_by="", measure="bought in")
    has(got, in_germination="false", counted_in="plants")
    got = bought(100, 4, Checked(on(5), CODE, losses=(Loss(3),)))
    has(got, lost="7", good="0", good_so_far="true", good_share="")


def test_more_plugs_than_came_wait():
    got = bought(50, 0, Checked(on(5), CODE, 46), Checked(on(9), CODE, 51))
    has(got, missing="4", left_out="1")


def test_cold_of_a_lot():
    """In on day 0 and out on day 28: 21 days, 28 days, none."""
    lot = "LAR-25"
    cold = (Treated(START, "chilled", lot=lot), Treated(on(28), "chilled", lot=lot, out=True))
    sown = [tray(f"stock-26-{i}", d, lot=lot) for i, d in enumerate((21, 30, 32), 1)]
    got = [(r["treatment"], r["treatment_days"]) for r in rows(*cold, *sown).values()]
    assert got == [("cold", "21.00"), ("cold", "28.00"), ("", "")]
    said = (Treated(START, "chilled", lot=lot, length=(2, "weeks")),)
    sown = [tray(f"stock-26-{i}", d, lot=lot) for i, d in enumerate((10, 17, 18), 1)]
    got = [r["treatment_days"] for r in rows(*said, *sown).values()]
    assert got == ["10.00", "14.00", ""]


def test_the_clock_out_of_the_cold():
    cold = (Treated(on(1), "chilled", CODE), Treated(on(29), "chilled", CODE, out=True))
    got = row(tray(), *cold, check(33, 0), check(37, 30), check(41, 60))
    has(got, clock="out of cold", treatment_days="28", first_up_after="4", first_up_by="8")
    has(got, half_day="8", tenth_day="4.8", ninetieth_day="11.2", mean_days="10")
    has(got, evenness_days="")
    soon = replace(cold[1], sprouted=5)
    got = row(tray(), cold[0], soon, check(37, 33))
    has(got, clock="sown", first_up_by="29", emerged="33", checks="2")


def test_soaked_and_nicked():
    soak = Treated(START, "soaked", CODE, length=(24, "hours"))
    has(row(tray(), soak, Treated(on(1), "nicked", CODE)), treatment="soaked + nicked")
    has(row(tray(), soak, Treated(on(1), "nicked", CODE)), treatment_days="1")
    has(row(tray(), Treated(on(1), "nicked", CODE)), treatment="nicked", treatment_days="")


def test_case_16_a_drill():
    drill = tray(kind="direct", cells=None, per_cell=None, rows=3, length=40)
    events = [
        Density(on(14), CODE, 11),
        Thinned(on(20), CODE, per=3),
        Stretch(on(200), CODE, 70, 120),
    ]
    got = [row(drill, *events[:n])["alive"] for n in range(4)]
    assert got == ["", "1320", "360", "210"]
    has(row(drill, *events), emerged="", first_up_by="14", checks="0", measure="stand")


def test_corrected_dropped_swapped_renamed():
    wrong = (tray(), check(8, 41), check(12, 44, 2))
    fix = Corrected(on(13), CODE, on(8), check(8, 31))
    has(row(*wrong, fix), emerged="46", lost="2", checks="2", mean_days="9.30")
    more = Corrected(on(14), CODE, on(12), check(12, 41, 4))
    has(row(*wrong, fix, more), emerged="45", lost="4")
    has(row(*wrong, fix, days=12), emerged="46", left_out="1", mean_days="8.43")
    gone = (check(9, 60), Parted(on(9), CODE, "sold", 5), Dropped(on(10), CODE, on(9)))
    has(row(tray(), check(8, 31), *gone), emerged="31", sold="0", checks="1")
    other = "stock-26-2"
    both = rows(
        tray(),
        tray(other),
        replace(check(12, 60), code=other),
        check(12, 20),
        Swapped(on(35), CODE, other, on(10)),
    )
    assert (both[CODE]["emerged"], both[other]["emerged"]) == ("60", "20")
    has(row(tray(variety="Low Tide"), Renamed(on(9), CODE, "Ash Lane")), variety="Ash Lane")


def test_bunches_in_time():
    cuts = [Harvested(on(d), "stock", CODE, bunches=2) for d in (90, 100, 105, 120)]
    sizes = (Bunch(on(95), 8), Bunch(on(105), 5, "stock"), Bunch(on(115), 6))
    assert [r["stems"] for r in tables(tray(), *cuts, *sizes)["harvests.csv"]] == [
        "20",
        "16",
        "10",
        "10",
    ]
    own = (CropFact("stock", bunch_size=7),)
    assert {r["stems"] for r in tables(tray(), *cuts, sizes[0], crops=own)["harvests.csv"]} == {
        "14"
    }


def test_blanks_sown_again():
    got = rows(tray(), check(10, 50), Resown(on(14), CODE, 22, 2), check(22, 68))
    has(got[CODE], emerged="50", germination="0.6944", settled="true", cells_up="68")
    has(got[CODE], cell_stand="0.9444", good_share="")
    has(got["stock-26-2"], seeds="44", cells="22", emerged="", good_share="", sown_on="2026-03-15")


def test_a_lot_is_what_came_less_what_went():
    lot = "LAR-25"
    events = (
        Lot(START, lot, "stock", "Low Tide", 500, packed=2024, coating="dressed"),
        SeedTest(on(5), lot, 20, 17, done=True),
        tray(day=20, lot=lot),
        tray("stock-26-2", 30, lot=lot, cells=50, per_cell=2),
    )
    (got,) = tables(*events)["lots.csv"]
    has(got, seeds="500", seeds_left="308", tested_n="20", tested_sprouted="17", dressed="true")
    has(got, age_years="3", received_on="2026-03-01")
    (got,) = tables(*events, Lot(on(60), lot, "stock", "Low Tide", 30, have=True))["lots.csv"]
    has(got, seeds="500", seeds_left="30")


def test_each_plant_is_good_once():
    got = row(
        tray(),
        check(8, 60),
        Planted(on(40), CODE, (Part(60, "bed 1"),)),
        Parted(on(60), CODE, "sold", 10, source="bed 1"),
    )
    has(got, planted_out="60", sold="10", good="60", good_share="0.8333")
