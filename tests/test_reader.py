"""One line, block or mapping at a time: what was read, in the fields' own names."""

from __future__ import annotations

import datetime as dt

import pytest

from kit import load_texts
from traybook.records.event import Event
from traybook.records.reader import read_file
from traybook.records.settings import Farm
from traybook.text.source import Source

DAY = dt.date(2026, 3, 14)
FARM = Farm(
    people=("jo", "mw"),
    places={"cellar floor": {}, "shelf B": {}},
    beds={"bed 4": {}, "long bed": {}},
)


def read(text: str, ending: str = "yaml") -> tuple[list[Event], list[str]]:
    got = read_file(Source(f"entries/{DAY}.{ending}", text), FARM, dt.date(2026, 11, 1))
    return got.events, [f.name for f in got.findings]


def said(text: str) -> list[str]:
    """`up 31`, `lost 2 to mice`, `up 44 of 72 cells`: each clause in short."""
    (event,), _ = (
        read(f"checked x-26-1: {text}") if ":" not in text.split(" ", maxsplit=1)[0] else read(text)
    )
    return [short(s) for s in event.said] + ([f"note {event.note}"] if event.note else [])


def short(s) -> str:
    words = [s.field]
    if s.n:
        words.append(s.n.said())
    if s.of:
        words.append(f"of {s.of.said()}")
    words += [
        w
        for w in (s.unit, f"in {s.where}" if s.where else "", f"into {s.into}" if s.into else "")
        if w
    ]
    return " ".join(words + ([f"to {s.cause}"] if s.cause else []))


CHECKS = {
    "31 up": ["up 31"],
    "31": ["up 31"],
    "~60 up": ["up about 60"],
    "60ish": ["up about 60"],
    "60+": ["up about 60"],
    "80 %": ["up about 80 %"],
    "1,200 up": ["up 1,200"],
    "44 of 72": ["up 44 of 72"],
    "44/72, 2 lost to damping off": ["up 44 of 72", "lost 2 to damping off"],
    "none up": ["up 0"],
    "nothing yet": ["up 0"],
    "27 cells, 44 seedlings": ["up 27 cells", "up 44 seedlings"],
    "31 seedlings in 27 cells": ["up 31 seedlings", "up 27 cells"],
    "18 left": ["left 18"],
    "155 alive": ["alive 155"],
    "60 alive in bed 4": ["alive 60 in bed 4"],
    "71 of 90 alive": ["alive 71 of 90"],
    "5 lost": ["lost 5"],
    "5 lost in bed 4 to frost": ["lost 5 in bed 4 to frost"],
    "30 lost to frost in the bed": ["lost 30 in bed to frost"],
    "31 up and 2 lost to mice": ["up 31", "lost 2 to mice"],
    "31 are up, 2 have been lost to mice": ["up 31", "lost 2 to mice"],
    "2 lost to mice, 3 to damping off": ["lost 2 to mice", "lost 3 to damping off"],
    "2 lost, slugs again": ["lost 2 to slugs again"],
    "mice had 12": ["lost 12 to mice"],
    "3 seeds mouldy": ["lost 3 seeds to mould"],
    "8 sprouted, 8 to 72-cell tray": ["up 8", "taken 8 into 72-cell tray"],
    "23 up on the shelf": ["up 23 in shelf"],
    "first seen": ["first_seen"],
    "tray 1: 101 of 128": ["sample 101 of 128 in tray 1"],
    "11 per ft in 3 places": ["density 11 of 3"],
    "two lost to mice": ["lost 2 to mice"],
    "31 up; patchy, 3 gaps": ["up 31", "note patchy, 3 gaps"],
    "coming up nicely": ["note coming up nicely"],
}


@pytest.mark.parametrize("text", CHECKS)
def test_counts(text):
    assert said(text) == CHECKS[text]
    assert read(f"checked x-26-1: {text}")[1] == []


ASKED = (
    "12 more up",
    "another 5",
    "5 or 6 up",
    "30-35 up",
    "31 up, 3 with true leaves",
    "31 up, porch 14 this morning",
    "2 in of growth",
    "up 31 lost 2",
)


