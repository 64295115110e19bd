"""What the cells of the handbook's tables say: lengths of treatments, sources, and what is disputed."""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from dataclasses import dataclass

Range = tuple[float, float]

#: What stands in a source where nothing was read.
MEMORY = "from memory"
_NUMBER = r"\d+(?:\.\d+)?"
_ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")  # fmt: skip
_LENGTH = re.compile(
    rf"(?:({_NUMBER})(?:\s*(?:-|–|to)\s*({_NUMBER}))?|\b(an?|{'|'.join(_ONES)}))\s*"
    r"(weeks?|wks?|days?|d|hours?|hrs?|h|months?)\b",
    re.IGNORECASE,
)
_EACH = {"w": 7.0, "d": 1.0, "h": 1 / 24, "m": 30.0}
# common practice, no source: a night's soak is eight to twelve hours
_NIGHT = (8 / 24, 12 / 24)
_DANGER = re.compile(r"toxic|asthma|allerg|irritant|prohibited", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Disputed:
    """A figure on which two published sources differ, each as it says it; `figure` is the handbook's
    name for it (`light`, `temperature`, `days to sprout`, `depth`, `pre-treatment`, `weeks under cover`)."""

    figure: str
    one: str
    source_one: str
    other: str
    source_other: str


def lasting(treatment: str) -> Range | None:
    """Fewest and most days that a treatment lasts; None where it names no length, or isn't needed.

    Steps one after another add up; of several ways the range holds them all.

    >>> lasting("cold moist 1-2 wk; use fresh seed"), lasting("none or soak 24 h"), lasting("nick")
    ((7.0, 14.0), None, None)
    >>> lasting("warm moist 12 wk then cold moist 12 wk"), lasting("cold 3 wk (or cold 6 wk)")
    ((168.0, 168.0), (21.0, 42.0))
    """
    flat = treatment.strip().lower()
    if flat.startswith(("none", "no ")) or flat == "no":
        return None
    said = re.sub(r"[()]", " ", flat.partition(";")[0])
    steps = [_step(step) for step in re.split(r",|\bthen\b", said)]
    known = [s for s in steps if s]
    return (sum(s[0] for s in known), sum(s[1] for s in known)) if known else None


def _step(text: str) -> Range | None:
    """One step in any of its ways, `soak 12-24 h or nick coat`."""
    ways = [w for w in map(_way, re.split(r"\bor\b", text)) if w]
    return (min(w[0] for w in ways), max(w[1] for w in ways)) if ways else None


def _way(text: str) -> Range | None:
    found = _LENGTH.search(text)
    if not found:
        return _NIGHT if "overnight" in text else None
    each = _EACH[found[4][0]]
    if found[3]:
        n = _ONES.index(found[3]) + 1 if found[3] in _ONES else 1
        return n * each, n * each
    return float(found[1]) * each, float(found[2] or found[1]) * each


def sources(cell: str) -> tuple[str, ...]:
    """The parts of a source cell, each `figures: where they were read`; that the rest is from memory
    comes last.

    >>> sources("all else: from memory | days: a guide | from memory"), sources("from memory")
    (('days: a guide', 'all else: from memory'), ('from memory',))
    """
    parts = [p.strip() for p in cell.split("|") if p.strip()]
    rest = [p for p in parts if re.fullmatch(rf"(?:all(?: else)?:?\s*)?{MEMORY}", p)]
    read = list(dict.fromkeys(p for p in parts if p not in rest))
    last = [] if not rest else [f"all else: {MEMORY}"] if read else [MEMORY]
    return (*read, *last)


def from_memory(cell: str) -> bool:
    """True where nothing of a row was read anywhere: each part of its source is memory."""
    parts = sources(cell)
    return bool(parts) and all(p.endswith(MEMORY) for p in parts)


def danger_sources(cell: str) -> tuple[str, ...]:
    """The parts of a source cell that are about a caution; memory where none is."""
    read = tuple(p for p in sources(cell) if _DANGER.search(p.partition(":")[0]))
    return read or (MEMORY,)


def read_disputed(text: str) -> dict[str, tuple[Disputed, ...]]:
    """What is disputed, by the kind's own name in the table, from CSV text."""
    out: dict[str, list[Disputed]] = defaultdict(list)
    for row in csv.DictReader(text.splitlines()):
        crop = row.pop("crop")
        out[crop].append(Disputed(**row))
    return {crop: tuple(rows) for crop, rows in out.items()}
