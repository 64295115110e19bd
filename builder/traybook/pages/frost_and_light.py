"""Frost and light: last and first frost, the length of the day, and the warmth of the running year."""

from __future__ import annotations

import calendar
import datetime as dt

from traybook.advice.daylight import day_length, ten_hours
from traybook.advice.frosts import FEWEST_YEARS, FrostDates, Frosts, FrostYear, frosts
from traybook.pages import words
from traybook.pages.addresses import FROST_AND_LIGHT, figure_anchor
from traybook.pages.model import Block, Cell, Page, cell, table
from traybook.records.book import Book
from traybook.stats import heat

# Above what degree-days are told: hardy and tender kinds; Celsius, and what imperial farms use.
# common practice, no source
_BASES, _BASES_F = (5.0, 10.0), (40.0, 50.0)
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip
# From so many years on the early and late dates lie within what was seen.
_ENOUGH = 9


def frost_and_light_page(book: Book) -> Page:
    """The page; with nothing known it says what to write."""
    known = frosts(book)
    blocks = [*_frosts(known, book.as_of.year), *_years(known), *_days(book), *_warmth(book)]
    lead = (
        "When frost is to be reckoned with, how long the days are, and how warm the year has been."
    )
    if not blocks:
        lead = (
            "Nothing is known yet. Write `latitude`, `last frost` and `first frost` into farm.yaml, "
            "or put a file of daily temperatures into entries/weather/."
        )
    return Page(
        template="list",
        address=FROST_AND_LIGHT,
        title="Frost and light",
        lead=(lead,),
        blocks=tuple(blocks),
        rests_on=book.last_day,
        nav="Frost and light",
    )


def day_month(on: dt.date) -> str:
    """`8 May`."""
    return words.day(on).rsplit(" ", 1)[0]


def _frosts(known: Frosts, year: int) -> list[Block]:
    """The dates by chance, and how many years stand behind them."""
    found = (
        ("Last frost in spring", known.last(year), known.springs, "spring"),
        ("First frost in autumn", known.first(year), known.autumns, "autumn"),
    )
    rows = tuple(_row(name, got) for name, got, _, _ in found if got)
    said = [_behind(name, got, years, season) for name, got, years, season in found if got or years]
    if not said:
        return []
    columns = ("Frost", "Early", "Middle", "Late", "#Years", "From")
    body = table("Last and first frost", columns, rows) if rows else None
    return [
        Block("Last and first frost", "frost", (_MEANING, *said), body, how=figure_anchor("frost-dates"))
    ]  # fmt: skip


_MEANING = (
    "In spring, nine years in ten have a frost after the early date, and one in ten has one after the "
    "late date. In autumn, one year in ten has had a frost before the early date, and nine in ten before "
    "the late date."
)


def _row(name: str, got: FrostDates) -> tuple[Cell, ...]:
    dates = [day_month(on) if on else "too seldom" for on in (got.early, got.middle, got.late)]
    return (
        cell(name),
        *(cell(d) for d in dates),
        cell(str(got.years) if got.years else "the usual date"),
        cell(got.source),
    )


def _behind(name: str, got: FrostDates | None, years: tuple[FrostYear, ...], season: str) -> str:
    """What the dates rest on, in a sentence."""
    of = words.many(len(years), season, f"{season}s")
    if got is None:
        return f"{name}: none in {of} on record."
    if not got.years:
        so_far = f"; {of} of your own so far" if years else ""
        return (
            f"{name}: farm.yaml's usual date stands for all three, since it takes "
            f"{FEWEST_YEARS} years of your own to tell early from late{so_far}."
        )
    without = sum(y.on is None for y in years)
    more = f", {without} of them without frost" if without else ""
    few = (
        f" So few can't tell one year in ten: early and late are the earliest and latest seen, and about "
        f"one year in {len(years) + 1} goes beyond each."
        if got.years < _ENOUGH and not without
        else ""
    )
    return f"{name}: by {of}{more}.{few}"