@pytest.mark.parametrize("text", ASKED)
def test_a_number_left_over_is_asked_about_and_never_counted(text):
    events, names = read(f"checked x-26-1: {text}")
    assert names == ["unread-number"]
    counted = [s.n.value for s in events[0].said]
    assert counted in ([], [31.0])


FORMS = (
    (
        "checked x-26-1: 31 up, 2 lost to mice",
        "checked:\n  x-26-1: 31 up, 2 lost to mice\n",
        "checked x-26-1:\n  up: 31\n  lost: 2 to mice\n",
        "checked x-26-1: {up: 31, lost: 2 to mice}",
        'checked x-26-1: "31 up, 2 lost to mice"',
        "checked x-26-1:\n  - 31 up\n  - 2 lost to mice\n",
        "CHECKED X-26-1: 31 up and 2 lost to mice",
        "checked x-26-1:\t31 up,\u00a02 lost to mice",
        "checked:\n- x-26-1: 31 up, 2 lost to mice\n",
    ),
    (
        "sown x-26-1: variety Mist Tower, lot LAR-25, 2 x 72-cell tray, 2 per cell, cover 5 mm, dark, place cellar floor",
        "sown x-26-1:\n  variety: Mist Tower\n  lot: LAR-25\n  in: 2 x 72-cell tray\n  per cell: 2\n"
        "  cover: 5 mm\n  light: dark\n  place: cellar floor\n",
        "sown x-26-1: {variety: Mist Tower, lot: LAR-25, in: 2 x 72-cell tray, per cell: 2, cover: 5 mm, light: dark, "
        "place: cellar floor}",
    ),
    (
        "planted out x-26-1: 90 to bed 4, at 9 in x 9 in, 4 rows",
        "planted out x-26-1: 90 to bed 4, 4 rows, at 9 x 9 in".replace("4 rows, at 9 x 9 in", "at 9 x 9 in, 4 rows"),
        "planted out x-26-1:\n  plants: 90 to bed 4\n  spacing: 9 in x 9 in\n  rows: 4\n",
    ),
)  # fmt: skip


@pytest.mark.parametrize("forms", FORMS, ids=["checked", "sown", "planted"])
def test_lines_blocks_and_mappings_give_the_same_record(forms):
    first = None
    for text in forms:
        (event,), names = read(text)
        assert names == [], text
        record = (event.verb, event.subject.lower(), event.said, event.note, event.on)
        first = first or record
        assert record == first, text


def test_a_bench_in_the_tunnel_is_a_place_and_a_bed_wanted_a_reason():
    for farm_place in (True, False):
        farm = Farm(places={"tunnel bench": {}} if farm_place else {})
        text = "sown x-26-1: 60 cells of a 72, 1 per cell, tunnel bench"
        (event,) = read_file(Source(f"entries/{DAY}.md", text), farm, dt.date(2026, 11, 1)).events
        assert event.one("place").where == "tunnel bench"
    (event,), _ = read("finished x-26-1: bed wanted")
    assert (event.one("where"), event.note) == (None, "bed wanted")
    (event,), _ = read("finished x-26-1: bed 4")
    assert event.one("where").where == "bed 4"


def test_a_list_of_subjects_is_an_event_each():
    events, _ = read("hardening off: [stock-26-1, stock-26-2]")
    assert [(e.verb, e.subject, e.n) for e in events] == [
        ("hardening off", f"stock-26-{i}", 0) for i in (1, 2)
    ]


def test_one_slip_costs_one_event():
    events, names = read("checked a-26-1: {up: 31\nchecked b-26-1: 5 up\nchecked c-26-1: {up: 7}\n")
    assert [e.fault for e in events] == ["broken-braces", "", ""]
    assert names == ["broken-braces"]


def test_yaml_surprises_are_words():
    (event,), names = read("noted x-26-1: no #1 tray, * and ! and 010 & @home: yes")
    assert event.note == "no #1 tray, * and ! and 010 & @home: yes"
    assert names == []
    (event,), _ = read("checked x-26-1: 010 up")
    assert event.said[0].n.value == 10


