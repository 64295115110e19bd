"""events.csv, a row an event and subject with nothing left out, and findings.csv."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from traybook.exports.text import day, yes
from traybook.findings.model import Finding, Weight
from traybook.ledger.keep import Kept
from traybook.records.book import Entry
from traybook.rollup.farm import FarmFigures
from traybook.text.cells import cell

EVENTS = (
    "on", "n", "verb", "subject_written", "code", "stand", "text", "read_as", "by", "private",
    "weight", "file", "line",
)  # fmt: skip
FINDINGS = ("name", "weight", "file", "line", "column", "message")

_WHY = {
    "hangs": "waits, because its sowing's own line is set aside",
}


def event_rows(figures: FarmFigures, findings: Iterable[Finding]) -> Iterator[list[str]]:
    """Rows of events.csv in the order of days, files and lines."""
    doubts: dict[str, list[tuple[int, int]]] = defaultdict(list)
    for f in findings:
        if f.weight is Weight.DOUBT:
            doubts[f.at.path].append((f.at.start, f.at.end))
    for entry in figures.kept.book.entries:
        yield _row(figures, entry, doubts)


def _row(figures: FarmFigures, entry: Entry, doubts: dict[str, list[tuple[int, int]]]) -> list[str]:
    event, code = entry.event, entry.ref.code
    return [
        day(event.on),
        str(event.n),
        cell(event.verb),
        cell(event.subject),
        cell(code),
        cell(_stand(figures, entry)),
        cell(event.text),
        cell(read_as(figures.kept, entry)),
        cell(event.by),
        yes(event.private),
        weight_of(entry, doubts),
        cell(event.at.path),
        str(event.at.line),
    ]


def read_as(kept: Kept, entry: Entry) -> str:
    """How a line was read, in words."""
    event = entry.event
    if entry.aside:
        return _WHY.get(event.fault, f"{'waits' if event.waits else 'set aside'}: {event.fault}")
    return kept.echo.get((event.key, entry.ref.code), "")


def weight_of(entry: Entry, doubts: dict[str, list[tuple[int, int]]]) -> str:
    """ok, doubt, pending or error."""
    event = entry.event
    if entry.aside:
        return "pending" if event.waits else "error"
    inside = any(
        event.at.start <= a and b <= event.at.end for a, b in doubts.get(event.at.path, ())
    )
    return "doubt" if inside else "ok"


def _stand(figures: FarmFigures, entry: Entry) -> str:
    """Where the line counts: the stand of its check, else where its plants went."""
    account = figures.kept.accounts.get(entry.ref.code)
    if account is None or not entry.used:
        return ""
    key = entry.event.key
    if key == account.sowing.event.key:
        return "sown"
    return next((c.stand for c in account.checks if c.event.key == key), "")


def finding_rows(findings: Iterable[Finding]) -> Iterator[list[str]]:
    """Rows of findings.csv, in the order of files and places."""
    for f in findings:
        yield [
            f.name,
            str(f.weight),
            cell(f.at.path),
            str(f.at.line),
            str(f.at.column),
            cell(f.message),
        ]
