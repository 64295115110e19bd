"""The plan of a year: week by week, sowing by sowing, and beside what was done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from itertools import groupby

from traybook.advice.learnt import Learnt
from traybook.advice.needs import Need
from traybook.advice.plan_due import planned_name
from traybook.advice.plan_steps import KINDS, Step
from traybook.advice.planned_room import NOWHERE, planned_stays
from traybook.advice.planning import Planned, PlannedYear, gaps, planned_year
from traybook.advice.room import RoomWeek, room_of, shelf_room, standing_stays
from traybook.pages import words
from traybook.pages.addresses import (
    BEFORE,
    crop_address,
    figure_anchor,
    plan_address,
    sowing_address,
)
from traybook.pages.model import Block, Cell, Link, Page, cell, table
from traybook.records.plans import Plan
from traybook.text.days import short_day
from traybook.text.names import fold

#: What a step is called.
TO_DO = {
    "order": "Order",
    "treat": "Begin its treatment",
    "out": "Take it out",
    "sow": "Sow",
    "look": "Look from now on",
    "pot": "Pot on",
    "harden": "Begin hardening off",
    "plant": "Plant out",
    "cut": "First cut",
    "last cut": "Last cut",
}


def plan_pages(learnt: Learnt) -> list[Page]:
    """A page a plan, the latest first; only that one stands in the navigation."""
    plans = sorted(learnt.figures.kept.book.plans, key=lambda p: p.year, reverse=True)
    return [plan_page(learnt, p, nav=i == 0) for i, p in enumerate(plans)]


def plan_page(learnt: Learnt, plan: Plan, nav: bool = True) -> Page:
    """One plan."""
    year = planned_year(learnt, plan)
    grown = frozenset(fold(k.crop) for k in learnt.figures.kinds)
    blocks = [
        *_thoughts(year.sowings),
        *_weeks(year.sowings, grown),
        *_list(year.sowings, grown),
        *_follow(year.sowings),
        *_room(year.sowings, learnt),
        *_done(year, learnt.as_of),
    ]
    return Page(
        template="list",
        address=plan_address(plan.year),
        title=f"Plan {plan.year}",
        lead=(_lead(year),),
        blocks=tuple(blocks),
        links=(Link("Before sowing", BEFORE), *(Link(b.heading, f"{plan_address(plan.year)}#{b.anchor}") for b in blocks)),
        rests_on=learnt.figures.kept.book.last_day,
        nav="Plan" if nav else "",
    )  # fmt: skip


def _lead(year: PlannedYear) -> str:
    n = len(year.sowings)
    if not n:
        on = year.plan.year
        return f"Nothing is planned for {on} yet. Write a kind into entries/plans/{on}.yaml, as `zinnia: 60 plants`."
    plants = sum(p.plants for p in year.sowings)
    return (
        f"{words.many(n, 'sowing', 'sowings')} for {plants:,} good plants. Each day is worked out from your own "
        "sowings where you have any, else from the handbook or common practice, and says which."
    )


def between(s: Step | None) -> str:
    """`13 Feb (30 Jan to 27 Feb)`."""
    if s is None:
        return ""
    said = short_day(s.on)
    return said if s.early == s.late else f"{said} ({short_day(s.early)} to {short_day(s.late)})"


def need_words(n: Need) -> str:
    """`68 seeds`, `40 cells at 2 a cell: 80 seeds`; how they are split where one go can't give it."""
    if n.number is None:
        return "no number can be relied on"
    said = f"{n.number:,} {n.unit}"
    if n.unit == "cells":
        said += f" at {n.per_cell} a cell: {n.seeds:,} seeds"
    return f"{said}, in {n.goes} goes" if n.goes > 1 else said


def trays_words(n: Need) -> str:
    """`2 trays of 72`."""
    return f"{words.many(n.trays, 'tray', 'trays')} of {n.tray}" if n.trays and n.tray else ""


def _crop_to(p: Planned, grown: frozenset[str]) -> str:
    """The page of a kind that was grown before."""
    return crop_address(p.line.crop) if fold(p.line.crop) in grown else ""


def _thoughts(sowings: Iterable[Planned]) -> Iterator[Block]:
    told = [f"{planned_name(p)}: {d}" for p in sowings for d in p.doubts]
    if told:
        yield Block("To think over", "to-think-over", tuple(told))


def _weeks(sowings: Iterable[Planned], grown: frozenset[str]) -> Iterator[Block]:
    """Everything there is to do, by ISO week."""
    things = [(s.on, KINDS.index(s.kind), planned_name(p), p, s) for p in sowings for s in p.steps]
    things.sort(key=lambda t: t[:3])
    rows = []
    for week, found in groupby(things, key=lambda t: t[0].isocalendar()[:2]):
        for i, (_, _, _, p, s) in enumerate(found):
            rows.append(_week_row(week if i == 0 else None, p, s, grown))
    if rows:
        columns = ("Week", "Day", "What", "Which", "May fall", "Goes by")
        body = table("Week by week", columns, tuple(rows))
        yield Block("Week by week", "weeks", (), body, how=figure_anchor("plan-days"))


def _week_row(
    week: tuple[int, int] | None, p: Planned, s: Step, grown: frozenset[str]
) -> tuple[Cell, ...]:
    monday = dt.date.fromisocalendar(*week, 1) if week else None
    span = "" if s.early == s.late else f"{short_day(s.early)} to {short_day(s.late)}"
    more = ""
    if s.kind in ("sow", "treat"):
        more = need_words(p.need)
    elif s.kind in ("pot", "harden", "plant"):
        more = f"{p.plants:,} plants"
    return (
        cell(
            f"week {week[1]}" if week else "",
            more=f"from {short_day(monday)} {monday.year}" if monday else "",
        ),
        cell(short_day(s.on)),
        cell(TO_DO[s.kind], more=more),
        cell(planned_name(p), _crop_to(p, grown)),
        cell(span),
        cell(s.why),
    )


