"""The handbook: every row, what is disputed, what a farm's own word changes."""

from __future__ import annotations

import csv
import datetime as dt
import doctest
import re

import pytest

from conftest import ROOT
from kit import load_texts
from traybook.files.package import handbook_texts
from traybook.handbook import parts
from traybook.handbook.facts import read_handbook
from traybook.records import settings_reader
from traybook.rollup.farm import farm_figures

FOLDER = ROOT / "builder/traybook/handbook"
BOOK = read_handbook(*handbook_texts())


def rows():
    """The table read by column number, without the reader under test."""
    with (FOLDER / "crops.csv").open(encoding="utf-8", newline="") as file:
        head, *body = csv.reader(file)
    return [dict(zip(head, row, strict=True)) for row in body]


ROWS = {row["common_name"]: row for row in rows()}
ONE_ROW = [n for n in ROWS if not n.startswith("Sunflower")]

# By hand, from the cell `pre_treatment` of each row: fewest and most days; weeks are seven days, hours
# twenty-fourths. Steps one after another add up, ways to choose from widen, what may be left out is none.
H = 1 / 24
TREATED = {
    "Sweet pea": (12 * H, 24 * H),
    "Larkspur": (7, 14),
    "Bells of Ireland": (7, 14),
    "Laceflower": (14, 28),
    "Honeywort": (12 * H, 24 * H),
    "Castor bean (foliage/pods)": (1, 1),
    "Purple coneflower": (28, 28),
    "Delphinium": (7, 14),
    "Columbine": (21, 28),
    "Lupin / lupine": (1, 1),
    "Sea holly": (28, 42),
    "Milkweed / butterfly weed": (28, 84),
    "Garden phlox": (28, 42),
    "Beardtongue": (42, 42),
    "Tall verbena": (7, 28),
    # frozen three weeks in its pot, or six weeks of cold
    "Monkshood": (21, 42),
    # twelve weeks warm, then twelve weeks cold
    "Hellebore": (168, 168),
    # a soak of 3-4 hours, then 10-14 days of sprouting in the cool
    "Ranunculus (tuberous root)": (10 + 3 * H, 14 + 4 * H),
    "Anemone (tuber)": (10 + 3 * H, 14 + 4 * H),
}
NOT_NEEDED = """
    Snapdragon; Lisianthus; False Queen Anne's lace; Toothpick ammi; Ornamental carrot; Bupleurum;
    Love-in-a-mist; Bachelor's button; Calendula; Godetia; Shirley poppy; Breadseed poppy (pods);
    Iceland poppy; Corn cockle; Annual baby's breath; Chinese forget-me-not; Rocket candytuft;
    Pincushion flower (annual); Statice; Stock; Strawflower; Craspedia; Dusty miller (foliage);
    Annual phlox; Bunny tails grass; Panic grass (annual); Zinnia; Sunflower (single stem);
    Sunflower (branching); Celosia; Cosmos; Globe amaranth; Amaranth; China aster; Flossflower (tall);
    Marigold (tall); Mexican sunflower; Mealycup sage; Flowering tobacco; Spider flower;
    Basil (foliage); Snow-on-the-mountain; Dahlia (from seed); Blanket flower (annual);
    Black-eyed Susan; Yarrow; Feverfew; Foxglove; Canterbury bells; Sweet William; Dame's rocket;
    Honesty; Globe thistle; Speedwell; Anise hyssop; Bee balm; Balloon flower; Shasta daisy;
    Eucalyptus (foliage)
"""


def flat(text: str) -> list[str]:
    return [" ".join(x.split()) for x in text.split(";")]


def test_how_long_each_treatment_lasts():
    assert set(TREATED) | set(flat(NOT_NEEDED)) == set(ROWS) and len(ROWS) == 78
    for name in ROWS:
        fact = BOOK.of([name])
        want = TREATED.get(name)
        assert fact.treatment_days == (pytest.approx(want) if want else None), name
        assert bool(fact.pre_treatment) == (name in TREATED), name
        assert fact.treatment_said == ROWS[name]["pre_treatment"], name


@pytest.mark.parametrize(
    ("said", "days"),
    [
        ("soak overnight", (8 * H, 12 * H)),
        ("cold 4 weeks", (28, 28)),
        ("four weeks of cold", (28, 28)),
        ("a week in the fridge", (7, 7)),
        ("chill 10 to 14 days", (10, 14)),
        ("2 months in the cold frame", (60, 60)),
        ("nick", None),
        ("weeks of cold", None),
        ("none", None),
        ("", None),
    ],
)
def test_treatments_in_a_growers_words(said, days):
    assert parts.lasting(said) == (pytest.approx(days) if days else None)


def test_every_kind_says_whether_it_is_sown_late_for_the_next_year():
    assert {row["sown_late_for_next_year"] for row in ROWS.values()} == {"yes", "no"}
    for name, row in ROWS.items():
        late = row["sown_late_for_next_year"] == "yes"
        assert BOOK.of([name]).late_for_next_year is late, name
        # common practice, no source: what frost kills isn't left out over winter, what lives on is
        life = row["life_form"]
        if life.startswith(("tender annual", "tender woody")):
            assert not late, name
        if life.startswith(
            ("biennial", "perennial", "short-lived perennial", "hardy annual", "tuber")
        ):
            assert late, name


