"""What can be put right without asking what was meant, as changes in the files' texts."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from traybook.findings.model import Finding, Weight
from traybook.ledger.keep import Kept
from traybook.records.book import Entry
from traybook.records.dayfile import file_name
from traybook.records.reader import begins
from traybook.records.writer import NEW_SOWING, code_changes
from traybook.text.edits import Change
from traybook.text.fences import Tests, split
from traybook.text.source import Source

# What these put right changes what is counted: that is what they are for.
_RECOUNTS = ("odd-verb", "written-twice")


@dataclass(frozen=True, slots=True)
class Mend:
    """Changes in one line of a file; `recounts` when figures may change by it."""

    path: str
    line: int
    changes: tuple[Change, ...]
    recounts: bool = False


def mends(kept: Kept, findings: Iterable[Finding], sources: Iterable[Source]) -> list[Mend]:
    """Everything that could be mended, those that change no figure first."""
    found = [
        Mend(f.at.path, f.at.line, tuple(Change(s.start, s.end, new) for s, new in f.fix.changes),
             f.name in _RECOUNTS)
        for f in findings
        if f.fix
    ]  # fmt: skip
    found += _codes(kept)
    found += [m for s in sources for m in _fences(s, kept)]
    return sorted(set(found), key=lambda m: (m.recounts, m.path, m.line, m.changes[0].start))


def _codes(kept: Kept) -> Iterator[Mend]:
    """Codes into lines that have none and were settled on one sowing."""
    for entry in kept.book.entries:
        changes = code_changes(entry, kept.book.farm) if entry.used else ()
        if changes:
            yield Mend(entry.event.at.path, entry.event.at.line, changes)


def _fences(source: Source, kept: Kept) -> Iterator[Mend]:
    """Fences of the dashes that phones make of three."""
    name = file_name(source.path, kept.book.farm)
    for pair in split(source, name.prose, Tests(begins)).fences if name.prose else ():
        for n in pair:
            span = source.line_span(n) if n else None
            if span and re.sub(r"[\s-]", "", span.text):
                yield Mend(source.path, n, (Change(span.start, span.end, "---"),))


def together(chosen: Iterable[Mend]) -> dict[str, list[Change]]:
    """Changes by file, each once."""
    out: dict[str, dict[Change, None]] = {}
    for mend in chosen:
        out.setdefault(mend.path, {}).update(dict.fromkeys(mend.changes))
    return {path: list(changes) for path, changes in out.items()}


def unsettled(before: Kept, after: Kept) -> set[tuple[str, int]]:
    """Places of lines that no longer say what they said, or no longer of the same sowing."""
    gone = Counter(_told(e) for e in before.book.entries)
    gone.subtract(_told(e) for e in after.book.entries)
    lost = {told for told, many in gone.items() if many > 0}
    return {(e.event.at.path, e.event.at.line) for e in before.book.entries if _told(e) in lost}


def _told(entry: Entry) -> tuple[object, ...]:
    event, ref = entry.event, entry.ref
    said = [s for s in event.said if event.verb not in NEW_SOWING or s.field not in _NAMES]
    about = (ref.kind, ref.code, ref.crop, ref.variety)
    return (
        event.on,
        event.verb,
        about,
        tuple(said),
        event.note,
        event.by,
        event.fault,
        event.private,
    )


_NAMES = ("named", "variety", "crop")


def worse(before: Iterable[Finding], after: Iterable[Finding]) -> bool:
    """True when more lines are set aside or wait than before."""
    return _aside(after) > _aside(before)


def _aside(findings: Iterable[Finding]) -> int:
    return sum(f.weight is not Weight.DOUBT for f in findings)


@dataclass(frozen=True, slots=True)
class Shown:
    """A line as it stands and as it would; None where it is put in or taken out."""

    line: int
    old: str | None
    new: str | None


def differences(old: str, new: str) -> list[Shown]:
    """The lines of two texts that differ, with their numbers in the old one."""
    ours, theirs = (_lines(t) for t in (old, new))
    out: list[Shown] = []
    for kind, a, b, c, d in difflib.SequenceMatcher(None, ours, theirs, False).get_opcodes():
        if kind == "equal":
            continue
        for i in range(max(b - a, d - c)):
            was = ours[a + i] if a + i < b else None
            out.append(Shown(a + i + 1, was, theirs[c + i] if c + i < d else None))
    return out


def _lines(text: str) -> list[str]:
    return re.split(r"\r\n|\n|\r", text)
