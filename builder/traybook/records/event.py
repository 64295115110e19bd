"""What one entry says, as values."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from traybook.text.scalars import Amount
from traybook.text.source import Span


@dataclass(frozen=True, slots=True)
class Said:
    """One clause, read.

    `field` is its name in the table of verbs; the rest is what the clause held: `n` a number and
    `of` the number it was out of, `unit` the word that rode on it, `where` a place, container or
    bed it was in, `into` one it went to, `cause` what took it, `text` words; `low`/`high` seeds
    a cell; lengths in millimetres. `at` is where it stands and takes no part in comparing.
    """

    field: str
    n: Amount | None = None
    of: Amount | None = None
    unit: str = ""
    where: str = ""
    into: str = ""
    cause: str = ""
    text: str = ""
    low: int | None = None
    high: int | None = None
    spacing_mm: float | None = None
    between_mm: float | None = None
    length_mm: float | None = None
    depth_mm: float | None = None
    rows: int | None = None
    at: Span | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Event:
    """One event as written, before anyone asks which sowing it means.

    `on` is None when no day could be read; `day` the day that a correction is about; `time` as
    HH:MM where it was told; `photos` the files named, with their places; `n` its number in its day's file order, from 1;
    `verb` as in the table, or the doing's own word; `subject` as written; `text` all its lines
    as typed; `fault` the name of the finding that sets it aside, or empty; `void` says by what it
    was taken back; `unread` is True when a number in it was not read.
    """

    on: dt.date | None
    verb: str
    subject: str
    said: tuple[Said, ...]
    note: str
    by: str
    text: str
    at: Span = field(compare=False, repr=False)
    subject_at: Span = field(compare=False, repr=False)
    n: int = field(default=0, compare=False)
    private: bool = False
    doing: bool = False
    allow: frozenset[str] = frozenset()
    fault: str = field(default="", compare=False)
    waits: bool = field(default=False, compare=False)
    unread: bool = field(default=False, compare=False)
    day: dt.date | None = None
    time: str = ""
    photos: tuple[tuple[str, Span], ...] = field(default=(), compare=False, repr=False)
    void: str = field(default="", compare=False)

    @property
    def path(self) -> str:
        """The file it stands in."""
        return self.at.path

    @property
    def key(self) -> tuple[str, int]:
        """What tells it from every other event: file and place."""
        return self.at.path, self.at.start

    def all(self, *names: str) -> tuple[Said, ...]:
        """The clauses of these fields, in the order written."""
        return tuple(s for s in self.said if s.field in names)

    def one(self, name: str) -> Said | None:
        """The first clause of a field."""
        return next((s for s in self.said if s.field == name), None)


def order(event: Event) -> tuple[dt.date, str, int]:
    """Events stand in the order of days, files and lines; those without a day come first."""
    return event.on or dt.date.min, event.at.path, event.at.start


@dataclass(frozen=True, slots=True)
class Prose:
    """A run of prose in a day file: diary text in the grower's own Markdown."""

    on: dt.date | None
    text: str
    by: str
    private: bool
    at: Span = field(compare=False, repr=False)