# The same rows read off the table by eye: temperatures in F, spacing in inches.
BY_EYE = {
    "zinnia": ((70, 81), (5, 10), 6, (3, 5), (0, 2), (60, 90), (9, 12), (8, 30)),
    "larkspur": ((50, 60), (14, 28), 6, (6, 8), (-6, -4), (90, 130), (4, 8), (3, 8)),
    "strawflower": ((70, 75), (7, 10), 0, (6, 8), (-1, 1), (80, 110), (9, 12), (15, 30)),
    "hellebore": ((40, 55), (60, 180), 6, None, None, (700, 1200), (15, 18), (5, 15)),
    "shirley poppy": ((55, 65), (10, 20), 0, None, None, (60, 90), (6, 8), (5, 10)),
}


@pytest.mark.parametrize("kind", BY_EYE)
def test_facts_of_a_few_rows_read_by_eye(kind):
    fahrenheit, days, depth, indoors, out, bloom, inches, stems = BY_EYE[kind]
    fact = BOOK.of([kind])
    assert (fact.coolest * 9 / 5 + 32, fact.warmest * 9 / 5 + 32) == pytest.approx(fahrenheit)
    assert (fact.days, fact.depth_mm, fact.indoors_weeks) == (days, depth, indoors)
    assert (fact.out_weeks, fact.bloom_days, fact.stems) == (out, bloom, stems)
    # source: an inch is 25.4 mm (international yard and pound agreement, 1959)
    assert tuple(cm / 2.54 for cm in fact.spacing_cm) == pytest.approx(inches)


# "none known" is never said: it would read as safe.
HAZARD_SAID = {
    "none known": "",
    "none known (seed not for eating)": "seed not for eating",
    "none known (hairs irritate)": "hairs irritate",
    "none known; invasive in places": "invasive in places",
}


@pytest.mark.parametrize("name", ONE_ROW)
def test_every_number_of_every_row_is_in_its_fact(name):
    row, fact = ROWS[name], BOOK.of([name])

    def pair(start, end):
        return (float(row[start]), float(row[end])) if row[start] else None

    assert fact.rows == (name,)
    assert fact.days == pair("days_to_germ_min", "days_to_germ_max")
    assert fact.indoors_weeks == pair("weeks_indoors_min", "weeks_indoors_max")
    assert fact.bloom_days == pair("days_sow_to_bloom_min", "days_sow_to_bloom_max")
    assert fact.stems == pair("stems_per_plant_min", "stems_per_plant_max")
    assert fact.out_said == row["plant_out_weeks_from_last_frost"] != ""
    weeks = [int(x) for x in re.findall(r"[-+]?\d+", fact.out_said)]
    if re.fullmatch(r"[-+\d]+ to [-+\d]+", fact.out_said):
        assert fact.out_weeks == tuple(weeks)
    else:
        assert fact.out_weeks is None
    assert (fact.harvest_stage, fact.direct) == (row["harvest_stage"], row["direct_sow"])
    assert fact.hazard == HAZARD_SAID.get(row["hazard"], row["hazard"])


def test_two_rows_of_one_name_are_given_as_wide_as_both():
    both = BOOK.of(["sunflower"])
    assert both.rows == ("Sunflower (single stem)", "Sunflower (branching)")
    assert (both.bloom_days, both.stems) == ((50, 100), (1, 15))
    assert both.harvest_stage == ""


def test_what_rests_on_memory_is_told_from_what_was_read():
    memory = {n for n, row in ROWS.items() if row["source"] == "from memory"}
    # source: the table's own notes: 26 rows wholly from memory, 52 with something that was read
    assert len(memory) == 26
    assert {n for n in ROWS if BOOK.of([n]).memory} == memory
    assert not BOOK.of(["ammi"]).memory, "one of the two was read in part"
    assert BOOK.of(["papaver"]).memory
    for name in ROWS.keys() - memory:
        last = parts.sources(ROWS[name]["source"])[-1]
        assert last == "all else: from memory", name


def test_the_source_of_a_caution_is_the_part_that_speaks_of_it():
    assert parts.danger_sources(ROWS["Feverfew"]["source"]) == (
        "allergen: Lammimaa (as spelt on the page), Estlander, Jolanki & Kanerva 1996 Contact Dermatitis"
        " (abstract)",
    )
    assert parts.danger_sources(ROWS["Larkspur"]["source"]) == ("from memory",)
    assert len(parts.danger_sources(ROWS["Castor bean (foliage/pods)"]["source"])) == 1


# -- disputed

DIFFER = {
    "Celosia": {"light", "temperature", "days to sprout"},
    "Statice": {"days to sprout", "light"},
    "Zinnia": {"temperature"},
    "Strawflower": {"light"},
    "Love-in-a-mist": {"light"},
    "Blanket flower (annual)": {"light"},
    "Purple coneflower": {"light", "temperature"},
    "Milkweed / butterfly weed": {"pre-treatment"},
    "Sweet pea": {"depth"},
    "Flossflower (tall)": {"weeks under cover"},
}


