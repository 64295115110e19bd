"""What intake hands back: entry lines by day, and what could not be taken."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something in a table that could not be taken: row and column from 1 (column 0: all of the
    row), what it is and what to do."""

    row: int
    column: int
    what: str
    todo: str = ""

    def said(self, name: str) -> str:
        """`file.csv:5:3: what; what to do`."""
        more = f"; {self.todo}" if self.todo else ""
        return f"{name}:{self.row}:{self.column or 1}: {self.what}{more}"


@dataclass(frozen=True, slots=True)
class NewLine:
    """An entry to be written: its day, whose it is, its text (perhaps of several lines), and the
    row of the table that it comes from."""

    on: dt.date
    text: str
    row: int
    by: str = ""
