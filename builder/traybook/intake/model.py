"""What intake hands back besides entries: what could not be taken."""

from __future__ import annotations

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
