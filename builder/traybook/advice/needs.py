"""What it takes: how many to sow for good plants, in cells and trays; seeds in a cell; plants for stems."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from dataclasses import dataclass

from traybook.advice.chances import (
    Told,
    counted,
    seed_comes_up,
    seedling_makes_it,
)
from traybook.advice.learnt import Learnt
from traybook.advice.seeds import AIM, EVEN, Basis, ToSow, basis, to_sow
from traybook.records.containers import Container, container
from traybook.rollup.habits import Key
from traybook.rollup.sowing import SowingFigures
from traybook.stats.seeds import Chance, chained, of_cells, plants_from
from traybook.text.names import fold

#: Seeds in a cell, at least and at most.
Filling = tuple[int, int]
# The tray where none is named. common practice, no source
_TRAY = 72
_MEASURES = {"paper": "sprouted", "bed": "stand", "corms": "corm", "tubers": "corm"}


@dataclass(frozen=True, slots=True)
class Way:
    """How a kind is sown and with what chance: one `unit` (a seed, or a cell of `filling` seeds) makes a good
    plant with `chance`. `cells` is True where it is sown in cells; `tray` is the cells of one tray, 0 where
    it has none; `hopeless` where the kind's own sowings gave nothing."""

    chance: Chance
    unit: str
    filling: Filling
    cells: bool
    tray: int
    own: bool
    why: str
    hopeless: bool = False

    @property
    def per_cell(self) -> str:
        """`2`, or `2 to 3`."""
        low, high = self.filling
        return f"{low}" if low == high else f"{low} to {high}"


@dataclass(frozen=True, slots=True)
class Need:
    """What to sow for so many good `plants`: `number` of `unit` is enough 9 times in 10 (or as often as was
    asked for), in `goes` sowings of their own; `even` does one time in two.

    `number`, and with it `cells`, `trays` and `seeds`, is None where no number can be relied on. `cells` and
    `trays` (of `tray` cells) are 0 for what is not sown in cells or trays; `seeds` counts them all, the middle
    of a range of seeds a cell. `own` is False where not the kind's own sowings but something else tells how
    many come up; `why` says where everything comes from.
    """

    plants: int
    even: int | None
    number: int | None
    goes: int
    unit: str
    per_cell: str
    cells: int | None
    tray: int
    trays: int | None
    seeds: int | None
    own: bool
    why: str


def need(
    learnt: Learnt,
    crop: str,
    plants: int,
    *,
    per_cell: int | Filling | None = None,
    container: str = "",
    measure: str | None = None,
) -> Need:
    """How many of a crop to sow for so many good plants.

    `per_cell` seeds a cell and the `container` (as a plan names it) are those of the latest sowing when not
    said; so is the `measure`, which a container decides.
    """
    return sized(plants, way(learnt, crop, per_cell=per_cell, held=container, measure=measure))


