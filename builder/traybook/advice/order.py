"""What to order for a plan: what it needs, less what is left of it, by when."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from traybook.advice.bought import Bought, OnOrder, bought, on_order, packet_of
from traybook.advice.learnt import Learnt
from traybook.advice.lots import LotNow, in_hand, kinds_own, lots_now
from traybook.records.plans import PlanLine
from traybook.text.names import fold

# common practice, no source: seed is ordered two weeks before it is wanted, or before it was sold out
_AHEAD = dt.timedelta(days=14)
# A day on which seed was sold out tells of the coming season if it lies no longer than this before
# the seed is wanted; else that year's seed was sold out after it was wanted. # common practice, no source
_SEASON = dt.timedelta(days=300)
# A plan's orders are made from July on, where no day is known on which its seed is wanted.
# common practice, no source
_TURNS = 7
# A float just under a whole number is that number.
_EPS = 1e-9


class Wanted(NamedTuple):
    """Seeds wanted for a line of a plan: `seeds` is None where nobody can say how many.

    `lot` is the lot named for it, `packet` the seeds in a packet. `first` is the first day the seed is
    wanted, for its treatment or its sowing; `planned` the germination that `seeds` was worked out with
    (0 to 1) in its `measure`, and None for that of the kind's own sowings. `why` says where the number
    comes from where that is not the kind's own sowings.
    """

    crop: str
    variety: str
    seeds: int | None
    lot: str = ""
    packet: int | None = None
    line: PlanLine | None = None
    first: dt.date | None = None
    planned: float | None = None
    measure: str = "up"
    why: str = ""


@dataclass(frozen=True, slots=True)
class Have:
    """What a lot gives towards an order: of `left` seeds, `stand_for` as good as the plan reckons with;
    both None where it isn't known how many are left. `lot` says all else."""

    lot: LotNow
    left: int | None
    stand_for: int | None


@dataclass(frozen=True, slots=True)
class Order:
    """What to order of one variety (or of a kind, where no variety is named).

    `wanted` and `short` are seeds, None where nobody can say how many are wanted; `short` is 0 when
    nothing is to be ordered, and `over` says how many stay over. `packets` of `packet` seeds each,
    None where no size is known. `by` is the day to order by and `why` says why that day; `past` is
    true when it has gone by. `told` are earlier lines about orders of it, `coming` what is on order; `guess` says where the
    number wanted comes from where it is not the kind's own sowings.
    """

    crop: str
    variety: str
    wanted: int | None
    have: tuple[Have, ...]
    coming: tuple[OnOrder, ...]
    short: int | None
    over: int
    packet: int | None
    packets: int | None
    by: dt.date | None
    why: str
    past: bool
    told: tuple[Bought, ...]
    lines: tuple[PlanLine, ...]
    guess: str


def orders(learnt: Learnt, needs: Iterable[Wanted | tuple[object, ...]]) -> tuple[Order, ...]:
    """What to order, a row a variety, in the order of the needs.

    A kind named without a variety takes what its varieties leave over.
    """
    groups: dict[tuple[str, str], list[Wanted]] = {}
    for need in needs:
        n = _known(Wanted(*need), learnt)  # type: ignore[arg-type]
        groups.setdefault((fold(n.crop), fold(n.variety)), []).append(n)
    kept = learnt.figures.kept
    lots = tuple(x for x in lots_now(learnt) if in_hand(x, learnt.as_of))
    stock = _Stock(learnt, lots, bought(kept), on_order(kept), frozenset(groups), {})
    # kinds without a variety come last
    out = {k: _order(groups[k], stock) for k in sorted(groups, key=lambda k: not k[1])}
    return tuple(out[key] for key in groups)


@dataclass(frozen=True)
class _Stock:
    """All that orders are set against; `taken` are seeds of lots by folded name that other lines use."""

    learnt: Learnt
    lots: tuple[LotNow, ...]
    past: tuple[Bought, ...]
    coming: tuple[OnOrder, ...]
    asked: frozenset[tuple[str, str]]
    taken: dict[str, int]

    def mine(self, group: Sequence[Wanted]) -> list[LotNow]:
        """The lots of a variety, or of a kind: those named for it first, then the oldest."""
        first, named = group[0], {fold(n.lot) for n in group}
        mine = [x for x in self.lots if _fits(x.lot.crop, x.lot.variety, first)]
        return sorted(mine, key=lambda x: (fold(x.lot.lot) not in named, x.lot.packed_for or 0))

    def arriving(self, group: Sequence[Wanted]) -> tuple[OnOrder, ...]:
        """What is on order of it; a kind has what none of its varieties in the plan has."""
        return tuple(
            c
            for c in self.coming
            if _fits(c.crop, c.variety, group[0])
            and (group[0].variety or (fold(c.crop), fold(c.variety)) not in self.asked - {(fold(c.crop), "")})
        )  # fmt: skip

    def free(self, x: LotNow) -> int | None:
        """Seeds left that no other line of the plan has taken."""
        return None if x.left is None else max(0, x.left - self.taken.get(fold(x.lot.lot), 0))

    def take(self, have: Sequence[Have], wanted: int) -> None:
        """What these lines use up, so that no other line counts it again."""
        for h in have:
            if not h.left or not h.stand_for or wanted <= 0:
                continue
            used = min(h.stand_for, wanted)
            name = fold(h.lot.lot.lot)
            gone = math.ceil(h.left * used / h.stand_for - _EPS)
            self.taken[name] = self.taken.get(name, 0) + gone
            wanted -= used


