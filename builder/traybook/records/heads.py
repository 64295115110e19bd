"""What may stand before a line's verb, or between its verb and its sowing: days and times."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from traybook.records.verbs import verb_at
from traybook.text.lines import Line, split_colon
from traybook.text.scalars import DAY
from traybook.text.source import Piece

_CLOCK = r"\d{1,2}:\d{2}(?:\s*[ap]\.?m\b\.?)?|\d{1,2}(?:\.\d{2})?\s*[ap]\.?m\b\.?"
#: A time as a whole clause; one with a point instead of a colon only where its half of the day is said.
TIME = re.compile(rf"(?:at\s+)?(?P<time>{_CLOCK})$", re.IGNORECASE)
TIME_TAIL = re.compile(rf"(?<=\S)\s+(?:at\s+)?(?P<time>{_CLOCK})$", re.IGNORECASE)
_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?"
_HEAD = re.compile(
    rf"(?:{_WEEKDAY}(?P<day>{DAY})(?:\s*[:,]|(?=\s)|$)\s*)?(?:(?:at\s+)?(?P<time>{_CLOCK})\s*[,:-]?(?:\s+|$))?",
    re.IGNORECASE,
)
_DAY_FIRST = re.compile(rf"(?:(?:on|of|for)\s+)?(?P<day>{DAY}),?:?\s+(?=\S)", re.IGNORECASE)
_DAY_LAST = re.compile(
    rf"(?<=\S),?\s+(?:on|of|for|from|since|after)\s+(?P<day>{DAY})$", re.IGNORECASE
)
_WITH = re.compile(r"\s+(?:with|and|for|<->|&)\s+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Led:
    """A line that begins with a day or a time: where these stand, and the line without them (None
    for a heading, which is a day alone)."""

    day: Piece | None
    time: str
    rest: Line | None


def clock(text: str) -> str:
    """A time as 24-hour hours and minutes; empty for no time of day.

    >>> clock("9:30"), clock("4.15 pm"), clock("12 am"), clock("25:10")
    ('09:30', '16:15', '00:00', '')
    """
    figures = [int(x) for x in re.findall(r"\d+", text)]
    hour, minute = figures[0], figures[1] if len(figures) > 1 else 0
    half = re.search(r"[ap](?=\.?m)", text.lower())
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half.group() == "p" else 0)
    return f"{hour:02d}:{minute:02d}" if hour < 24 and minute < 60 else ""


def led_by(line: Line) -> Led | None:
    """The day or time that a line begins with, before its verb."""
    start = line.head.at.start - line.whole.at.start
    text = line.whole.part(start, len(line.whole.text))
    found = _HEAD.match(text.text)
    if not found or not found.end():
        return None
    day = text.part(*found.span("day")) if found["day"] else None
    rest = text.part(found.end(), len(text.text))
    if not rest.text:
        return Led(day, "", None) if day and not found["time"] else None
    if not verb_at(re.sub(r"private\b[: ]*", "", rest.text, flags=re.IGNORECASE)):
        return None
    head, value = split_colon(rest)
    return Led(
        day, clock(found["time"]) if found["time"] else "", replace(line, head=head, value=value)
    )


def day_alone(text: str) -> bool:
    """True for a line that is a day and nothing else."""
    found = _HEAD.match(text)
    return bool(found and found["day"] and not found["time"] and found.end() == len(text))


def without_lead(text: str) -> str:
    """A line's words without a day or time at its beginning."""
    return text[_HEAD.match(text).end() :]  # type: ignore[union-attr]


def day_before(text: str) -> int:
    """How much of a correction's words its day takes up at the beginning."""
    found = _DAY_FIRST.match(text)
    return found.end() if found else 0


def about_day(subject: Piece) -> tuple[Piece, Piece | None]:
    """What a correction is about without its day, and the day: `14 Mar stock-26-1`,
    `stock-26-1 on 14 Mar`."""
    first = _DAY_FIRST.match(subject.text)
    if first:
        return subject.part(first.end(), len(subject.text)), subject.part(*first.span("day"))
    last = _DAY_LAST.search(subject.text)
    if last:
        return subject.part(0, last.start()), subject.part(*last.span("day"))
    return subject, None


def before_tail(words: Piece) -> tuple[Piece, Piece]:
    """Words up to a comma or semicolon, and from there on; a comma before a year is a date's own."""
    cut = re.search(r"\s*(?:,(?!\s*\d{4}\b)|;)", words.text)
    at = cut.start() if cut else len(words.text)
    return words.part(0, at), words.part(at, len(words.text))


def two_sowings(words: Piece) -> tuple[Piece, Piece] | None:
    """`A with B` as A and `with B`; None where no second one is named."""
    cut = _WITH.search(words.text)
    if not cut:
        return None
    return words.part(0, cut.start()), words.part(cut.start(), len(words.text))
