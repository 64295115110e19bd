"""How figures are said, and what stands on the pages of a made farm of two seasons."""

from __future__ import annotations

import datetime as dt
import doctest
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import ROOT
from kit import load_texts, one_sowing
from traybook.pages import verdicts, words
from traybook.pages.build import build_pages
from traybook.pages.causes import added_up, is_end, one_name
from traybook.pages.closing import losses, sums
from traybook.pages.model import NOTHING
from traybook.rollup.farm import farm_figures
from traybook.stats.proportions import wilson

FARM = {
    "entries/2025-03-01.md": """sown stock-25-1: Iron Rose, 72 seeds, 72-cell tray, warm shelf
sown sweet-pea-25-1: 50 seeds, damp paper
""",
    "entries/2025-03-12.md": """checked stock-25-1: 40 up
checked sweet-pea-25-1: 30 sprouted, 30 to 72-cell tray
lesson stock: keep it cool
""",
    "entries/2025-04-10.md": """planted out stock-25-1: 36 to bed 1 at 20 cm, 4 rows
finished stock-25-1: season over
finished sweet-pea-25-1: season over
""",
    "entries/2026-03-01.md": """sown stock-26-1: Iron Rose, 72 seeds, 72-cell tray, cellar floor
sown stock-26-2: Iron Rose, 4 seeds, was: stock-26-9
""",
    "entries/2026-03-08.md": "checked stock-26-1: 20 up\nchecked stock-26-2: 2 up\n",
    "entries/2026-03-14.md": """checked stock-26-1: 60 up
noted stock-26-1: tall ones at the back
finished stock-26-2: dropped
""",
    "entries/2026-03-20.md": "checked stock-26-1: 90 up\n",
    "entries/2026-04-14.md": """planted out stock-26-1: 50 to bed 1 at 20 cm
finished stock-26-1: season over
harvested stock-26-1: 30 stems
""",
}


def pages_of(texts, own=False, as_of=dt.date(2026, 6, 1)):
    figures = farm_figures(load_texts(texts, as_of, own).kept)
    return {p.address: p for p in build_pages(figures)}


@pytest.fixture(scope="module")
def pages():
    return pages_of(FARM)


def row(page, first, anchor=""):
    """The row of a table that begins with these words, by the names of its columns; of the block with
    an anchor, else of the first."""
    table = next(b for b in page.blocks if not anchor or b.anchor == anchor).table
    cells = next(r for r in table.rows if r[0].text == first)
    return dict(zip(table.columns, (f"{c.text} {c.more}".strip() for c in cells), strict=True))


def facts(page):
    return {f.name: f.value for f in page.facts}


@pytest.mark.parametrize(
    ("k", "n", "said"),
    [
        (58, 72, "58 of 72 (81 %, 70-88)"),
        (0, 20, "0 of 20 (0 %, 0-16)"),
        (20, 20, "20 of 20 (100 %, 84-100)"),
        (1, 1000, "1 of 1,000 (under 1 %, 0.1-1)"),
        # 100 % would be a lie at either end
        (1999, 2000, "1,999 of 2,000 (over 99 %, 99.7-99.9)"),
        (4, 4, "4 of 4"),
        (0, 4, "0 of 4"),
        (5, 5, "5 of 5 (100 %, 57-100)"),
    ],
)
def test_a_share_stands_with_its_counts(k, n, said):
    assert words.share_words(k, n, wilson(k, n)) == said


def test_nought_and_a_hundred_percent_only_when_exactly_so():
    for n in (5, 50, 200, 2000):
        for k in range(n + 1):
            said = words.share_words(k, n, wilson(k, n))
            share = said[said.index("(") + 1 : -1]
            value, ends = share.split(", ")
            low, high = ends.split("-")
            assert (value == "0 %") == (k == 0) == (low == "0"), said
            assert (value == "100 %") == (k == n) == (high == "100"), said


@pytest.mark.parametrize(
    ("sown", "visits", "said"),
    [
        ("72 seeds", (), "not counted"),
        ("72 seeds", ((8, "checked x: none up"),), "0 of 72 (0 %, 0-5)"),
        ("4 seeds", ((8, "checked x: 2 up"),), "2 of 4"),
        ("50 seeds, damp paper", ((5, "checked x: 18 sprouted"),), "18 of 50 (36 %, 24-50)"),
        ("72 seeds", ((8, "checked x: 40 up"), (9, "checked x: 30 up")), "at least 40 of 72 (56 %, 44-66)"),
    ],
)  # fmt: skip
def test_what_came_up_is_said(sown, visits, said):
    assert words.germination(one_sowing(sown, *visits)[1]) == said


