"""The oracle against worked cases."""

from __future__ import annotations

from datetime import date, timedelta

from .events import (
    Bed,
    Checked,
    CropFact,
    Farm,
    Finished,
    Loss,
    Moved,
    Part,
    Parted,
    Place,
    Planted,
    Potted,
    Sown,
    Thinned,
)
from .farm import generate
from .ledger import Book, expected, same
from .write import write

START = date(2026, 3, 1)
CODE = "stock-26-1"


def on(day: int) -> date:
    return START + timedelta(days=day)


def figures(kind: str, container: str, *events, days: int = 400, **sown) -> tuple[dict, dict]:
    """The sowing's row and all tables for one sowing with these events."""
    first = Sown(START, CODE, "stock", kind, container, place="shelf", **sown)
    farm = Farm(
        "Test",
        50,
        (Place("shelf", "lamps"), Place("frame", "window")),
        (Bed("bed 1", 10, "field"),),
        ("jo",),
        (CropFact("stock"),),
        10,
        "stems",
        (first, *events),
    )
    tables = expected(farm, on(days))
    return tables["sowings.csv"][0], tables


def check(day: int, count: int | None = None, lost: int = 0, **more) -> Checked:
    losses = (Loss(lost, "seedlings"),) if lost else ()
    return Checked(on(day), CODE, count=count, losses=losses, **more)


def has(row: dict, **wanted) -> None:
    for key, value in wanted.items():
        assert same(value, row[key]), (key, value, row[key])


def limits(row: dict) -> tuple[int, int]:
    return round(100 * float(row["germination_low"])), round(100 * float(row["germination_high"]))


def cells(n: int, each: int | None, *events, **sown):
    return figures("cells", f"{n}-cell tray", *events, cells=n, per_cell=each, **sown)


def test_case_1_a_loss_explains_a_fall():
    row, _ = cells(72, 1, check(8, 31), check(12, 44, 2))
    has(row, emerged="46", germination="0.6389", lost="2", missing="0", emerged_at_least="false")
    assert limits(row) == (52, 74)


def test_case_2_a_loss_alone_takes_nothing_off_emerged():
    row, _ = cells(72, 1, check(8, 44), check(12, None, 5))
    has(row, emerged="44", lost="5", checks="1", left_out="0")


PAPER = (
    check(5, 8, moves=((8, "72-cell tray"),)),
    check(8, moves=((15, "72-cell tray"),)),
    Checked(on(12), CODE, moves=((9, "72-cell tray"),), losses=(Loss(3, "seeds"),)),
    Finished(on(12), CODE, "15 seeds thrown", where_only="paper"),
)


def test_case_3_paper_moved_at_once():
    row, _ = figures(
        "paper", "damp paper", check(5, 18, moves=((18, "72-cell tray"),)), seeds_said=50
    )
    has(row, emerged="18", germination="0.36", taken="18", potted_on="18", measure="sprouted")
    assert limits(row) == (24, 50)


def test_case_4_paper_in_batches():
    row, _ = figures("paper", "damp paper", *PAPER, seeds_said=50)
    has(row, emerged="32", germination="0.64", half_day="6.60", settled="true", outcome="growing")
    assert limits(row) == (50, 76)


def test_case_6_open_tray_closes():
    row, tables = figures(
        "open",
        "open tray",
        check(6, 90),
        check(9, 172, 4),
        check(11, 180),
        Potted(on(12), CODE, 120, "72-cell tray"),
        check(15, 66, 2),
        Potted(on(16), CODE, 48, "60-cell tray", left=18),
        Parted(on(17), CODE, "spare", 18),
        seeds_said=250,
    )
    has(
        row,
        emerged="192",
        germination="0.768",
        lost="6",
        taken="186",
        spare="18",
        potted_on="168",
        missing="0",
    )
    assert limits(row) == (71, 82)
    assert [r["plants"] for r in tables["pottings.csv"]] == ["120", "48"]


def test_case_7_thinning_is_a_taking():
    row, _ = cells(
        36,
        2,
        check(8, 60, unit="seedlings"),
        Thinned(on(10), CODE, out=26),
        check(14, 36, unit="seedlings"),
    )
    has(
        row,
        emerged="62",
        germination="0.8611",
        germination_estimated="false",
        counted_in="seedlings",
    )
    assert limits(row) == (76, 92)


