"""The tables of calibration: for the terminal, and in the manual between its markers."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

MANUAL = Path(__file__).resolve().parent.parent / "journal" / "how-well-the-figures-hold.md"
_NAMES = {
    "sowing": "A tray's own interval",
    "kind": "A kind in a season",
    "difference": "Two seasons of a kind",
    "strata": "One way against another",
    "cells": "A kind, from cells",
}


def console(results: dict[str, Any], seen: dict[int, list[float]]) -> str:
    """Every cell: the share that held, and the mean width."""
    out = []
    for name, tally in results.items():
        columns = sorted({k for _, k in tally.held})
        out.append(
            f"\n{name}: held (mean width), by {'earlier sowings' if columns[0] != 1 or 8 in columns else 'sowings'}"
        )
        out.append(
            "  ".join([f"{'spread':>12}", *(f"{k:>11}" for k in columns), f"{'average':>8}"])
        )
        for s in tally.spreads:
            cells = [tally.cell(s, k) for k in columns]
            told = [f"{c[0]:.3f} ({c[1]:.2f})" if c else "" for c in cells]
            out.append(
                "  ".join([f"{s:>12}", *(f"{x:>11}" for x in told), f"{tally.average(s):>8.3f}"])
            )
    out.append("\n.80 told clearly from .70 .60 .50 .40 and from .80 itself, spread .06")
    out += [f"{k} sowings each  " + "  ".join(f"{x:.2f}" for x in row) for k, row in seen.items()]
    return "\n".join(out)


def tables(results: dict[str, Any], seen: dict[int, list[float]]) -> dict[str, str]:
    """The tables of the manual by the name of their marker."""
    return {
        "held": _held(results),
        "ranges": _ranges(results),
        "sow": _sow(results),
        "power": _power(seen),
    }


def manual(results: dict[str, Any], seen: dict[int, list[float]], path: Path = MANUAL) -> None:
    """Write the tables into the manual's page, between `<!-- name -->` and `<!-- /name -->`."""
    text = path.read_text(encoding="utf-8")
    for name, body in tables(results, seen).items():
        mark = re.compile(rf"(<!-- {name} -->\n).*?(<!-- /{name} -->)", re.DOTALL)
        text, n = mark.subn(lambda m, body=body: f"{m[1]}\n{body}\n\n{m[2]}", text)
        if n != 1:
            raise ValueError(f"the page has no place for {name}")
    path.write_text(text, encoding="utf-8")


def _table(head: list[str], rows: list[list[str]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join(lines + ["| " + " | ".join(r) + " |" for r in rows])


def _percent(x: float | None) -> str:
    return "-" if x is None else f"{100 * x:.1f} %"


def _held(results: dict[str, Any]) -> str:
    rows = []
    for name, words in _NAMES.items():
        t = results[name]
        rows.append([words, *(_percent(t.average(s)) for s in ("0", ".05", ".1", "first season"))])
    return _table(
        ["Of 95 % meant to hold", "no spread", "spread .05", "spread .1", "first season"], rows
    )


def _ranges(results: dict[str, Any]) -> str:
    rows = []
    for phase in ("before half", "about half", "later"):
        t = results[f"range, {phase}"]
        cells = [t.cell("mixed", k) for k in (0, 1, 2, 4)]
        rows.append(
            [phase, *(f"{_percent(c[0])}, {100 * c[1]:.0f} wide" if c else "" for c in cells)]
        )
    return _table(["Looked at", "none before", "1 before", "2 before", "4 before"], rows)


def _sow(results: dict[str, Any]) -> str:
    rows = []
    for name in ("easy kinds", "hard kinds"):
        t = results[f"to sow, {name}"]
        cells = [t.cell("mixed", k) for k in (1, 2, 4, 8)]
        rows.append([name, *(_percent(c[0]) if c else "" for c in cells)])
    return _table(["Earlier sowings", "1", "2", "4", "8"], rows)


def _power(seen: dict[int, list[float]]) -> str:
    rows = [
        [f"{k}", *(f"{100 * x:.0f} of 100" for x in (*row[:3], row[4]))] for k, row in seen.items()
    ]
    return _table(
        ["Trays a year", "80 against 70", "80 against 60", "80 against 50", "the same"], rows
    )
