"""What all pages are made of."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

#: What a cell holds that has nothing to say.
NOTHING = "-"


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead to an address of the site."""

    text: str
    to: str


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a table; `to` is where it leads, if anywhere, `more` a second, smaller line. The first
    of a row may carry the row's anchor."""

    text: str
    to: str = ""
    more: str = ""
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table: a name for it, its columns (a `#` before a name sets numbers right) and its rows."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class Written:
    """A line as the grower wrote it, how it was read, whether it counts, and what it is about."""

    on: dt.date | None
    text: str
    echo: str
    by: str
    counts: bool = True
    where: str = ""
    about: Link | None = None


@dataclass(frozen=True, slots=True)
class Fact:
    """A name and what is so; `how` is the paragraph that says how it is worked out, `lines` what it
    rests on."""

    name: str
    value: str
    how: str = ""
    lines: tuple[Written, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """A line of a file: what of it is meant, the words before and after, and why it matters here."""

    where: str
    before: str = ""
    marked: str = ""
    after: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """A finding: what is wrong, where, and what to do; `why` is where its kind is explained."""

    name: str
    message: str
    places: tuple[Place, ...]
    help: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Chart:
    """A figure for the chart script as JSON, over the table that says the same."""

    anchor: str
    heading: str
    figure: str
    table: Table


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A table of answers worked out beforehand, with two questions over it that look one up: the first
    column against the number wanted, the name of another one as the choice."""

    anchor: str
    table: Table


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a page under its own heading: some words, a chart, a table, or more of them.

    `before` is a table that is folded up under its caption until it is asked for; `how` the paragraph
    that says how its figures are worked out, `after` words that stand below the table, `what_if` a
    table to ask. With `fold` all of it is folded up under its heading and these words.
    """

    heading: str
    anchor: str
    words: tuple[str, ...] = ()
    table: Table | None = None
    before: Table | None = None
    told: tuple[Told, ...] = ()
    chart: Chart | None = None
    how: str = ""
    after: tuple[str, ...] = ()
    what_if: WhatIf | None = None
    fold: str = ""
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True)
class DiaryDay:
    """A day of the diary: its lines, then its prose in paragraphs."""

    on: dt.date
    lines: tuple[Written, ...]
    prose: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """Any page. `template` names its template, `ahead` holds what is expected next,
    and `rests_on` the last entry it rests on; `nav` is its name in the navigation, empty for none,
    and `under` that of the page it stands under there."""

    template: str
    address: str
    title: str
    lead: tuple[str, ...] = ()
    facts: tuple[Fact, ...] = ()
    recipe: tuple[Fact, ...] = ()
    ahead: tuple[Fact, ...] = ()
    sums: tuple[str, ...] = ()
    blocks: tuple[Block, ...] = ()
    lines: tuple[Written, ...] = ()
    days: tuple[DiaryDay, ...] = ()
    chart: Chart | None = None
    links: tuple[Link, ...] = ()
    rests_on: dt.date | None = None
    nav: str = ""
    under: str = ""
    search: tuple[str, ...] = field(default=())

    @property
    def charts(self) -> tuple[Chart, ...]:
        """All charts on it."""
        own = (self.chart,) if self.chart else ()
        return (*own, *(b.chart for b in self.blocks if b.chart))

    @property
    def scripts(self) -> tuple[str, ...]:
        """Files under js/ that this page needs beside those of every page."""
        return ("how-many.js",) if any(b.what_if for b in self.blocks) else ()


def table(caption: str, columns: tuple[str, ...], rows: tuple[tuple[Cell, ...], ...]) -> Table:
    """A table without the columns in which no row says anything."""
    kept = [i for i in range(len(columns)) if any(row[i].text != NOTHING for row in rows)]
    return Table(
        caption,
        tuple(columns[i] for i in kept),
        tuple(tuple(row[i] for i in kept) for row in rows),
    )


def cell(text: str, to: str = "", more: str = "") -> Cell:
    """A cell; nothing to say is a dot that a screen reader passes over."""
    return Cell(text or NOTHING, to if text else "", more if text else "")
