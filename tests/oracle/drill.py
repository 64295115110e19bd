"""Rows sown where they are to flower: so many a foot or metre, and about how many that makes."""

from __future__ import annotations

from .events import Density, Event, Sown, Stretch, Thinned

METRES = {"ft": 0.3048, "m": 1.0}


def about(sown: Sown, events: list[Event]) -> int | None:
    """Plants standing, about: so many a foot times the length of all rows, or of what is alive."""
    if sown.kind != "direct" or not sown.rows or not sown.length:
        return None
    whole = sown.rows * sown.length * METRES[sown.unit]
    thick, long = None, whole  # plants a metre, metres
    for e in sorted((e for e in events if getattr(e, "code", None) == sown.code), key=_day):
        if isinstance(e, Density):
            thick, long = e.n / (e.length * METRES[e.unit]), whole
        elif isinstance(e, Thinned) and e.per is not None:
            thick, long = e.per / METRES[e.unit], whole
        elif isinstance(e, Stretch):
            long = e.n * METRES[e.unit]
    return None if thick is None else round(thick * long)


def _day(e: Event):
    return e.day
