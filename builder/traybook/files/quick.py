"""Codes of sowings picked out of day files unread, for completing a command while it is typed.

A guess that has to be quick: what is written is always worked out by reading the farm in full.
"""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

from traybook.files.tree import day_files
from traybook.records.dayfile import dated_before

_CODE = r"[^\W_][\w'-]*-\d\d-\d+(?:-\w+)?(?![\w-])"
_ANY = re.compile(_CODE)
_SOWN = re.compile(rf"^(?:private\s+)?(?:sown|sowed|sow|arrived)\b[^:\n]*?({_CODE})", re.M | re.I)
_BLOCK = re.compile(r"^(?:sown|sowed|sow|arrived):[ \t]*\n((?:[ \t]+.*\n?)+)", re.M | re.I)
_ENDED_BLOCK = re.compile(
    r"^(?:finished|finish|pulled|composted|cleared):[ \t]*\n((?:[ \t]+.*\n?)+)", re.M | re.I
)
_ENDED = re.compile(
    rf"^(?:finished|finish|pulled|composted|cleared)\s+({_CODE})(?!.*\b(?:paper|tray|pots)\b)", re.M | re.I
)  # fmt: skip


def living_codes(folder: Path, since: dt.date) -> list[str]:
    """Codes that were sown in files dated on `since` or later and not finished, the latest first."""
    sown: set[str] = set()
    ended: set[str] = set()
    order: dict[str, int] = {}
    for at, path in enumerate(day_files(folder)):
        if dated_before(path.name, since):
            continue
        try:
            text = path.read_text("utf-8", "replace")
        except OSError:
            continue
        found = [c.lower() for c in _SOWN.findall(text)]
        found += [c.lower() for block in _BLOCK.findall(text) for c in _ANY.findall(block)]
        sown.update(found)
        ended.update(c.lower() for c in _ENDED.findall(text))
        blocks = _ENDED_BLOCK.findall(text)
        ended.update(c.lower() for block in blocks for c in _ANY.findall(block))
        order.update(dict.fromkeys((c.lower() for c in _ANY.findall(text)), at))
    return sorted(sown - ended, key=lambda c: (-order.get(c, 0), c))
