"""What to order for the plan ahead, in words."""

from __future__ import annotations

import datetime as dt

from traybook.advice.coming import coming_year, plan_for
from traybook.advice.learnt import Learnt
from traybook.advice.order import Have, Order, orders
from traybook.advice.wanted import wanted
from traybook.pages import words
from traybook.pages.addresses import crop_address, figure_anchor, lot_address
from traybook.pages.model import Block, Cell, cell, table
from traybook.text.names import fold

_UNKNOWN = "not known how many to sow"


def order_blocks(learnt: Learnt) -> list[Block]:
    """What the plan ahead needs beyond what is left; nothing where there is no plan."""
    plan = plan_for(learnt, coming_year(learnt))
    if not plan.lines:
        return []
    found = sorted(orders(learnt, wanted(learnt, plan)), key=_first_to_order)
    sown = {fold(s.sowing.crop) for s in learnt.figures.sowings.values()}
    rows = tuple(_row(o, sown) for o in found)
    columns = ("What", "#Seeds wanted", "There is", "Order", "By", "Before now")
    short = sum(o.short != 0 for o in found)
    what = words.many(short, "kind or variety", "kinds or varieties")
    said = f"For the plan of {plan.year}: {what} to order, {len(found) - short} with enough."
    body = table(f"What to order for {plan.year}", columns, rows)
    return [
        Block(f"What to order for {plan.year}", "order", (said,), body, how=figure_anchor("what-to-order"))
    ]  # fmt: skip


def _first_to_order(o: Order) -> tuple[bool, dt.date, str]:
    return o.short == 0, o.by or dt.date.max, fold(o.crop)


def _row(o: Order, sown: set[str]) -> tuple[Cell, ...]:
    to = crop_address(o.crop) if fold(o.crop) in sown else ""
    return (
        cell(f"{o.crop.capitalize()} {o.variety}".strip(), to),
        cell(_UNKNOWN if o.wanted is None else f"{o.wanted:,}", more=o.guess),
        _there(o),
        cell(order_words(o), more=_short(o)),
        _by(o),
        cell("; ".join(dict.fromkeys(f"{b.what}, {words.day(b.on)}" for b in o.told))),
    )


def order_words(o: Order) -> str:
    """`2 packets of 50`, `87 seeds`, or how many stay over."""
    if o.short is None:
        return "your own choice"
    if not o.short:
        return f"nothing: {o.over:,} over" if o.over else "nothing: just enough"
    if o.packets is not None and o.packet:
        return f"{words.many(o.packets, 'packet', 'packets')} of {o.packet:,}"
    return words.many(o.short, "seed", "seeds")


def _short(o: Order) -> str:
    if o.short is None:
        return f"packets hold {o.packet:,}" if o.packet else ""
    return f"{o.short:,} short" if o.packets is not None else ""


def _there(o: Order) -> Cell:
    """Lots one by one; those whose number nobody knows are named, and stand for nothing."""
    counted = [have_words(h) for h in o.have if h.left is not None]
    counted += [
        f"{words.many(c.seeds, 'seed', 'seeds') if c.seeds is not None else 'some'} on order since {words.day(c.on)}"
        for c in o.coming
    ]
    unknown = [h.lot.lot.lot for h in o.have if h.left is None]
    more = f"not known how many are left of {words.listed(unknown)}: count it first" if unknown else ""  # fmt: skip
    to = lot_address(o.have[0].lot.lot.lot) if o.have else ""
    if not counted:
        return cell(more, to) if more else cell("none")
    return cell("; ".join(counted), to, more)


def have_words(h: Have) -> str:
    """`120 of ZIN-25`, and what they stand for where that is another number."""
    said = f"{h.left:,} of {h.lot.lot.lot}"
    return said if h.stand_for == h.left else f"{said}, as good as {h.stand_for:,}"


def _by(o: Order) -> Cell:
    if o.by is None:
        return cell("")
    return cell(f"now: {words.day(o.by)} has passed" if o.past else words.day(o.by), more=o.why)
