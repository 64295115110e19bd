"""What a bed was used for and what it gave: metres and weeks taken up, stems cut there."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from traybook.ledger.model import Account, Planting
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold


@dataclass(frozen=True, slots=True)
class Ground:
    """What a sowing took up: metres of bed, and those times the weeks it stood there; `weeks` is
    None while it stands, for nobody can say until when."""

    metres: float
    metre_weeks: float | None


@dataclass(frozen=True, slots=True)
class Earned:
    """What one variety gave for its ground over the sowings of which stems and metres are both known.

    `plants` of a direct sowing are not counted: None if any of them is. `metre_weeks` is None while
    any still stands; `missing` counts planted sowings that say no length or no stems of their own.
    """

    crop: str
    variety: str
    sowings: tuple[SowingFigures, ...]
    stems: int
    metres: float
    metre_weeks: float | None
    plants: int | None
    at_least: bool
    missing: int

    @property
    def per_metre(self) -> float:
        """Stems a metre of bed."""
        return self.stems / self.metres

    @property
    def per_metre_week(self) -> float | None:
        """Stems a metre and week."""
        return self.stems / self.metre_weeks if self.metre_weeks else None

    @property
    def per_plant(self) -> float | None:
        """Stems a plant planted."""
        return self.stems / self.plants if self.plants else None


def metres_of(p: Planting) -> float | None:
    """Metres of bed of one planting: said, else plants x spacing / rows; never the whole bed.

    Plants set in rows at a spacing fill that length of each row, and the rows lie side by side.
    """
    if p.length_mm:
        return p.length_mm / 1000
    if not p.spacing_mm or not p.rows or not p.plants:
        return None
    return p.plants * p.spacing_mm / p.rows / 1000


def ground_of(s: SowingFigures) -> Ground | None:
    """The ground of a sowing; None unless the length of each of its plantings is known. Plants that
    went from one bed to another take up the second too, in their weeks but not in their metres."""
    a = s.account
    if not a.plantings:
        return _direct(s)
    lengths = [(p, m) for p in a.plantings if (m := metres_of(p)) is not None]
    if len(lengths) < len(a.plantings):
        return None
    metres = sum(m for p, m in lengths if p.good)
    weeks = [(m, _weeks(p.on, _until(a, p))) for p, m in lengths]
    known = [m * w for m, w in weeks if w is not None]
    if not metres:
        return None
    return Ground(metres, sum(known) if len(known) == len(weeks) else None)


def _direct(s: SowingFigures) -> Ground | None:
    """A direct sowing's rows lie side by side; it takes up its bed from the day it was sown."""
    w = s.sowing
    if w.measure not in ("stand", "corm") or not w.length_mm:
        return None
    metres, weeks = w.length_mm / 1000, _weeks(w.sown_on, s.account.finished_on)
    return Ground(metres, None if weeks is None else metres * weeks)


def _until(a: Account, p: Planting) -> dt.date | None:
    """The day its bed was free again: emptied into another bed, cleared, or all of it finished."""
    stand = a.stands[p.stand]
    went = [q.on for q in a.plantings if not q.good and q.stand != p.stand and q.on >= p.on]
    if went and stand.out and not stand.alive:
        return max(went)
    return stand.closed or a.finished_on


def _weeks(start: dt.date, end: dt.date | None) -> float | None:
    """Weeks between two days, a day at the least."""
    return max(1, (end - start).days) / 7 if end else None


def earned(sowings: Iterable[SowingFigures]) -> tuple[Earned, ...]:
    """What each variety earned, most stems a metre first; of one season's sowings. Where stems are at
    least so many, they rank by what is told."""
    kinds: dict[tuple[str, str], list[SowingFigures]] = defaultdict(list)
    for s in sowings:
        if s.account.plantings or s.sowing.measure in ("stand", "corm"):
            kinds[fold(s.sowing.crop), fold(s.sowing.variety)].append(s)
    found = [e for mine in kinds.values() if (e := _earned(mine))]
    return tuple(sorted(found, key=lambda e: (-e.per_metre, fold(e.crop), fold(e.variety))))


def _earned(found: list[SowingFigures]) -> Earned | None:
    known = [(s, g) for s in found if s.cut.stems is not None and (g := ground_of(s))]
    if not known:
        return None
    mine = tuple(s for s, _ in known)
    weeks = [g.metre_weeks for _, g in known]
    told = [w for w in weeks if w is not None]
    counted = all(s.sowing.measure != "stand" and s.planted for s in mine)
    return Earned(
        crop=mine[0].sowing.crop,
        variety=mine[0].sowing.variety,
        sowings=mine,
        stems=sum(s.cut.stems or 0 for s in mine),
        metres=sum(g.metres for _, g in known),
        metre_weeks=sum(told) if len(told) == len(weeks) else None,
        plants=sum(s.planted for s in mine) if counted else None,
        at_least=any(s.cut.at_least for s in mine),
        missing=len(found) - len(mine),
    )
