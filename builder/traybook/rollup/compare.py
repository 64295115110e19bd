"""Like set beside like: a kind's years, and one part of the recipe against another, in strata."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import fmean, median

from traybook.rollup.kind import KindSeason
from traybook.rollup.recipe import PARTS, TIME, Changed, Recipe, apart_from, differing
from traybook.rollup.sowing import SowingFigures
from traybook.rollup.spreads import groups_of
from traybook.stats.difference import (
    Arm,
    Difference,
    difference,
    stratified,
    verdict,
)
from traybook.stats.proportions import Group, Share, design_effect, germination
from traybook.text.names import fold


@dataclass(frozen=True, slots=True)
class YearPair:
    """A kind in a season beside an earlier one, both with the spread of seasons before the later:
    the difference (later minus earlier), its verdict, and what was done otherwise. `days` are by how
    much later half of them were up, at least and at most (negative: earlier); None where either season
    has no half day."""

    now: KindSeason
    then: KindSeason
    difference: Difference
    verdict: str
    changed: tuple[Changed, ...]
    days: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Side:
    """One arm of a comparison: its word, its sowings and their counts."""

    word: str
    codes: tuple[str, ...]
    seeds: int
    emerged: int


@dataclass(frozen=True, slots=True)
class Comparison:
    """One part of the recipe done in two ways, like compared with like.

    `crops` are the kinds and `strata` how many seasons and varieties of them it was compared within;
    `also` the other parts that differed, so that neither may be credited.
    """

    part: str
    measure: str
    one: Side
    other: Side
    crops: tuple[str, ...]
    strata: int
    difference: Difference
    verdict: str
    also: tuple[str, ...]


def year_pair(now: KindSeason, then: KindSeason, recipes: Mapping[str, Recipe]) -> YearPair | None:
    """Set two seasons of a kind beside one another; None where either has no germination.

    The measures must be the same: they count different things.
    """
    if now.measure != then.measure:
        raise ValueError(f"{now.measure} and {then.measure} are not compared")
    if now.germination is None or then.germination is None:
        return None
    one = germination(now.groups, now.spread.rho)
    two = germination(then.groups, now.spread.rho)
    if one is None or two is None:
        return None
    apart = difference(one, two)
    changed = differing(_recipes(now.sowings, recipes), _recipes(then.sowings, recipes))
    return YearPair(now, then, apart, verdict(apart), changed, _days_later(now, then))


def _days_later(now: KindSeason, then: KindSeason) -> tuple[float, float] | None:
    """(a1 - b2, b1 - a2) of the gaps between looks in which half were reached, the middle ones of each."""
    one, two = _half_gap(now), _half_gap(then)
    return (one[0] - two[1], one[1] - two[0]) if one and two else None


def _half_gap(k: KindSeason) -> tuple[float, float] | None:
    halves = [s.up.half for s in k.sowings if s.group and s.up.half]
    if not halves:
        return None
    return median(h.after for h in halves), median(h.by for h in halves)


def year_pairs(kinds: Iterable[KindSeason], recipes: Mapping[str, Recipe]) -> tuple[YearPair, ...]:
    """Each season of each kind beside the one before it that it was counted in."""
    by_key: dict[tuple[str, str], list[KindSeason]] = defaultdict(list)
    for k in kinds:
        if k.germination is not None:
            by_key[k.key].append(k)
    pairs = (
        year_pair(now, then, recipes) for found in by_key.values() for then, now in pairwise(found)
    )
    return tuple(p for p in pairs if p)


def _recipes(sowings: Iterable[SowingFigures], recipes: Mapping[str, Recipe]) -> list[Recipe]:
    return [recipes[s.code] for s in sowings if s.group]


def by_luck(comparisons: int) -> float:
    """How many of so many comparisons look clear though nothing differs, one in twenty."""
    return comparisons * 0.05


Sown = tuple[SowingFigures, Recipe]


@dataclass(frozen=True, slots=True)
class Stratum:
    """Sowings alike in kind, season, measure and variety, with the spread that holds for them."""

    crop: str
    rho: float
    sowings: tuple[Sown, ...]


def strata_of(kinds: Iterable[KindSeason], recipes: Mapping[str, Recipe]) -> tuple[Stratum, ...]:
    """All strata of kinds of one measure, those that entered germination only, with their recipes."""
    out = []
    for k in kinds:
        groups: dict[str, list[Sown]] = defaultdict(list)
        for s in k.sowings:
            if s.group:
                groups[fold(s.sowing.variety)].append((s, recipes[s.code]))
        out += [Stratum(k.crop, k.spread.rho, tuple(v)) for v in groups.values()]
    return tuple(out)


def comparisons(
    kinds: Sequence[KindSeason], recipes: Mapping[str, Recipe], parts: Sequence[str] = PARTS
) -> tuple[Comparison, ...]:
    """Every part that was done in more than one way within a stratum: its commonest word against each
    other. `kinds` are of one measure."""
    strata = strata_of(kinds, recipes)
    out = []
    for part in parts:
        words = Counter(w for t in strata for _, r in t.sowings if (w := r.parts[part]))
        if len(words) < 2:
            continue
        mixed = [t for t in strata if len({r.parts[part] for _, r in t.sowings}) > 1]
        first, *others = (w for w, _ in sorted(words.items(), key=lambda w: (-w[1], w[0])))
        for other in others:
            found = compare(part, (first, other), mixed)
            if found:
                out.append(found)
    return tuple(out)


def compare(part: str, two: tuple[str, str], strata: Iterable[Stratum]) -> Comparison | None:
    """One word of a part against another, within the strata that hold both; None where none does."""
    both = [(t, held) for t in strata if all(held := _held(t, part, two))]
    if not both:
        return None
    alike = fmean(t.rho for t, _ in both)
    arms, sides, crops, also = [], ([], []), [], set()
    measure = ""
    for t, held in both:
        pair = [_arm(groups_of(s for s, _ in found), t.rho, alike) for found in held]
        if None in pair:
            continue
        arms.append((pair[0], pair[1]))
        crops.append(t.crop)
        measure = held[0][0][0].sowing.measure
        for side, found in zip(sides, held, strict=True):
            side.extend(s for s, _ in found)
        changed = differing(*([r for _, r in found] for found in held))
        also |= {c.part for c in apart_from(part, changed)}
    apart = stratified(arms)
    if apart is None:
        return None
    one, other = (_side(w, found) for w, found in zip(two, sides, strict=True))
    order = tuple(dict.fromkeys(crops))
    known = tuple(p for p in (*PARTS, TIME) if p in also)
    return Comparison(part, measure, one, other, order, len(arms), apart, verdict(apart), known)


def _held(t: Stratum, part: str, two: tuple[str, str]) -> tuple[list[Sown], ...]:
    return tuple([x for x in t.sowings if x[1].parts[part] == w] for w in two)


def _arm(groups: Sequence[Group], rho: float, alike: float) -> Arm | None:
    """One side of a stratum. What it weighs goes by a spread that all strata share: by its own, those
    whose sowings happened to lie close would weigh most, and too much would look clear."""
    share: Share | None = germination(groups, rho)
    if share is None:
        return None
    sizes = [g.n for g in groups]
    return Arm(share, sum(sizes) / design_effect(sizes, alike))


def _side(word: str, sowings: Sequence[SowingFigures]) -> Side:
    return Side(
        word,
        tuple(s.code for s in sowings),
        sum(s.sowing.seeds or 0 for s in sowings),
        sum(min(s.up.emerged or 0, s.sowing.seeds or 0) for s in sowings),
    )