def test_where_sources_differ_both_are_kept():
    found = {n: {d.figure for d in BOOK.of([n]).disputed} for n in ROWS}
    assert {n: figures for n, figures in found.items() if figures} == DIFFER
    for name in DIFFER:
        for d in BOOK.of([name]).disputed:
            assert d.one != d.other and d.source_one and d.source_other, name


def test_what_a_dispute_says():
    (sweet_pea,) = BOOK.of(["sweet pea"]).disputed
    assert (sweet_pea.one, sweet_pea.other) == ("2 in (50 mm)", "1 in (25 mm)")
    assert (
        sweet_pea.source_one.startswith("Michigan State")
        and sweet_pea.source_other == "common practice"
    )
    statice = {d.figure: (d.one, d.other) for d in BOOK.of(["statice"]).disputed}
    assert statice["days to sprout"] == ("7-10 days", "14-18 days")


# -- a farm's own word

OWN = """zinnia:
  days to bloom: 55-70
  stems per plant: 5
  weeks under cover: 4
  plant out: +1 to +3
  spacing: 9-12 in
  pre-treatment: soak overnight
larkspur:
  plant out: 6 to 4 weeks before
  pre-treatment: none
sweet pea:
  varieties: [Linnet Blush]
"""


def book(text: str):
    return load_texts({"entries/crops.yaml": text}).book


def test_crops_yaml_comes_first_and_the_rest_stays_the_handbooks():
    zinnia = book(OWN).fact("zinnia")
    assert (zinnia.bloom_days, zinnia.stems, zinnia.indoors_weeks) == ((55, 70), (5, 5), (4, 4))
    assert (zinnia.out_weeks, zinnia.spacing_cm) == ((1, 3), (22.86, 30.48))
    # by hand: out 1 to 3 weeks after the frost, less the 4 indoors
    assert zinnia.sow_weeks == (-3, -1)
    assert (zinnia.pre_treatment, zinnia.treatment_days) == ("soak overnight", (8 * H, 12 * H))
    assert (zinnia.days, zinnia.harvest_stage) == ((5, 10), ROWS["Zinnia"]["harvest_stage"])
    larkspur = book(OWN).fact("larkspur")
    assert (larkspur.pre_treatment, larkspur.treatment_days) == ("", None)
    # by hand: its own 6 to 4 weeks before, less the handbook's 6 to 8 indoors
    assert larkspur.sow_weeks == (-14, -10)
    assert book(OWN).fact("sweet pea") == BOOK.of(["sweet pea"])
    assert book(OWN).published("zinnia") == BOOK.of(["zinnia"])


def test_a_kind_the_handbook_lacks_has_the_farms_own_facts():
    fact = book("moonwort:\n  days to bloom: 80-90\n  spacing: 20 cm\n").fact("moonwort")
    assert (fact.bloom_days, fact.spacing_cm, fact.source, fact.rows) == (
        (80, 90),
        (20, 20),
        "",
        (),
    )


def season(crop: str, on: dt.date, settings: str = "", farm: str = "") -> int:
    texts = {f"entries/{on}.md": f"sown {crop.replace(' ', '-')}-26-1: 72 seeds\n"}
    texts |= {"entries/crops.yaml": settings, "entries/farm.yaml": farm}
    (figures,) = farm_figures(load_texts(texts).kept).sowings.values()
    return figures.sowing.season


AUTUMN, SUMMER = dt.date(2026, 9, 1), dt.date(2026, 8, 31)


@pytest.mark.parametrize(
    ("crop", "on", "settings", "year"),
    [
        # common practice, no source: larkspur is sown in autumn, zinnia never
        ("larkspur", AUTUMN, "", 2027),
        ("larkspur", SUMMER, "", 2026),
        ("zinnia", AUTUMN, "", 2026),
        ("moonwort", AUTUMN, "", 2026),
        ("larkspur", AUTUMN, "larkspur:\n  sown late for next year: no\n", 2026),
        ("zinnia", AUTUMN, "zinnia:\n  sown late for next year: yes\n", 2027),
        ("larkspur", AUTUMN, "larkspur:\n  days to sprout: 14-28\n", 2027),
        # what can't be read is no word of the farm's
        ("larkspur", AUTUMN, "larkspur:\n  sown late for next year: maybe\n", 2027),
        ("blue spire", AUTUMN, "blue spire:\n  spellings: [larkspur]\n", 2027),
    ],
)
def test_the_farms_word_on_late_sowings_comes_before_the_handbooks(crop, on, settings, year):
    assert season(crop, on, settings) == year


def test_in_the_south_late_begins_in_march():
    south = "latitude: -33\n"
    assert season("larkspur", dt.date(2026, 3, 1), farm=south) == 2027
    assert season("larkspur", dt.date(2026, 2, 28), farm=south) == 2026


def test_examples_in_the_docstrings():
    for module in (parts, settings_reader):
        failed, tried = doctest.testmod(module)
        assert tried and not failed
