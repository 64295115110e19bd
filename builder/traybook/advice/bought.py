"""What happened to orders of seed in earlier years: sold out, sent in its place, late, still to come."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass

from traybook.ledger.keep import Kept
from traybook.ledger.seed import seeds_told
from traybook.records.book import Entry
from traybook.text.names import fold

_OTHER = re.compile(
    r"\b(?:substitut\w+|instead|in place of|replace[ds]?|replacement|wrong (?:one|seed|variety))\b",
    re.IGNORECASE,
)
_LATE = re.compile(r"\b(?:late|delay\w*|overdue|at last)\b", re.IGNORECASE)
_VERBS = ("ordered", "received")
# An order older than this that nothing answers has been forgotten or came unwritten.
# common practice, no source
_WAITS = dt.timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Bought:
    """A line about an order: `what` is sold out, substituted or late; `text` are the grower's words, and
    `ordered` the day it had been ordered, where that was written."""

    on: dt.date
    what: str
    crop: str
    variety: str
    supplier: str
    text: str
    ordered: dt.date | None = None

    def of(self, crop: str, variety: str) -> bool:
        """True if it is about this variety, or where either names the kind alone."""
        if fold(self.crop) != fold(crop):
            return False
        return not variety or fold(self.variety) in ("", fold(variety))


def bought(kept: Kept) -> tuple[Bought, ...]:
    """Every such line that is used, the earliest first."""
    return tuple(b for e in _lines(kept) for b in _one(e, kept))


def _lines(kept: Kept) -> Iterator[Entry]:
    return (e for e in kept.book.entries if e.used and e.event.verb in _VERBS and e.event.on)


def _one(entry: Entry, kept: Kept) -> Iterator[Bought]:
    event, ref = entry.event, entry.ref
    assert event.on is not None
    words = f"{event.text} {event.note}"
    named = [
        ("sold out", event.one("sold_out") is not None),
        ("substituted", bool(_OTHER.search(words))),
        ("late", bool(_LATE.search(words))),
    ]
    for what, is_so in named:
        if is_so:
            supplier = event.one("supplier")
            yield Bought(
                event.on, what, ref.crop, ref.variety, supplier.text if supplier else "",
                event.text, _ordered(entry, kept),
            )  # fmt: skip


def _ordered(entry: Entry, kept: Kept) -> dt.date | None:
    """The day of the latest order of the same seed in the year before a line; its own where it is one."""
    on = entry.event.on
    assert on is not None
    if entry.event.verb == "ordered":
        return on
    days = [
        e.event.on
        for e in _lines(kept)
        if e.event.verb == "ordered" and e.event.on and on - _WAITS < e.event.on <= on and _same(e, entry)
    ]  # fmt: skip
    return max(days, default=None)


def _same(a: Entry, b: Entry) -> bool:
    """The same lot where both name one; else the same variety."""
    if a.ref.lot and b.ref.lot and fold(a.ref.lot) == fold(b.ref.lot):
        return True
    return (fold(a.ref.crop), fold(a.ref.variety)) == (fold(b.ref.crop), fold(b.ref.variety))


@dataclass(frozen=True, slots=True)
class OnOrder:
    """Seed ordered and not yet come; `seeds` is None where the line doesn't say how many."""

    on: dt.date
    crop: str
    variety: str
    seeds: int | None


def on_order(kept: Kept) -> tuple[OnOrder, ...]:
    """Orders of the last year that no later line answers: nothing of that seed came since, and none of it was sold out."""
    lines, out = list(_lines(kept)), []
    for i, entry in enumerate(lines):
        event, ref = entry.event, entry.ref
        assert event.on is not None
        old = kept.book.as_of - event.on > _WAITS
        if event.verb != "ordered" or event.one("sold_out") or old:
            continue
        if not any(_same(entry, e) and _answers(e) for e in lines[i + 1 :]):
            seeds = seeds_told(event, kept.book.farm, ref.crop)
            out.append(OnOrder(event.on, ref.crop, ref.variety, seeds))
    return tuple(out)


def _answers(entry: Entry) -> bool:
    return entry.event.verb == "received" or entry.event.one("sold_out") is not None


def packet_of(kept: Kept, crop: str, variety: str) -> int | None:
    """Seeds in a packet of this variety, as the latest line that says `2 packets of 50`."""
    sizes = [
        round(p.of.value)
        for e in kept.book.entries
        if e.used and e.event.verb in (*_VERBS, "have")
        and (fold(e.ref.crop), fold(e.ref.variety)) == (fold(crop), fold(variety))
        for p in e.event.all("packets")
        if p.of and p.of.value
    ]  # fmt: skip
    return sizes[-1] if sizes and sizes[-1] > 0 else None
