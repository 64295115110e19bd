"""The words of a command as one entry line, and what that line comes to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from traybook.findings.model import Finding, Weight
from traybook.intake.subject import (
    Meant,
    Sowings,
    any_words,
    cut_words,
    sow_words,
    split_words,
)
from traybook.ledger.keep import Kept
from traybook.records.book import Entry
from traybook.records.verbs import Verb
from traybook.records.writer import code_changes, entry_line
from traybook.text.edits import Change

# Nothing need follow these and their subject.
_BARE_END = ("finished", "hardening off")


@dataclass(frozen=True, slots=True)
class Asked:
    """What somebody wants written: a verb and words, a note, and the initials to sign with."""

    verb: Verb
    words: str
    note: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class Worded:
    """An entry line, or why there is none and the codes or names that are offered instead."""

    line: str = ""
    offers: tuple[str, ...] = ()
    problem: str = ""


def word(asked: Asked, kept: Kept, on: dt.date) -> Worded:
    """Turn words into the line that is to be written on a day."""
    words = " ".join(asked.words.split())
    got = _meant(asked.verb, words, kept, on)
    if got.problem:
        return Worded("", got.offers, got.problem)
    if asked.verb.name == "checked" and not got.value and not asked.note:
        return Worded(problem="say what you saw, as `31 up`, `none up`, or a few words")
    return Worded(entry_line(asked.verb.name, got.subject, got.value, asked.note, asked.by))


def _meant(verb: Verb, words: str, kept: Kept, on: dt.date) -> Meant:
    """The subject as it will be written, and the value."""
    sowings = Sowings(kept, on)
    if not words:
        return Meant("", "", problem=f"`{verb.name}` needs a few words more")
    if verb.of == "new sowing":
        return sow_words(words, kept, on, sowings)
    if verb.of == "sowing":
        return split_words(words, sowings, verb.name in _BARE_END)
    if verb.of == "cut":
        return cut_words(words, sowings)
    if verb.of == "any":
        return any_words(words, sowings)
    return _as_typed(words, sowings)


def _as_typed(words: str, sowings: Sowings) -> Meant:
    """Lots, places and days before a subject are left to the reader."""
    before, colon, after = words.partition(": ")
    if colon:
        found = sowings.fits(before)
        return Meant(found[0] if len(found) == 1 else before, after.strip())
    first, _, rest = words.partition(" ")
    return Meant(first.rstrip(","), rest.strip())


def entries_on(kept: Kept, path: str, first: int, last: int) -> list[Entry]:
    """The entries that begin on lines `first` to `last` of a file."""
    return [
        e for e in kept.book.entries if e.event.path == path and first <= e.event.at.line <= last
    ]


def coded(line: str, entries: Iterable[Entry], kept: Kept) -> str:
    """A line with the codes put in that its entries were settled on."""
    changes: list[Change] = []
    for entry in entries:
        start = entry.event.at.source.line_span(entry.event.at.line).start
        found = code_changes(entry, kept.book.farm)
        changes += [Change(c.start - start, c.end - start, c.new) for c in found]
    for c in sorted(set(changes), key=lambda c: (c.start, c.end), reverse=True):
        line = line[: c.start] + c.new + line[c.end :]
    return line


def found_on(findings: Iterable[Finding], path: str, first: int, last: int) -> list[Finding]:
    """What was found on lines `first` to `last` of a file."""
    return [f for f in findings if f.at.path == path and first <= f.at.line <= last]


def brought_up(
    before: Iterable[Finding], after: Iterable[Finding], path: str, first: int, last: int
) -> list[Finding]:
    """What came up elsewhere because of the new lines."""
    known = {(f.name, f.message, f.at.path, f.at.text) for f in before}
    return [
        f
        for f in after
        if (f.name, f.message, f.at.path, f.at.text) not in known
        and not (f.at.path == path and first <= f.at.line <= last)
    ]


def refuses(entries: list[Entry], findings: Iterable[Finding]) -> bool:
    """True when a line can't be used: an error, no entry at all, or one that fits several sowings."""
    asks = ("which-sowing", "no-sowing-fits")
    return (
        not entries
        or any(f.weight is Weight.ERROR or f.name in asks for f in findings)
        or any(not e.used and not e.event.waits for e in entries)
    )
