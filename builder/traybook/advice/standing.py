"""What stands where: plants on hand, places and beds."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

from traybook.ledger.running import rests_on
from traybook.records.containers import bare
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold

NO_PLACE = "no place said"


@dataclass(frozen=True, slots=True)
class Standing:
    """Plants of one sowing in one stand: `plants` is None where they were never counted; `share` is the part
    of the sowing that stands here, where it was sown."""

    code: str
    crop: str
    stand: str
    place: str
    plants: int | None
    since: dt.date
    seeds: bool = False
    share: float | None = None


@dataclass(frozen=True, slots=True)
class InBed:
    """One sowing in one bed, from when to when (None while it stands)."""

    bed: str
    code: str
    crop: str
    variety: str
    since: dt.date
    until: dt.date | None
    plants: int | None
    alive: int | None
    counted: dt.date | None
    rows: int | None
    spacing_mm: float | None


def standing(figures: FarmFigures) -> tuple[Standing, ...]:
    """Every stand that is not in a bed and not finished, in the order sown."""
    return tuple(
        x for s in figures.sowings.values() if s.account.finished_on is None for x in _stands(s)
    )


def _stands(s: SowingFigures) -> list[Standing]:
    out = []
    a, crop = s.account, s.sowing.crop
    if a.sown_closed_on is None and s.sowing.measure != "stand" and not s.sowing.shares:
        count = rests_on(a.main, a.cells)
        plants = count.known()
        out += [
            Standing(s.code, crop, "where sown", p.place or NO_PLACE, p.standing if plants else None,
                     s.sowing.sown_on, not count.emerged, p.share)
            for p in count.parts
            if p.standing or not (count.emerged and s.up.settled)
        ]  # fmt: skip
    out += [
        Standing(s.code, crop, x.name, x.place or NO_PLACE, x.alive, x.opened)
        for x in a.stands
        if not x.bed and x.closed is None and x.alive
    ]
    return out


def by_place(figures: FarmFigures) -> dict[str, list[Standing]]:
    """Stands by place, the farm's own places in its order first, those without a place last."""
    found: dict[str, list[Standing]] = defaultdict(list)
    names = {fold(p): p for p in figures.kept.book.farm.places}
    for x in standing(figures):
        found[names.get(fold(bare(x.place)), x.place)].append(x)
    order = [*names.values(), *sorted(set(found) - set(names.values()) - {NO_PLACE}), NO_PLACE]
    return {p: found[p] for p in order if p in found}


def beds(figures: FarmFigures) -> dict[str, list[InBed]]:
    """What stands and stood in each bed, the latest first; the farm's own beds in its order first."""
    found: dict[str, list[InBed]] = defaultdict(list)
    names = {fold(b): b for b in figures.kept.book.farm.beds}
    for s in figures.sowings.values():
        for x in _in_beds(s):
            found[names.get(fold(bare(x.bed)), x.bed or "bed not said")].append(x)
    order = [*names.values(), *sorted(set(found) - set(names.values()))]
    return {b: sorted(found.get(b, []), key=lambda x: x.since, reverse=True) for b in order}


def plants_in_beds(figures: FarmFigures) -> int:
    """Plants alive in beds at their last word, those of sowings that are over left out."""
    return sum(
        x.alive
        for s in figures.sowings.values()
        if s.account.finished_on is None
        for x in s.account.stands
        if x.bed and x.closed is None
    )


def _in_beds(s: SowingFigures) -> list[InBed]:
    a, w = s.account, s.sowing
    out = [
        InBed(p.bed, s.code, w.crop, w.variety, p.on, a.stands[p.stand].closed, p.plants,
              a.stands[p.stand].alive, a.stands[p.stand].counted, p.rows, p.spacing_mm)
        for p in a.plantings
    ]  # fmt: skip
    if w.measure == "stand":
        bed = w.container.name if w.container else ""
        out.append(
            InBed(
                bed,
                s.code,
                w.crop,
                w.variety,
                w.sown_on,
                a.finished_on,
                None,
                None,
                None,
                w.rows,
                None,
            )
        )
    return out
