"""Mistakes in a journal and how they are put right; the truth stays what it was."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random

from .book import Book
from .events import (
    Aside,
    Bunch,
    Checked,
    Corrected,
    Dropped,
    Event,
    Farm,
    Finished,
    Harvested,
    Moved,
    Noted,
    Parted,
    Renamed,
    Resown,
    Sown,
    Swapped,
)

NAMES = ("Second Thought", "Low Tide", "Pale Harbour")
FREE = (Sown, Aside, Bunch, Noted)


def mishaps(rng: Random, farm: Farm) -> Farm:
    """Wrong counts corrected, lines about the wrong tray dropped, two trays taken for each other."""
    sound = {
        h.sown.code
        for h in Book(farm, date(2027, 6, 1)).histories
        if not h.left_out and not h.sown.parent
    }
    resown = {e.code for e in farm.events if isinstance(e, Resown)}
    liked = {s.like for s in farm.sowings()}
    events = list(farm.events)
    busy: set[str] = set(resown)
    by_crop = {e.crop for e in events if isinstance(e, Harvested) and not e.code}
    free = sorted(c for c in sound if c not in busy and farm.sowing(c).crop not in by_crop)
    if len(free) > 3 and rng.random() < 0.5:
        one, other = rng.sample(free, 2)
        events = _swap(rng, farm, events, one, other)
        busy |= {one, other}
    for code in sorted(sound - busy):
        if rng.random() < 0.15:
            events = _correct(rng, events, code)
        if rng.random() < 0.1:
            events = _drop(rng, farm, events, code)
        if rng.random() < 0.06 and code not in liked and not farm.sowing(code).lot:
            events.append(_rename(rng, farm, code))
    return replace(farm, events=tuple(sorted(events, key=lambda e: e.day)))


def _rename(rng: Random, farm: Farm, code: str) -> Event:
    s = farm.sowing(code)
    day = s.day + timedelta(days=rng.randint(5, 90))
    return Renamed(day, code, rng.choice(NAMES))


def _correct(rng: Random, events: list[Event], code: str) -> list[Event]:
    """A count (or a cut) was written down wrong, and put right some days later."""
    plain = [e for e in events if _plain(e, code)]
    if not plain:
        return events
    e = rng.choice(plain)
    late = e.day + timedelta(days=rng.randint(1, 20))
    at = events.index(e)
    if isinstance(e, Harvested):
        fix = Corrected(late, code, e.day, stems=e.stems)
        return [
            *events[:at],
            replace(e, stems=e.stems + rng.randint(1, 30)),
            *events[at + 1 :],
            fix,
        ]
    wrong = replace(e, count=max(0, e.count + rng.choice([-3, -1, 1, 2, 40])), of=None)
    losses = ()
    if e.losses and rng.random() < 0.5:
        losses = e.losses
        wrong = replace(wrong, losses=tuple(replace(x, n=x.n + 1) for x in e.losses))
    check = replace(e, losses=losses, by=None, bare_ok=False)
    fixes = [Corrected(late, code, e.day, check)]
    if rng.random() < 0.2:
        fixes.insert(0, Corrected(late, code, e.day, replace(check, count=e.count + 1, of=None)))
        fixes[1] = replace(fixes[1], day=late + timedelta(days=2))
    return [*events[:at], wrong, *events[at + 1 :], *fixes]


def _plain(e: Event, code: str) -> bool:
    """A line whose numbers a correction can take over whole."""
    if getattr(e, "code", None) != code:
        return False
    if isinstance(e, Harvested):
        return e == Harvested(e.day, e.crop, code, stems=e.stems, by=e.by) and bool(e.stems)
    if not isinstance(e, Checked) or not e.count or e.about or e.tray is not None:
        return False
    bare = replace(e, count=None, unit=None, of=None, losses=(), by=None, bare_ok=False)
    return bare == Checked(e.day, code)


def _drop(rng: Random, farm: Farm, events: list[Event], code: str) -> list[Event]:
    """Lines about another tray, written to this one by mistake, on a day of their own."""
    s = farm.sowing(code)
    mine = [e for e in events if getattr(e, "code", None) == code]
    over = min((e.day for e in mine if isinstance(e, Finished)), default=date(2026, 6, 1))
    taken = {e.day for e in mine}
    day = s.day + timedelta(days=rng.randint(2, 50))
    if day in taken or day >= over:
        return events
    wrong = [
        Checked(day, code, rng.randint(1, 20)),
        Parted(day, code, "sold", 3),
        Harvested(day, s.crop, code, stems=12),
        Moved(day, code, "cellar floor"),
    ]
    late = day + timedelta(days=rng.randint(1, 15))
    why = rng.choice(["", "the wrong tray", "written twice"])
    return [*events, *rng.sample(wrong, rng.randint(1, 2)), Dropped(late, code, day, why)]


def _swap(rng: Random, farm: Farm, events: list[Event], one: str, other: str) -> list[Event]:
    """Two trays changed places: from a day on each one's lines were written to the other."""
    first, second = farm.sowing(one), farm.sowing(other)
    since = max(first.day, second.day) + timedelta(days=rng.randint(1, 30))
    over = {e.code for e in events if isinstance(e, Finished) and e.day < since}
    if {one, other} & over:
        return events  # what is over has no place to change
    out = []
    for e in events:
        code = getattr(e, "code", None)
        if isinstance(e, FREE) or e.day < since or code not in (one, other):
            out.append(e)
            continue
        s = second if code == one else first
        more = {"crop": s.crop} if isinstance(e, Harvested) else {}
        out.append(replace(e, code=s.code, **more))
    return [*out, Swapped(since + timedelta(days=rng.randint(0, 40)), one, other, since)]
