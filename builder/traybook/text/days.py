"""How days are said, the same everywhere."""

from __future__ import annotations

import datetime as dt

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def day(on: dt.date | None) -> str:
    """A day in words; empty for none.

    >>> day(dt.date(2026, 3, 14))
    '14 Mar 2026'
    """
    return f"{short_day(on)} {on.year}" if on else ""


def short_day(on: dt.date) -> str:
    """A day whose year goes without saying.

    >>> short_day(dt.date(2026, 3, 14))
    '14 Mar'
    """
    return f"{on.day} {MONTHS[on.month - 1]}"


def weekday(on: dt.date) -> str:
    """A day with its weekday.

    >>> weekday(dt.date(2026, 3, 14))
    'Saturday 14 Mar 2026'
    """
    return f"{_WEEKDAYS[on.weekday()]} {day(on)}"