def sized(plants: int, how: Way, aim: float = AIM) -> Need:
    """The number for a way of sowing, with a chance of `aim`."""
    even = aim == EVEN  # one go does for that, and every answer holds it
    found = ToSow(plants, None, 1, None)
    if not how.hopeless:
        found = to_sow(plants, how.chance, AIM if even else aim)
    number, goes = (found.even, 1) if even else (found.number, found.goes)
    cells = trays = seeds = None
    if number is not None:
        low, high = how.filling
        cells = number if how.cells else 0
        seeds = math.ceil(number * (low + high) / 2) if how.unit == "cells" else number
        trays = goes * -(-(number // goes) // how.tray) if how.tray else 0
    return Need(
        plants, found.even, number, goes, how.unit, how.per_cell if how.cells else "",
        cells, how.tray, trays, seeds, how.own, how.why,
    )  # fmt: skip


def way(
    learnt: Learnt,
    crop: str,
    *,
    per_cell: int | Filling | None = None,
    held: str = "",
    measure: str | None = None,
) -> Way:
    """How a crop is sown and what comes of it: by its own sowings of the measure, else by what else there is."""
    into = _container(learnt, held)
    measure = _measure(into) if into else measure or measure_of(learnt, crop)
    last = _latest(learnt, crop, measure)
    if into is None and last:
        into = last.sowing.container
    key = (fold(crop), measure)
    said = (per_cell, per_cell) if isinstance(per_cell, int) else per_cell
    cells, tray, tray_why = _tray(measure, into)
    b = basis(learnt.figures, key)
    filling = (said if cells else (1, 1)) or (b.filling if b else _filling(last))
    if b and b.filling == filling:
        return Way(b.chance, b.unit, filling, cells, tray, True, _joined(_own_words(b), tray_why))
    return _built(learnt, key, crop, filling, cells, tray, tray_why)


def _built(
    learnt: Learnt, key: Key, crop: str, filling: Filling, cells: bool, tray: int, tray_why: str
) -> Way:
    """From a seed's chance and a seedling's, one after the other; a cell counts once, however many stand in it."""
    up, on = seed_comes_up(learnt, key, crop), seedling_makes_it(learnt, key)
    several = filling[1] > 1
    first = of_cells(up.chance, *filling) if several else up.chance
    return Way(
        chained([first, on.chance]), "cells" if several else "seeds", filling, cells, tray, up.own,
        _joined(*_built_words(up, on), tray_why), up.none_came,
    )  # fmt: skip


def _built_words(up: Told, on: Told) -> list[str]:
    if up.none_came:
        return [up.why, "none of them came up, so no number can be relied on"]
    return [up.why, on.why]


def _own_words(b: Basis) -> str:
    said = f"your own: {counted(b.sowings, 'sowing')}"
    if b.lent:
        said += "; how many of those up make good plants is lent by your other kinds"
    if b.safe:
        said += '; some counts are only "at least", so it is safe rather than right'
    return said


def _joined(*parts: str) -> str:
    return "; ".join(p for p in parts if p)


def _container(learnt: Learnt, held: str) -> Container | None:
    """A plan's container; `direct` is a bed."""
    if not held.strip():
        return None
    if fold(held).startswith(("direct", "straight")):
        return Container("bed", "")
    return container(held, learnt.figures.kept.book.farm.bed_names()) or Container("open", held)


def measure_of(learnt: Learnt, crop: str, held: str = "") -> str:
    """How a kind is begun: as the plan's container `held` has it, else as it was last, else in trays."""
    into = _container(learnt, held)
    last = _latest(learnt, crop, None)
    return _measure(into) if into else last.sowing.measure if last else "up"


def _measure(into: Container) -> str:
    return _MEASURES.get(into.kind, "up")


def _latest(learnt: Learnt, crop: str, measure: str | None) -> SowingFigures | None:
    """The latest sowing of a crop, of one measure where it is said; plants bought in were sown by others."""
    wanted = [
        s for s in learnt.figures.sowings.values()
        if fold(s.sowing.crop) == fold(crop) and s.sowing.measure != "bought in"
        and measure in (None, s.sowing.measure)
    ]  # fmt: skip
    return max(wanted, key=lambda s: s.sowing.sown_on, default=None)


def _filling(last: SowingFigures | None) -> Filling:
    if last and last.sowing.several:
        return last.sowing.low or 1, last.sowing.high or 1
    return 1, 1


def _tray(measure: str, into: Container | None) -> tuple[bool, int, str]:
    """Whether it is sown in cells, the cells of one tray, and what had to be assumed."""
    if measure != "up" or (into and into.kind == "open"):
        return False, 0, ""
    if into and into.kind != "cells":
        return True, 0, ""
    if into and into.size:
        return True, into.size, ""
    return True, _TRAY, f"no tray is named, so trays of {_TRAY}"


@dataclass(frozen=True, slots=True)
class FillingRow:
    """What `per_cell` seeds in each cell of one tray may come to: the share of cells that `stand` (have one or
    more) and its range, in which 9 trays in 10 lie; `seeds` for it, cells left `empty` and seedlings
    `thinned` out (more than one in a cell), all as expected."""

    per_cell: int
    stand: float
    low: float
    high: float
    seeds: int
    empty: float
    thinned: float


@dataclass(frozen=True, slots=True)
class CellFilling:
    """One, two or three seeds a cell, side by side, for a tray of `tray` cells."""

    rows: tuple[FillingRow, ...]
    tray: int
    own: bool
    why: str


def cell_filling(learnt: Learnt, crop: str) -> CellFilling:
    """What one, two and three seeds a cell of a crop may come to in a tray, by the share that comes up."""
    told = seed_comes_up(learnt, (fold(crop), "up"), crop)
    rows = tuple(filling_row(told.chance, k, _TRAY) for k in (1, 2, 3))
    return CellFilling(rows, _TRAY, told.own, told.why)


def filling_row(seed: Chance, k: int, tray: int) -> FillingRow:
    """One row, from the chance of a seed.

    >>> row = filling_row(Chance(0.7, 0.0), 2, 72)
    >>> round(row.stand, 2), row.seeds, round(row.empty, 2)
    (0.91, 144, 6.48)
    """
    cell = of_cells(seed, k, k) if k > 1 else seed
    low, high = (plants_from(tray, cell, aim) / tray for aim in (0.95, 0.05))
    return FillingRow(
        k, cell.mean, low, high, k * tray, tray * (1 - cell.mean), tray * (k * seed.mean - cell.mean)
    )  # fmt: skip


# A sowing is cut out when nothing was cut of it for so many days. common practice, no source
_CUT_OUT_DAYS = 56


@dataclass(frozen=True, slots=True)
class PlantsFor:
    """Plants for so many stems: in the middle, and from `low` (a full year) to `high` (a lean one); None where
    nothing is known, or a year gave nothing. `sowings` are those it rests on, as (code, stems, plants);
    `at_least` where their stems are only "at least", so that fewer plants may do."""

    plants: int | None
    low: int | None
    high: int | None
    own: bool
    why: str
    sowings: tuple[tuple[str, int, int], ...] = ()
    at_least: bool = False


def plants_for(learnt: Learnt, crop: str, stems: int, days: tuple[int, ...] = ()) -> PlantsFor:
    """How many plants for so many good stems: by the farm's own stems a plant, else by the handbook's range.
    `days`, one a sowing, are those in which they are wanted from the first cut on: stems that come later
    don't count. What a handbook's plant gives so soon is not known, so there they make no difference."""
    cut = _cut_out(learnt, crop)
    sure = [s for s in cut if not s.cut.at_least]
    if sure or cut:
        return _own_plants(sure or cut, stems, not sure, days)
    fact = learnt.figures.kept.book.fact(crop)
    if fact is None or fact.stems is None or fact.stems[0] <= 0:
        return PlantsFor(None, None, None, False, "nothing is known of its stems a plant")
    least, most = fact.stems
    said = f"{least:g} to {most:g}" if least < most else f"{least:g}"
    where = "from memory, no source" if fact.memory else "published"
    why = f"{where}, not your own: {said} stems a plant; farms differ by a factor of three"
    middle = math.sqrt(least * most)
    return PlantsFor(
        _plants(stems, middle), _plants(stems, most), _plants(stems, least), False, why
    )


def _cut_out(learnt: Learnt, crop: str) -> list[SowingFigures]:
    """Sowings of a crop whose stems were told and are all cut; how they were begun makes no difference."""
    return [
        s for s in learnt.figures.sowings.values()
        if fold(s.sowing.crop) == fold(crop) and s.sowing.measure != "stand"
        and s.planted and s.cut.stems is not None and s.cut.last
        and (s.account.finished_on or (learnt.as_of - s.cut.last).days > _CUT_OUT_DAYS)
    ]  # fmt: skip


def _own_plants(
    found: list[SowingFigures], stems: int, at_least: bool, days: tuple[int, ...]
) -> PlantsFor:
    seasons: dict[int, list[SowingFigures]] = defaultdict(list)
    for s in found:
        seasons[s.sowing.season].append(s)
    rates = [_rate(x, days) for x in seasons.values()]
    if len(rates) == 1:
        rates = [_rate([s], days) for s in found]
    middle, least, most = _rate(found, days), min(rates), max(rates)
    between = "seasons" if len(seasons) > 1 else "sowings"
    why = f"your own: {counted(len(found), 'sowing')} in {counted(len(seasons), 'season')}, "
    if at_least:
        why += f"at least {middle:.1f} stems a plant: some stems stayed with the crop, so fewer plants may do"
    elif len(rates) == 1:
        why += f"{middle:.1f} stems a plant; one sowing tells no range"
    else:
        why += f"{middle:.1f} stems a plant, {between} from {least:.1f} to {most:.1f}"
    if days:
        span = f"{min(days)} to {max(days)}" if min(days) < max(days) else f"{days[0]}"
        why += f"; what came in the first {span} days of cutting counts, as you want them"
    sowings = tuple((s.code, s.cut.stems or 0, s.planted) for s in found)
    three = (_plants(stems, rate) for rate in (middle, most, least))
    return PlantsFor(*three, True, why, sowings, at_least)


def _rate(found: list[SowingFigures], days: tuple[int, ...]) -> float:
    """Stems a plant over sowings, each cut for so many days; of all its cuts without any."""
    stems = [sum(_stems_in(s, d) for s in found) for d in days or (None,)]
    return sum(stems) / len(stems) / sum(s.planted for s in found)


def _stems_in(s: SowingFigures, days: int | None) -> int:
    """Stems of a sowing in the first days of its cutting; all of them where no days are said."""
    if days is None or s.cut.first is None:
        return s.cut.stems or 0
    until = s.cut.first + dt.timedelta(days=days)
    return sum(h.stems or 0 for h in s.cut.harvests if h.on < until)


def _plants(stems: int, rate: float) -> int | None:
    """None where nothing was ever cut."""
    return math.ceil(stems / rate - 1e-9) if rate > 0 else None
