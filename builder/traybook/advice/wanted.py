"""Which seed a plan wants, for its orders: the one place where plans and orders are joined."""

from __future__ import annotations

import datetime as dt
import math

from traybook.advice.learnt import Learnt
from traybook.advice.order import Wanted
from traybook.advice.seeds import Basis, basis, to_sow
from traybook.records.book import Book
from traybook.records.plans import Plan, PlanLine
from traybook.rollup.habits import Key
from traybook.text.names import fold

# Orders of the next year are made from July on. # common practice, no source
_TURNS = 7


def plan_ahead(book: Book) -> Plan | None:
    """The plan that seed is ordered for now: from July on next year's, before that this year's; the
    other where only that is there."""
    year = book.as_of.year + (book.as_of.month >= _TURNS)
    plans = {p.year: p for p in book.plans if p.lines}
    ahead = [plans[y] for y in sorted(plans) if y > year]
    return plans.get(year) or next(iter(ahead), None) or plans.get(book.as_of.year)


def wanted(learnt: Learnt, plan: Plan) -> tuple[Wanted, ...]:
    """Seeds that each line of a plan still wants; None where nothing of the farm's own says how many."""
    return tuple(_of(line, learnt) for line in plan.lines)


def _of(line: PlanLine, learnt: Learnt) -> Wanted:
    first = min(line.sow, default=None)
    fact = learnt.figures.kept.book.fact(line.crop)
    if first and fact and fact.pre_treatment and fact.treatment_days:
        first -= dt.timedelta(days=round(fact.treatment_days[1]))
    return Wanted(line.crop, line.variety, _seeds(line, learnt), line.lot, line.packet, line, first)


def _seeds(line: PlanLine, learnt: Learnt) -> int | None:
    """By how many good plants the kind's own sowings made; what was sown for that year already is off."""
    b = _basis(line, learnt)
    plants = line.plants if line.plants is not None else _for_stems(line, learnt)
    if b is None or plants is None:
        return None
    each = to_sow(math.ceil(plants / line.successions), b.chance).number
    if each is None:
        return None
    per = max(int(x) for x in b.per_cell.split(" to ")) if b.unit == "cells" else 1
    return max(0, each * per * line.successions - _sown(line, learnt))


def _basis(line: PlanLine, learnt: Learnt) -> Basis | None:
    """That of the measure in which the kind was sown last."""
    kinds = [k for k in learnt.figures.kinds if k.key[0] == fold(line.crop)]
    latest = sorted(kinds, key=lambda k: max(s.sowing.sown_on for s in k.sowings), reverse=True)
    keys: dict[Key, None] = dict.fromkeys(k.key for k in latest)
    return next((b for key in keys if (b := basis(learnt.figures, key))), None)


def _for_stems(line: PlanLine, learnt: Learnt) -> int | None:
    """Plants for so many stems: by the fewest that the handbook gives a plant."""
    fact = learnt.figures.kept.book.fact(line.crop)
    if line.stems is None or fact is None or not fact.stems:
        return None
    return math.ceil(line.stems / max(fact.stems[0], 1.0))


def _sown(line: PlanLine, learnt: Learnt) -> int:
    """Seeds of this variety sown for the plan's season so far."""
    return sum(
        s.sowing.seeds or 0
        for s in learnt.figures.sowings.values()
        if s.sowing.season == line.year
        and fold(s.sowing.crop) == fold(line.crop)
        and fold(line.variety) in ("", fold(s.sowing.variety))
    )
