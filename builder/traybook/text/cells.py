"""CSV: cells and tables as RFC 4180 has them, with what spreadsheets make of them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

_RISKY = "=+-@\t\r'"
# A quote that is never closed may take in all of a file.
_LONGEST = 100_000_000


def cell(text: str) -> str:
    """Words as a cell; what a spreadsheet would take for a formula gets one ' in front.

    >>> cell("=1+1"), cell("31 up"), cell("'s")
    ("'=1+1", '31 up', "''s")
    """
    return "'" + text if text[:1] and text[0] in _RISKY else text


def uncell(text: str) -> str:
    """A cell as words again: one ' taken off."""
    return text.removeprefix("'")


def table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A CSV text: a header, then the rows, lines ended by line feeds."""
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(columns)
    write.writerows(rows)
    return out.getvalue()


@dataclass(frozen=True, slots=True)
class Record:
    """A row of a table and its number as a spreadsheet shows it, from 1."""

    row: int
    cells: tuple[str, ...]


def records(text: str, separator: str) -> tuple[Record, ...]:
    """The rows of a CSV text that hold anything, white space around cells taken off.

    A quote that is never closed takes the rest of the text into its cell, as the standard has it.
    """
    rows = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=separator)
    csv.field_size_limit(_LONGEST)
    return tuple(
        Record(n, tuple(_lines(c).strip(" \t\u00a0\n") for c in cells))
        for n, cells in enumerate(rows, 1)
        if any(c.strip() for c in cells)
    )


def _lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def separator_of(text: str, known: Iterable[str]) -> str:
    """`,`, `;` or a tab: the one that makes the most of the known column names out of the text's
    first lines; `known` are folded names."""
    names = set(known)
    head = text.removeprefix("\ufeff")[:20_000]

    def found(separator: str) -> tuple[int, int]:
        rows = records(head, separator)[:12]
        most = max((len(names & {c.casefold() for c in r.cells}) for r in rows), default=0)
        return most, max((len(r.cells) for r in rows), default=0)

    return max(",;\t", key=found)
