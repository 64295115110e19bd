"""How far like sowings lie apart beyond chance, and the counts that every pooled share rests on."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from traybook.ledger.keep import Kept
from traybook.rollup.habits import Key, key_of
from traybook.rollup.sowing import SowingFigures
from traybook.stats.proportions import Group
from traybook.stats.spread import Moment, moment, shrunk
from traybook.text.names import fold

#: A guess with no outside source, and said to be one where nothing of the farm's own stands behind it.
ASSUMED = 0.08
#: Plants bought in were picked over by somebody else.
ASSUMED_BOUGHT = 0.01

_Count = tuple[int, int]


def groups_of(sowings: Iterable[SowingFigures]) -> list[Group]:
    """The counts of those that enter germination."""
    return [s.group for s in sowings if s.group]


def survival_of(s: SowingFigures) -> _Count | None:
    """Good plants of those that came up; None unless both are known to the last plant."""
    up = s.up
    if s.good_share is None or s.good is None or not up.emerged or up.estimated or up.at_least:
        return None
    return (s.good, up.emerged) if s.good <= up.emerged else None


@dataclass(frozen=True, slots=True)
class Spread:
    """A spread as used, and how many sowings of the kind, its pool and the farm stand behind it."""

    rho: float
    own: int
    pool: int
    farm: int

    @property
    def assumed(self) -> bool:
        """True while nothing but the guess stands behind it."""
        return not (self.own or self.pool or self.farm)


@dataclass(frozen=True)
class Spreads:
    """Moments by kind and measure, a season at a time, and over all seasons for planning.

    `slow` are the folded crops that need a treatment first: a pool of their own. `finished` are the
    seasons of which every sowing is settled, or that ended over a year ago: what other kinds lend
    comes from these alone, so that a look today changes only its own kind.
    """

    by_season: Mapping[int, Mapping[Key, tuple[Moment, Moment]]]
    plans: Mapping[Key, tuple[Moment, Moment]]
    lent: Mapping[Key, tuple[Moment, Moment]]
    survivals: Mapping[Key, Moment]
    lent_survivals: Mapping[Key, Moment]
    slow: frozenset[str]
    finished: frozenset[int]
    _cache: dict[tuple[str, int, bool], dict[Key, tuple[Moment, Moment]]] = field(
        default_factory=dict
    )
    _pools: dict[tuple[str, int, bool], tuple[Moment, Moment]] = field(default_factory=dict)

    def before(self, key: Key, season: int) -> Spread:
        """For a kind in a season: from seasons before its own."""
        own = _choose(self._earlier(key[1], season, False).get(key))
        pooled = self._pools.get((key[1], season, key[0] in self.slow))
        if pooled is None:
            lent = self._earlier(key[1], season, True)
            pooled = self._lent(lent, key)
            self._pools[key[1], season, key[0] in self.slow] = pooled
        return _used(own, pooled, key[1])

    def planning(self, key: Key) -> Spread:
        """For what is sown next: all seasons of the kind as one group."""
        lent = {k: v for k, v in self.lent.items() if k[1] == key[1]}
        return _used(_choose(self.plans.get(key)), self._lent(lent, key), key[1])

    def survival(self, key: Key) -> Spread:
        """The same for how many of those that came up make good plants."""
        lent = {k: (m, Moment()) for k, m in self.lent_survivals.items() if k[1] == key[1]}
        return _used(self.survivals.get(key, Moment()), self._lent(lent, key), key[1])

    def _lent(self, lent: Mapping[Key, tuple[Moment, Moment]], key: Key) -> tuple[Moment, Moment]:
        slow = key[0] in self.slow
        pool = sum((_choose(m) for k, m in lent.items() if (k[0] in self.slow) == slow), Moment())
        return pool, sum((_choose(m) for m in lent.values()), Moment())

    def _earlier(self, measure: str, season: int, lent: bool) -> dict[Key, tuple[Moment, Moment]]:
        """Sums of seasons before one, by kind; of finished ones only where they are `lent`."""
        name = (measure, season, lent)
        if name not in self._cache:
            out: dict[Key, tuple[Moment, Moment]] = {}
            for year, kinds in self.by_season.items():
                if year >= season or (lent and year not in self.finished):
                    continue
                for key, (seeds, cells) in kinds.items():
                    if key[1] == measure:
                        a, b = out.get(key, (Moment(), Moment()))
                        out[key] = (a + seeds, b + cells)
            self._cache[name] = out
        return self._cache[name]


def _choose(moments: tuple[Moment, Moment] | None) -> Moment:
    """Counts of seeds, else counts of cells of several seeds."""
    if moments is None:
        return Moment()
    seeds, cells = moments
    return seeds if seeds.df else cells


def _used(own: Moment, lent: tuple[Moment, Moment], measure: str) -> Spread:
    pool, farm = lent
    assumed = ASSUMED_BOUGHT if measure == "bought in" else ASSUMED
    return Spread(shrunk(own, pool, farm, assumed), own.df, pool.df, farm.df)


def spreads_of(kept: Kept, sowings: Mapping[str, SowingFigures]) -> Spreads:
    """Work out the moments of a farm."""
    kinds: dict[tuple[Key, int], list[SowingFigures]] = defaultdict(list)
    for s in sowings.values():
        kinds[key_of(s.account), s.sowing.season].append(s)
    by_season: dict[int, dict[Key, tuple[Moment, Moment]]] = defaultdict(dict)
    for (key, season), found in kinds.items():
        by_season[season][key] = _by_variety(found)
    finished = _finished(kept.book.as_of, sowings.values())
    crops = {fold(s.sowing.crop): s.sowing.crop for s in sowings.values()}
    facts = {flat: kept.book.fact(name) for flat, name in crops.items()}
    lasting = [s for s in sowings.values() if s.sowing.season in finished]
    return Spreads(
        by_season=by_season,
        plans=_all_seasons(sowings.values()),
        lent=_all_seasons(lasting),
        survivals=_survivals(sowings.values()),
        lent_survivals=_survivals(lasting),
        slow=frozenset(flat for flat, fact in facts.items() if fact and fact.pre_treatment),
        finished=finished,
    )


def _finished(as_of: dt.date, sowings: Iterable[SowingFigures]) -> frozenset[int]:
    """Seasons of which every sowing is finished or settled, or that ended a year ago."""
    years: dict[int, bool] = defaultdict(lambda: True)
    for s in sowings:
        over = s.account.finished_on is not None or s.up.settled
        years[s.sowing.season] = years[s.sowing.season] and over
    return frozenset(y for y, over in years.items() if over or as_of > dt.date(y + 1, 12, 31))


def _by_variety(sowings: list[SowingFigures]) -> tuple[Moment, Moment]:
    """A kind's season: by variety where all say theirs, else as one; seeds and cells apart."""
    entered = [s for s in sowings if s.group]
    if not all(s.sowing.variety for s in entered):
        return _moments(entered)
    return _moments(entered, lambda s: fold(s.sowing.variety))