def test_case_8_losing_a_twin_leaves_the_cell():
    row, _ = cells(32, 2, check(8, 30), Checked(on(10), CODE, losses=(Loss(4),)), check(12, 30))
    has(
        row,
        cells_up="30",
        cell_stand="0.9375",
        germination="0.75",
        emerged="48",
        germination_estimated="true",
    )
    has(row, lost="4")


def test_case_9_seedlings_counted_beat_cells():
    row, _ = cells(32, 2, check(8, 31, seedlings=50))
    has(row, cell_stand="0.9688", germination="0.7812", emerged="50", germination_estimated="false")
    assert limits(row) == (67, 86)


def test_case_10_a_part_moved_stays_where_sown():
    row, tables = cells(
        50, 1, check(8, 41), Moved(on(9), CODE, "frame", "half"), check(12, 23, where="shelf")
    )
    has(row, emerged="43", taken="0")
    assert [(r["stand"], r["up"]) for r in tables["checks.csv"]] == [
        ("sown", "41"),
        ("shelf", "23"),
    ]


def test_case_11_later_losses_leave_emergence():
    bed = (Part(90, "bed 1"),)
    row, tables = cells(
        128,
        1,
        check(8, 100),
        Planted(on(40), CODE, bed),
        Checked(on(50), CODE, losses=(Loss(30, None, "bed 1", "frost"),)),
        Checked(on(60), CODE, alive=60, where="bed 1"),
    )
    has(row, emerged="100", planted_out="90", alive="60", lost="0")
    has(tables["plantings.csv"][0], alive="60")


def test_case_12_a_hop_is_not_counted_twice():
    row, tables = cells(
        128,
        1,
        check(8, 81),
        Potted(on(20), CODE, 78, "50s"),
        Potted(on(40), CODE, 40, "4 in pots", source="50s"),
    )
    has(row, emerged="81", potted_on="78", taken="78")
    assert [(r["plants"], r["from"]) for r in tables["pottings.csv"]] == [
        ("78", "sown"),
        ("40", "50s"),
    ]


def test_case_13_winter_losses():
    row, _ = cells(
        128,
        1,
        check(8, 100),
        Planted(on(40), CODE, (Part(90, "bed 1"),)),
        Checked(on(200), CODE, alive=71),
    )
    has(row, emerged="100", planted_out="90", alive="71")


def test_case_14_one_tray_is_a_sample():
    row, tables = figures(
        "cells",
        "2 x 128-cell tray",
        check(8, 101, of=128, tray=1),
        check(12, 198, of=256),
        cells=256,
        per_cell=1,
        trays=2,
    )
    has(
        row,
        emerged="198",
        germination="0.7734",
        checks="1",
        half_day="",
        half_by="12",
        first_up_by="8",
    )
    assert limits(row) == (72, 82)
    has(tables["checks.csv"][0], sample_of="128", up="101", emerged_so_far="")


def test_more_up_than_sown_is_pending_whole():
    row, _ = cells(72, 1, check(8, 70), check(12, 70, 10), check(14, 60))
    has(row, emerged="70", lost="0", missing="10", left_out="1", emerged_at_least="true")


def test_all_cells_full_is_at_least():
    row, _ = cells(32, 2, check(8, 32))
    has(row, germination="", germination_high="1", emerged="32", emerged_at_least="true")


def test_case_5_alive_in_the_tray():
    row, _ = figures(
        "paper",
        "damp paper",
        *PAPER,
        Checked(on(15), CODE, alive=29, where="72-cell tray"),
        seeds_said=50,
    )
    has(row, emerged="32", alive="29")


def test_generated_farms_close_and_are_the_same_twice(tmp_path):
    for seed in range(12):
        farm = generate(seed)
        assert farm == generate(seed)
        assert set(write(farm, tmp_path / str(seed), seed)) == set(farm.events)
        for history in Book(farm, date(2027, 1, 1)).histories:
            t, s = history.tally, history.state
            lost = 0 if t is s.cells else s.lost
            if not history.many:
                assert t.emerged == t.standing + s.taken + lost + t.missing
            for st in s.stands:
                assert st.came == st.alive + st.lost + st.out + st.missing
                assert st.alive >= 0
                assert st.missing >= 0
        assert expected(farm, date(2025, 5, 1))["sowings.csv"] is not None
