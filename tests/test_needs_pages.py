"""How many to sow, seeds in a cell and plants for stems, as a crop's page shows them."""

from __future__ import annotations

import pytest

from test_needs import farm, grown, stems
from traybook.advice.needs import need, plants_for, sized, way
from traybook.pages.build import build_pages


def page_of(learnt, crop="stock"):
    return next(p for p in build_pages(learnt.figures) if p.address == f"crops/{crop}.html")


def block(page, anchor):
    return next((b for b in page.blocks if b.anchor == anchor), None)


def rows(table):
    return [dict(zip(table.columns, row, strict=True)) for row in table.rows]


@pytest.fixture(scope="module")
def learnt():
    return farm(
        grown(2026, "stock-26-1", "72-cell tray, 2 per cell", 66, planted=60, unit="cells")
        + grown(2026, "nigella-26-1", "100 seeds, direct in bed 2", 60)
        + stems("zinnia-26-1", 2026, 300, 50)
    )


def test_the_table_says_what_need_says(learnt):
    found = rows(block(page_of(learnt), "to-sow-up").table)
    assert [r["#Good plants"].text for r in found] == ["10", "25", "50", "100", "200"]
    for r in found:
        n = need(learnt, "stock", int(r["#Good plants"].text))
        assert r["Sow, for 9 times in 10"].text.startswith(f"{n.number:,} cells")
        assert r["#Would do 1 time in 2"].text == f"{n.even:,}"
        assert r["#Seeds"].text == f"{n.seeds:,}"
        assert r["Trays"].text.startswith(f"{n.trays} tray") and r["Trays"].text.endswith("of 72")


def test_every_answer_is_worked_out_beforehand(learnt):
    asked = block(page_of(learnt), "to-sow-up").what_if.table
    assert [c[-6:] for c in asked.columns[1:]] == ["(50 %)", "(80 %)", "(90 %)", "(95 %)"]
    how = way(learnt, "stock")
    steps = [int(row[0].text) for row in asked.rows]
    assert steps[0] == 1 and steps[-1] == 300 and steps == sorted(set(steps))
    for row in asked.rows:
        for cell, aim in zip(row[1:], (0.5, 0.8, 0.9, 0.95), strict=True):
            n = sized(int(row[0].text), how, aim)
            assert cell.text.split()[0] == f"{n.number:,}" and f"{n.seeds:,} seeds" in cell.more


def test_direct_rows_have_neither_cells_nor_trays(learnt):
    page = page_of(learnt, "nigella")
    direct = block(page, "to-sow-stand")
    assert direct.table.columns == (
        "#Good plants",
        "Sow, for 9 times in 10",
        "#Would do 1 time in 2",
    )
    assert "common practice, not yours" in direct.words[0]
    assert not [b for b in page.blocks if b.anchor.startswith("filling")]


def test_a_kind_without_history_says_that_it_is_a_guess():
    page = page_of(farm([("2027-01-09", "sown stock-27-1: 72-cell tray, 1 per cell")]))
    assert "70 in 100 coming up, which is a guess" in block(page, "to-sow-up").words[0]
    assert "which is a guess" in block(page, "filling-up").words[0]
    found = rows(block(page, "filling-up").table)
    assert [r["#Seeds for the tray"].text for r in found] == ["72", "144", "216"]
    assert found[0]["Cells with one or more"].text == "about 50 of 72"
    assert all(
        int(r["#Cells without"].text) + int(r["Cells with one or more"].text.split()[1]) == 72 for r in found
    )  # fmt: skip


def test_where_nothing_came_no_number_is_shown():
    page = page_of(farm(grown(2026, "stock-26-1", "72 seeds, 72-cell tray", 0)))
    found = block(page, "to-sow-up")
    assert found.table is None and found.what_if is None and page.scripts == ()
    assert "No number can be relied on" in found.words[1]


def test_plants_for_stems_stand_with_their_sowings(learnt):
    found = block(page_of(learnt, "zinnia"), "stems-to-plants")
    by = {r["#Good stems"].text: r["#Plants"].text for r in rows(found.table)}
    assert by["500"] == f"{plants_for(learnt, 'zinnia', 500).plants}" == "84"  # 6 a plant
    (own,) = rows(found.before)
    assert [c.text for c in own.values()] == ["zinnia-26-1", "300", "50", "6.0"]
    assert (
        block(
            page_of(farm(grown(2026, "moonwort-26-1", "72 seeds", 60)), "moonwort"),
            "stems-to-plants",
        )
        is None
    )