@pytest.mark.parametrize("fence", ["---", "\u2014-", "\u2013-", "\u2014\u2014", "-----"])
def test_fences_as_phones_make_them(fence):
    events, names = read(
        f"{fence}\nchecked x-26-1: 31 up\n{fence}\nThe story, with checked words.\n", "md"
    )
    assert [e.said[0].n.value for e in events] == [31]
    assert names == []


def test_a_block_further_down_and_a_rule_in_prose():
    text = "A day.\n\n---\n\nMore of it.\n\n---\nchecked x-26-1: 31 up\n---\nThe end.\n"
    events, names = read(text, "md")
    assert len(events) == 1 and names == []


def test_places_are_those_of_the_growers_own_text():
    text = (
        "\ufeff".lstrip("\ufeff")
        + "caf\u00e9 \U0001f33c\n\n---\nchecked sn\u00f6-26-1: 31 up, 7 odd ones\n---\n"
    )
    got = read_file(Source("entries/2026-03-14.md", text), FARM, dt.date(2026, 11, 1))
    (finding,) = got.findings
    assert (finding.at.line, finding.at.column, finding.at.text) == (4, 26, "7")


DAYS = {
    "on 2026-03-12": "2026-03-12",
    "on 12 March": "2026-03-12",
    "on sat": "2026-03-14",
    "on thursday": "2026-03-12",
    "yesterday": "2026-03-13",
    "on 28 dec": "2025-12-28",
}


@pytest.mark.parametrize("words", DAYS)
def test_a_line_may_name_its_own_day(words):
    for text in (
        f"checked x-26-1: 31 up, {words}",
        f"checked x-26-1: 31 up {words}",
        f"checked x-26-1 {words}: 31 up",
    ):
        (event,), names = read(text)
        assert str(event.on) == DAYS[words] and names == [], text


def test_initials_of_the_line_and_of_the_file():
    (event,), _ = read("checked x-26-1: 31 up, by mw")
    assert event.by == "mw"
    got = read_file(
        Source("entries/2026-03-14-jo.md", "checked x-26-1: 31 up"), FARM, dt.date(2026, 11, 1)
    )
    assert got.events[0].by == "jo"


def test_subjects_by_code_crop_variety_and_number():
    texts = {
        "entries/2026-03-01.md": "sown stock-26-1: Iron Rose, 72 seeds\nsown sweet pea Night Ferry: 36 seeds\n"
        "sown sweet pea Moth Veil: 36 seeds\n",
        "entries/2026-03-14.md": "checked STOCK: 5 up\nchecked sweet peas Night Ferry: 6 up\nchecked sweet-pea 2: 7 up\n"
        "checked sweet pea: 8 up\nchecked moth veil: 9 up\nchecked Sweet_Pea-26-1: 10 up\n",
    }  # fmt: skip
    loaded = load_texts(texts)
    got = [e.ref.code for e in loaded.book.entries if e.event.verb == "checked"]
    assert got == [
        "stock-26-1",
        "sweet-pea-26-1",
        "sweet-pea-26-2",
        "",
        "sweet-pea-26-2",
        "sweet-pea-26-1",
    ]
    assert [f.name for f in loaded.findings] == ["which-sowing"]
    assert loaded.book.unwritten == {"sweet-pea-26-1", "sweet-pea-26-2"}


def fields():
    from traybook.records.verbs import VERBS

    return [(v, f) for v in VERBS for f in v.fields if f.patterns]


@pytest.mark.parametrize(("verb", "field"), fields(), ids=lambda x: x.name)
def test_every_example_in_the_table_reads_as_its_field(verb, field):
    """The table's examples are what the manual's page of words prints."""
    (event,), names = read(f"{verb.name} x-26-1: {field.example}")
    want = {
        "first_seen": {"first_seen"},
        "none": {"up"},
        "of": {"up"},
        "variety": {"named"},
        "cells": {"container"},
    }
    assert {s.field for s in event.said} <= {field.name} | want.get(field.name, set()), event.said
    assert event.said, (verb.name, field.example)
    assert names == []
