"""A sowing's way from seed to cut, a row a stage."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from traybook.pages import words
from traybook.pages.model import Block, cell, table
from traybook.rollup.sowing import SowingFigures

_FEWEST = 3


def stages(s: SowingFigures) -> tuple[Block, ...]:
    """When it reached each stage, by the calendar and in days from sowing; nothing before it has come
    some way."""
    found = sorted(_found(s), key=lambda x: x[1])
    if len(found) < _FEWEST:
        return ()
    sown = s.sowing.sown_on
    rows = tuple(
        (cell(name), cell(words.day(on)), cell(f"{(on - sown).days}")) for name, on in found
    )
    return (
        Block(
            "Its way so far", "stages", (), table("Its way so far", ("Stage", "On", "#Day"), rows)
        ),
    )


def _found(s: SowingFigures) -> Iterator[tuple[str, dt.date]]:
    a, began = s.account, s.account.began
    yield ("Arrived" if s.sowing.event.verb == "arrived" else "Sown", s.sowing.sown_on)
    if a.out_of_cold:
        yield "Out of its cold", a.out_of_cold
    if s.up.first_by is not None:
        yield "First seen up", began + dt.timedelta(days=s.up.first_by)
    if s.up.half:
        yield "Half of them up by", began + dt.timedelta(days=s.up.half.by)
    firsts = (
        ("First potted on", [p.on for p in a.pottings]),
        ("First put out to harden", [day for day, _ in a.hardening]),
        ("First planted out", [p.on for p in a.plantings]),
    )
    for name, days in firsts:
        if days:
            yield name, min(days)
    if s.cut.first and s.cut.last:
        yield "First cut", s.cut.first
        if s.cut.last > s.cut.first:
            yield "Last cut", s.cut.last
    if a.finished_on:
        yield "Finished", a.finished_on
