"""Examples that others published: days and weeks, CSV, units of length, and YAML that goes wrong."""

from __future__ import annotations

import csv
import datetime as dt
import io

import pint
import pytest
import yaml

from kit import load_texts, tables
from traybook.findings.model import Weight
from traybook.ledger.keep import Kept
from traybook.text.cells import cell, records, table, uncell
from traybook.text.scalars import day, iso_day, length_mm

FAR = dt.date(2026, 11, 25)

# -- days and weeks

# source: ISO 8601:2004, 4.1.2.2 (extended format) and 3.2.1 (leap years of the Gregorian calendar)
CALENDAR = [("1985-04-12", dt.date(1985, 4, 12)), ("2000-02-29", dt.date(2000, 2, 29)), ("1900-02-29", None),
            ("2100-02-29", None), ("1985-13-01", None), ("1985-04-31", None), ("1985-00-10", None)]  # fmt: skip


@pytest.mark.parametrize(("text", "on"), CALENDAR)
def test_calendar_dates(text, on):
    assert iso_day(text).on == on
    assert day(text, FAR, None).on == on


def test_dates_that_are_no_extended_calendar_dates_are_not_guessed():
    # source: ISO 8601:2004, 4.1.3.2 (ordinal) and 4.1.4.2 (week dates): other ways to write 1985-04-12
    for text in ("1985-102", "1985-W15-5", "1985W155", "19850412", "+001985-04-12"):
        assert iso_day(text).on is None
        assert day(text, FAR, None).on is None


WEEKS = [
    ("1985-04-12", 1985, 15),  # source: ISO 8601:2004, 4.1.4.2
    ("2008-12-29", 2009, 1),  # source: Wikipedia, "ISO week date", examples
    ("2008-12-28", 2008, 52),  # the same
    ("2010-01-03", 2009, 53),  # the same
    ("2005-01-01", 2004, 53),  # the same
    ("2007-01-01", 2007, 1),  # the same
    (
        "1981-04-05",
        1981,
        14,
    ),  # source: RFC 3339, appendix A, by its grammar; ISO 8601:1988, 5.2.3.3
]


@pytest.mark.parametrize(("on", "year", "week"), WEEKS)
def test_weeks_of_the_cut(on, year, week):
    loaded = load_texts({f"entries/{on}.md": "harvested cosmos: 12 stems\nharvested cosmos: 3 bunches of 10\n",
                         "entries/crops.yaml": "cosmos:\n"}, FAR)  # fmt: skip
    assert isinstance(loaded.kept, Kept)
    (row,) = tables(loaded)["weeks.csv"]
    assert row == {
        "cut_year": str(year),
        "week": str(week),
        "crop": "cosmos",
        "stems": "42",
        "bunches": "3",
    }


# -- CSV

# source: RFC 4180, section 2, rules 1-7; where it writes CRLF and aaa, so here
RULES = [
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    (
        "field_name,field_name,field_name\r\naaa,bbb,ccc\r\n",
        [["field_name"] * 3, ["aaa", "bbb", "ccc"]],
    ),
    ("aaa,bbb,ccc", [["aaa", "bbb", "ccc"]]),
    ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
]


@pytest.mark.parametrize(("text", "rows"), RULES)
def test_rfc_4180_is_read(text, rows):
    assert [list(r.cells) for r in records(text, ",")] == rows


@pytest.mark.parametrize(("text", "rows"), RULES)
def test_what_is_written_is_read_back_by_rfc_4180(text, rows):
    written = table(rows[0], rows[1:])
    assert [list(r) for r in csv.reader(io.StringIO(written, newline=""), strict=True)] == rows
    assert [list(r.cells) for r in records(written, ",")] == rows


def test_quotes_stand_only_where_the_rules_want_them():
    assert (
        table(["a"], [["b,b"], ["c\nc"], ['d"d'], ["plain"]]) == 'a\n"b,b"\n"c\nc"\n"d""d"\nplain\n'
    )


