"""Today: what is due on each of the next fourteen days, and the latest entries."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from itertools import groupby

from traybook.advice.coming import coming_year
from traybook.advice.due import DAYS, Due, coming
from traybook.advice.learnt import Learnt
from traybook.pages import words
from traybook.pages.addresses import (
    BEFORE,
    CALENDAR,
    SEED,
    START,
    WRITING,
    crop_address,
    plan_address,
    season_address,
    sowing_address,
)
from traybook.pages.lines import written
from traybook.pages.model import Block, Cell, Link, Page, cell, table
from traybook.records.book import Entry
from traybook.rollup.farm import FarmFigures
from traybook.rollup.questions import open_questions
from traybook.text.names import fold

_LATEST = 12


def today_page(learnt: Learnt) -> Page:
    """The first page; on an empty farm, how to begin."""
    figures = learnt.figures
    book = figures.kept.book
    title = book.farm.name or "Season journal"
    found = coming(learnt)
    if not (figures.sowings or found or book.plans):
        return _empty(title)
    used = [e for e in book.entries if e.used]
    year = coming_year(learnt)
    return Page(
        template="start",
        address=START,
        title=title,
        lead=(_summary(found, book.as_of),),
        blocks=(*_days(found, figures), *_asked(figures)),
        lines=tuple(reversed(written(used[-_LATEST:], figures.kept, lead=True))),
        links=(
            Link("Put these days into your calendar", CALENDAR),
            Link(f"Before sowing {year}", BEFORE),
            *(Link(f"Plan {p.year}", plan_address(p.year)) for p in book.plans if p.year == year),
            Link("Seed", SEED),
            *(Link(f"Season {s.year}", season_address(s.year)) for s in figures.seasons[:3]),
        ),
        rests_on=book.last_day,
        nav="Today",
    )


def _asked(figures: FarmFigures) -> Iterable[Block]:
    """Questions that nobody has answered yet."""
    waiting = open_questions(figures.kept.book)
    if waiting:
        rows = tuple(
            (
                cell(e.event.note or e.event.text),
                cell(e.ref.code or e.ref.crop or e.ref.bed or e.ref.place, _about(e, figures)),
                cell(words.day(e.event.on)),
                cell(e.event.by),
            )
            for e in reversed(waiting)
        )
        body = table(
            "Questions that wait for an answer", ("Question", "About", "Asked on", "By"), rows
        )
        said = "Answer one by a line of the day, as `answered stock: yes, pot them`."
        yield Block("Questions that wait", "questions", (said,), body)


def _about(e: Entry, figures: FarmFigures) -> str:
    """The page of the sowing or crop it is about."""
    if e.ref.code in figures.sowings:
        return sowing_address(e.ref.code)
    crops = {fold(k.crop): k.crop for k in figures.kinds}
    return crop_address(crops[fold(e.ref.crop)]) if fold(e.ref.crop) in crops else ""


def _summary(found: tuple[Due, ...], as_of: dt.date) -> str:
    now = [d for d in found if d.on == as_of]
    end = as_of + dt.timedelta(days=DAYS - 1)
    if not found:
        return f"Nothing is due from {words.day(as_of)} to {words.day(end)}."
    some = words.many(len(now), "thing", "things") if now else "Nothing"
    first = f"{some} on {words.weekday(as_of)}"
    rest = len(found) - len(now)
    return first + (f", {rest} more up to {words.day(end)}." if rest else ".")


def _days(found: Iterable[Due], figures: FarmFigures) -> Iterable[Block]:
    """A block a day, written for that day so that an old copy stays true."""
    for on, things in groupby(found, key=lambda d: d.on):
        rows = tuple(_row(d, figures) for d in things)
        body = table(f"Due on {words.day(on)}", ("Sowing", "What", "Why", "Where"), rows)
        yield Block(words.weekday(on), f"day-{on.isoformat()}", (), body)


def _row(d: Due, figures: FarmFigures) -> tuple[Cell, ...]:
    since = f" (since {words.day(d.since)})" if d.since else ""
    return (
        cell(d.code, sowing_address(d.code)) if d.code in figures.sowings else cell(d.about),
        cell(d.what + since),
        cell(d.why),
        cell(d.where),
    )


def _empty(title: str) -> Page:
    lead = (
        "Nothing has been sown here yet. Write your first sowing into a file named by its day, "
        "as entries/2026-03-14.md:"
    )
    return Page(
        template="empty",
        address=START,
        title=title,
        lead=(lead,),
        links=(Link("How to write entries", WRITING),),
        nav="Today",
    )
