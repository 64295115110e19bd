"""Which seed a plan still wants, for its orders: the one place where plans and orders are joined."""

from __future__ import annotations

from traybook.advice.chances import seed_comes_up
from traybook.advice.learnt import Learnt
from traybook.advice.needs import measure_of
from traybook.advice.order import Wanted
from traybook.advice.planning import Planned, planned_year
from traybook.records.plans import Plan
from traybook.text.names import fold


def wanted(learnt: Learnt, plan: Plan) -> tuple[Wanted, ...]:
    """Seeds that each sowing of a plan wants which is not yet made; None where nothing says how many."""
    return tuple(_of(p, learnt) for p in planned_year(learnt, plan).sowings if not p.done)


def _of(p: Planned, learnt: Learnt) -> Wanted:
    line, treat = p.line, p.step("treat")
    measure = measure_of(learnt, line.crop, line.container)
    comes_up = seed_comes_up(learnt, (fold(line.crop), measure), line.crop)
    return Wanted(
        line.crop, line.variety, p.need.seeds if p.plants else None, line.lot, line.packet, line,
        first=treat.early if treat else p.sow, planned=comes_up.chance.mean or None, measure=measure,
        why=_why(p),
    )  # fmt: skip


def _why(p: Planned) -> str:
    """Where the number comes from if it isn't the kind's own, or why there is none."""
    if not p.plants:
        stems = "nothing is known of its stems a plant"
        return stems if p.line.stems else "the plan doesn't say how many plants"
    return "" if p.need.own else p.need.why
