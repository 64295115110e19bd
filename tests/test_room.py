"""Room for trays by week and place: by hand, over the turn of the year, and against a count day by day."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

from hypothesis import given
from hypothesis import strategies as st

from kit import load_texts
from traybook.advice.room import Stay, shelf_room, standing_stays
from traybook.pages.needs import room_block
from traybook.rollup.farm import farm_figures

PLACES = "places:\n  warm shelf: {temperature: 21 C, trays: 8}\n  porch: {trays: 2}\n  frame: {light: daylight}\n"


def farm(as_of=dt.date(2026, 3, 20), **days):
    texts = {
        f"entries/{on.replace('_', '-')[1:]}.md": f"---\n{said.strip()}\n---\n"
        for on, said in days.items()
    }
    loaded = load_texts(texts | {"entries/farm.yaml": PLACES}, as_of)
    assert [f for f in loaded.findings if f.weight in ("error", "pending")] == []
    return farm_figures(loaded.kept)


BOOK = farm(d2026_03_01="noted: the first day").kept.book


def day(text):
    return dt.date.fromisoformat(text)


def test_an_over_full_week_is_named():
    room = shelf_room(BOOK, [
        Stay("warm shelf", day("2027-03-01"), day("2027-03-28"), 6, "stock"),
        Stay("the warm shelf", day("2027-03-24"), day("2027-04-04"), 5, "zinnia"),
        Stay("porch", day("2027-03-01"), day("2027-03-01"), 2, "aster"),
        Stay("frame", day("2027-03-01"), day("2027-03-02"), 40, "sweet pea"),
    ])  # fmt: skip
    # source: ISO 8601: week 9 of 2027 begins on Monday 1 March, week 12 on 22 March
    assert room.weeks == ((2027, 9), (2027, 10), (2027, 11), (2027, 12), (2027, 13))
    assert room.places == ("warm shelf", "porch", "frame")
    assert [room.at("warm shelf", 2027, w).trays for w in range(9, 14)] == [6, 6, 6, 11, 5]
    assert room.told == ("warm shelf, week 12: 11 trays, room for 8",)
    assert room.at("porch", 2027, 9).words() == "porch, week 9: 2 trays, room for 2"
    assert room.at("porch", 2027, 10) is None
    assert room.at("frame", 2027, 9).words() == "frame, week 9: 40 trays"
    assert [s.what for s in room.at("warm shelf", 2027, 12).what] == ["stock", "zinnia"]


def test_over_the_turn_of_the_year_weeks_say_theirs():
    room = shelf_room(BOOK, [
        Stay("porch", day("2026-12-27"), day("2027-01-04"), 1, "a"),
        Stay("porch", day("2027-01-03"), day("2027-01-03"), 2, "b"),
    ])  # fmt: skip
    # source: ISO 8601: 2026 has 53 weeks; 3 January 2027 is the Sunday of week 53, 27 December of week 52
    assert room.weeks == ((2026, 52), (2026, 53), (2027, 1))
    assert [room.at("porch", *w).trays for w in room.weeks] == [1, 3, 1]
    assert room.told == ("porch, week 53 of 2026: 3 trays, room for 2",)
    (block,) = room_block(room)
    assert block.words == ("Too full: porch, week 53 of 2026: 3 trays, room for 2.",)
    assert [[c.text for c in row] for row in block.table.rows] == [
        ["52 of 2026", "1 of 2"], ["53 of 2026", "3 of 2, too full"], ["1 of 2027", "1 of 2"],
    ]  # fmt: skip


def test_nothing_is_nothing():
    none = shelf_room(BOOK, [Stay("porch", day("2027-01-05"), day("2027-01-04"), 3, "ends before it begins"),
                             Stay("porch", day("2027-01-05"), day("2027-01-09"), 0, "no tray")])  # fmt: skip
    assert (none.weeks, none.places, none.told) == ((), (), ()) and room_block(none) == []


STAYS = st.builds(
    lambda place, first, length, trays: Stay(place, first, first + dt.timedelta(days=length), trays, "x"),
    st.sampled_from(("warm shelf", "porch", "elsewhere")),
    st.dates(dt.date(2020, 11, 1), dt.date(2022, 2, 1)), st.integers(0, 80), st.integers(1, 6),
)  # fmt: skip


@given(st.lists(STAYS, max_size=8))
def test_as_counted_day_by_day(stays):
    seen = defaultdict(set)
    for i, s in enumerate(stays):
        for n in range((s.last - s.first).days + 1):
            year, week, _ = (s.first + dt.timedelta(days=n)).isocalendar()
            seen[s.place, year, week].add(i)
    room = shelf_room(BOOK, stays)
    assert {k: x.trays for k, x in room.cells.items()} == {
        k: sum(stays[i].trays for i in held) for k, held in seen.items()
    }
    assert {(x.place, x.year, x.week) for x in room.over} == {
        k for k, x in room.cells.items() if k[0] != "elsewhere" and x.trays > {"warm shelf": 8, "porch": 2}[k[0]]
    }  # fmt: skip
    assert list(room.weeks) == sorted(set(room.weeks)) and len(room.told) == len(room.over)


def test_what_stands_now_is_counted_in_trays():
    figures = farm(
        d2026_03_01="""sown stock-26-1: 2 x 72-cell trays, 1 per cell, warm shelf
sown moonwort-26-1: 50 seeds, damp paper, warm shelf
sown aster-26-1: 30 seeds, open tray, porch
sown moonwort-26-2: 90 cells of 72-cell tray, 1 per cell, frame
sown cosmos-26-1: 72-cell tray, 1 per cell, warm shelf""",
        d2026_03_10="checked stock-26-1: 100 up\nmoved stock-26-1: half to porch\nchecked cosmos-26-1: 60 up",
        d2026_03_18="potted on cosmos-26-1: 60 to 50s\nmoved cosmos-26-1: to frame",
    )
    found = {(s.what, s.place): s for s in standing_stays(figures)}
    trays = {k: s.trays for k, s in found.items()}
    # by hand: 144 cells, half of them on each place: one tray of 72 on each; 90 cells and 60 plants: two each;
    # paper takes none; once all of it is potted on the tray it was sown in is free
    assert trays == {
        ("stock, stock-26-1", "warm shelf"): 1, ("stock, stock-26-1", "porch"): 1,
        ("aster, aster-26-1", "porch"): 1, ("moonwort, moonwort-26-2", "frame"): 2,
        ("cosmos, cosmos-26-1", "frame"): 2,
    }  # fmt: skip
    assert all(s.first == dt.date(2026, 3, 20) for s in found.values())
    # nothing is known of moonwort: eight weeks from 1 March
    assert found["moonwort, moonwort-26-2", "frame"].last == dt.date(2026, 4, 26)
    weeks = figures.kept.book.fact("cosmos").indoors_weeks[1]
    assert found["cosmos, cosmos-26-1", "frame"].last == dt.date(2026, 3, 1) + dt.timedelta(
        days=7 * weeks
    )


def test_what_should_be_gone_stands_this_week_at_least():
    figures = farm(
        dt.date(2026, 9, 1), d2026_03_01="sown stock-26-1: 72-cell tray, 1 per cell, porch"
    )
    (stay,) = standing_stays(figures)
    assert (stay.first, stay.last) == (dt.date(2026, 9, 1), dt.date(2026, 9, 1))
