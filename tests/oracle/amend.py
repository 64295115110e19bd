"""What was set right afterwards: corrected, dropped, swapped and renamed, put into the events."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from .events import (
    Aside,
    Checked,
    Corrected,
    Dropped,
    Event,
    Farm,
    Harvested,
    Noted,
    Renamed,
    Resown,
    Sown,
    Swapped,
    Treated,
)

UNTOUCHED = (Sown, Noted, Aside, Dropped, Renamed)
NO_COUNT = {
    "count": None,
    "unit": None,
    "seedlings": None,
    "of": None,
    "tray": None,
    "about": False,
    "left": None,
    "alive": None,
    "where": None,
}


def amended(farm: Farm, as_of: date) -> list[Event]:
    """The farm's events as they should have been written; a line dated after `as_of` waits."""
    events = [_whose(farm, e, as_of) for e in farm.events]
    events = _dropped(events, as_of)
    events = _corrected(events, as_of)
    events = [_renamed(events, e, as_of) for e in events]
    return [*events, *_children(events, as_of), *_sprouted(events, as_of)]


def _whose(farm: Farm, e: Event, as_of: date) -> Event:
    """Lines of two sowings that were taken for each other, from the day it began."""
    if isinstance(e, Sown) or getattr(e, "code", None) is None:
        return e
    code = e.code
    for swap in farm.events:
        if isinstance(swap, Swapped) and swap.day <= as_of and e.day >= swap.since:
            code = {swap.one: swap.other, swap.other: swap.one}.get(code, code)
    if code == e.code:
        return e
    more = {"crop": farm.sowing(code).crop} if isinstance(e, Harvested) else {}
    return replace(e, code=code, origin=e, **more)


def _dropped(events: list[Event], as_of: date) -> list[Event]:
    gone = {(e.code, e.target) for e in events if isinstance(e, Dropped) and e.day <= as_of}
    return [
        e
        for e in events
        if isinstance(e, UNTOUCHED) or (getattr(e, "code", None), e.day) not in gone
    ]


def _corrected(events: list[Event], as_of: date) -> list[Event]:
    """The last correction of a day stands for that day's counts, and for its losses if it has any."""
    last: dict[tuple[str, date], Corrected] = {}
    for e in sorted(
        (e for e in events if isinstance(e, Corrected) and e.day <= as_of), key=lambda e: e.day
    ):
        last[e.code, e.target] = e
    out = [_fixed(e, last.get((getattr(e, "code", None), e.day))) for e in events]
    out = [e for e in out if e is not None]
    fixes = (f for f in last.values() if f.check)
    return [*(replace(f.check, day=f.target, by=f.by, origin=f) for f in fixes), *out]


def _fixed(e: Event, fix: Corrected | None) -> Event | None:
    """An event of a corrected day, without what the correction says anew."""
    if isinstance(e, Checked) and fix and fix.check:
        return _without(e, bool(fix.check.losses))
    if isinstance(e, Harvested) and fix and fix.stems is not None:
        return replace(
            e, stems=fix.stems, bunches=None, size=None, over=None, by=fix.by, origin=fix
        )
    return e


def _without(e: Checked, losses_too: bool) -> Checked | None:
    """A check without its counts; None when nothing else was in it."""
    bare = replace(e, **NO_COUNT, losses=() if losses_too else e.losses, origin=e)
    return bare if bare.losses or bare.moves or bare.first_seen else None


def _renamed(events: list[Event], e: Event, as_of: date) -> Event:
    if not isinstance(e, Sown):
        return e
    names = [
        r.variety for r in events if isinstance(r, Renamed) and r.code == e.code and r.day <= as_of
    ]
    return replace(e, variety=names[-1], origin=e) if names else e


def _children(events: list[Event], as_of: date) -> list[Sown]:
    """Blanks sown again: a sowing of its own that shares the tray, under the next free code."""
    used = {e.code for e in events if isinstance(e, Sown)}
    out = []
    for e in sorted((e for e in events if isinstance(e, Resown)), key=lambda e: e.day):
        if e.day > as_of:
            continue
        parent = next(s for s in events if isinstance(s, Sown) and s.code == e.code)
        stem = f"{parent.code.rsplit('-', 2)[0]}-{e.day.year % 100:02}"
        n = max((int(c.rsplit("-", 1)[1]) for c in used if c.rsplit("-", 1)[0] == stem), default=0)
        code = f"{stem}-{n + 1}"
        used.add(code)
        out.append(
            replace(
                parent,
                day=e.day,
                code=code,
                cells=e.cells,
                per_cell=e.per_cell,
                per_cell_to=None,
                seeds_said=None,
                lot=None,
                parent=parent.code,
                origin=e,
            )
        )
    return out


def _sprouted(events: list[Event], as_of: date) -> list[Checked]:
    """`out, N sprouted` of a sowing is a count too."""
    return [
        Checked(e.day, e.code, count=e.sprouted, by=e.by, origin=e)
        for e in events
        if isinstance(e, Treated) and e.code and e.sprouted is not None and e.day <= as_of
    ]


def about(e: Event, code: str) -> bool:
    """Is the line about a sowing, though perhaps not alone?"""
    if isinstance(e, Sown):
        return False
    if isinstance(e, Aside):
        return e.subject == code
    if isinstance(e, Swapped):
        return code in (e.one, e.other)
    return code == getattr(e, "code", None) or code in getattr(e, "codes", ())


def lives_apart(farm: Farm, crop: str) -> bool:
    """Is a sowing of the crop in something that changes which code or name is whose?

    Its lines are then written by code alone: whom a bare name fits is a question of its own.
    """
    changed = (Corrected, Dropped, Swapped, Renamed, Resown)
    codes = {
        c
        for e in farm.events
        if isinstance(e, changed)
        for c in ((e.one, e.other) if isinstance(e, Swapped) else (e.code,))
    }
    return any(s.crop == crop and s.code in codes for s in farm.sowings())
