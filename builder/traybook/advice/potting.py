"""When a tray of seedlings is to be potted on or pricked out."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property
from statistics import median

from traybook.advice.expecting import Outlook, counted_of, filling_of
from traybook.ledger.running import rests_on
from traybook.rollup.farm import FarmFigures
from traybook.rollup.habits import Key, key_of
from traybook.rollup.sowing import SowingFigures

# common practice, no source: seedlings go on two weeks after half of them are up, out of open trays
# and out of plug trays of 128 cells and more; in larger cells they mostly stay until they are
# planted out.
_USUAL = 14
_SMALL_CELLS = 128


@dataclass(frozen=True, slots=True)
class Pot:
    """The day a sowing is to be potted on, and why then."""

    on: dt.date
    why: str


@dataclass(frozen=True)
class Pottings:
    """How a farm's kinds were potted on, worked out when it is first asked for."""

    figures: FarmFigures

    @cached_property
    def _alike(self) -> dict[tuple[Key, bool], list[SowingFigures]]:
        """Sowings that were moved on in some way, by kind, measure and whether they were in cells."""
        out: dict[tuple[Key, bool], list[SowingFigures]] = defaultdict(list)
        for s in self.figures.sowings.values():
            if _potted_on(s) or s.account.plantings:
                out[key_of(s.account), s.sowing.cells is not None].append(s)
        return out

    def of(self, s: SowingFigures, outlook: Outlook) -> Pot | None:
        """When a sowing is to be potted on; None for one that has been, that is not sown in a tray,
        of which too few are up to tell, or whose kind isn't potted on here."""
        a, half = s.account, _half_on(s)
        standing = rests_on(a.main, a.cells).standing
        if s.sowing.measure != "up" or a.pottings or half is None or not standing:
            return None
        if not _most_up(s, outlook):
            return None
        earlier = [
            e
            for e in self._alike[key_of(a), s.sowing.cells is not None]
            if e.sowing.sown_on < s.sowing.sown_on
        ]
        if earlier:
            return _by_habit(half, earlier)
        if not _wants_room(s):
            return None
        return Pot(
            half + dt.timedelta(days=_USUAL), "two weeks after half were up, common practice"
        )


def _by_habit(half: dt.date, earlier: list[SowingFigures]) -> Pot | None:
    """As long after half were up as in the kind's earlier sowings; None if most were never potted."""
    potted = [e for e in earlier if _potted_on(e)]
    waits = [(on - up).days for e in potted if (on := _potted_on(e)) and (up := _half_on(e))]
    if 2 * len(potted) <= len(earlier) or not waits:
        return None
    wait = max(0, round(median(waits)))
    told = f"{len(waits)} sowing{'' if len(waits) == 1 else 's'}"
    days = f"{wait} day{'' if wait == 1 else 's'}"
    return Pot(half + dt.timedelta(days=wait), f"{days} after half were up, as in {told} before")


def _most_up(s: SowingFigures, outlook: Outlook) -> bool:
    """Half of what is expected of it is up, or no more will come."""
    of, _ = counted_of(s)
    up = s.up.count.emerged if s.up.count else 0
    return s.up.settled or (of > 0 and up >= of * outlook.chance_in(filling_of(s)).mean / 2)


def _wants_room(s: SowingFigures) -> bool:
    """Sown in an open tray, or in cells too small to stay in; where neither was said, nobody knows."""
    box = s.sowing.container
    if box is None:
        return False
    return box.kind == "open" or (box.kind == "cells" and (box.size or 0) >= _SMALL_CELLS)


def _half_on(s: SowingFigures) -> dt.date | None:
    """The day on which half of what came up was up."""
    half = s.up.half
    if half is None or not s.up.days_known:
        return None
    days = half.by if half.point is None else half.point
    return s.account.began + dt.timedelta(days=round(days))


def _potted_on(s: SowingFigures) -> dt.date | None:
    """The day its first plants were potted on or pricked out from where they were sown."""
    return min((p.on for p in s.account.pottings if p.first), default=None)
