"""The columns of a grower's own table: what they are called, and which row names them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from traybook.intake.model import Trouble
from traybook.text.cells import Record, records, separator_of
from traybook.text.names import fold

#: name -> (what it holds, other names it goes by).
COLUMNS: dict[str, tuple[str, str]] = {
    "code": (
        "the sowing's name, as `larkspur-26-1`; made where it is missing",
        "sowing, batch code, tag",
    ),
    "crop": (
        "the kind",
        "kind, plant, flower, species",
    ),
    "variety": (
        "the variety",
        "cultivar, sort, variety name",
    ),
    "sown": (
        "the day it was sown",
        "sown on, date sown, sow date, sowing date, sowed, seeded, seeding date",
    ),
    "seeds": (
        "seeds sown in all",
        "seeds sown, number of seeds, no of seeds, no. of seeds, seed count, number sown, quantity sown",
    ),
    "container": (
        "what it was sown in, as `72-cell tray` or `bed 4`",
        "tray, sown in, tray type, in",
    ),
    "cells": (
        "cells sown",
        "cells sown, number of cells, no of cells, no. of cells",
    ),
    "per cell": (
        "seeds in each cell, or a range 2-3",
        "seeds per cell, seeds/cell, per cell sown",
    ),
    "lot": (
        "the seed lot",
        "seed lot, lot number, lot no, lot no.",
    ),
    "place": (
        "where it stood to sprout",
        "location, where, position",
    ),
    "date": (
        "the day of a check",
        "checked, checked on, date checked, counted on, date counted, check date, day",
    ),
    "up": (
        "how many came up, as `58` or `58 of 72`",
        "came up, germinated, emerged, sprouted, germination, total up, up in all, number up, seedlings",
    ),
    "left": (
        "what is left after some were taken",
        "remaining",
    ),
    "lost": (
        "how many were lost",
        "dead, died, losses",
    ),
    "first up": (
        "the day the first was up",
        "first seen, first emergence, first germination, first sprout, first seedling",
    ),
    "half": (
        "the day half were up: kept as a note",
        "half up, 50%, 50 %, days to half",
    ),
    "potted": (
        "how many were potted on",
        "plants potted, potted up, pricked out, number potted",
    ),
    "potted on": (
        "the day of that",
        "date potted, potting date, potted date, pricked out on, date pricked out",
    ),
    "planted": (
        "how many were planted out",
        "planted out, plants planted, transplanted, number planted",
    ),
    "planted on": (
        "the day of that",
        "date planted, planting date, planted out on, date planted out, transplant date, planted date",
    ),
    "bed": (
        "the bed they went to",
        "bed planted, planted in, planted to",
    ),
    "finished": (
        "the day it was over",
        "finished on, date finished, ended, end date",
    ),
    "by": (
        "initials of whoever it was",
        "who, initials",
    ),
    "notes": (
        "words",
        "note, comment, comments, remarks, remark",
    ),
}
_BY_NAME = {
    fold(name): key for key, (_, also) in COLUMNS.items() for name in (key, *also.split(", "))
}
_HEADER_WITHIN = 15


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table with its header found: `at` gives for a column's name its place from 0; `checks`
    tells a table of checks from one of sowings; `told` says what was passed over."""

    rows: tuple[Record, ...]
    at: dict[str, int]
    heads: tuple[str, ...]
    checks: bool
    told: tuple[Trouble, ...]

    def cell(self, record: Record, name: str) -> str:
        """A cell by its column's name; empty where there is none."""
        i = self.at.get(name, -1)
        return record.cells[i] if 0 <= i < len(record.cells) else ""


def sheet_of(text: str) -> Sheet | Trouble:
    """Find the row of column names and leave out what is no row of the table."""
    rows = records(text, separator_of(text, tuple(_BY_NAME)))
    best = max(rows[:_HEADER_WITHIN], key=lambda r: (len(_named(r)), -r.row), default=None)
    names = _named(best) if best else {}
    if best is None or not _enough(names):
        return Trouble(
            best.row if best else 1, 0, "no row of this table names columns that can be read",
            "name them as `crop, variety, sown, seeds, up`, or for checks `code, date, up`",
        )  # fmt: skip
    told = [
        Trouble(r.row, 0, f"`{' '.join(c for c in r.cells if c)[:60]}` stands above the column names, so it is passed over")
        for r in rows if r.row < best.row
    ]  # fmt: skip
    told += _unnamed(best, names)
    kept = []
    for record in (r for r in rows if r.row > best.row):
        if _named(record).keys() == names.keys():
            told.append(Trouble(record.row, 0, "the column names again, so it is passed over"))
        elif _is_total(record):
            told.append(Trouble(record.row, 0, "this row of totals is passed over"))
        else:
            kept.append(record)
            told += _beyond(record, len(best.cells))
    checks = "sown" not in names and "date" in names
    return Sheet(tuple(kept), names, best.cells, checks, tuple(told))


def _named(record: Record) -> dict[str, int]:
    """The columns that a row of names names, the first of two alike."""
    out: dict[str, int] = {}
    for i, text in enumerate(record.cells):
        key = _BY_NAME.get(fold(re.sub(r"\s*[(\[].*[)\]]\s*$|[:*]+$", "", text)))
        if key:
            out.setdefault(key, i)
    return out


def _enough(names: dict[str, int]) -> bool:
    whose = "crop" in names or "code" in names
    return whose and ("sown" in names or "date" in names)


def _unnamed(head: Record, names: dict[str, int]) -> Sequence[Trouble]:
    read = set(names.values())
    return [
        Trouble(head.row, i + 1, f"`{text}` is no column that can be read, so it is left out",
                "call it `notes` to keep its words")
        for i, text in enumerate(head.cells) if text and i not in read
    ]  # fmt: skip


def _beyond(record: Record, width: int) -> list[Trouble]:
    """Cells behind the last named column, as where a note holds the separator."""
    more = [c for c in record.cells[width:] if c]
    if not more:
        return []
    what = f"`{', '.join(more)[:60]}` stands behind the last column, so it is left out"
    return [
        Trouble(record.row, width + 1, what, "put quotes around a cell that holds the separator")
    ]


def _is_total(record: Record) -> bool:
    first = next((c for c in record.cells if c), "")
    return fold(first.rstrip(":")) in (
        "total",
        "totals",
        "sum",
        "in all",
        "grand total",
        "average",
        "mean",
    )
