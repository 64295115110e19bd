"""How warm: the days to half of a kind by temperature, for its page."""

from __future__ import annotations

from traybook.advice.learnt import Learnt
from traybook.advice.warmth import Warmth, places, warmth
from traybook.pages import words
from traybook.pages.addresses import figure_anchor
from traybook.pages.learnt import anchored, named
from traybook.pages.model import Block, Cell, cell, table
from traybook.records.settings import Farm
from traybook.rollup.kind import KindSeason


def warmth_block(k: KindSeason, learnt: Learnt, only: bool = True) -> list[Block]:
    """When half are expected up at which temperature; nothing where its sowings don't tell."""
    got = warmth(learnt.figures, k.key)
    if got is None:
        return []
    book = learnt.figures.kept.book
    found = places(book)
    rows = tuple(_row(place, warm, got, book.farm) for place, warm in found.items())
    body = table("Half up by place", ("Place", "#Temperature", "Half up by about"), rows)
    return [
        Block(
            named("How warm", k.measure, only), anchored("warmth", k.measure),
            (_sentence(got, book.farm), _held(got)), body if rows else None,
            how=figure_anchor("thermal-time"),
        )
    ]  # fmt: skip


def _sentence(got: Warmth, farm: Farm) -> str:
    """`At 13 C expect half up by about day 19, at 18 C day 11 (learnt from 5 sowings at 12 to 21 C).`"""
    low, high = got.range
    third = (high - low) / 3
    one, two = (round(t) if high - low >= _WIDE else t for t in (low + third / 2, high - third / 2))
    return (
        f"At {temperature(one, farm)} expect half up by about day {got.day(one):.0f}, "
        f"at {temperature(two, farm)} day {got.day(two):.0f} "
        f"(learnt from {words.many(len(got.seen), 'sowing', 'sowings')} at {_range(got, farm)})."
    )


# From so many degrees on, whole ones near the ends lie within the range.
_WIDE = 6


def _held(got: Warmth) -> str:
    off = max(1, round(got.off))
    return (
        f"Those sowings lay within {words.many(off, 'day', 'days')} of it. Days are counted from sowing, "
        "or from the day it came out of its cold."
    )


def _row(place: str, warm: float, got: Warmth, farm: Farm) -> tuple[Cell, ...]:
    at = got.day(warm)
    said = (
        f"day {at:.0f}"
        if at is not None
        else f"not known: nothing was sown outside {_range(got, farm)}"
    )
    return cell(place), cell(temperature(warm, farm)), cell(said)


def _range(got: Warmth, farm: Farm) -> str:
    low, high = got.range
    return f"{_figure(low, farm)} to {temperature(high, farm)}"


def temperature(warm: float, farm: Farm) -> str:
    """A temperature given in Celsius, in the farm's own unit, to the nearest degree.

    >>> temperature(21.1, Farm()), temperature(10, Farm(units="imperial"))
    ('21 C', '50 F')
    """
    return _figure(warm, farm) + (" F" if farm.units == "imperial" else " C")


def _figure(warm: float, farm: Farm) -> str:
    return f"{round(warm * 1.8 + 32 if farm.units == 'imperial' else warm)}"
