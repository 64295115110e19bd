"""What the handbook says on a crop's page, and the page of cautions."""

from __future__ import annotations

import datetime as dt
import doctest
import re

import pytest

from conftest import ROOT
from kit import load_texts
from traybook.files.package import handbook_texts
from traybook.handbook.cautions import NOT_SAFE, read_cautions
from traybook.handbook.facts import read_handbook
from traybook.pages import handbook as page_module
from traybook.pages.build import build_pages
from traybook.rollup.farm import farm_figures

CAUTIONS = read_cautions(handbook_texts()[2])
FIRST_YEAR = {
    "entries/2026-03-01.md": "sown zinnia-26-1: 72 seeds, 72-cell tray\nsown statice-26-1: 72 seeds\n"
    "sown ammi-26-1: 50 seeds\nsown moonwort-26-1: 50 seeds\nsown nigella-26-1: 40 seeds\n"
    "sown marigold-26-1: 40 seeds\nsown cosmos-26-1: 40 seeds\n",
}


def pages_of(texts, own=False):
    figures = farm_figures(load_texts(texts, dt.date(2026, 6, 1), own).kept)
    return {p.address: p for p in build_pages(figures)}


@pytest.fixture(scope="module")
def pages():
    return pages_of(FIRST_YEAR)


def block(page, anchor):
    return next(b for b in page.blocks if b.anchor == anchor)


def said(page):
    """Row by row what the block says: the handbook's cell, what stands under it, the farm's own."""
    table = block(page, "published").table
    out = {}
    for name, *cells in table.rows:
        own = cells[1].text if len(cells) > 1 else "-"
        out[name.text] = (cells[0].text, cells[0].more, own)
    return out


def test_a_first_year_farm_has_everything_from_the_handbook_and_is_told_so(pages):
    page = pages["crops/zinnia.html"]
    published = block(page, "published")
    assert published.heading == "Published"
    assert published.words[0].startswith("Nothing of your own has settled yet")
    assert published.table.columns == ("What", "Published")
    # read off the row of Zinnia by eye; 70-81 F are 21.1-27.2 C, 9-12 in are 22.9-30.5 cm
    assert {name: cell[0] for name, cell in said(page).items()} == {
        "Pre-treatment": "none",
        "Days to sprout": "5-10 days",
        "Temperature": "21-27 °C (70-81 °F)",
        "Light": "dark or either",
        "Depth": "6 mm (0.24 in)",
        "Weeks under cover": "3-5 weeks",
        "Planting out": "from the last frost to 2 weeks after it",
        "First cut": "60-90 days from sowing",
        "Spacing": "23-30 cm (9-12 in)",
        "Stems of a plant": "8-30 stems",
        "Cut when": "fully open and neck stiff (shake test)",
        "Sown late for next year": "no",
    }
    sources = published.after
    assert sources[0].startswith(
        "Source: 70 F, 5-7 days, 5 weeks, dark: Iowa State Univ. Extension"
    )
    assert sources[-1] == "All else: from memory."
    assert said(page)["Sown late for next year"][1] == "common practice"


def test_what_is_from_memory_is_never_called_published(pages):
    marigold = block(pages["crops/marigold.html"], "published")
    assert marigold.heading == "From memory"
    assert marigold.table.columns[1] == "From memory"
    assert marigold.after == ("Source: from memory; none of it was looked up.",)


def test_both_sides_of_a_dispute_stand_with_their_sources(pages):
    assert said(pages["crops/zinnia.html"])["Temperature"][1] == (
        "published, disputed: 70 F (21 C) (Iowa State University Extension, annual flower seed "
        "germination guide) / 75-81 F (24-27 C) (Chong and others, Germination and Emergence, in the "
        "Handbook of Plant and Crop Physiology, Table 2)"
    )
    statice = said(pages["crops/statice.html"])
    for name, one, other in (
        ("Days to sprout", "7-10 days", "14-18 days"),
        ("Light", "lightly covered", "dark"),
    ):
        told = statice[name][1]
        assert re.fullmatch(rf"published, disputed: {one} \(.+\) / {other} \(.+\)", told), name
    cosmos = said(pages["crops/cosmos.html"])
    assert not any("disputed" in more for _, more, _ in cosmos.values())


