"""When trays are due to be potted on, and soaks are due to end."""

from __future__ import annotations

import datetime as dt

import pytest

from kit import days, load_texts
from traybook.advice.due import due
from traybook.rollup.farm import farm_figures

START = dt.date(2026, 3, 1)


def told(as_of: int, *visits: tuple[int, str], kind: str = "pot", start: dt.date = START):
    """What is due of a kind on a day from the start on: (day, code or seed, why, since)."""
    on = start + dt.timedelta(days=as_of)
    figures = farm_figures(load_texts(days(*visits, start=start), on).kept)

    def number(d: dt.date | None) -> int | None:
        return d and (d - start).days

    found = due(figures, on, days=None)
    return [
        (number(d.on), d.about, d.why, number(d.since), d.where) for d in found if d.kind == kind
    ]


OPEN = (0, "sown x-26-1: 100 seeds, open tray, warm shelf")
# by hand: from day 8 with 20 to day 12 with 60 the count goes through 30 on day 9
UP = [(8, "checked x-26-1: 20 up"), (12, "checked x-26-1: 60 up")]
USUAL = "two weeks after half were up, common practice"


def test_an_open_tray_is_pricked_out_two_weeks_after_half_were_up():
    assert told(13, OPEN, *UP) == [(23, "x-26-1", USUAL, None, "warm shelf")]
    assert told(26, OPEN, *UP) == [(26, "x-26-1", USUAL, 23, "warm shelf")]


@pytest.mark.parametrize(
    ("sown", "count"),
    [
        ("128-cell tray, 1 per cell", 1),
        ("200-cell tray, 1 per cell", 1),
        ("72-cell tray, 1 per cell", 0),
        ("100 seeds", 0),
        ("100 seeds on damp paper", 0),
        ("100 seeds, direct in bed 4, 2 rows x 3 m", 0),
    ],
)
def test_small_cells_too_and_nothing_else(sown, count):
    visits = [
        (0, f"sown x-26-1: {sown}"),
        (8, "checked x-26-1: 100 up"),
        (11, "checked x-26-1: 110 up"),
    ]
    assert len(told(12, *visits)) == count


def test_not_before_half_of_what_is_expected_is_up():
    """Nothing is known of the kind: 70 of 100 are expected (common practice, no source)."""
    assert told(13, OPEN, (8, "checked x-26-1: 20 up"), (12, "checked x-26-1: 34 up")) == []
    assert len(told(13, OPEN, (8, "checked x-26-1: 20 up"), (12, "checked x-26-1: 35 up"))) == 1


@pytest.mark.parametrize(
    "line",
    [
        "pricked out x-26-1: 40 into 72s",
        "potted on x-26-1: 40 into 9 cm pots",
        "hardening off x-26-1: out",
        "planted out x-26-1: 40 to bed 4",
        "finished x-26-1: mice",
        "checked x-26-1: 60 lost to mice",
    ],
)
def test_nothing_is_due_once_it_was_done_or_none_stand(line):
    assert told(30, OPEN, *UP) != [] == told(30, OPEN, *UP, (14, line))


def test_the_kinds_own_earlier_sowings_come_before_common_practice():
    """By hand: earlier ones had half up on day 9 and were potted on on days 29, 33 and 44: 20, 24, 35
    days later."""
    visits: list[tuple[int, str]] = [OPEN, *UP]
    for n, day in ((2, 29), (3, 33), (4, 44)):
        visits[0] = (0, visits[0][1] + f"\nsown x-26-{n}: 100 seeds, open tray")
        visits += [(on, line.replace("26-1", f"26-{n}")) for on, line in UP]
        visits.append((day, f"potted on x-26-{n}: 40 into 9 cm pots"))
    visits += [
        (60, "sown x-26-5: 100 seeds, open tray"),
        (68, "checked x-26-5: 20 up"),
        (72, "checked x-26-5: 60 up"),
    ]
    why = "24 days after half were up, as in 3 sowings before"
    # 60 + 9 + 24
    assert (93, "x-26-5", why, None, "") in told(73, *visits)
    # a sowing of the same day is no earlier one
    assert (73, "x-26-1", USUAL, 23, "warm shelf") in told(73, *visits)


@pytest.mark.parametrize("sown", ["100 seeds, open tray", "128-cell tray, 1 per cell"])
def test_a_kind_that_goes_straight_to_the_bed_is_never_due(sown):
    visits = [
        (0, f"sown x-26-1: {sown}"), *UP, (40, "planted out x-26-1: 50 to bed 1"),
        (60, f"sown x-26-2: {sown}"), (68, "checked x-26-2: 40 up"), (72, "checked x-26-2: 90 up"),
    ]  # fmt: skip
    assert told(73, *visits) == []
    potted = [v if v[0] != 40 else (40, "potted on x-26-1: 50 into 9 cm pots") for v in visits]
    # half of 60 was up on day 9, half of 90 between 40 (day 68) and 90 (day 72): 68 + 4 x 5/50 = 68.4
    assert told(73, *potted) == [
        (68 + 31, "x-26-2", "31 days after half were up, as in 1 sowing before", None, "")
    ]


def test_sowings_in_cells_say_nothing_of_open_trays():
    visits = [
        (0, "sown x-26-1: 72-cell tray, 1 per cell"), *UP, (40, "planted out x-26-1: 50 to bed 1"),
        (60, "sown x-26-2: 100 seeds, open tray"), (68, "checked x-26-2: 20 up"), (72, "checked x-26-2: 60 up"),
    ]  # fmt: skip
    assert told(73, *visits) == [(83, "x-26-2", USUAL, None, "")]


# -- soaks


@pytest.mark.parametrize(
    ("said", "on", "why"),
    [
        ("overnight", 1, "soaked since 1 Mar, for 12 hours"),
        ("12 hours", 1, "soaked since 1 Mar, for 12 hours"),
        ("4 hours", 0, "soaked since 1 Mar, for 4 hours"),
        ("24 hours", 1, "soaked since 1 Mar, for 1 day"),
        ("2 days", 2, "soaked since 1 Mar, for 2 days"),
        ("in the kitchen", 1, "soaked since 1 Mar"),
    ],
)
def test_a_soak_is_due_out(said, on, why):
    """common practice, no source: a day is the longest; by hand from its length."""
    visits = [(0, f"received SWE-26: sweet pea Linnet, 50 seeds\nsoaked SWE-26: {said}")]
    where = "kitchen" if "kitchen" in said else ""
    assert told(0, *visits, kind="out") == [(on, "sweet pea SWE-26", why, None, where)]
    assert told(0, *visits, (0, "soaked SWE-26: out"), kind="out") == []


def test_a_soak_whose_end_nobody_wrote_down_is_not_told_for_ever():
    visits = [(0, "received SWE-26: sweet pea Linnet, 50 seeds\nsoaked SWE-26: overnight")]
    assert [bool(told(n, *visits, kind="out")) for n in range(7)] == [True] * 5 + [False] * 2
    sown = (1, "sown sweet pea: lot SWE-26, 36-cell tray, 1 per cell")
    assert told(2, *visits, sown, kind="out") == []


def test_plants_that_are_ready_stand_where_they_were_potted():
    visits = [
        OPEN, *UP, (20, "pricked out x-26-1: 60 into 72s\nmoved x-26-1: the 72s to the cold frame"),
        (30, "hardening off x-26-1: out"),
    ]  # fmt: skip
    found = told(31, *visits, kind="plant")
    assert [(on, where) for on, _, _, _, where in found] == [(40, "cold frame")]
