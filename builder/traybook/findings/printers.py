"""Findings as text for people and as JSON for programs."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable

from traybook.findings.model import Finding, Label
from traybook.text.source import Span


def full(finding: Finding) -> str:
    """The grower's own line with the place underlined, what is wrong, and what to do."""
    out = [f"{finding.weight}[{finding.name}]: {finding.message}"]
    out += _excerpt("-->", finding.at, "^", "")
    for label in finding.also:
        out += _label(label)
    if finding.help:
        out.append(f"   = {finding.help}")
    return "\n".join(out)


def _label(label: Label) -> list[str]:
    return _excerpt(":::", label.at, "-", label.words)


def _excerpt(arrow: str, at: Span, mark: str, words: str) -> list[str]:
    where = f"  {arrow} {at.path}:{at.line}:{at.column}"
    if at.start == at.end == 0:  # the file as a whole, or its name
        return [where]
    line = at.source.line_span(at.line)
    start = at.start - line.start
    end = max(start + 1, min(at.end, line.end) - line.start)
    shown = line.text[:start].expandtabs(4)
    under = line.text[start:end].expandtabs(4)
    rest = line.text[end:]
    head = f"{at.line:>4} | "
    cut = _shorten(shown)
    marks = mark * max(1, _width(under))
    return [
        where,
        (head + cut + under + rest)[:240].rstrip(),
        " " * 4 + " | " + " " * _width(cut) + (marks[:200] + (" " + words if words else "")),
    ]


def _shorten(before: str) -> str:
    """A line of a million characters is shown from near the place on."""
    return before if len(before) < 120 else "..." + before[-60:]


def _width(text: str) -> int:
    """Columns of a terminal: wide characters take two, combining ones none."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )


def short(finding: Finding) -> str:
    """One line, for editors: file:line:column: weight: message [name]."""
    at = finding.at
    return f"{at.path}:{at.line}:{at.column}: {finding.weight}: {finding.message} [{finding.name}]"


def as_json(findings: Iterable[Finding]) -> str:
    """A JSON list, one object a finding."""
    rows = [
        {
            "name": f.name,
            "weight": str(f.weight),
            "file": f.at.path,
            "line": f.at.line,
            "column": f.at.column,
            "text": f.at.text[:500],
            "message": f.message,
            "help": f.help,
            "also": [
                {"file": x.at.path, "line": x.at.line, "column": x.at.column, "words": x.words}
                for x in f.also
            ],
            "about": list(f.about),
        }
        for f in findings
    ]
    return json.dumps(rows, ensure_ascii=False, indent=2)


def summary(findings: Iterable[Finding]) -> str:
    """`3 errors, 1 doubt, 2 waiting`, or that all is well."""
    counts = {"error": 0, "doubt": 0, "pending": 0}
    for f in findings:
        counts[str(f.weight)] += 1
    if not any(counts.values()):
        return "nothing to put right"
    words = []
    for weight, one, many in (
        ("error", "error", "errors"),
        ("doubt", "doubt", "doubts"),
        ("pending", "line that waits for an answer", "lines that wait for an answer"),
    ):
        n = counts[weight]
        if n:
            words.append(f"{n} {one if n == 1 else many}")
    return ", ".join(words)