def test_an_estimate_from_cells_says_so():
    few = one_sowing("32-cell tray, 2 per cell", (8, "checked x: 24 cells"))[1]
    full = one_sowing("32-cell tray, 2 per cell", (8, "checked x: 32 cells"))[1]
    assert words.germination(few).startswith("about 32 of 64 (50 %, ")
    assert words.germination(few).endswith("estimated from cells")
    assert words.germination(full).startswith("at least ")


def test_measures_have_words_of_their_own():
    assert set(words.NAMES) == set(words.VERBS) == set(words.MEASURES)
    for table in (words.NAMES, words.VERBS, words.MEASURES):
        assert len(set(table.values())) == len(table)
    paper = one_sowing("50 seeds, damp paper", (5, "checked x: 18 sprouted"))[1]
    assert words.short_germination(paper).endswith(", sprouted on paper")


def test_evenness_is_only_as_sharp_as_the_looks():
    two = one_sowing("72 seeds", (5, "checked x: 10 up"), (20, "checked x: 60 up"))[1]
    assert words.evenness(two.up).startswith("within 20 days")
    assert words.evenness(one_sowing("72 seeds")[1].up) == ""


def test_sums_say_where_what_came_up_went():
    # source: worked case 6 of the entry language
    s = one_sowing(
        "250 seeds, open tray",
        (6, "checked x: 90 up"), (8, "checked x: 172 up, 4 lost to mice"), (10, "checked x: 180 up"),
        (12, "pricked out x: 120"), (14, "checked x: 66 up, 2 lost"), (16, "pricked out x: 48, 18 left"),
        (18, "spare x: 18"),
    )[1]  # fmt: skip
    assert sums(s)[0] == (
        "192 seedlings came up = 168 pricked out + 18 spare + 6 lost there + 0 standing"
    )
    assert losses(s.account) == "4 plants to mice; 2 plants, no cause given"


def test_what_was_lost_is_said_plainly():
    s = one_sowing("50 seeds, damp paper", (5, "checked x: 18 sprouted, 18 to 72-cell tray, 2 seeds mouldy"),
                   (9, "finished x: 12 seeds thrown"))[1]  # fmt: skip
    assert losses(s.account).endswith("12 seeds thrown; 2 seeds to mould")
    runts = one_sowing("72 seeds", (8, "checked x: 40 up"), (20, "planted out x: 30 to bed 1, 3 runts"))[1]  # fmt: skip
    assert losses(runts.account) == "3 runts"


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("slugs|a slug|the slugs", "6 plants to slugs"),
        ("Slugs|slugs", "3 plants to slugs"),
        ("mice|a mouse", "3 plants to mice"),
        ("the flea beetles|flea beetle", "3 plants to flea beetles"),
        ("blackflies|a blackfly", "3 plants to blackflies"),
        # one way of writing it stays as it was written
        ("the wet", "1 plant to the wet"),
        ("a hare", "1 plant to a hare"),
        # words that only look like many, and causes that are not one
        ("botrytis|the botrytis", "3 plants to botrytis"),
        ("moss|mosses", "3 plants to mosses"),
        ("slugs|snails", "2 plants to snails; 1 plant to slugs"),
        ("fungus gnats|the gnats", "2 plants to the gnats; 1 plant to fungus gnats"),
    ],
)
def test_one_cause_is_added_up_under_one_name(written, said):
    looks = [
        (9 + n, f"checked x: {n} lost to {cause}") for n, cause in enumerate(written.split("|"), 1)
    ]
    s = one_sowing("72 seeds", (8, "checked x: 60 up"), *looks)[1]
    assert losses(s.account) == said


@given(st.lists(st.tuples(st.integers(0, 99), st.sampled_from(
    ["slugs", "a slug", "the slugs", "mice", "a mouse", "", "the wet", "damping off", "Slugs, mice", "moles"])),
    max_size=12))  # fmt: skip
def test_adding_up_causes_loses_nothing_and_needs_no_order(lost):
    found = added_up(lost)
    assert sum(n for n, _ in found) == sum(n for n, _ in lost)
    assert len({one_name(name) for _, name in found}) == len(found)
    assert added_up(reversed(lost)) == found


@pytest.mark.parametrize(
    ("reason", "over"),
    [
        ("season over", True), ("Season's over.", True), ("finished flowering", True), ("over", True),
        ("done for the year", True), ("gone to seed", True), ("bed wanted", True), ("end of season", True),
        ("seed set", True), ("cut out", True), ("cleared for winter", True), ("all done", True),
        ("mice", False), ("mildew", False), ("frost", False), ("fell over", False), ("nothing came", False),
        ("went over in the heat", False), ("slugs had the rest", False), ("", False),
    ],
)  # fmt: skip
def test_the_end_of_a_crop_is_told_from_what_took_it(reason, over):
    assert is_end(reason) is over