def test_every_dispute_of_the_table_reaches_a_row_of_a_page():
    """A figure under a name that no row has would be lost."""
    kinds = read_handbook(*handbook_texts())
    crops = ("celosia", "statice", "zinnia", "strawflower", "nigella", "gaillardia", "echinacea",
             "asclepias", "sweet pea", "ageratum")  # fmt: skip
    texts = {
        "entries/2026-03-01.md": "".join(
            f"sown {c.replace(' ', '-')}-26-1: 50 seeds\n" for c in crops
        )
    }
    pages, seen = pages_of(texts), 0
    for crop in crops:
        rows = said(pages[f"crops/{crop.replace(' ', '-')}.html"])
        for d in kinds.of([crop]).disputed:
            seen += 1
            more = rows[d.figure.capitalize()][1]
            assert f"{d.one} ({d.source_one}) / {d.other} ({d.source_other})" in more, d
    assert seen == 14


OWN = {
    "entries/crops.yaml": "zinnia:\n  days to bloom: 55-70\n  stems per plant: 5\n  weeks under cover: 4\n"
    "  plant out: -1 to 1\n  spacing: 9 in\n  pre-treatment: none\n  sown late for next year: no\n"
    "moonwort:\n  days to bloom: 80\n",
}


def test_own_facts_stand_beside_the_published_ones():
    rows = said(pages_of(FIRST_YEAR | OWN)["crops/zinnia.html"])
    assert {name: cell[2] for name, cell in rows.items() if cell[2] != "-"} == {
        "First cut": "yours: 55-70 days from sowing",
        "Stems of a plant": "yours: 5 stems",
        "Weeks under cover": "yours: 4 weeks",
        "Planting out": "yours: 1 week before to 1 week after the last frost",
        "Spacing": "yours: 23 cm (9 in)",
        "Pre-treatment": "yours: none",
        "Sown late for next year": "yours: no",
    }
    assert rows["First cut"][0] == "60-90 days from sowing", "the handbook's stays to be seen"


def test_inches_come_first_where_the_farm_has_them():
    texts = FIRST_YEAR | {"entries/farm.yaml": "units: imperial\n"}
    rows = said(pages_of(texts)["crops/zinnia.html"])
    assert rows["Temperature"][0] == "70-81 °F (21-27 °C)"
    assert rows["Spacing"][0] == "9-12 in (23-30 cm)"


def test_a_kind_the_handbook_lacks_says_what_to_do(pages):
    lacking = block(pages["crops/moonwort.html"], "published")
    assert "spellings" in lacking.words[0] and lacking.table is None
    own = block(pages_of(FIRST_YEAR | OWN)["crops/moonwort.html"], "published").table
    assert own.columns == ("What", "In crops.yaml")
    assert [[c.text for c in r] for r in own.rows] == [["First cut", "yours: 80 days from sowing"]]


def test_two_rows_of_one_name_are_named(pages):
    words = block(pages["crops/ammi.html"], "published").words
    assert "False Queen Anne's lace and Toothpick ammi" in words[1]


def test_own_history_stands_before_it():
    texts = {
        "entries/2025-03-01.md": "sown zinnia-25-1: 72 seeds, 72-cell tray\n",
        "entries/2025-03-12.md": "checked zinnia-25-1: 60 up\n",
        "entries/2025-04-12.md": "planted out zinnia-25-1: 60 to bed 1\nfinished zinnia-25-1: over\n",
    }
    page = pages_of(texts)["crops/zinnia.html"]
    anchors = [b.anchor for b in page.blocks]
    assert anchors[-2:] == ["published", "caution"]
    assert anchors.index("seasons") < anchors.index("sowings-2025") < anchors.index("published")
    assert block(page, "published").words[0].startswith("Your own history stands above")


# -- cautions


def test_a_kind_carries_its_caution_with_its_source(pages):
    ammi = block(pages["crops/ammi.html"], "caution")
    assert ammi.words == (
        "Sap phototoxic (furanocoumarins): burns with sun.",
        "Source: phototoxicity: encyclopaedia article on Ammi majus citing the dermatology literature.",
        NOT_SAFE,
    )
    assert [(r[0].text, r[0].to) for r in ammi.table.rows] == [
        ("Sap that burns in sunlight", "cautions.html#sun-and-sap"),
        ("All cautions", "cautions.html"),
    ]


