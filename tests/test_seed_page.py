"""The page Seed: what is on it, and what must never be."""

from __future__ import annotations

import datetime as dt
from dataclasses import astuple

from kit import load_texts
from traybook.advice.learnt import Learnt
from traybook.files.package import page_templates
from traybook.files.tree import Files
from traybook.pages.addresses import SEED
from traybook.pages.build import build_pages
from traybook.pages.model import NOTHING, Page
from traybook.pages.seed import seed_page
from traybook.pipeline import load_files
from traybook.render.html import Renderer
from traybook.rollup.farm import farm_figures
from traybook.text.source import Source

AS_OF = dt.date(2026, 11, 25)
DAYS = {
    "2025-01-05": "ordered zinnia Brickfield Gold: 2 packets, sold out, from Hill Seeds",
    "2026-01-02": "received ZIN-22: zinnia Brickfield Gold, 2 packets of 50, from Hill Seeds, packed 2022, cost 1,250\n"
    "received LAR-25: larkspur Mist Tower, 500 seeds, packed 2025, dressed; cost more than last year\n"
    "received COR-25:\n  crop: cornflower\n  seeds: 200\n  cost: 4,75\n"
    "private received STA-25: statice, 300 seeds, packed 2025\n"
    "have OLD-20: stock Pantry Cream, none",
    "2026-05-01": "sown zinnia-26-1: Brickfield Gold, lot ZIN-22, 60 seeds, open tray",
    "2026-05-20": "checked zinnia-26-1: 48 up",
    "2026-06-15": "planted out zinnia-26-1: 45 to bed 4",
    "2026-06-20": "finished zinnia-26-1: done",
    "2026-11-01": "tested LAR-25: 7 of 10, done",
    "2026-11-20": "chilled LAR-25: 100 seeds, moist, in the seed fridge, 3 weeks",
}
PLAN = "zinnia:\n  variety: Brickfield Gold\n  plants: 50\n  sow: 20 April\nammi: 40 plants\n"


def loaded(days, plan="", own=True, as_of=AS_OF):
    files = Files()
    for day, lines in days.items():
        files.days.append(Source(f"entries/{day}.md", f"---\n{lines}\n---\n"))
    if plan:
        files.plans[2027] = Source("entries/plans/2027.yaml", plan)
    return load_files(files, as_of, own)


def page(days=DAYS, **more) -> Page:
    return seed_page(Learnt(farm_figures(loaded(days, **more).kept)))


def block(p: Page, anchor: str):
    return next((b for b in p.blocks if b.anchor == anchor), None)


def row(table, first: str) -> dict[str, str]:
    """One row of a table by its first cell: words and, after a bar, the smaller line."""
    cells = next(r for r in table.rows if r[0].text == first)
    return {
        c: " | ".join(x for x in (v.text, v.more) if x)
        for c, v in zip(table.columns, cells, strict=True)
    }


def test_a_lot_says_what_is_left_how_it_came_up_and_where_it_lies():
    table = block(page(), "seed-larkspur").table
    assert row(table, "LAR-25") == {
        "Lot": "LAR-25",
        "Variety": "Mist Tower",
        "#Packed": "2025 | 1 year old",
        "#Seeds left": "490",
        "To plan by": "70 % | by its test of 2026",
        "Last result": "7 of 10 (70 %, 40-89) on paper | tested, 1 Nov 2026",
        "To mind": "keeps about a year: use it first; dressed with a pesticide: wear gloves, keep it from food, follow its label",
        "In treatment": "in the cold until 11 Dec 2026, seed fridge",
        "Cost": "more than last year",
    }
    assert table.rows[0][0].anchor == "lot-lar-25"


def test_treatments_under_way_have_their_ends():
    table = block(page(), "treatments").table
    assert row(table, "LAR-25")["Until"] == "11 Dec 2026"
    late = block(page(as_of=dt.date(2026, 12, 20)), "treatments").table
    assert row(late, "LAR-25")["Until"] == "11 Dec 2026, overdue"


def test_a_used_up_lot_is_folded_away():
    b = block(page(), "seed-stock")
    assert b.table is None and row(b.before, "OLD-20")["#Seeds left"] == "none"
    assert b.words == ("None in hand.",)


