"""Pests and diseases over the years: what took plants or was seen, of which kind, where and when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from traybook.ledger.model import Account, Check
from traybook.records.book import Entry
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures


@dataclass(frozen=True, slots=True)
class Sign:
    """One line that tells of a pest or a disease, or of another cause of loss: `lost` plants or seeds,
    or `n` of `of` that had it; all None or 0 where nobody counted. `where` is a place or a bed."""

    on: dt.date
    what: str
    crop: str
    code: str
    where: str
    lost: int
    n: float | None
    of: float | None
    seen: bool


def signs(figures: FarmFigures) -> tuple[Sign, ...]:
    """All of them in the order of days, the latest first."""
    found = [*_losses(figures), *_seen(figures)]
    return tuple(sorted(found, key=lambda s: (-s.on.toordinal(), s.what, s.code)))


def _losses(figures: FarmFigures) -> Iterator[Sign]:
    for s in figures.sowings.values():
        cells = s.account.cells is not None
        for c in s.account.checks:
            # a loss in cells of several seeds stands in both tallies; that of seedlings is the one
            n = c.lost + c.seeds_lost
            if c.cause and n and not (cells and c.unit.startswith("cell")):
                yield Sign(
                    c.on, c.cause, s.sowing.crop, s.code, _where(s.account, c), n, None, None, False
                )


def _where(a: Account, c: Check) -> str:
    """The bed, or the place where it stood that day."""
    stand = next((x for x in a.stands if x.name == c.stand), None)
    if stand:
        return stand.name if stand.bed else stand.place or stand.name
    held = a.sowing.container
    if held and held.kind == "bed" and held.name:
        return held.name
    then = [parts for on, parts in a.places if on <= c.on and parts]
    return then[-1][0][0] if then else a.sowing.place


def _seen(figures: FarmFigures) -> Iterator[Sign]:
    for entry in figures.kept.book.entries:
        event = entry.event
        if event.verb != "seen" or not entry.used or event.on is None:
            continue
        what, n, of = _told(entry)
        if what:
            s = figures.sowings.get(entry.ref.code)
            crop = s.sowing.crop if s else entry.ref.crop
            yield Sign(
                event.on, what, crop, entry.ref.code if s else "", _place(entry, s), 0, n, of, True
            )


def _told(entry: Entry) -> tuple[str, float | None, float | None]:
    """What was seen, and on how many of how many."""
    said = entry.event.said
    what = next((c.text for c in said if c.field == "what" and c.text), "")
    what = what or next((c.text for c in said if c.text), "") or entry.event.note
    number = next((c for c in said if c.n is not None), None)
    if number is None or number.n is None:
        return what, None, None
    return what, number.n.value, number.of.value if number.of else None


def _place(entry: Entry, s: SowingFigures | None) -> str:
    """Where it was seen: named, else where the sowing stood that day."""
    on = entry.event.on
    if s is None or on is None:
        return entry.ref.bed or entry.ref.place
    a = s.account
    open_ = [x for x in a.stands if x.opened <= on and (x.closed is None or on <= x.closed)]
    if open_:
        names = dict.fromkeys(x.name if x.bed else x.place or x.name for x in open_ if x.entered)
        return " and ".join(names)
    then = [parts for day, parts in a.places if day <= on and parts]
    return then[-1][0][0] if then else s.sowing.place