# source: OWASP, "CSV Injection": cells that a spreadsheet takes for formulas begin so
@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "'x"])
def test_no_cell_is_a_formula_and_all_come_back(text):
    assert cell(text) == "'" + text
    assert uncell(cell(text)) == text


# -- units

UNITS = pint.UnitRegistry()
NAMES = {"mm": "mm", "cm": "cm", "m": "m", "metres": "m", "meter": "m", "in": "inch", "inches": "inch", '"': "inch",
         "ft": "foot", "feet": "foot", "'": "foot", "yd": "yard", "yards": "yard"}  # fmt: skip
NUMBERS = [
    ("1", 1),
    ("9", 9),
    ("2.5", 2.5),
    ("40", 40),
    ("1/4", 0.25),
    ("3/8", 0.375),
    ("1 1/2", 1.5),
    ("½", 0.5),
    ("2½", 2.5),
]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("text", "number"), NUMBERS)
def test_lengths(name, text, number):
    theirs = UNITS.Quantity(number, NAMES[name]).to("mm").magnitude
    assert length_mm(f"{text} {name}", "x") == pytest.approx(theirs, abs=0.0006)
    assert length_mm(text, name) == pytest.approx(theirs, abs=0.0006)


@pytest.mark.parametrize(
    ("text", "number", "unit"), [("250 g", 250, "g"), ("1.5 kg", 1.5, "kg"), ("2 kg", 2, "kg")]
)
def test_weights(text, number, unit):
    loaded = load_texts(
        {"entries/2026-03-14.md": f"harvested cosmos: {text}\n", "entries/crops.yaml": "cosmos:\n"},
        FAR,
    )
    (row,) = tables(loaded)["harvests.csv"]
    assert float(row["grams"]) == pytest.approx(UNITS.Quantity(number, unit).to("g").magnitude)


@pytest.mark.parametrize(
    ("said", "column", "number", "unit", "to"),
    [("at 9 in x 12 in", "in_row_cm", 9, "inch", "cm"), ("at 9 in x 12 in", "between_cm", 12, "inch", "cm"),
     ("at 20 cm, 4 rows, 30 ft", "length_m", 30, "foot", "m"), ("at 20 cm, 4 rows, 10 yd", "length_m", 10, "yard", "m")],
)  # fmt: skip
def test_lengths_in_the_tables(said, column, number, unit, to):
    text = f"---\nsown x-26-1: 72 seeds\nplanted out x-26-1: 40 to bed 4 {said}\n---\n"
    (row,) = tables(load_texts({"entries/2026-03-14.md": text}, FAR))["plantings.csv"]
    assert float(row[column]) == pytest.approx(
        UNITS.Quantity(number, unit).to(to).magnitude, abs=0.006
    )


# -- YAML that goes wrong


def read(line: str):
    """What a day file with the line comes to: its last event, and the findings."""
    text = f"---\nsown x-26-1: 1,500 seeds, open tray\n{line}\n---\n"
    loaded = load_texts(
        {"entries/2026-03-14.md": text, "entries/farm.yaml": "places:\n  no: {light: dark}\n"}, FAR
    )
    assert not [f for f in loaded.findings if f.weight is Weight.ERROR]
    return loaded.book.entries[-1].event, [f.name for f in loaded.findings]


def test_norway():
    # source: YAML 1.1, tag:yaml.org,2002:bool: no, yes, on and off are true and false
    assert yaml.safe_load("no: no") == {False: False}
    event, found = read("moved x-26-1: to no")
    assert (event.one("moved").into, found) == ("no", [])
    event, _ = read("noted x-26-1: no")
    assert event.note == "no"
    event, _ = read("noted x-26-1: off")
    assert event.note == "off"


def test_octal_and_sexagesimal():
    # source: YAML 1.1, tag:yaml.org,2002:int: 010 is eight, 12:30 is 750
    assert yaml.safe_load("a: 010") == {"a": 8}
    assert yaml.safe_load("a: 12:30") == {"a": 750}
    event, found = read("checked x-26-1: 010")
    assert (event.one("up").n.whole, found) == (10, [])
    event, found = read("checked x-26-1:\n  up: 010")
    assert (event.one("up").n.whole, found) == (10, [])
    event, _ = read("noted x-26-1: 12:30 too hot")
    assert event.note == "12:30 too hot"
    event, _ = read("checked x-26-1: 31 up, 12:30")
    assert event.one("up").n.whole == 31