def _moments(
    sowings: Iterable[SowingFigures], by: Callable[[SowingFigures], str] = lambda _: ""
) -> tuple[Moment, Moment]:
    """Sums over groups alike in variety and in seeds a cell: (counts of seeds, counts of cells)."""
    groups: dict[tuple[str, float], list[_Count]] = defaultdict(list)
    for s in sowings:
        g = s.group
        if g:
            groups[by(s), (g.low + g.high) / 2].append((g.y, g.n))
    seeds = sum((moment(c) for (_, k), c in groups.items() if k == 1), Moment())
    cells = sum((moment(c, k) for (_, k), c in groups.items() if k > 1), Moment())
    return seeds, cells


def _all_seasons(sowings: Iterable[SowingFigures]) -> dict[Key, tuple[Moment, Moment]]:
    kinds: dict[Key, list[SowingFigures]] = defaultdict(list)
    for s in sowings:
        kinds[key_of(s.account)].append(s)
    return {key: _moments(found) for key, found in kinds.items()}


def _survivals(sowings: Iterable[SowingFigures]) -> dict[Key, Moment]:
    counts: dict[Key, list[_Count]] = defaultdict(list)
    for s in sowings:
        got = survival_of(s)
        if got:
            counts[key_of(s.account)].append(got)
    return {key: moment(found) for key, found in counts.items()}