def test_no_caution_is_no_promise(pages):
    for crop in ("cosmos", "moonwort"):
        caution = block(pages[f"crops/{crop}.html"], "caution")
        assert caution.words == (f"None is noted for {crop}.", NOT_SAFE)
    assert "does not mean it is safe" in NOT_SAFE
    nigella = block(pages["crops/nigella.html"], "caution")
    assert nigella.words[0] == "Seed not for eating."


def test_every_crop_page_leads_to_the_cautions(pages):
    crops = [p for a, p in pages.items() if a.startswith("crops/")]
    assert len(crops) == 7
    assert all("cautions.html" in [link.to for link in p.links] for p in crops)


def test_the_page_of_cautions_has_each_with_its_source(pages):
    page = pages["cautions.html"]
    assert NOT_SAFE in page.lead[0]
    assert page.nav == "Cautions"
    assert "poison line" in page.lead[2] and "label" not in page.lead[2]
    told = page.blocks[1:]
    assert [b.anchor for b in told] == [c.anchor for c in CAUTIONS]
    assert all(b.words[-1].startswith("Source: ") and len(b.words) > 1 for b in told)
    # the hazards that the trade's notes name
    assert {b.anchor for b in told} >= {
        "treated-seed", "food-fridge", "poisonous", "sun-and-sap", "milky-sap", "allergy", "dust",
        "legionella", "bleach", "electricity", "furnace-room", "heat", "ladders", "re-entry",
        "children-and-pets",
    }  # fmt: skip


def test_the_kinds_grown_here_that_carry_one_are_listed(pages):
    kinds = pages["cautions.html"].blocks[0]
    # zinnia and cosmos have none in the table, moonwort is not in it
    assert [r[0].text for r in kinds.table.rows] == ["Ammi", "Marigold", "Nigella", "Statice"]
    assert kinds.table.rows[0][0].to == "crops/ammi.html#caution"
    assert NOT_SAFE in kinds.words[0]
    none = pages_of({"entries/2026-03-01.md": "sown cosmos-26-1: 20 seeds\n"})["cautions.html"]
    assert none.blocks[0].table is None and NOT_SAFE in none.blocks[0].words[0]


def test_a_private_kind_is_not_on_the_shared_page():
    texts = {
        "entries/2026-03-01.md": "private sown castor-bean-26-1: 20 seeds\nsown ammi-26-1: 5 seeds\n"
    }
    shared, own = (pages_of(texts, own)["cautions.html"].blocks[0] for own in (False, True))
    assert [r[0].text for r in shared.table.rows] == ["Ammi"]
    assert [r[0].text for r in own.table.rows] == ["Ammi", "Castor bean"]


def test_every_hazard_of_the_table_leads_to_a_caution():
    kinds = read_handbook(*handbook_texts())
    names = re.findall(r'^"?([^,"]+)', handbook_texts()[0], re.MULTILINE)[1:]
    hazards = {f.hazard for n in names if (f := kinds.of([n])) and f.hazard}
    assert len(hazards) > 30
    assert not [h for h in hazards if not any(c.meets(h) for c in CAUTIONS)]


@pytest.mark.parametrize(
    ("hazard", "anchors"),
    [
        ("sap phototoxic", ["sun-and-sap"]),
        ("seed toxic if eaten", ["poisonous"]),
        ("mild skin irritant; toxic to pets", ["poisonous", "milky-sap", "children-and-pets"]),
        ("spines; occupational asthma reported", ["allergy", "spines"]),
        ("sap burns skin and eyes", ["milky-sap"]),
        ("banned or noxious in several states", ["weed-law"]),
        ("", []),
    ],
)
def test_which_cautions_a_hazard_falls_under(hazard, anchors):
    assert [c.anchor for c in CAUTIONS if c.meets(hazard)] == anchors


def test_a_caution_without_a_source_is_a_mistake_of_ours():
    with pytest.raises(ValueError, match="lacks"):
        read_cautions("## Bees\n\nanchor: bees\n\nThey sting.\n")


def test_on_the_site_the_cautions_stand_in_the_manual(demo_site):
    html = (demo_site[0] / "cautions.html").read_text("utf-8")
    assert NOT_SAFE in html
    larkspur = (demo_site[0] / "crops" / "larkspur.html").read_text("utf-8")
    assert 'href="../cautions.html#poisonous"' in larkspur
    assert not (ROOT / "journal" / "cautions.md").exists(), "there is one page of cautions"


def test_examples_in_the_docstrings():
    failed, tried = doctest.testmod(page_module)
    assert tried and not failed
