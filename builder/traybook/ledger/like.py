"""`sown X: like Y, changes`: the facts of Y's own line, but for the changes."""

from __future__ import annotations

from dataclasses import replace

from traybook.records.event import Event

# What belongs to one sowing alone and is never taken over.
_ITS_OWN = frozenset(("like", "was", "season", "purpose"))
_WHERE = ("container", "cells", "rows")
# A change to one of these makes the others' numbers wrong.
_TOGETHER = {
    "container": (*_WHERE, "seeds", "grams"),
    "cells": (*_WHERE, "seeds", "grams"),
    "rows": (*_WHERE, "seeds", "grams", "per_cell"),
    "seeds": ("seeds", "grams", "per_cell"),
    "grams": ("seeds", "grams"),
    "per_cell": ("seeds",),
    "named": ("variety", "lot"),
    "variety": ("named", "lot"),
}


def taken_over(event: Event, model: Event) -> Event:
    """The event with what it doesn't say filled in from the model's line.

    Another variety takes no lot over; another container or number of seeds takes no number over
    that goes with the old one.
    """
    changed = {s.field for s in event.said}
    gone = changed | _ITS_OWN | {x for name in changed for x in _TOGETHER.get(name, ())}
    kept = tuple(s for s in model.said if s.field not in gone)
    return replace(event, said=event.said + kept, private=event.private or model.private)
