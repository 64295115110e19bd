"""Cells of the CSV tables: how each kind of value is written, and read back."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Sequence

_RISKY = "=+-@\t\r'"


def cell(text: str) -> str:
    """Words as a cell; what a spreadsheet would take for a formula gets one ' in front.

    >>> cell("=1+1"), cell("31 up"), cell("'s")
    ("'=1+1", '31 up', "''s")
    """
    return "'" + text if text[:1] and text[0] in _RISKY else text


def uncell(text: str) -> str:
    """A cell as words again: one ' taken off."""
    return text.removeprefix("'")


def share(value: float | None) -> str:
    """A proportion with 4 decimals; empty when unknown."""
    return "" if value is None else f"{value:.4f}"


def days(value: float | None) -> str:
    """Days, or another measured number, with 2 decimals; empty when unknown."""
    return "" if value is None else f"{value:.2f}"


def count(value: float | None) -> str:
    """A count, or a number no longer than it need be; empty when unknown."""
    return "" if value is None else f"{value:g}" if value != int(value) else str(int(value))


def day(value: dt.date | None) -> str:
    """An ISO date; empty when unknown."""
    return value.isoformat() if value else ""


def yes(value: bool) -> str:
    """`true` or `false`."""
    return "true" if value else "false"


def table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A CSV text: a header, then the rows, lines ended by line feeds."""
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(columns)
    write.writerows(rows)
    return out.getvalue()
