"""`; allow NAME` on a line silences that doubt there; one that silences nothing is asked about."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable

from traybook.findings.catalogue import WEIGHTS
from traybook.findings.model import Finding, Weight, offer
from traybook.records.book import Entry
from traybook.records.event import Event
from traybook.text.names import near
from traybook.text.source import Span

# A line that waits for its subject isn't asked besides whether its colon is missing or it says
# nothing: the subject may have swallowed it.
_SUBJECT = ("unknown-code", "unknown-subject", "which-sowing", "no-sowing-fits", "no-subject")
_HANGS = ("no-colon", "nothing-said")


def silence(findings: Iterable[Finding], entries: Collection[Entry]) -> list[Finding]:
    """The findings that are left, and a doubt for each allow that silenced nothing."""
    allowing: dict[str, list[Event]] = defaultdict(list)
    for entry in entries:
        if entry.event.allow:
            allowing[entry.event.at.path].append(entry.event)
    hung = {(e.event.at.path, e.event.at.line) for e in entries if e.event.fault in _SUBJECT}
    used: set[tuple[tuple[str, int], str]] = set()
    left = []
    for finding in findings:
        if finding.name in _HANGS and (finding.at.path, finding.at.line) in hung:
            continue
        event = next((e for e in allowing.get(finding.at.path, ()) if _covers(e, finding)), None)
        if event is None:
            left.append(finding)
        else:
            used.add((event.key, finding.name))
    once = {(e.key, name): e for events in allowing.values() for e in events for name in e.allow}
    for (key, name), event in once.items():
        if (key, name) not in used:
            left.append(_unused(event, name))
    return left


def _covers(event: Event, finding: Finding) -> bool:
    inside = event.at.start <= finding.at.start < max(event.at.end, event.at.start + 1)
    return inside and finding.weight is Weight.DOUBT and finding.name in event.allow


def _unused(event: Event, name: str) -> Finding:
    message = f"`allow {name}` silences nothing here"
    doubts = [n for n, weight in WEIGHTS.items() if weight == "doubt"]
    help_ = "take it out; only a doubt on its own line can be allowed"
    if name not in WEIGHTS:
        help_ = offer(near(name, doubts)) or "take it out; `traybook proof` prints the names"
    return Finding("unused-allow", message, _words(event, name), help_)


def _words(event: Event, name: str) -> Span:
    """Where the name stands after `allow`."""
    words = re.escape(name).replace(r"\-", r"[\s_-]+")
    found = re.search(rf"\ballow\b[^;\n]*?({words})", event.at.text, re.I)
    if not found:
        return event.at
    start = event.at.start + found.start(1)
    return Span(event.at.source, start, start + len(found[1]))
