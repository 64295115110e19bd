"""Adding lines to files of every kind: all old bytes stay, and what was added reads back."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traybook.records.reader import begins, read_file
from traybook.records.settings import Farm
from traybook.text.decode import decode
from traybook.text.edits import Change, add_lines, change
from traybook.text.source import Source

AS_OF = dt.date(2026, 12, 1)
FARM = Farm(people=("jo", "mw"))
PROSE = {".md": True, ".txt": True, ".yaml": False}

LINES = st.sampled_from(
    [
        "checked stock-26-1: 31 up",
        "checked:",
        "  stock-26-1: 30 up",
        "\tstock-26-2: 12 up",
        "sown larkspur-26-2:",
        "  variety: Mist Tower",
        "    in: 72-cell tray",
        "noted: |",
        "  a text over",
        "",
        "   ",
        "# a remark",
        "---",
        "—-",
        "--",
        "...",
        "<<<<<<< HEAD",
        "=======",
        ">>>>>>> theirs",
        "A day of rain; nothing else.",
        "checked the doors",
        "date: 2026-03-14",
        "by: jo",
        "private: true",
        "hardening off: [stock-26-1,",
        "  stock-26-2]",
        'noted: "an open quote',
        "fed stock-26-1: seaweed",
        "sold café-26-1: 2 to Zoë",
    ]
)
ENDS = st.sampled_from(["\n", "\n", "\r\n", "\r"])
ENTRY = st.sampled_from(
    [
        ("checked stock-26-9: 44 up, 2 lost to mice",),
        ("noted: the first swallow",),
        ("planted out stock-26-9: 90 to bed 4 at 20 cm", "sold stock-26-9: 4"),
        ("sown stock-26-9:", "  variety: Iron Rose", "  seeds: 72"),
    ]
)


@st.composite
def files(draw):
    """A file's bytes and ending: runs of lines of every kind, in any coding, ended any way."""
    lines = draw(st.lists(LINES, max_size=14))
    ends = draw(st.lists(ENDS, min_size=len(lines), max_size=len(lines)))
    one_end = draw(st.booleans())
    text = "".join(x + (ends[0] if one_end else e) for x, e in zip(lines, ends, strict=True))
    if draw(st.booleans()):
        text = text.rstrip("\r\n")
    coding = draw(st.sampled_from(["utf-8", "utf-8", "utf-8-sig", "utf-16", "cp1252"]))
    data = text.encode(coding, "replace")
    if coding != "utf-16" and draw(st.integers(0, 7)) == 0:
        data += b"\0" * draw(st.integers(1, 40))
    return data, draw(st.sampled_from(list(PROSE)))


def told(data: bytes, ending: str) -> list[tuple]:
    """Each entry as read, without its place."""
    source = Source(f"entries/2026-03-14{ending}", decode(data).text)
    return [
        (e.verb, e.subject, e.said, e.note, e.by, e.text, e.on, e.private, e.fault, e.doing)
        for e in read_file(source, FARM, AS_OF).events
    ]


def prose(data: bytes, ending: str) -> str:
    source = Source(f"entries/2026-03-14{ending}", decode(data).text)
    return "\n".join(p.text.strip() for p in read_file(source, FARM, AS_OF).prose)


def is_kept_in(old: bytes, new: bytes) -> bool:
    """True when all of `old` stands in `new`, in order, with one run put in between."""
    same = 0
    while same < len(old) and old[same] == new[same]:
        same += 1
    return new.endswith(old[same:]) and len(new) >= len(old)


@given(files(), ENTRY)
def test_old_bytes_stay_and_the_new_entry_reads_back(file, entry):
    old, ending = file
    added = add_lines(old, entry, PROSE[ending], begins)
    if added.problem:
        assert not added.data
        return
    assert is_kept_in(old, added.data)
    before, after = told(old, ending), told(added.data, ending)
    alone = told(add_lines(None, entry, PROSE[ending], begins).data, ending)
    head = re.search(r"(?:^|[\r\n])(by|date|private)\s*:", decode(old).text)
    fresh = list(after)
    for event in before:
        assert event in fresh
        fresh.remove(event)
    assert [e[:4] for e in fresh] == [e[:4] for e in alone]
    if not head:
        assert fresh == alone
    assert prose(old, ending) == prose(added.data, ending)
    first = decode(added.data).text
    assert Source("", first).line_span(added.line).text == entry[0]


@given(files(), ENTRY)
def test_a_file_without_merge_marks_can_always_be_added_to(file, entry):
    old, ending = file
    got = decode(old)
    if got.binary or "<<<<<<<" in got.text or ">>>>>>>" in got.text or "=======" in got.text:
        return
    assert add_lines(old, entry, PROSE[ending], begins).problem == ""


@pytest.mark.parametrize(
    ("old", "prose_", "new"),
    [
        (None, True, b"---\nX\n---\n"),
        (None, False, b"X\n"),
        (b"", True, b"---\nX\n---\n"),
        (b"---\nnoted: a\n---\nProse.\n", True, b"---\nnoted: a\nX\n---\nProse.\n"),
        (b"---\r\nnoted: a\r\n---", True, b"---\r\nnoted: a\r\nX\r\n---"),
        (b"---\rnoted: a\r---\r", True, b"---\rnoted: a\rX\r---\r"),
        (b"noted: a", False, b"noted: a\nX\n"),
        (b"checked:\n  a-26-1: 3 up", False, b"checked:\n  a-26-1: 3 up\nX\n"),
        (b"noted: a\n\nProse.\n", True, b"noted: a\nX\n\nProse.\n"),
        (b"---\nnoted: a\n\nProse.\n", True, b"---\nnoted: a\nX\n\nProse.\n"),
        (b"Prose only.\n", True, b"---\nX\n---\nProse only.\n"),
        (b"\xef\xbb\xbfnoted: a\n", True, b"\xef\xbb\xbfnoted: a\nX\n"),
        (b"noted: caf\xe9\n", False, b"noted: caf\xe9\nX\n"),
        (b"<<<<<<< a\nnoted: a\n=======\nnoted: b\n", False, None),
    ],
)
def test_where_a_line_goes(old, prose_, new):
    line = "checked stock-26-9: 44 up"
    added = add_lines(old, [line], prose_, begins)
    expected = new if new is not None else b"X\n" + old
    assert added.data == expected.replace(b"X", line.encode())


def test_letters_that_the_file_cannot_hold_are_refused():
    assert add_lines(b"noted: caf\xe9\n", ["noted: \u2192 on"], False, begins).problem
    assert add_lines(b"\x00\x01\x02\x03" * 40, ["noted: a"], True, begins).problem


@given(files(), st.data())
def test_a_change_leaves_all_other_bytes(file, data):
    old, _ = file
    text = decode(old).text
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 5)))
    new = change(old, [Change(start, end, "xy")])
    if new is None:
        return
    assert decode(new).text == text[:start] + "xy" + text[end:] or text == ""
    if old.isascii() and b"\0" not in old:
        assert new == old[:start] + b"xy" + old[end:]


def test_changes_that_overlap_are_refused():
    assert change(b"abcdef", [Change(0, 3, "x"), Change(2, 4, "y")]) is None
