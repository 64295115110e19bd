"""A kind in a season, one measure at a time; and a season as a whole."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from traybook.ledger.sowings import MEASURES
from traybook.rollup.habits import Key
from traybook.rollup.sowing import SowingFigures
from traybook.rollup.spreads import Spread, Spreads, groups_of
from traybook.rollup.tally import Tally, total
from traybook.stats.proportions import Group, Share, germination
from traybook.text.names import fold


@dataclass(frozen=True, slots=True)
class KindSeason:
    """One kind, one season, one measure: its sowings and their sums. Measures are never pooled."""

    crop: str
    season: int
    measure: str
    sowings: tuple[SowingFigures, ...]
    tally: Tally
    spread: Spread
    share: Share | None

    @property
    def key(self) -> Key:
        """The kind and measure, as spreads and habits are kept by."""
        return fold(self.crop), self.measure

    @property
    def germination(self) -> float | None:
        """What the kind did: emerged by seeds of its settled sowings, or from cells of several seeds by
        the score equation; None where only its lower end is known, or where more came up than the
        middle of a range of seeds a cell."""
        t = self.tally
        if self.share is None or (self.share.value == 1 and t.estimated):
            return None
        if t.estimated:
            return self.share.value
        return t.emerged / t.seeds if t.emerged <= t.seeds else None

    @property
    def groups(self) -> tuple[Group, ...]:
        """The counts that germination rests on."""
        return tuple(groups_of(self.sowings))

    @property
    def first_cut(self) -> dt.date | None:
        """The first day any of it was cut."""
        return min((s.cut.first for s in self.sowings if s.cut.first), default=None)

    @property
    def last_cut(self) -> dt.date | None:
        """The last day any of it was cut."""
        return max((s.cut.last for s in self.sowings if s.cut.last), default=None)


def kind_seasons(figures: Mapping[str, SowingFigures], spreads: Spreads) -> tuple[KindSeason, ...]:
    """Every kind, season and measure, sorted so; each with the spread of the seasons before it."""
    groups: dict[tuple[str, int, str], list[SowingFigures]] = defaultdict(list)
    names: dict[str, str] = {}
    for s in figures.values():
        names.setdefault(fold(s.sowing.crop), s.sowing.crop)
        groups[fold(s.sowing.crop), s.sowing.season, s.sowing.measure].append(s)
    order = sorted(groups, key=lambda k: (k[0], k[1], MEASURES.index(k[2])))
    out = []
    for k in order:
        spread = spreads.before((k[0], k[2]), k[1])
        share = germination(groups_of(groups[k]), spread.rho)
        found = tuple(groups[k])
        out.append(KindSeason(names[k[0]], k[1], k[2], found, total(found), spread, share))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Season:
    """A year: its kinds, and the sum of them by measure."""

    year: int
    kinds: tuple[KindSeason, ...]

    def tally(self, measure: str | None = None) -> Tally:
        """The sum of its kinds, of one measure or of all; germination is never read off all."""
        return sum((k.tally for k in self.kinds if measure in (None, k.measure)), Tally())

    @property
    def measures(self) -> tuple[str, ...]:
        """The measures it holds, in their fixed order."""
        return tuple(m for m in MEASURES if any(k.measure == m for k in self.kinds))


def seasons(kinds: Iterable[KindSeason]) -> tuple[Season, ...]:
    """Every season, the latest first."""
    years: dict[int, list[KindSeason]] = defaultdict(list)
    for k in kinds:
        years[k.season].append(k)
    return tuple(Season(y, tuple(years[y])) for y in sorted(years, reverse=True))
