"""Notes that read just like a count."""

from __future__ import annotations

import re

from traybook.findings.model import Finding
from traybook.records.clauses import reads
from traybook.records.field import Verb
from traybook.records.settings import Farm
from traybook.text.source import Piece

_COUNTS = ("lost", "up", "of", "alive", "rejected", "bunches")


def count_in_note(verb: Verb | None, piece: Piece, farm: Farm) -> list[Finding]:
    """Asks about a note that reads just like a count: `41 up; 2 lost`."""
    if (
        verb is None
        or verb.name not in ("checked", "harvested")
        or not re.match(r"~?\d", piece.text)
    ):
        return []
    got = reads(verb, piece, farm)
    said = got.said[0] if got and got.said else None
    if said is None or said.field not in _COUNTS or said.text == "bare" or (got and got.words):
        return []
    message = f"`{piece.text[:60]}` stands after a `;`, so it is a note and counts nothing"
    help_ = "put a comma before it instead, if it is a count"
    return [Finding("count-in-note", message, piece.at, help_)]
