"""The steps of a planned sowing, each with its day, and what to think over about it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from traybook.advice.frosts import Frosts
from traybook.advice.sowing_days import Sow
from traybook.advice.timing import OWN, Days, Timing, whole
from traybook.records.plans import PlanLine
from traybook.text.days import short_day

#: Kinds of a step, in the order they are done.
KINDS = ("order", "treat", "out", "sow", "look", "pot", "harden", "plant", "cut", "last cut")
# common practice, no source: a sowing has to be ten days (one to two weeks) ahead of the last that could
# still be cut before frost
_SAFE = 10


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a planned sowing: its day, between which days it may fall, and why that day.

    `source` is where the time comes from: own sowings, the handbook, common practice, the plan.
    """

    kind: str
    on: dt.date
    early: dt.date
    late: dt.date
    source: str
    why: str


def steps_from(timing: Timing, line: PlanLine, sow: Sow) -> Iterator[Step]:
    """Every step of one sowing from the day it is sown."""
    treating = timing.treating
    if treating is not None:
        begin = dt.timedelta(days=treating.middle)
        name = (
            timing.fact.pre_treatment if timing.fact and treating.source != OWN else "as you did it"
        )
        yield Step(
            "treat", sow.on - begin, sow.on - dt.timedelta(days=treating.most),
            sow.on - dt.timedelta(days=treating.least), treating.source, f"{name}; {treating.words}",
        )  # fmt: skip
        yield Step(
            "out", sow.on, sow.on, sow.on, treating.source, "out of its treatment, to be sown"
        )
    yield Step("sow", sow.on, sow.early, sow.late, sow.source, sow.why)
    if timing.look is not None:
        yield _after("look", sow.on, timing.look)
    plant = None
    if timing.measure != "stand":
        plant = _planting(timing, line, sow)
    if plant is not None:
        harden = _hardening(timing, plant)
        pot = _after("pot", sow.on, timing.potting) if timing.potting else None
        # what nobody did here, and would only come when the trays stand outside already, is left out
        if pot and pot.on < (plant.on if pot.source == OWN else harden.on):
            yield pot
        yield harden
        yield plant
    cut = _first_cut(timing, line, sow)
    if cut is None:
        return
    yield cut
    if timing.window is not None:
        last = _after("last cut", cut.on, timing.window)
        yield last


def _after(kind: str, on: dt.date, days: Days) -> Step:
    return Step(
        kind, on + dt.timedelta(days=days.middle), on + dt.timedelta(days=days.least),
        on + dt.timedelta(days=days.most), days.source, days.words,
    )  # fmt: skip


def _hardening(timing: Timing, plant: Step) -> Step:
    days = timing.hardening
    return Step(
        "harden", plant.on - dt.timedelta(days=days.middle), plant.on - dt.timedelta(days=days.most),
        plant.on - dt.timedelta(days=days.least), days.source, f"before planting; {days.words}",
    )  # fmt: skip


def _planting(timing: Timing, line: PlanLine, sow: Sow) -> Step | None:
    if line.plant_out is not None:
        on = line.plant_out
        return Step("plant", on, on, on, "your plan", "the day in your plan")
    return _after("plant", sow.on, timing.planting) if timing.planting else None


def _first_cut(timing: Timing, line: PlanLine, sow: Sow) -> Step | None:
    cutting, answer, on = timing.cutting, timing.response, first_cut(timing, line, sow.on)
    if cutting is None or on is None:
        return None
    if answer is None:
        return _after("cut", sow.on, cutting)
    early, late = (dt.timedelta(days=whole(x)) for x in (answer.under, answer.over))
    return Step("cut", on, on - early, on + late, OWN, cutting.words)


def first_cut(timing: Timing, line: PlanLine, sown: dt.date) -> dt.date | None:
    """The first cut of what is sown on a day, by how its own cuts followed the sowing, else so many days
    on; None where nothing is known."""
    cutting, answer = timing.cutting, timing.response
    if answer is not None:
        start = dt.date(line.year, 1, 1)
        return start + dt.timedelta(days=whole(answer.cut((sown - start).days)))
    return sown + dt.timedelta(days=cutting.middle) if cutting else None


def latest_sowing(timing: Timing, at: Frosts, year: int) -> tuple[dt.date, str] | None:
    """The last day on which sowing is of use, and why: the cut has to begin ten days before the first
    frost, by how its own cuts followed the sowing, else after the most days published. None for kinds
    that winter, and where frost or days are not known."""
    frost, days, answer = at.first(year), timing.cutting, timing.response
    first = frost.middle if frost else None
    if timing.winters or first is None or days is None:
        return None
    told = f"first frost about {short_day(first)}"
    if answer is not None and answer.learnt:
        cut = first - dt.timedelta(days=_SAFE + whole(answer.over))
        start = dt.date(year, 1, 1)
        on = start + dt.timedelta(days=whole(answer.sown((cut - start).days)))
        return (
            on,
            f"{told}, the first cut to come {_SAFE} days before it, by {answer.n} of your own",
        )
    on = first - dt.timedelta(days=days.most + _SAFE)
    return (
        on,
        f"{told}, less {days.most} days to the first cut and {_SAFE} for safety; {days.words}",
    )


def doubts_of(
    timing: Timing, line: PlanLine, sow: Sow | None, steps: tuple[Step, ...], at: Frosts
) -> Iterator[str]:
    if sow is None:
        yield "Nothing says when to sow it: write `cut`, `plant out` or `sow` into the plan, or the last frost into farm.yaml."
        return
    if timing.winters and timing.cutting is None:
        yield "It winters, and nothing of your own says yet when such a sowing is planted and cut."
    latest, cutting = latest_sowing(timing, at, line.year), timing.cutting
    if latest and cutting and latest[0].year < line.year:
        yield (
            f"It may be cut only in the year after: its first cut comes {cutting.least} to {cutting.most} days "
            f"after sowing ({cutting.source})."
        )
    elif latest and sow.on > latest[0]:
        yield f"Late: the last useful day to sow is about {short_day(latest[0])} ({latest[1]})."
    answer = timing.response
    day = (sow.on - dt.date(line.year, 1, 1)).days
    if answer and answer.learnt and not answer.first - 14 <= day <= answer.last + 14:
        yield "You have not sown it at this time of year, so the day of the cut is a guess."
    plant, frost = next((s for s in steps if s.kind == "plant"), None), at.last(line.year)
    soonest = timing.fact.out_weeks if timing.fact else None
    late = frost.late if frost else None
    if plant and late and soonest and soonest[0] >= 0 and plant.on < late and not timing.winters:
        often = "one year in ten" if frost and frost.years else "and later in some years"
        yield f"It bears no frost, and frost may come up to {short_day(late)}, {often}."
