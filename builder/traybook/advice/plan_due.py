"""What the plan asks for: on Today while nothing is sown of it, and step by step for the calendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import NamedTuple

from traybook.advice.learnt import Learnt
from traybook.advice.planning import Planned, planned_year
from traybook.text.names import fold

# common practice, no source: a treatment begun within three weeks of its day is the planned one, and a
# sowing that is six weeks late won't be made
_NEAR = dt.timedelta(days=21)
_TOO_LATE = dt.timedelta(days=42)
_FIRST = ("treat", "sow")


class Asked(NamedTuple):
    """One step that a plan asks for: its day, its kind, which sowing of the plan, and why. `code` is the
    sowing it became, empty while none was made; `where` it is to stand; `mark` tells plans apart."""

    on: dt.date
    kind: str
    name: str
    why: str
    code: str
    where: str
    mark: str


def asked(learnt: Learnt) -> tuple[Asked, ...]:
    """Every step of the plans of this year and later that is still to be done, in the order planned.

    Of a sowing that was made only hardening off and planting are left, by so many days later as it was
    sown later; all else of it goes by what was seen.
    """
    book = learnt.figures.kept.book
    plans = [p for p in book.plans if p.year >= book.as_of.year]
    return tuple(
        a for plan in plans for p in planned_year(learnt, plan).sowings for a in _of(p, learnt)
    )


def planned_name(p: Planned) -> str:
    """`zinnia Lime, 2 of 3`."""
    name = f"{p.line.crop} {p.line.variety}".strip()
    return f"{name}, {p.n} of {p.of}" if p.of > 1 else name


def _of(p: Planned, learnt: Learnt) -> Iterator[Asked]:
    if p.done:
        yield from _made(p, learnt)
        return
    if p.sow is None or p.sow + _TOO_LATE < learnt.as_of:
        return
    begun = _begun(p, learnt)
    for s in p.steps:
        if s.kind in ("treat", "out") and begun:
            continue  # its end is due by itself
        yield Asked(s.on, s.kind, planned_name(p), s.why, "", p.line.place, _mark(p))


def _made(p: Planned, learnt: Learnt) -> Iterator[Asked]:
    a = learnt.figures.sowings[p.done].account
    if not a.growing or a.plantings or a.finished_on:
        return
    later = dt.timedelta(days=p.lag or 0)
    for s in p.steps:
        if (s.kind == "harden" and not a.hardening) or s.kind == "plant":
            yield Asked(s.on + later, s.kind, planned_name(p), s.why, p.done, "", _mark(p))


def _begun(p: Planned, learnt: Learnt) -> bool:
    """Whether seed of the kind is or was treated about then."""
    step = p.step("treat")
    return step is not None and any(
        fold(t.ref.crop) == fold(p.line.crop) and t.start is not None and abs(t.start - step.on) <= _NEAR
        for t in learnt.figures.kept.seed.treatments
    )  # fmt: skip


def _mark(p: Planned) -> str:
    return f"plan {p.line.year}" + (f" {p.line.number}" if p.line.number > 1 else "")


def soon(found: tuple[Asked, ...]) -> tuple[Asked, ...]:
    """Those that a list of what is due names: the first steps of what is not yet sown, and hardening off
    of what is; planting out follows ten days of that by itself."""
    return tuple(a for a in found if a.kind in _FIRST or (a.code and a.kind == "harden"))
