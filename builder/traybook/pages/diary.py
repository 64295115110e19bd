"""The diary: every day's lines and prose, a page a month."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

from traybook.pages import words
from traybook.pages.addresses import DIARY, month_address
from traybook.pages.lines import written
from traybook.pages.model import Block, DiaryDay, Link, Page, cell, table
from traybook.records.book import Entry
from traybook.records.event import Prose
from traybook.rollup.farm import FarmFigures

_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
Month = tuple[int, int]


def diary_pages(figures: FarmFigures) -> list[Page]:
    """The list of months and each month's page."""
    book = figures.kept.book
    entries: dict[Month, list[Entry]] = defaultdict(list)
    prose: dict[Month, list[Prose]] = defaultdict(list)
    for e in book.entries:
        if e.event.on and (not e.aside or book.own):
            entries[e.event.on.year, e.event.on.month].append(e)
    for p in book.prose:
        if p.on:
            prose[p.on.year, p.on.month].append(p)
    months = sorted(set(entries) | set(prose), reverse=True)
    pages = [_index(months, entries, figures)]
    for i, month in enumerate(months):
        near = months[i + 1 : i + 2] + months[max(0, i - 1) : i]
        pages.append(_month(month, entries[month], prose[month], near, figures))
    return pages


def name(month: Month) -> str:
    """`March 2026`."""
    return f"{_MONTHS[month[1] - 1]} {month[0]}"


def _index(months: list[Month], entries: dict[Month, list[Entry]], figures: FarmFigures) -> Page:
    rows = tuple((cell(name(m), month_address(*m)), cell(f"{len(entries[m])}")) for m in months)
    return Page(
        template="list",
        address=DIARY,
        title="Diary",
        lead=(f"{words.many(len(months), 'month', 'months')}, the latest first.",),
        blocks=(Block("", "months", (), table("Months", ("Month", "#Entries"), rows)),)
        if rows
        else (),
        rests_on=figures.kept.book.last_day,
        nav="Diary",
    )


def _month(
    month: Month, entries: list[Entry], prose: list[Prose], near: list[Month], figures: FarmFigures
) -> Page:
    days: dict[dt.date, tuple[list[Entry], list[Prose]]] = defaultdict(lambda: ([], []))
    for e in entries:
        assert e.event.on is not None
        days[e.event.on][0].append(e)
    for p in prose:
        assert p.on is not None
        days[p.on][1].append(p)
    return Page(
        template="month",
        address=month_address(*month),
        title=name(month),
        days=tuple(
            DiaryDay(on, written(found, figures.kept, lead=True), tuple(_paragraphs(said)))
            for on, (found, said) in sorted(days.items())
        ),
        links=(*(Link(name(m), month_address(*m)) for m in near), Link("All months", DIARY)),
        rests_on=max(days),
    )


def _paragraphs(prose: list[Prose]) -> list[str]:
    """Prose as plain paragraphs: what a grower wrote is words, never markup."""
    blocks = [b for p in prose for b in p.text.replace("\r\n", "\n").split("\n\n")]
    return [" ".join(b.split()) for b in blocks if b.strip()]