def _list(sowings: Iterable[Planned], grown: frozenset[str]) -> Iterator[Block]:
    rows = tuple(
        (
            cell(planned_name(p), _crop_to(p, grown), p.line.purpose),
            cell(f"{p.plants:,}", more=p.plants_why),
            cell(between(p.step("sow"))),
            cell(need_words(p.need), more=p.need.why),
            cell(trays_words(p.need)),
            cell(between(p.step("plant"))),
            cell(between(p.step("cut"))),
        )
        for p in sowings
    )
    if rows:
        columns = (
            "Which",
            "#Plants",
            "Sow",
            "How many, 9 times in 10",
            "Trays",
            "Plant out",
            "First cut",
        )
        yield Block(
            "Sowing by sowing",
            "sowings",
            (),
            table("Planned sowings", columns, rows),
            how=figure_anchor("seeds-to-sow"),
        )


def _follow(sowings: Iterable[Planned]) -> Iterator[Block]:
    """How the cuts of one line follow one another."""
    rows, told = [], []
    for _, found in groupby(sowings, key=lambda p: (p.line.crop, p.line.variety, p.line.number)):
        line = list(found)
        cuts = [(a.on, b.on) for p in line if (a := p.step("cut")) and (b := p.step("last cut"))]
        if len(line) < 2:
            continue
        if len(cuts) < len(line):
            told.append(
                f"{line[0].line.crop}: nothing of your own says how long one sowing is cut, so gaps can't be told."
            )
            continue
        for p, (first, last), gap in zip(line, cuts, [None, *gaps(cuts)], strict=True):
            rows.append(
                (
                    cell(planned_name(p)),
                    cell(f"{short_day(first)} to {short_day(last)}"),
                    cell(_gap_words(gap)),
                )
            )
    if rows or told:
        columns = ("Which", "About to be cut", "After the one before")
        yield Block(
            "How the cuts follow one another", "successions", tuple(told),
            table("Cuts of successions", columns, tuple(rows)) if rows else None, how=figure_anchor("successions"),
        )  # fmt: skip


def _gap_words(gap: int | None) -> str:
    if gap is None:
        return ""
    days = words.many(abs(gap), "day", "days")
    return (
        f"a gap of {days}" if gap > 0 else f"overlaps by {days}" if gap < 0 else "follows at once"
    )


def _room(sowings: Iterable[Planned], learnt: Learnt) -> Iterator[Block]:
    """Trays on each place by week, what stands there now among them, against the room there is."""
    figures = learnt.figures
    planned = planned_stays(sowings, learnt)
    got = shelf_room(figures.kept.book, [*standing_stays(figures), *planned])
    if not planned:
        return
    rows = tuple(
        (
            cell(f"week {week}", more=f"from {words.day(dt.date.fromisocalendar(year, week, 1))}"),
            *(cell(_room_words(got.at(place, year, week))) for place in got.places),
        )
        for year, week in got.weeks
        if any(got.at(place, year, week) for place in got.places)
    )
    without = [p for p in got.places if room_of(figures.kept.book.farm.places, p) is None]
    told = [f"{w}: over-full." for w in got.told]
    if not told and len(without) < len(got.places):
        told.append(
            "There is room for all of it." if not without else "Where room is given, it is enough."
        )
    if NOWHERE in without:
        without.remove(NOWHERE)
        told.append(
            "Some trays have no place yet: write `place: warm shelf` under the kind in the plan."
        )
    if without:
        told.append(
            f"No room is given for {words.listed(without)}: write `trays: 8` under it in farm.yaml."
        )
    body = table("Trays by week and place", ("Week", *(f"{p}" for p in got.places)), rows)
    yield Block("Room on the shelves", "room", tuple(told), body, how=figure_anchor("shelf-room"))


def _room_words(w: RoomWeek | None) -> str:
    if w is None:
        return ""
    return (
        f"{w.trays} of {w.room}" + (": too many" if w.over else "")
        if w.room is not None
        else f"{w.trays}"
    )


def _done(year: PlannedYear, as_of: dt.date) -> Iterator[Block]:
    """What was done of it, and what was done besides."""
    rows = [
        (
            cell(planned_name(p)),
            cell(short_day(p.sow) if p.sow else ""),
            cell(p.done, sowing_address(p.done) if p.done else "")
            if p.done
            else cell(_not_done(p, as_of)),
            cell(_lag_words(p.lag)),
        )
        for p in year.sowings
    ]
    rows += [
        (
            cell("not in the plan"),
            cell(""),
            cell(s.code, sowing_address(s.code)),
            cell(short_day(s.sowing.sown_on)),
        )
        for s in year.unplanned
    ]
    if (
        any(p.done for p in year.sowings)
        or year.unplanned
        or any(p.sow and p.sow < as_of for p in year.sowings)
    ):
        columns = ("Planned", "For", "Done", "When")
        yield Block(
            "Plan and what was done",
            "done",
            (),
            table("Plan and what was done", columns, tuple(rows)),
        )


def _not_done(p: Planned, as_of: dt.date) -> str:
    return "not sown, and its day is past" if p.sow and p.sow < as_of else "not yet"


def _lag_words(lag: int | None) -> str:
    if lag is None:
        return ""
    days = words.many(abs(lag), "day", "days")
    return "on the day" if lag == 0 else f"{days} later" if lag > 0 else f"{days} sooner"
