"""How a line was read that changes no count, in words."""

from __future__ import annotations

from traybook.records.book import Entry
from traybook.records.event import Event, Said

_REVIEW = {
    "keep": "grow it again",
    "drop": "don't grow it again",
    "more": "grow more",
    "less": "grow less",
}
_UNITS = {"c": " C", "f": " F"}
_PLAIN = {
    "noted": "a note",
    "lesson": "a lesson",
    "question": "an open question",
    "answered": "an answer",
}


def reading(entry: Entry) -> str:
    """What a note, a treatment, the weather or a line about seed says; empty for what the ledger
    of a sowing reads itself."""
    event, ref = entry.event, entry.ref
    if event.doing:
        return "a doing; in no figure"
    if event.verb == "checked" and event.said:
        return "another line's count of that day is higher, and is used"
    if event.verb in _PLAIN:
        return _PLAIN[event.verb]
    if event.verb in _REVIEW:
        return f"for the review of the season: {_REVIEW[event.verb]}"
    if event.verb == "bunch":
        whose = ref.crop or "the farm"
        return (
            f"{_parts(event)} stems in a bunch of {whose} from here on"
            if event.said
            else "no number read"
        )
    if event.verb == "swapped":
        since = f" from {event.day} on" if event.day else ""
        return f"lines about {ref.code} are about {ref.other}{since}, and the other way about"
    if event.verb == "dropped":
        return f"the lines of {event.day} about it are taken back"
    if event.verb == "renamed":
        return f"it is {ref.crop} {ref.variety}".rstrip()
    if event.verb == "resown" and ref.other:
        return f"{_parts(event)} of {ref.other} sown again as {ref.code}; what comes up of them can't be told apart"
    about = f"lot {ref.lot}" if ref.lot else ref.crop if ref.kind == "crop" else ""
    return ": ".join(x for x in (about, _parts(event)) if x)


def _parts(event: Event) -> str:
    return ", ".join(_said(s) for s in event.said)


_NAMED = {"seeds": "seeds", "packets": "packets", "grams": "g", "plants": "plants", "lost": "lost",
          "cells": "cells", "sprouted": "sprouted", "bad": "gone bad", "up": "sprouted", "size": ""}  # fmt: skip


def _said(s: Said) -> str:
    """One clause back in words."""
    if s.field in ("out", "done"):
        return "out" if s.field == "out" else "the test is over"
    if s.field == "sold_out":
        return "sold out"
    name = s.field.replace("_", " ")
    if s.field == "rain" and s.depth_mm is not None:
        return f"{s.depth_mm:g} mm rain"
    if s.field == "range" and s.n and s.of:
        return f"min {s.n.said()}, max {s.of.said()}{_UNITS.get(s.unit, '')}"
    number = s.n.said() if s.n else ""
    if s.field == "pinched":
        return " ".join(
            x for x in ("pinched", number, s.unit, f"in {s.where}" if s.where else "", s.text) if x
        )
    if s.of and s.field != "packets":
        number = f"{number} of {s.of.said()}"
    if s.field in _NAMED:
        return " ".join(x for x in (number, _NAMED[s.field]) if x)
    if s.field in ("min", "max", "temperature", "length", "tested"):
        lead = "" if s.field in ("temperature", "length") else f"{name} "
        return (
            f"{lead}{number or s.text}{_UNITS.get(s.unit, f' {s.unit}' if s.unit else '')}".strip()
        )
    words = number or s.text or s.where or s.into
    more = f" {s.text}" if number and s.text else ""
    plain = s.field in (
        "named",
        "moisture",
        "coating",
        "frost",
        "what",
        "state",
        "medium",
        "of",
        "n",
    )
    if s.field == "per_cell":
        return f"{s.low}{f'-{s.high}' if s.high != s.low else ''} a cell"
    return words + more if plain else f"{name} {words}{more}".strip()
