"""Where the trays of a plan will stand, and from when to when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from traybook.advice.learnt import Learnt
from traybook.advice.planning import Planned
from traybook.advice.room import Stay
from traybook.text.names import fold

# common practice, no source: eight weeks from sowing to planting out, where nothing else is known
_WEEKS = dt.timedelta(weeks=8)
#: Where trays stand of which nothing says where.
NOWHERE = "no place named"


def planned_stays(sowings: Iterable[Planned], learnt: Learnt) -> tuple[Stay, ...]:
    """A stay for each planned sowing in trays that isn't made yet: where the plan says, else where the kind
    stood last, until it is potted on or planted out."""
    return tuple(s for p in sowings if not p.done and (s := _stay(p, learnt)))


def _stay(p: Planned, learnt: Learnt) -> Stay | None:
    if p.sow is None or not p.need.trays:
        return None
    leaves = [s.on for s in p.steps if s.kind in ("pot", "harden", "plant")]
    last = min(leaves, default=p.sow + _WEEKS) - dt.timedelta(days=1)
    name = f"{p.line.crop} {p.line.variety}".strip()
    return Stay(p.line.place or _last_place(p.line.crop, learnt), p.sow, last, p.need.trays, name)


def _last_place(crop: str, learnt: Learnt) -> str:
    found = [
        s for s in learnt.figures.sowings.values()
        if fold(s.sowing.crop) == fold(crop) and s.sowing.place and s.sowing.measure == "up"
    ]  # fmt: skip
    last = max(found, key=lambda s: s.sowing.sown_on, default=None)
    return last.sowing.place if last else NOWHERE
