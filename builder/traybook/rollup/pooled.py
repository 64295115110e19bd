"""How a kind came up in a season: its sowings' gaps between looks put together."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from traybook.rollup.sowing import SowingFigures
from traybook.stats.curve import Fitted, fitted
from traybook.stats.pooled import Corner, curve, drawn_to, turnbull


@dataclass(frozen=True, slots=True)
class Pooled:
    """The curve of several sowings: its corners up to `until`, the last day on which half of them were
    still looked at; `unit` says whether seeds or cells are counted."""

    corners: tuple[Corner, ...]
    until: float
    sowings: int
    unit: str


def pooled(sowings: Iterable[SowingFigures]) -> Pooled | None:
    """Of the settled sowings of one kind and measure; None where none has looks with days. Those counted
    in cells of several seeds are left out where any is counted in seeds."""
    entered = [s for s in sowings if s.up.days_known and s.up.points and s.group]
    seeds = [s for s in entered if not s.up.estimated]
    used = seeds or entered
    if not used:
        return None
    gaps = [g for s in used for g in _gaps(s)]
    until = drawn_to([s.up.points[-1][0] for s in used])
    corners = tuple(c for c in curve(turnbull(gaps)) if c.by <= until)
    if not corners:
        return None
    return Pooled(corners, until, len(used), "seeds" if seeds else "cells")


def _gaps(s: SowingFigures) -> list[tuple[float, float, float]]:
    """(last look without, first look with, how many); what wasn't up at the last look is not yet."""
    out, day, had = [], 0.0, 0
    for on, so_far in s.up.points:
        if so_far > had:
            out.append((min(day, on), on, float(so_far - had)))
        day, had = on, max(had, so_far)
    g = s.group
    assert g is not None
    if g.n > had:
        out.append((day, math.inf, float(g.n - had)))
    return out


def reached_between(p: Pooled, share: float) -> tuple[float, float] | None:
    """The gap in which so much of what was sown was up; None where the curve doesn't get there."""
    for c in p.corners:
        if c.share_after >= share - 1e-9:
            return c.after, c.by
    return None


def counted_sown(s: SowingFigures) -> int:
    """How many were sown, in the unit that is counted: cells or seeds; 0 where that isn't known."""
    if s.up.count is not None and s.up.count.unit == "cells" and s.sowing.cells:
        return s.sowing.cells
    return 0 if s.sowing.about else s.sowing.seeds or 0


def fit_of(s: SowingFigures) -> Fitted | str | None:
    """The fitted curve of a settled sowing, or why there is none; None while more may come up and where
    it isn't known how many were sown or on which days they came."""
    n = counted_sown(s)
    if not s.up.settled or not s.up.points or not s.up.days_known or s.up.points[-1][1] > n:
        return None
    return fitted(n, s.up.points)
