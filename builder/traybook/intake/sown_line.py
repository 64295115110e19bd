"""What a table says of a sowing as a `sown` line: in one line where that reads the same."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from traybook.records.event import Event
from traybook.records.reader import read_file
from traybook.records.settings import Farm, crop_slug
from traybook.text.names import fold, slug
from traybook.text.source import Source

_DAY = dt.date(2026, 3, 14)
_TRIAL = "trial-26-1"


@dataclass(slots=True)
class Facts:
    """A sowing as a table has it; empty or None where it says nothing."""

    crop: str = ""
    variety: str = ""
    lot: str = ""
    place: str = ""
    container: str = ""
    seeds: int | None = None
    cells: int | None = None
    per_cell: str = ""
    note: str = ""
    by: str = ""
    crop_in_code: bool = True


def sown_text(code: str, facts: Facts, farm: Farm) -> str:
    """The entry: one line, or the long form where commas or odd names would be misread."""
    lines = _long(facts, farm)
    if not lines:
        return f"sown {code}:"
    long = "\n".join([f"sown {code}:", *(f"  {key}: {value}" for key, value in lines)])
    short = f"sown {code}: {_short(lines)}"
    same = _read(long.replace(code, _TRIAL, 1), farm) == _read(short.replace(code, _TRIAL, 1), farm)
    return short if same else long


def _long(facts: Facts, farm: Farm) -> list[tuple[str, str]]:
    spelt = fold(crop_slug(farm, slug(facts.crop))) == fold(facts.crop)
    crop = "" if facts.crop_in_code and spelt else facts.crop
    pairs = (
        ("crop", crop), ("variety", facts.variety), ("in", facts.container),
        ("seeds", "" if facts.seeds is None else str(facts.seeds)),
        ("cells", str(facts.cells) if facts.cells and not facts.container.endswith(" cells") else ""),
        ("per cell", facts.per_cell),
        ("lot", facts.lot), ("place", facts.place), ("note", facts.note), ("by", facts.by),
    )  # fmt: skip
    return [(key, value) for key, value in pairs if value]


def _short(lines: list[tuple[str, str]]) -> str:
    """The same as clauses."""
    form = {"crop": "crop {}", "lot": "lot {}", "seeds": "{} seeds", "cells": "{} cells",
            "per cell": "{} per cell", "note": "", "by": ""}  # fmt: skip
    said = [form.get(key, "{}").format(value) for key, value in lines]
    tails = [v if k == "note" else f"by {v}" for k, v in lines if k in ("note", "by")]
    return "; ".join([", ".join(s for s in said if s), *tails]).removeprefix("; ")


def _read(text: str, farm: Farm) -> object:
    """What a reader makes of it, however it is written."""
    events = read_file(Source(f"entries/{_DAY}.yaml", text), farm, _DAY).events
    return [(_said(e), e.note, e.by, e.private, e.on, e.fault) for e in events]


def _said(event: Event) -> frozenset[tuple[object, ...]]:
    names = {"named": "variety"}
    return frozenset(
        (names.get(s.field, s.field), s.n, s.into, s.where, s.text, s.low, s.high)
        for s in event.said
    )
