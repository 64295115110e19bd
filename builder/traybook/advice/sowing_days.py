"""When to sow what is planned: worked back from the cut, from planting out, or by the last frost."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from traybook.advice.frosts import Frosts
from traybook.advice.timing import OWN, Days, Timing, whole
from traybook.records.plans import PlanLine
from traybook.text.days import short_day

# common practice, no source: a succession every three weeks where nothing of one's own says otherwise
_APART = 21


@dataclass(frozen=True, slots=True)
class Sow:
    """The day to sow: between which days, where that comes from and why."""

    on: dt.date
    early: dt.date
    late: dt.date
    source: str
    why: str


def sowing_days(
    timing: Timing, line: PlanLine, of: int, at: Frosts
) -> list[tuple[dt.date | None, Sow | None]]:
    """For each sowing the day it is wanted and the day to sow: the plan's own days, else worked back
    from the cut or from planting, else by the last frost; the next ones follow at an interval."""
    if line.sow:
        days: list[tuple[dt.date | None, Sow | None]] = [
            (None, Sow(d, d, d, "your plan", "the day in your plan")) for d in line.sow
        ]
        last = line.sow[-1]
        apart = interval(timing).days
        days += [
            (None, _every(last + dt.timedelta(days=apart * i), timing)) for i in range(1, of - len(line.sow) + 1)
        ]  # fmt: skip
        return days
    if line.cut:
        return [(w, back_from_cut(timing, line, w)) for w in wanted_days(line.cut, of)]
    first = _back_from_planting(timing, line) if line.plant_out else _by_frost(timing, line, at)
    if first is None:
        return [(None, None)] * of
    apart = interval(timing).days
    return [(None, first)] + [
        (None, _every(first.on + dt.timedelta(days=apart * i), timing)) for i in range(1, of)
    ]


def wanted_days(cut: tuple[dt.date, dt.date], of: int) -> list[dt.date]:
    """The first days on which so many sowings are wanted: the window in equal parts, from its start.

    >>> wanted_days((dt.date(2027, 7, 1), dt.date(2027, 8, 29)), 3)[1]
    datetime.date(2027, 7, 21)
    """
    length = (cut[1] - cut[0]).days + 1
    return [cut[0] + dt.timedelta(days=length * i // of) for i in range(of)]


def interval(timing: Timing) -> dt.timedelta:
    """How far apart to sow so that cuts follow one another: the time one is cut for, by how the cut
    follows the sowing; three weeks where the kind has no window of its own."""
    window, answer = timing.window, timing.response
    if window is None or window.middle < 1:
        return dt.timedelta(days=_APART)
    slope = answer.slope if answer else 1.0
    return dt.timedelta(days=max(3, whole(window.middle / slope)))


def _every(on: dt.date, timing: Timing) -> Sow:
    own = timing.window is not None
    apart = interval(timing).days
    why = f"{apart} days after the one before, " + (
        "as long as one of yours is cut"
        if own
        else "as is common where nothing of your own says otherwise"
    )
    return Sow(on, on, on, OWN if own else "common practice", why)


def back_from_cut(timing: Timing, line: PlanLine, wanted: dt.date) -> Sow | None:
    """The day to sow for a first cut on a wanted day; None where nothing is known of its days."""
    start, answer, cutting = dt.date(line.year, 1, 1), timing.response, timing.cutting
    if answer is not None:
        on = start + dt.timedelta(days=whole(answer.sown((wanted - start).days)))
        why = f"so that the first cut falls on about {short_day(wanted)}, by {answer.n} of your own"
        if answer.learnt and answer.slope < 0.95:
            why += f"; a week later sown is cut {answer.slope * 7:.0f} days later"
        sooner, later = (
            dt.timedelta(days=whole(x / answer.slope)) for x in (answer.over, answer.under)
        )
        return Sow(on, on - sooner, on + later, OWN, why)
    if cutting is None:
        return None
    on = wanted - dt.timedelta(days=cutting.middle)
    return Sow(
        on, wanted - dt.timedelta(days=cutting.most), wanted - dt.timedelta(days=cutting.least),
        cutting.source, f"so that the first cut falls on about {short_day(wanted)}; {cutting.words}",
    )  # fmt: skip


def _back_from_planting(timing: Timing, line: PlanLine) -> Sow | None:
    days = timing.planting
    if days is None or line.plant_out is None:
        return None
    on = line.plant_out
    return Sow(
        on - dt.timedelta(days=days.middle), on - dt.timedelta(days=days.most), on - dt.timedelta(days=days.least),
        days.source, f"to be planted on {short_day(on)}; {days.words}",
    )  # fmt: skip


def _by_frost(timing: Timing, line: PlanLine, at: Frosts) -> Sow | None:
    """So many days from the last frost as its own sowings were, else as published; without a frost date
    the same day of the year as its own."""
    days, frost = timing.from_frost, at.last(line.year)
    middle = frost.middle if frost else None
    if days is not None and middle is not None:
        side = "before" if days.middle < 0 else "after"
        why = f"{abs(days.middle) / 7:.0f} weeks {side} the usual last frost ({short_day(middle)}); {_by(days)}"
        return Sow(
            middle + dt.timedelta(days=days.middle), middle + dt.timedelta(days=days.least),
            middle + dt.timedelta(days=days.most), days.source, why,
        )  # fmt: skip
    own = [(s.sowing.sown_on - dt.date(s.sowing.season, 1, 1)).days for s in timing.sowings]
    if not own:
        return None
    own.sort()
    first, n = dt.date(line.year, 1, 1), len(own)
    on = first + dt.timedelta(days=own[n // 2])
    return Sow(
        on, first + dt.timedelta(days=own[0]), first + dt.timedelta(days=own[-1]), OWN,
        f"when you sowed it before, {n} {'time' if n == 1 else 'times'}",
    )  # fmt: skip


def _by(days: Days) -> str:
    if days.source == OWN:
        return f"by {days.n} of your own"
    return days.source
