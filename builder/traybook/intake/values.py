"""Cells of a grower's own table as values: days and numbers, nothing guessed."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from traybook.text.scalars import DAY, day

_UNKNOWN = frozenset(
    ("", "-", "--", "–", "—", "?", "??", "n/a", "na", "n.a.", "unknown", "not known", "#n/a", "nk")
)
_NAMED_SHORT = re.compile(r"^(\d{1,2})[ -]([A-Za-z]{3,9})\.?[ -](\d{2}|\d{4})$")
_DASHED = re.compile(r"^(\d{1,2})-(\d{1,2})-(\d{2}|\d{4})$")
_CLOCK = re.compile(r"[T ]\d{1,2}:\d{2}(?::\d{2})?(?:\.\d+)?$")
_SERIAL = re.compile(r"[34]\d{4}(?:\.0+)?$")


class UnreadError(Exception):
    """A cell that can't be read; the arguments are what it is and what to do."""

    def __init__(self, what: str, todo: str) -> None:
        """Both as sentences."""
        super().__init__(what)
        self.what, self.todo = what, todo


def unknown(text: str) -> bool:
    """True for an empty cell and what people write for one."""
    return text.strip().casefold() in _UNKNOWN


def day_in(text: str, day_first: bool | None, as_of: dt.date) -> dt.date | None:
    """A day with its year; None for an unknown one. Raises UnreadError."""
    if unknown(text):
        return None
    flat = _CLOCK.sub("", text.strip())
    if _SERIAL.match(flat):
        raise UnreadError(
            f"`{text}` is a spreadsheet's own number for a day",
            "give the column a date format and save again",
        )
    flat = _DASHED.sub(r"\1/\2/\3", flat)
    short = _NAMED_SHORT.match(flat)
    if short:
        year = short[3] if len(short[3]) == 4 else f"20{short[3]}"
        flat = f"{short[1]} {short[2]} {year}"
    if not re.fullmatch(DAY, flat, re.IGNORECASE) or not re.search(r"\d", flat):
        raise UnreadError(f"`{text}` is no day", "write it as 2026-03-14")
    if not re.search(r"\d{4}|\d+[./]\d+[./]\d+", flat):
        raise UnreadError(f"`{text}` names no year", "write it as 2026-03-14")
    read = day(flat, as_of, day_first)
    if read.on is None:
        raise UnreadError(f"`{text}` is no day: {read.problem}", "write it as 2026-03-14")
    if read.unsure:
        raise UnreadError(
            f"`{text}` could be two days",
            "say `dates: day first` or `dates: month first` in farm.yaml",
        )
    return read.on


@dataclass(frozen=True, slots=True)
class Of:
    """A count, perhaps out of a number."""

    n: int
    of: int | None = None


def count_in(text: str) -> Of | None:
    """`58`, `58 of 72` or `58/72`; None for an unknown one. Raises UnreadError."""
    if unknown(text):
        return None
    flat = text.strip().casefold()
    if flat in ("none", "nothing", "nil", "zero"):
        return Of(0)
    if flat.endswith("%"):
        raise UnreadError(f"`{text}` is a share and no count", "write how many, as `58 of 72`")
    parts = re.fullmatch(r"(\S+?)\s*(?:/|of|out of|von)\s*(\S+)", flat)
    if parts:
        return Of(_whole(parts[1], text), _whole(parts[2], text))
    return Of(
        _whole(re.sub(r"\s*(?:up|plants?|seeds?|seedlings?|cells?|lost|left)$", "", flat), text)
    )


def _whole(flat: str, text: str) -> int:
    """A whole number; 1,200 and 1 200 are twelve hundred, 12,0 and 12.0 twelve."""
    flat = flat.replace("\u00a0", " ").replace("\u202f", " ")
    if re.fullmatch(r"\d{1,3}(?:[, ']\d{3})+", flat):
        return int(re.sub(r"[, ']", "", flat))
    found = re.fullmatch(r"(\d+)(?:[.,]0{1,2})?", flat)
    if not found:
        odd = re.fullmatch(r"\d{1,3}\.\d{3}", flat)
        raise UnreadError(
            f"`{text}` could be {flat.replace('.', '')} or {flat}"
            if odd
            else f"`{text}` is no whole number",
            "write digits alone, as 1200"
            if odd
            else "write how many there were, and words under notes",
        )
    return int(found[1])
