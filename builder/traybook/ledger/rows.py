"""What a length of row says of a direct sowing: plants a foot, feet still filled."""

from __future__ import annotations

import datetime as dt

from traybook.ledger.state import State
from traybook.records.event import Said
from traybook.text.scalars import length_mm


def about(state: State, said: Said, day: dt.date) -> str:
    """Take a density, a spacing or a length alive into the state; how it was read, in words."""
    if state.sowing.measure != "stand":
        return ""
    if said.field == "row_alive":
        return _alive(state, said, day)
    per_mm = _density(said)
    if per_mm is None:
        return ""
    plants = state.row(day, per_mm)
    return _words(per_mm, plants)


def _density(said: Said) -> float | None:
    """Plants a millimetre of row."""
    n = said.n.value if said.n else None
    if said.field == "spacing":
        return 1 / said.spacing_mm if said.spacing_mm else None
    if n is None:
        return None
    if said.field == "in_length":
        return n / said.length_mm if said.length_mm else None
    per = length_mm(f"1 {said.text}", "m") if said.text else None
    return n / per if per else None


def _alive(state: State, said: Said, day: dt.date) -> str:
    """`70 of 120 ft alive`: that share of the row stands as thick as it did."""
    n, of = said.n.value if said.n else None, said.of.value if said.of else None
    if n is None or not of or n > of:
        return ""
    if state.per_mm is None:
        return f"{n:g} of {of:g} of the row stand; how thick was never counted"
    return _words(state.per_mm, state.row(day, state.per_mm, n / of))


def _words(per_mm: float, plants: int | None) -> str:
    if plants is None:
        return f"{per_mm * 1000:.0f} plants a metre of row; its length isn't known"
    return f"about {plants:,} plants in the row, at {per_mm * 1000:.0f} a metre"