def test_sums_fall_back_to_one_number_where_plants_cannot_be_told_apart():
    s = one_sowing(
        "72 seeds", (8, "checked x: 60 up"), (9, "pricked out x: 50 into 50s"), (12, "sold x: 5 from 50s")
    )[1]  # fmt: skip
    assert sums(s)[0] == "60 seedlings came up = 50 taken + 0 lost there + 10 standing"
    assert "5 taken on" in sums(s)[1]


def test_every_page_has_an_address_of_its_own(pages):
    assert {
        "words-of-an-entry.html",
        "index.html", "crops.html", "sowings.html", "seasons.html", "crops/stock.html", "crops/sweet-pea.html",
        "sowings/stock-25-1.html", "sowings/stock-26-1.html", "sowings/stock-26-2.html", "sowings/stock-26-9.html",
        "sowings/sweet-pea-25-1.html", "seasons/2025.html", "seasons/2026.html",
        "standing-now.html", "by-place.html", "beds.html", "diary.html", "data/columns.html", "what-worked.html",
        "before-sowing.html", "seed.html",
        "cautions.html",
        "frost-and-light.html",
    } == {a for a in pages if not a.startswith("diary/")}  # fmt: skip
    assert pages["sowings/stock-26-9.html"].links[0].to == "sowings/stock-26-2.html"


def test_a_sowing_page(pages):
    page = pages["sowings/stock-26-1.html"]
    assert page.title == "Stock Iron Rose, stock-26-1"
    said = facts(page)
    assert said["Came up"] == "60 of 72 (83 %, 73-90)"
    assert said["First up"] == "by day 7"
    assert said["Half of them up"] == "day 8.5 (between the looks on day 7 and day 13)"
    assert said["Stems"] == "30"
    assert page.sums[0] == "60 seedlings came up = 50 planted out + 0 lost there + 10 standing"
    assert page.sums[1] == "bed 1: 50 went in = 50 not counted since"
    assert [x.text for x in page.links] == [
        "All of stock", "Season 2026", "Sown before it, stock-25-1", "Sown after it, stock-26-2",
    ]  # fmt: skip
    assert page.rests_on == dt.date(2026, 4, 14)


def test_what_was_left_out_is_said_and_shown_at_home_only(pages):
    shared, own = (p["sowings/stock-26-1.html"] for p in (pages, pages_of(FARM, own=True)))
    assert shared.lead[-1] == own.lead[-1] == "1 entry left out of these figures."
    assert all(line.counts for line in shared.lines)
    aside = [line for line in own.lines if not line.counts]
    assert [a.text for a in aside] == ["checked stock-26-1: 90 up"]
    assert aside[0].echo == "waits: more than was sown"


def test_lines_stand_in_the_order_of_days_in_the_growers_words(pages):
    lines = pages["sowings/stock-26-1.html"].lines
    assert [line.on for line in lines] == sorted(line.on for line in lines)
    assert "noted stock-26-1: tall ones at the back" in [line.text for line in lines]
    assert pages["index.html"].lines[0].about.to == "sowings/stock-26-1.html"


def test_a_crop_page_keeps_seasons_apart(pages):
    page = pages["crops/stock.html"]
    assert row(page, "2026")["#Sowings"] == "2"
    # by hand: 72 seeds in one tray and the assumed spread of .08 say as much as 10.8 seeds
    assert row(page, "2025")["Came up"] == "40 of 72 (56 %, 29-80)"
    assert [b.heading for b in page.blocks] == [
        "Season by season", "Year against year", "Plants for so many stems", "How many to sow",
        "Seeds in a cell", "When to look for it",
        "How it came up, year over year", "Recipes, the surest first", "Where they went, step by step",
        "Lessons", "Sowings of 2026", "Sowings of 2025", "Published", "Caution",
    ]  # fmt: skip


def test_a_sum_of_unlike_sowings_shows_how_far_they_lie_apart():
    texts = FARM | {
        "entries/2025-03-02.md": "sown stock-25-2: 50 seeds\nsown stock-25-3: 4 seeds",
        "entries/2025-03-13.md": "checked stock-25-2: 10 up\nchecked stock-25-3: 4 up",
        "entries/2025-04-11.md": "finished stock-25-2: hoed off\nfinished stock-25-3: hoed off",
    }
    # by hand: 40 of 72 = 55.6 %, 10 of 50 = 20 %; the four seeds are too few for a share
    said = "54 of 126 (43 %, 25-63) from 20 % to 56 % by sowing"
    pages = pages_of(texts)
    assert row(pages["crops/stock.html"], "2025")["Came up"] == said
    assert row(pages["seasons/2026.html"], "Stock", "up")["In 2025"] == said
    even = {k: v.replace("10 up", "28 up") for k, v in texts.items()}
    assert row(pages_of(even)["crops/stock.html"], "2025")["Came up"].endswith(
        "56 % in each sowing"
    )


