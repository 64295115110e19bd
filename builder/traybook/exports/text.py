"""Cells of the CSV tables: how each kind of value is written."""

from __future__ import annotations

import datetime as dt


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
