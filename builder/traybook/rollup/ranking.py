"""Recipes in the order of what may be counted on: good plants out of what was sown."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from traybook.rollup.recipe import UNTREATED, Recipe
from traybook.rollup.sowing import SowingFigures
from traybook.stats.proportions import Group, Share, germination

#: What makes two sowings the same recipe: what a grower would do again. Lot and day are told beside.
_SAME = ("treatment", "container", "seeds a cell", "mix", "cover", "light", "place", "heat")


@dataclass(frozen=True, slots=True)
class Ranked:
    """Sowings made alike: the parts they share, and good plants by what each was a share of, in the
    unit sown (`cells` where several seeds went in each). `share` holds the spread between sowings;
    None while none is accounted for, as `waiting` of them are not."""

    parts: tuple[tuple[str, str], ...]
    unit: str
    sowings: tuple[SowingFigures, ...]
    good: int
    of: int
    share: Share | None
    waiting: int


def _unit(s: SowingFigures) -> str:
    """What its good plants are a share of."""
    in_cells = s.sowing.several and s.good_of in (None, s.sowing.cells)
    return "cells" if in_cells else "seeds"


def ranked(
    sowings: Iterable[SowingFigures], recipes: Mapping[str, Recipe], rho: float
) -> tuple[Ranked, ...]:
    """Recipes of one kind and measure, ranked by the lower end of the interval of their good share, those
    that failed too; then those not yet accounted for. Never by the share itself: one lucky tray, or a
    single big one, would lead."""
    groups: dict[tuple[tuple[tuple[str, str], ...], str], list[SowingFigures]] = defaultdict(list)
    for s in sowings:
        told = tuple((p, w) for p in _SAME if (w := recipes[s.code].of(p)) and w != UNTREATED)
        groups[told, _unit(s)].append(s)
    out = [_ranked(parts, unit, found, rho) for (parts, unit), found in groups.items()]
    return tuple(sorted(out, key=_order))


def _order(r: Ranked) -> tuple[bool, float, float, tuple[tuple[str, str], ...]]:
    if r.share is None:
        return (True, 0.0, 0.0, r.parts)
    return (False, -r.share.low, -r.share.value, r.parts)


def _ranked(
    parts: tuple[tuple[str, str], ...], unit: str, sowings: list[SowingFigures], rho: float
) -> Ranked:
    counts = [
        (s.good, s.good_of)
        for s in sowings
        if s.good_share is not None and s.good is not None and s.good_of
    ]
    good, of = sum(c[0] for c in counts), sum(c[1] for c in counts)
    share = germination([Group(n, y) for y, n in counts], rho)
    return Ranked(parts, unit, tuple(sowings), good, of, share, len(sowings) - len(counts))
