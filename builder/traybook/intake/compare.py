"""What of a table is in the book already."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from traybook.intake.events import Kept
from traybook.records.event import Event
from traybook.text.names import fold


@dataclass(slots=True)
class Compared:
    """Lines that are new, that stand in the entries already, and that differ from one which
    stands there of the same day, verb and subject (with that one's text)."""

    new: list[Kept] = field(default_factory=list)
    there: list[Kept] = field(default_factory=list)
    differs: list[tuple[Kept, str]] = field(default_factory=list)


def compare(lines: Sequence[Kept], events: Iterable[Event]) -> Compared:
    """Each line of the book answers for one line of the table at most."""
    same: dict[tuple[object, ...], list[Event]] = defaultdict(list)
    for event in _once(events):
        same[event.on, _flat(event.text), event.by.casefold()].append(event)
    out = Compared()
    rest = []
    for kept in lines:
        found = same.get((kept.on, _flat(kept.text), kept.by.casefold()))
        if found:
            found.pop(0)
            out.there.append(kept)
        else:
            rest.append(kept)
    other: dict[tuple[object, ...], list[Event]] = defaultdict(list)
    for event in (e for left in same.values() for e in left):
        other[event.on, fold(event.verb), fold(event.subject)].append(event)
    for kept in rest:
        close = [other.get((kept.on, fold(kept.verb), fold(s)), []) for s in kept.subjects]
        if kept.subjects != ("",) and any(close):
            out.differs.append((kept, next(c for c in close if c).pop(0).text))
        else:
            out.new.append(kept)
    return out


def _once(events: Iterable[Event]) -> Iterable[Event]:
    """The events of a line once."""
    return {e.key: e for e in events}.values()


def _flat(text: str) -> str:
    return "\n".join(line.strip() for line in text.split("\n"))


def read_otherwise(lines: Sequence[Kept], events: Iterable[Event]) -> list[Kept]:
    """The lines that no event matches in day, verb, subjects, text, signature and privacy."""
    left: dict[tuple[object, ...], int] = defaultdict(int)
    for event in events:
        left[_what(event, event.subject)] += 1
    out = []
    for kept in lines:
        keys = [_what(kept, subject) for subject in kept.subjects]
        if all(left[k] > 0 for k in keys):
            for k in keys:
                left[k] -= 1
        else:
            out.append(kept)
    return out


def _what(said: Event | Kept, subject: str) -> tuple[object, ...]:
    return said.on, fold(said.verb), subject, said.text, said.by, said.private
