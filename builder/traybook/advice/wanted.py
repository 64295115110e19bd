"""Which seed a plan wants, for its orders: the one place where plans and orders are joined."""

from __future__ import annotations

from traybook.advice.learnt import Learnt
from traybook.advice.order import Wanted
from traybook.advice.planning import Planned, planned_year
from traybook.records.book import Book
from traybook.records.plans import Plan, PlanLine

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
    """Seeds that each line of a plan still wants: of its sowings that were not made yet; None where no
    number can be relied on."""
    made = planned_year(learnt, plan).sowings
    return tuple(_of(line, [p for p in made if p.line is line]) for line in plan.lines)


def _of(line: PlanLine, sowings: list[Planned]) -> Wanted:
    open_ = [p for p in sowings if not p.done]
    numbers = [p.need.seeds for p in open_]
    seeds = None if None in numbers else sum(n or 0 for n in numbers)
    days = [s.on for p in open_ for s in p.steps if s.kind == "sow"]
    days += [s.early for p in open_ for s in p.steps if s.kind == "treat"]
    return Wanted(
        line.crop, line.variety, seeds, line.lot, line.packet, line, min(days, default=None)
    )
