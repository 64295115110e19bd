"""A calendar in the form that calendar programs read: RFC 5545, days only and no clock."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

# RFC 5545, 3.1: a line holds at most 75 octets besides its line break; the blank that leads on the
# next one is among them.
_OCTETS = 75
_PRODID = "-//Traybook//Season calendar//EN"
# Line breaks in any spelling, and what some readers take for one.
_BREAKS = re.compile("\r\n|[\n\r\v\f\x1c-\x1e\x85\u2028\u2029]")
# RFC 5545, 3.1, CONTROL: these may not stand in a text at all. Half a surrogate pair has no octets.
_UNSAYABLE = re.compile("[\x00-\x08\x0e-\x1b\x1f\x7f\ud800-\udfff]")
_ESCAPED = {"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"}


@dataclass(frozen=True, slots=True)
class Happening:
    """One thing of one day or of several.

    `uid` is the same in every calendar that tells of it, so that a calendar program moves it and
    doesn't show it twice; `until` is the day after its last one, None for a single day. Empty words
    are left out.
    """

    uid: str
    on: dt.date
    until: dt.date | None
    summary: str
    description: str = ""
    where: str = ""


def calendar_text(happenings: Iterable[Happening], as_of: dt.date, name: str) -> str:
    """A calendar of whole days, in their order; its lines end in CRLF.

    `name` is what a calendar program shows it under. The standard wants at least one thing in it.
    Raises ValueError when two things share a `uid` and differ, or one ends before it began.
    """
    held: dict[str, Happening] = {}
    for h in happenings:
        if held.setdefault(h.uid, h) != h:
            raise ValueError(f"two things in the calendar are both called {h.uid}")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{_PRODID}", "CALSCALE:GREGORIAN"]
    # NAME is RFC 7986's word for it; most programs know the older one.
    lines += [f"{key}:{escaped(name)}" for key in ("NAME", "X-WR-CALNAME") if name]
    for h in sorted(held.values(), key=lambda h: (h.on, h.uid)):
        lines += _event(h, as_of)
    return "".join(f"{folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def escaped(text: str) -> str:
    r"""A text as it stands behind a colon: `\`, `;`, `,` and line breaks escaped, controls dropped.

    >>> print(escaped("72s; shelf A, warm\nlow"))
    72s\; shelf A\, warm\nlow
    """
    plain = _UNSAYABLE.sub("", _BREAKS.sub("\n", text))
    return "".join(_ESCAPED.get(c, c) for c in plain)


def folded(line: str) -> str:
    """A line broken so that no part is over 75 octets; never inside a character or an escape."""
    parts, room, held = [], _OCTETS, ""
    for piece in re.findall(r"\\.|.", line, re.DOTALL):
        size = len(piece.encode())
        if size > room:
            parts.append(held)
            held, room = " ", _OCTETS - 1
        held += piece
        room -= size
    return "\r\n".join([*parts, held])


def _event(h: Happening, as_of: dt.date) -> Iterator[str]:
    if h.until is not None and h.until <= h.on:
        raise ValueError(f"{h.uid} would be over on {h.until}, and begins on {h.on}")
    yield "BEGIN:VEVENT"
    yield f"UID:{escaped(h.uid)}"
    # The standard wants to know to the second when this was worked out. Nobody looks at a clock
    # here, and two builds of one day must be the same: it is the first second of that day.
    yield f"DTSTAMP:{_day(as_of)}T000000Z"
    yield f"DTSTART;VALUE=DATE:{_day(h.on)}"
    if h.until is not None:
        yield f"DTEND;VALUE=DATE:{_day(h.until)}"
    for key, words in (
        ("SUMMARY", h.summary), ("DESCRIPTION", h.description), ("LOCATION", h.where),
    ):  # fmt: skip
        if words:
            yield f"{key}:{escaped(words)}"
    # A day with something to do isn't a day on which one is away.
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _day(on: dt.date) -> str:
    return on.isoformat().replace("-", "")
