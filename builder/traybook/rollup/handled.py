"""Sowings that were pinched, netted or covered beside those of their kind and season that were not."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from traybook.records.book import Entry, Ref
from traybook.records.event import Event
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold

WAYS = ("pinched", "netted", "covered")
# Pinched are those of which most were; of fewer nothing is said. A choice of ours.
_MOST = 0.75


@dataclass(frozen=True, slots=True)
class Done:
    """One thing done to a sowing on a day; `part` where it was done to some of the plants only."""

    way: str
    on: dt.date
    part: bool
    event: Event


@dataclass(frozen=True, slots=True)
class Side:
    """The sowings of one side. Stems and plants are those of the `counted` ones: stems told apart to
    the last, or at least so many; `days` from sowing to first cut, one for each that was cut."""

    sowings: tuple[SowingFigures, ...]
    counted: int
    stems: int
    plants: int
    at_least: bool
    days: tuple[int, ...]

    @property
    def per_plant(self) -> float | None:
        """Stems a plant planted; None where none are told."""
        return self.stems / self.plants if self.plants else None

    @property
    def middle(self) -> float | None:
        """Median of the days to first cut."""
        return median(self.days) if self.days else None

    @property
    def first_cut(self) -> dt.date | None:
        """The first day any of them was cut."""
        return min((s.cut.first for s in self.sowings if s.cut.first), default=None)


@dataclass(frozen=True, slots=True)
class Handled:
    """One kind and season in which some were handled in a way and some were not. `aside` are those
    left out: done to a part of the plants, or after cutting had begun."""

    crop: str
    season: int
    way: str
    done: Side
    not_done: Side
    aside: int
    varieties: bool

    @property
    def one_each(self) -> bool:
        """No more than a sowing on either side."""
        return len(self.done.sowings) == len(self.not_done.sowings) == 1


def done_to(figures: FarmFigures) -> dict[str, list[Done]]:
    """What was pinched, netted or covered, by code, in the order of days. A line about a bed or a crop
    is about each sowing that stood planted there that day."""
    out: dict[str, list[Done]] = defaultdict(list)
    for entry in figures.kept.book.entries:
        event = entry.event
        if event.verb in WAYS and entry.used and event.on:
            for s in _meant(entry, event.on, figures):
                out[s.code].append(Done(event.verb, event.on, _part(event, s), event))
    return out


def stood(s: SowingFigures, on: dt.date) -> bool:
    """Whether it stood in a bed that day."""
    a = s.account
    starts = [p.on for p in a.plantings]
    if s.sowing.measure in ("stand", "corm"):
        starts.append(s.sowing.sown_on)
    return any(x <= on for x in starts) and (a.finished_on is None or on <= a.finished_on)


def beds_of(s: SowingFigures) -> set[str]:
    """The beds it went into, folded."""
    held = s.sowing.container
    own = {fold(held.name)} if held and held.kind == "bed" and held.name else set()
    return {fold(p.bed) for p in s.account.plantings if p.bed} | own


def _meant(entry: Entry, on: dt.date, figures: FarmFigures) -> list[SowingFigures]:
    ref = entry.ref
    if ref.code:
        return [figures.sowings[ref.code]] if ref.code in figures.sowings else []
    return [s for s in figures.sowings.values() if _fits(s, ref) and stood(s, on)]


def _fits(s: SowingFigures, ref: Ref) -> bool:
    if ref.kind == "bed":
        return fold(ref.bed) in beds_of(s)
    if ref.kind != "crop":
        return False
    same = fold(ref.crop) == fold(s.sowing.crop)
    return same and (not ref.variety or fold(ref.variety) == fold(s.sowing.variety))


def _part(event: Event, s: SowingFigures) -> bool:
    """`20 plants` of 60, or half of them."""
    said = [c.n for c in event.said if c.n is not None]
    if any(n.share in ("half", "rest") for n in said):
        return True
    numbers = [n.value for n in said if n.value is not None]
    return bool(numbers) and sum(numbers) < _MOST * s.planted


def handled(figures: FarmFigures) -> tuple[Handled, ...]:
    """Every kind, season and way with sowings on both sides, the latest season first."""
    done = done_to(figures)
    kinds: dict[tuple[int, str], list[SowingFigures]] = defaultdict(list)
    for s in figures.sowings.values():
        if s.account.plantings:
            kinds[s.sowing.season, fold(s.sowing.crop)].append(s)
    out = []
    for (season, _), found in sorted(kinds.items(), key=lambda x: (-x[0][0], x[0][1])):
        out += [h for way in WAYS if (h := _handled(way, season, found, done))]
    return tuple(out)


def _handled(
    way: str, season: int, found: list[SowingFigures], done: dict[str, list[Done]]
) -> Handled | None:
    with_, without, aside = [], [], 0
    for s in found:
        mine = [d for d in done.get(s.code, []) if d.way == way]
        if not mine:
            without.append(s)
        elif any(not d.part and (s.cut.first is None or d.on <= s.cut.first) for d in mine):
            with_.append(s)
        else:
            aside += 1
    one, other = _side(with_), _side(without)
    if not with_ or not without or not any(x.plants or x.days for x in (one, other)):
        return None
    kinds = [{fold(s.sowing.variety) for s in side} for side in (with_, without)]
    return Handled(found[0].sowing.crop, season, way, one, other, aside, kinds[0] != kinds[1])


def _side(found: Iterable[SowingFigures]) -> Side:
    mine = tuple(found)
    counted = [s for s in mine if s.cut.stems is not None and s.planted]
    return Side(
        mine,
        len(counted),
        sum(s.cut.stems or 0 for s in counted),
        sum(s.planted for s in counted),
        any(s.cut.at_least for s in counted),
        tuple((s.cut.first - s.sowing.sown_on).days for s in mine if s.cut.first),
    )