def test_a_crop_page_says_which_year_a_sowing_counts_for(pages):
    def said(page):
        (told,) = [w for w in page.blocks[0].words if w.startswith("A season is")]
        return told

    # common practice, no source: stock is sown in autumn for the next year
    assert "Stock sown after August" in said(pages["crops/stock.html"])
    assert "as is common practice" in said(pages["crops/stock.html"])
    never = {"entries/crops.yaml": "stock:\n  sown late for next year: no\n"}
    told = said(pages_of(FARM | never)["crops/stock.html"])
    assert "stock counts for the year it is sown" in told
    late = {"entries/crops.yaml": "stock:\n  sown late for next year: yes\n"}
    told = said(pages_of(FARM | late)["crops/stock.html"])
    assert "Stock sown after August" in told and "as crops.yaml says" in told
    south = late | {"entries/farm.yaml": "latitude: -33\n"}
    assert "Stock sown after February" in said(pages_of(FARM | south)["crops/stock.html"])


def test_stems_are_at_least_in_every_list():
    texts = FARM | {"entries/2026-04-15.md": "harvested stock: 4 bunches", "entries/2026-04-13.md":
                    "planted out stock-26-2: 2 to bed 2"}  # fmt: skip
    texts["entries/2026-03-14.md"] = "checked stock-26-1: 60 up"
    texts["entries/2026-04-14.md"] = texts["entries/2026-04-14.md"].replace("finished", "noted")
    pages = pages_of(texts)
    assert row(pages["seasons/2026.html"], "Stock", "up")["#Stems"] == "at least 30"
    assert row(pages["crops.html"], "Stock")["#Stems"] == "at least 30"
    assert row(pages["seasons.html"], "Season 2026")["#Stems"] == "at least 30"


def test_a_season_stands_beside_the_one_before(pages):
    late, early = pages["seasons/2026.html"], pages["seasons/2025.html"]
    assert row(late, "Stock", "up")["In 2025"] == "40 of 72 (56 %, 29-80)"
    assert row(late, "Stock", "up")["So"] == "too few to say 26 in 100 more (11 fewer to 56 more)"
    assert "In 2024" not in early.blocks[0].table.columns
    assert early.blocks[0].words == ("In all: 1 sowing; 1 settled, 40 of 72 up; 36 plants planted out.",)  # fmt: skip


def test_measures_are_never_in_one_table_of_a_season(pages):
    page = pages["seasons/2025.html"]
    ways = [b for b in page.blocks if b.anchor in ("up", "sprouted")]
    assert [b.table.columns[2] for b in ways] == ["Came up", "Sprouted on paper"]


def test_nothing_to_say_is_left_out_with_its_heading(pages):
    for page in pages.values():
        assert all(f.value for f in (*page.facts, *page.recipe)), page.address
        for table in (t for b in page.blocks for t in (b.table, b.before) if t):
            for i in range(len(table.columns)):
                assert any(r[i].text != NOTHING for r in table.rows), (page.address, i)


def test_bought_in_plants_have_no_germination():
    s = one_sowing("72 seeds")[1]
    bought = replace(s, account=replace(s.account, sowing=replace(s.sowing, measure="bought in")))
    assert words.germination(bought) == ""
    assert words.short_germination(bought) == "bought in"


def test_an_empty_farm_has_a_kind_first_page():
    pages = pages_of({})
    assert pages["index.html"].template == "empty"
    assert "first sowing" in pages["index.html"].lead[0]


@pytest.mark.parametrize("module", [words, verdicts])
def test_examples_in_the_words_of_the_code_hold(module):
    tried = doctest.testmod(module)
    assert tried.failed == 0 < tried.attempted


def test_every_figure_leads_to_its_paragraph(pages):
    """And the manual has no paragraph that no figure leads to."""
    text = (ROOT / "journal" / "how-figures-are-worked-out.md").read_text("utf-8")
    written = set(re.findall(r"\{#([a-z-]+)\}", text))
    led = {
        how.partition("#")[2]
        for page in pages.values()
        for how in (*(f.how for f in (*page.facts, *page.ahead)), *(b.how for b in page.blocks))
        if how
    }
    assert led <= written
    source = "".join(p.read_text("utf-8") for p in (ROOT / "builder/traybook/pages").glob("*.py"))
    assert set(re.findall(r'figure_anchor\("([a-z-]+)"\)', source)) == written - {"settled"}
