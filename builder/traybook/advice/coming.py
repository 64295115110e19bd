"""The next season: what is planned for it, and what a kind without a plan would be."""

from __future__ import annotations

from collections.abc import Iterable

from traybook.advice.learnt import Learnt
from traybook.records.plans import Plan, PlanLine
from traybook.text.names import fold

# common practice, no source: from August on growers think of the next year
_TURN = 8
# Where nothing was ever planted: so many plants are reckoned with, and said to be an example.
EXAMPLE = 50


def coming_year(learnt: Learnt) -> int:
    """The year that is looked ahead to: this one until August and the next from then on; where that one
    has no plan, the nearest year after it that has."""
    year = learnt.as_of.year + (learnt.as_of.month >= _TURN)
    return min((p.year for p in learnt.figures.kept.book.plans if p.year >= year), default=year)


def plan_for(learnt: Learnt, year: int) -> Plan:
    """The plan of a year; an empty one where none is written."""
    return next((p for p in learnt.figures.kept.book.plans if p.year == year), Plan(year))


def with_grown(learnt: Learnt, plan: Plan) -> tuple[PlanLine, ...]:
    """The lines of a plan, and after them one for every kind that was grown and isn't in it: as many plants
    as its last season planted, else EXAMPLE."""
    told = {fold(x.crop) for x in plan.lines}
    more = [
        PlanLine(plan.year, crop, plants=_last_planted(learnt, crop) or EXAMPLE, number=0)
        for crop in _grown(learnt) if fold(crop) not in told
    ]  # fmt: skip
    return (*plan.lines, *more)


def _grown(learnt: Learnt) -> Iterable[str]:
    names: dict[str, str] = {}
    for s in learnt.figures.sowings.values():
        if s.sowing.measure != "bought in":
            names.setdefault(fold(s.sowing.crop), s.sowing.crop)
    return [names[k] for k in sorted(names)]


def _last_planted(learnt: Learnt, crop: str) -> int:
    kinds = [k for k in learnt.figures.kinds if fold(k.crop) == fold(crop) and k.tally.planted]
    last = max((k.season for k in kinds), default=0)
    return sum(k.tally.planted for k in kinds if k.season == last)
