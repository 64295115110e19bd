"""What came through winter: plants alive at the first count after it, of those planted before it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from traybook.ledger.model import Planting
from traybook.rollup.farm import FarmFigures
from traybook.rollup.handled import beds_of, done_to, stood
from traybook.rollup.sowing import SowingFigures
from traybook.stats.proportions import Share, wilson
from traybook.text.names import fold

# Month in which winter is over, and that before whose first day a crop that was only meant for the
# autumn is gone. common practice, no source
_OVER = {False: 2, True: 8}
_SETS_IN = {False: 12, True: 6}
# Planted from this month on it has the winter before it.
_AFTER = {False: 9, True: 3}


@dataclass(frozen=True, slots=True)
class Wintered:
    """A sowing's plantings that stood when winter came. `alive` of `planted` were alive on `counted`,
    the first such count after winter; None where nobody counted, and then `planted` is all that
    went in. `about`: a direct sowing's rows, by lengths of row."""

    sowing: SowingFigures
    over: dt.date
    planted_on: dt.date
    planted: int
    alive: int | None
    counted: dt.date | None
    about: bool
    cover: str

    @property
    def share(self) -> Share | None:
        """Alive of planted with Wilson's interval for this sowing's own counts; None where not counted,
        or only about so many."""
        if self.alive is None or self.about:
            return None
        return wilson(self.alive, self.planted)


def winter_over(on: dt.date, south: bool) -> dt.date:
    """The first 1 February (south of the equator 1 August) after a day.

    >>> winter_over(dt.date(2025, 10, 4), False), winter_over(dt.date(2026, 4, 1), True)
    (datetime.date(2026, 2, 1), datetime.date(2026, 8, 1))
    """
    this = dt.date(on.year, _OVER[south], 1)
    return this if on < this else dt.date(on.year + 1, _OVER[south], 1)


def wintered(figures: FarmFigures) -> tuple[Wintered, ...]:
    """Every sowing that stood planted when a winter that is over set in: by kind, the latest first."""
    done = done_to(figures)
    out = []
    for s in figures.sowings.values():
        got = _one(s, figures)
        if got:
            covered = [d.event for d in done.get(s.code, ()) if d.way == "covered"
                       and got.planted_on <= d.on < got.over]  # fmt: skip
            words = [next((c.text for c in e.said if c.text), "covered") for e in covered]
            out.append((s, *got.parts, _cover(words, s, figures)))
    found = [Wintered(*x) for x in out]
    return tuple(
        sorted(found, key=lambda w: (fold(w.sowing.sowing.crop), -w.over.year, w.planted_on))
    )


@dataclass(frozen=True, slots=True)
class _Counts:
    over: dt.date
    planted_on: dt.date
    planted: int
    alive: int | None
    counted: dt.date | None
    about: bool

    @property
    def parts(self) -> tuple[dt.date, dt.date, int, int | None, dt.date | None, bool]:
        return (self.over, self.planted_on, self.planted, self.alive, self.counted, self.about)


def _one(s: SowingFigures, figures: FarmFigures) -> _Counts | None:
    book = figures.kept.book
    south, season = book.farm.south, s.sowing.season
    if s.sowing.measure == "stand" and not s.account.plantings:
        return _rows(s, book.as_of, south) if _before(s.sowing.sown_on, season, south) else None
    mine = [p for p in s.account.plantings if _before(p.on, season, south)]
    if not mine:
        return None
    over = winter_over(mine[0].on, south)
    mine = [p for p in mine if winter_over(p.on, south) == over]
    if over > book.as_of or not _went_in(s, over, south):
        return None
    counts = [(p, c) for p in mine if (c := _counted(s, p, over))]
    if not counts:
        return _Counts(over, mine[0].on, sum(p.plants for p in mine), None, None, False)
    return _Counts(
        over,
        mine[0].on,
        sum(s.account.stands[p.stand].entered for p, _ in counts),
        sum(n for _, (_, n) in counts),
        max(on for _, (on, _) in counts),
        False,
    )


def _before(on: dt.date, season: int, south: bool) -> bool:
    """Planted before winter: in the year before its season, or from September on; south of the equator
    from March to July."""
    if south:
        return _AFTER[True] <= on.month < _OVER[True]
    return on.year < season or on.month >= _AFTER[False]


def _went_in(s: SowingFigures, over: dt.date, south: bool) -> bool:
    """It still stood when winter set in."""
    year = over.year if south else over.year - 1
    return stood(s, dt.date(year, _SETS_IN[south], 1))


def _counted(s: SowingFigures, p: Planting, over: dt.date) -> tuple[dt.date, int] | None:
    """The first count of plants alive where it was planted, after winter and of that season."""
    name = s.account.stands[p.stand].name
    until = dt.date(over.year + 1, over.month, over.day)
    found = [
        (c.on, c.alive)
        for c in s.account.checks
        if c.stand == name and c.alive is not None and over <= c.on < until
    ]
    return min(found, default=None)


def _rows(s: SowingFigures, as_of: dt.date, south: bool) -> _Counts | None:
    """About how many of a direct sowing's rows came through, by lengths of row before and after."""
    over = winter_over(s.sowing.sown_on, south)
    if over > as_of or not _went_in(s, over, south):
        return None
    before = [n for on, n in s.account.row_plants if on < over]
    after = [(on, n) for on, n in s.account.row_plants if on >= over]
    if not before:
        return None
    if not after:
        return _Counts(over, s.sowing.sown_on, round(before[-1]), None, None, True)
    return _Counts(over, s.sowing.sown_on, round(before[-1]), round(after[0][1]), after[0][0], True)


def _cover(covered: list[str], s: SowingFigures, figures: FarmFigures) -> str:
    """Under what it stood: what was written, else what kind of bed farm.yaml says it is."""
    kinds = []
    for name, facts in figures.kept.book.farm.beds.items():
        if fold(name) in beds_of(s):
            kinds += [v for k, v in facts.items() if fold(k) == "kind" and fold(v) != "field"]
    return ", ".join(dict.fromkeys((*covered, *kinds)))