def test_thousands():
    # source: YAML 1.1, tag:yaml.org,2002:int takes `_` between digits; a comma makes it text
    assert yaml.safe_load("a: 1,000") == {"a": "1,000"}
    event, found = read("checked x-26-1: 1,000 up, 2 lost to mice")
    assert (event.one("up").n.whole, event.one("lost").n.whole, found) == (1000, 2, [])
    event, found = read("checked x-26-1:\n  up: 1,000\n  lost: 2")
    assert (event.one("up").n.whole, event.one("lost").n.whole, found) == (1000, 2, [])


@pytest.mark.parametrize(
    "start", ["@", "%", "*", "&", "!", "`", "#", "?", "|x", ">x", "- ", "]", "}"]
)
def test_signs_that_yaml_keeps_for_itself(start):
    # source: YAML 1.2.2, 5.3 indicator characters: most may not begin a plain scalar, # hides it
    event, found = read(f"noted x-26-1: {start}home, 20 C")
    assert event.note == f"{start}home, 20 C"
    assert found == []


def test_a_colon_and_a_space_in_a_value():
    with pytest.raises(yaml.YAMLError):
        yaml.safe_load("noted x: look: it grows")
    event, found = read("noted x-26-1: look: it grows")
    assert (event.note, found) == ("look: it grows", [])
    event, found = read("checked x-26-1: tray 1: 31 of 128")
    assert (event.one("sample").where, event.one("sample").n.whole, found) == ("tray 1", 31, [])


def test_tabs():
    with pytest.raises(yaml.YAMLError):
        yaml.safe_load("checked x:\n\tup: 3")
    event, found = read("checked x-26-1:\n\tup: 31\n\tlost: 2")
    assert (event.one("up").n.whole, event.one("lost").n.whole, found) == (31, 2, [])


def test_a_key_that_stands_twice():
    # source: YAML 1.2.2, 3.2.1.1: keys of a mapping are unique; loaders differ on what they do
    text = "---\nsown x-26-1: 72 seeds\nchecked x-26-1: 3 up\nchecked x-26-1: 5 up\n---\n"
    loaded = load_texts({"entries/2026-03-14.md": text}, FAR)
    assert [e.event.text for e in loaded.book.entries if e.used] == text.splitlines()[1:4]
    text = "---\nsown x-26-1: 72 seeds\nchecked x-26-1:\n  up: 3\n  up: 5\nnoted: kept\n---\n"
    loaded = load_texts({"entries/2026-03-14.md": text}, FAR)
    assert [f.name for f in loaded.findings] == ["repeated-field"]
    assert [e.used for e in loaded.book.entries] == [True, False, True]


def test_one_slip_costs_one_entry():
    text = "---\nsown x-26-1: 72 seeds\nchecked x-26-1: {up: 3\nnoted: kept\nchecked x-26-1: 5 up\n---\n"
    loaded = load_texts({"entries/2026-03-14.md": text}, FAR)
    assert [f.name for f in loaded.findings] == ["broken-braces"]
    assert [e.used for e in loaded.book.entries] == [True, False, True, True]


def test_quotes_numbers_and_nothing():
    # source: YAML 1.2.2, 10.3.2 core schema: ~ and null are nothing, 1e3 and .5 numbers
    assert yaml.safe_load("a: ~60") == {"a": "~60"}
    event, _ = read("checked x-26-1: ~60")
    assert (event.one("up").n.value, event.one("up").n.about) == (60, True)
    event, _ = read("noted x-26-1: null")
    assert event.note == "null"
    event, found = read('checked x-26-1: "31 up, 2 lost"')
    assert (event.one("up").n.whole, event.one("lost").n.whole, found) == (31, 2, [])
