"""How many to sow for so many good plants, by what the farm's own sowings did."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from functools import lru_cache

from traybook.rollup.farm import FarmFigures
from traybook.rollup.habits import Key, key_of
from traybook.rollup.sowing import SowingFigures
from traybook.rollup.spreads import survival_of
from traybook.stats.seeds import Chance, borrowed, chained, seeds_for, step

#: The chances that numbers are given for: one to go by, and the even one beside it.
AIM, EVEN = 0.90, 0.50
#: A farm's survival lends a kind without its own as much as eight plants would.
LENT = 8
_MOST_GOES = 4
#: Fewer seeds than these say nothing of how many to sow.
FEWEST = 10
# common practice, no source: two goes are wiser than two and a half times what would do on average
_REASON = 2.5


@dataclass(frozen=True, slots=True)
class Basis:
    """What a number to sow rests on: the chance of one `unit` sown to become a good plant, and how; in
    the terms of the latest sowing, `filling` seeds a cell at least and at most, in trays of `tray`
    cells (0 where it was none).

    `chain` is True when it goes by coming up and by surviving one after the other; `lent` when the
    survival is the farm's, since the kind has none of its own; `safe` when only "at least" counts
    were there, so that the number is safe rather than right.
    """

    unit: str
    chance: Chance
    sowings: int
    chain: bool
    lent: bool
    safe: bool
    filling: tuple[int, int]
    tray: int


@dataclass(frozen=True, slots=True)
class ToSow:
    """For `plants` good plants sow `number` (9 times in 10 that is enough, or as often as was asked for), in
    so many `goes`; `even` does one time in two. `number` is None where not even ten times what would do on
    average gives it in four goes."""

    plants: int
    number: int | None
    goes: int
    even: int | None


def basis(figures: FarmFigures, key: Key) -> Basis | None:
    """What a kind's sowings say of one measure; None where none is settled and counted, where fewer than
    ten were sown and where none made a good plant: that says nothing of how many would. Sowings by the
    seed and by the cell are not mixed, nor are fillings: it goes by those like the latest."""
    counted = [s for k in figures.kinds if k.key == key for s in k.sowings if s.group]
    if not counted:
        return None
    latest = max(counted, key=lambda s: s.sowing.sown_on)
    several = latest.sowing.several
    alike = [s for s in counted if _filled(s) == _filled(latest)]
    sure = [s for s in alike if not s.up.at_least]
    used = sure or alike
    rho, rho_on = figures.spreads.planning(key).rho, figures.spreads.survival(key).rho
    unit = "cells" if several else "seeds"
    safe = not sure
    held = latest.sowing.container
    terms = (_filled(latest), (held.size or 0) if held else 0)
    if not several:
        on = [c for s in used if (c := survival_of(s))]
        ups = [(g.y, g.n) for s in used if (g := s.group)]
        lent = None if on else farms_survival(figures, key[1])
        if sum(n for _, n in ups) < FEWEST or not sum(y for y, _ in on or ups):
            return None
        if on or lent:
            up = step(ups, rho)
            then = step(on, rho_on) if on else borrowed(lent, LENT, rho_on)  # type: ignore[arg-type]
            return Basis(unit, chained([up, then]), len(used), True, not on, safe, *terms)
    straight = [(s.good or 0, s.good_of or 0) for s in used if s.good_share is not None
                and (not several or s.good_of == s.sowing.cells)]  # fmt: skip
    if sum(n for _, n in straight) < FEWEST or not sum(y for y, _ in straight):
        return None
    return Basis(unit, step(straight, rho), len(straight), False, False, safe, *terms)


def _filled(s: SowingFigures) -> tuple[int, int]:
    """Seeds a cell; sown by the seed it is one."""
    return (s.sowing.low or 1, s.sowing.high or 1) if s.sowing.several else (1, 1)


def farms_survival(figures: FarmFigures, measure: str) -> float | None:
    """The farm's survival from up to good, over finished seasons of one measure. Kinds of which no good plant
    was ever written down are not in it: whether they died or nobody wrote it isn't known."""
    over = figures.spreads.finished
    kinds: dict[Key, list[tuple[int, int]]] = defaultdict(list)
    for s in figures.sowings.values():
        counts = survival_of(s) if s.sowing.season in over else None
        if counts and s.sowing.measure == measure:
            kinds[key_of(s.account)].append(counts)
    told = [c for found in kinds.values() if any(good for good, _ in found) for c in found]
    n = sum(up for _, up in told)
    return sum(good for good, _ in told) / n if n else None


@lru_cache(maxsize=4096)
def _even(plants: int, chance: Chance) -> int | None:
    return seeds_for(plants, chance, EVEN)


@lru_cache(maxsize=4096)
def to_sow(plants: int, chance: Chance, aim: float = AIM) -> ToSow:
    """How many to sow for so many plants; in more goes than one where one can't give it within reason,
    two and a half times what would do on average. Four goes may take more than that: to give no number
    there would leave the numbers given to kinds whose few sowings were lucky, and those are too small
    (simulated: enough .87 of the time instead of .89)."""
    even = _even(plants, chance)
    within = math.ceil(_REASON * plants / chance.mean) if chance.mean > 0 else plants
    for goes in range(1, _MOST_GOES + 1):
        number = seeds_for(plants, chance, aim, goes, within)
        if number is not None:
            return ToSow(plants, number, goes, even)
    return ToSow(plants, seeds_for(plants, chance, aim, _MOST_GOES), _MOST_GOES, even)