def test_results_over_the_years_stand_together():
    b = block(page(), "over-the-years")
    assert row(b.table, "LAR-25")["Result"] == "7 of 10 (70 %, 40-89) on paper"
    assert row(b.before, "ZIN-22")["#Age"] == "4"


def test_what_was_sold_out_says_when():
    table = block(page(), "earlier-orders").table
    got = row(table, "zinnia Brickfield Gold")
    assert (got["How it went"], got["Day"], got["From"]) == ("sold out", "5 Jan 2025", "Hill Seeds")


def test_what_to_order_for_the_plan():
    b = block(page(plan=PLAN), "order")
    got = row(b.table, "Zinnia Brickfield Gold")
    # 100 less 60 sown are left
    assert got["There is"].startswith("40 of ZIN-22") and "packets of 50" in got["Order"]
    assert got["By"] == "22 Dec 2026 | sold out on 5 January 2025"
    assert got["Before now"] == "sold out, 5 Jan 2025"
    ammi = row(b.table, "Ammi")
    assert "nothing of your own yet" in ammi["#Seeds wanted"], "a guess says that it is one"
    assert ammi["There is"] == "none" and ammi["Order"].endswith(" seeds")
    stems = row(block(page(plan="gorse: 400 stems\n"), "order").table, "Gorse")
    assert (
        stems["#Seeds wanted"]
        == "not known how many to sow | nothing is known of its stems a plant"
    )
    assert stems["Order"] == "your own choice"
    assert block(page(), "order") is None, "without a plan there is nothing to order for"


def test_old_seed_stands_under_test_first():
    days = {"2026-01-02": "received ZIN-12: zinnia Brickfield Gold, 50 seeds, packed 2012"}
    b = block(page(days), "test-first")
    assert row(b.table, "ZIN-12")["Do"] == "test a few seeds first"
    assert b.table.rows[0][0].to == "seed.html#lot-zin-12"


def test_an_unknown_number_is_never_nought():
    days = {"2026-05-01": "sown zinnia-26-1: Brickfield Gold, lot ZIN-25, 60 seeds, open tray"}
    assert row(block(page(days), "seed-zinnia").table, "ZIN-25")["#Seeds left"] == "not known"


def words_of(part: object) -> str:
    return repr(astuple(part))  # type: ignore[call-overload]


def test_nothing_of_cost_and_nothing_private_is_on_the_shared_page():
    own, shared = page(), page(own=False)
    for said in ("1,250", "4,75", "more than last year", "STA-25"):
        assert said in words_of(own), "the case shows what it is to hide"
        assert said not in words_of(shared)
    assert "cost" not in words_of(shared).lower()
    assert row(block(own, "seed-zinnia").table, "ZIN-22")["Cost"] == "1,250"
    assert "Cost" not in block(shared, "seed-zinnia").table.columns
    # the commas of a number go with it
    for e in loaded(DAYS, own=False).book.entries:
        assert not {"250", "75"} & set(e.event.text.replace(",", " ").split()), e.event.text


def test_a_first_year_farm_is_told_how_to_begin():
    for days in ({}, {"2026-03-01": "sown stock-26-1: 72 seeds, open tray"}):
        p = page(days)
        assert p.blocks == () and p.lead[0].startswith("No seed is written down yet")


def test_no_column_is_empty_and_every_link_leads_somewhere():
    for own in (True, False):
        got = loaded(DAYS, PLAN, own)
        pages = build_pages(farm_figures(got.kept))
        seed = next(p for p in pages if p.address == SEED)
        for table in (t for b in seed.blocks for t in (b.table, b.before) if t):
            for i in range(len(table.columns)):
                assert any(r[i].text != NOTHING for r in table.rows), (table.caption, i)
        known = {p.address for p in pages} | {"how-figures-are-worked-out.html"}
        body = Renderer(page_templates(), known).render(seed).body
        assert '<tr id="lot-lar-25">' in body and 'href="crops/zinnia.html"' in body
        sowing = next(p for p in pages if p.address == "sowings/zinnia-26-1.html")
        assert ("Seed lot ZIN-22", "seed.html#lot-zin-22") in {(x.text, x.to) for x in sowing.links}


def test_texts_load_as_the_kit_does():
    texts = {f"entries/{d}.md": f"---\n{x}\n---\n" for d, x in DAYS.items()}
    assert load_texts(texts, AS_OF).kept.seed.lots.keys() == loaded(DAYS).kept.seed.lots.keys()