def _years(known: Frosts) -> list[Block]:
    """Each year's dates, the latest first."""
    springs = {y.year: y for y in known.springs}
    autumns = {y.year: y for y in known.autumns}
    rows = []
    for year in sorted({*springs, *autumns}, reverse=True):
        last, first = springs.get(year), autumns.get(year)
        rows.append((cell(str(year)), _told(last), _told(first)))
    if not rows:
        return []
    columns = ("Year", "Last frost", "First frost")
    return [
        Block("Year by year", "frost-years", (), table("Frosts year by year", columns, tuple(rows)))
    ]


def _told(y: FrostYear | None) -> Cell:
    if y is None:
        return cell("")
    return cell(day_month(y.on) if y.on else "none", more=y.source)


def _days(book: Book) -> list[Block]:
    """Day length month by month, and the days about the dark of winter."""
    latitude, year = book.farm.latitude, book.as_of.year
    if latitude is None:
        return []
    rows = tuple(
        (cell(name), *(cell(hours(day_length(latitude, dt.date(year, n, d)))) for d in (1, 15)))
        for n, name in enumerate(_MONTHS, 1)
    )
    where = f"{abs(latitude):g} degrees {'south' if latitude < 0 else 'north'}"
    body = table(f"Length of the day at {where}", ("Month", "On the 1st", "On the 15th"), rows)
    said = (_ten(latitude, year), f"From sunrise to sunset, for {where}.")
    return [Block("Length of the day", "daylight", said, body, how=figure_anchor("ten-hour-day"))]


def _ten(latitude: float, year: int) -> str:
    got = ten_hours(latitude, year)
    if got is None:
        return "There is no winter here in which days fall just under ten hours, so none is told."
    first, last = day_month(got.first), day_month(got.last)
    when = f"from {first} to {last}" if latitude > 0 else f"to {last} and again from {first}"
    return (
        f"In {year} days have ten hours or more {when}. In the time between most plants hardly grow: what "
        "is to stand through winter has to be of a size before it, and waits for its end."
    )


def hours(length: float | None) -> str:
    """`8 h 05 min`; words where the sun doesn't rise or set.

    >>> hours(8.083), hours(None)
    ('8 h 05 min', 'no sunrise or no sunset')
    """
    if length is None:
        return "no sunrise or no sunset"
    minutes = round(length * 60)
    return f"{minutes // 60} h {minutes % 60:02d} min"


def _warmth(book: Book) -> list[Block]:
    """Degree-days of the running year, month by month, where both ends of its days were measured."""
    year, imperial = book.as_of.year, book.farm.units == "imperial"
    days: dict[dt.date, tuple[float, float]] = {
        on: (_in(low, imperial), _in(high, imperial))
        for on, (low, high) in book.temperatures.items()
        if on.year == year and low is not None and high is not None and low <= high
    }
    if not days:
        return []
    bases, unit = (_BASES_F, "F") if imperial else (_BASES, "C")
    sums, rows = [0.0 for _ in bases], []
    for month, name in enumerate(_MONTHS, 1):
        here = [pair for on, pair in days.items() if on.month == month]
        if here:
            added = [heat.sums(here, base) for base in bases]
            sums = [s + a for s, a in zip(sums, added, strict=True)]
            figures = [x for both in zip(added, sums, strict=True) for x in both]
            measured = f"{len(here)} of {calendar.monthrange(year, month)[1]}"
            rows.append((cell(name), cell(measured), *(cell(f"{x:,.0f}") for x in figures)))
    columns = [c for b in bases for c in (f"#Above {b:g} {unit}", f"#So far, above {b:g} {unit}")]
    so_far = (book.as_of - dt.date(year, 1, 1)).days + 1
    said = (
        f"{len(days)} of {so_far} days of {year} so far were measured. A day that was not adds nothing, "
        "so with gaps the sums are too low."
    )
    body = table(f"Degree-days of {year}", ("Month", "#Days measured", *columns), tuple(rows))
    return [
        Block(f"Warmth of {year}", "degree-days", (said,), body, how=figure_anchor("degree-days"))
    ]


def _in(warm: float, imperial: bool) -> float:
    return warm * 1.8 + 32 if imperial else warm