def _known(n: Wanted, learnt: Learnt) -> Wanted:
    """A lot named for it tells the variety."""
    lot = learnt.figures.kept.seed.lots.get(fold(n.lot)) if n.lot else None
    if lot is None or n.variety or fold(lot.crop) != fold(n.crop):
        return n
    return n._replace(variety=lot.variety)


def _order(group: Sequence[Wanted], stock: _Stock) -> Order:
    crop, variety = group[0].crop, group[0].variety
    planned, measure = _planned(group, stock.learnt)
    have = tuple(
        Have(x, left, stands_for(x, left, planned, measure))
        for x in stock.mine(group)
        if (left := stock.free(x)) != 0
    )
    arriving = stock.arriving(group)
    there = sum(h.stand_for or 0 for h in have) + sum(c.seeds or 0 for c in arriving)
    told = tuple(b for b in stock.past if b.of(crop, variety))
    wanted = None if any(n.seeds is None for n in group) else sum(n.seeds or 0 for n in group)
    short = None if wanted is None else max(0, wanted - there)
    stock.take(have, wanted or 0)
    packet = next((n.packet for n in group if n.packet), None)
    packet = packet or packet_of(stock.learnt.figures.kept, crop, variety)
    by, why = _by(group, told, stock.learnt.as_of) if short != 0 else (None, "")
    return Order(
        crop, variety, wanted, have, arriving, short, max(0, there - wanted) if wanted is not None else 0,
        packet, math.ceil(short / packet) if packet and short else None, by, why,
        by is not None and by < stock.learnt.as_of, told, tuple(n.line for n in group if n.line),
        "; ".join(dict.fromkeys(n.why for n in group if n.why)),
    )  # fmt: skip


def _fits(crop: str, variety: str, wanted: Wanted) -> bool:
    """Of the variety wanted; of any, where none is named."""
    same = not wanted.variety or fold(variety) == fold(wanted.variety)
    return same and fold(crop) == fold(wanted.crop)


def stands_for(x: LotNow, left: int | None, planned: float | None, measure: str) -> int | None:
    """So many seeds of the `planned` germination are the seeds left of a lot worth, rounded down.

    What was counted in another measure (on paper, say, for trays) can only make seeds count for less:
    paper promises more than a tray gives. Where either germination isn't known, or the lot's is the
    kind's, a seed counts as a seed.
    """
    share = x.present.share
    if left is None or share is None or not planned or x.present.source == "kind":
        return left
    ratio = share.value / planned
    if x.present.measure != measure:
        ratio = min(1.0, ratio)
    return math.floor(left * ratio + _EPS)


def _planned(group: Sequence[Wanted], learnt: Learnt) -> tuple[float | None, str]:
    """The germination the needs were worked out with, and its measure; else that of the kind's own."""
    said = next(((n.planned, n.measure) for n in group if n.planned), None)
    if said is not None:
        return said
    own = kinds_own(learnt.figures, group[0].crop)
    return (own.share.value if own.share else None), own.measure


# -- by when


def _by(
    group: Sequence[Wanted], told: Sequence[Bought], as_of: dt.date
) -> tuple[dt.date | None, str]:
    """The day to order by: two weeks before it was sold out in an earlier year, or before it is wanted,
    whichever comes first."""
    firsts = [n.first for n in group if n.first]
    first = min(firsts, default=None)
    year = _year(group, first, as_of)
    sold_out = [b for b in told if b.what == "sold out"]
    # what was sold out after that day was so this very season: there is nothing to be early for
    gone = [(day, b) for b in sold_out if (day := _same_day(b.on, first, year)) and b.on < day]
    before = first - _AHEAD if first else None
    if gone:
        day, b = min(gone, key=lambda g: (g[0], g[1].on))
        if before is None or day <= before:
            return day, f"sold out on {_day(b.on)}"
    return before, "two weeks before it is wanted" if before else ""


def _year(group: Sequence[Wanted], first: dt.date | None, as_of: dt.date) -> int:
    line = next((n.line for n in group if n.line), None)
    if line:
        return line.year
    return first.year if first else as_of.year + (as_of.month >= _TURNS)


def _same_day(on: dt.date, first: dt.date | None, year: int) -> dt.date | None:
    """Two weeks before a day of an earlier year, in the season in which the seed is wanted now; None where
    that year's came to be sold out only after the day it is wanted this time."""
    if first is None:
        this = year - (on.month >= _TURNS)
        return _in_year(on, this) - _AHEAD
    days = [_in_year(on, y) - _AHEAD for y in (first.year - 1, first.year, first.year + 1)]
    return max((d for d in days if first - _SEASON <= d <= first), default=None)


def _in_year(on: dt.date, year: int) -> dt.date:
    """The same day of another year; 29 February is the 28th in most."""
    return on.replace(year=year, day=28 if (on.month, on.day) == (2, 29) else on.day)


_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")  # fmt: skip


def _day(on: dt.date) -> str:
    return f"{on.day} {_MONTHS[on.month - 1]} {on.year}"
