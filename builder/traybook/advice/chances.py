"""The chance of a seed and of a seedling: the kind's own, else lent by the farm, else a guess that is said
to be one."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from statistics import mean, variance

from traybook.advice.learnt import Learnt
from traybook.advice.seeds import FEWEST, LENT, farms_survival
from traybook.rollup.habits import Key, key_of
from traybook.rollup.sowing import SowingFigures
from traybook.rollup.spreads import survival_of
from traybook.stats.proportions import Group, germination
from traybook.stats.seeds import UNKNOWN, Chance, borrowed, step

# Seedlings that make good plants where nothing is known of it. common practice, no source
_SURVIVE = 0.85
# From so many other kinds on they say what one more may do. common practice, no source
_KINDS = 5


@dataclass(frozen=True, slots=True)
class Told:
    """A chance, whether it is the kind's `own`, and where it comes from in a few words. `none_came` is
    True where it is own and all of it was nothing."""

    chance: Chance
    own: bool
    why: str
    none_came: bool = False


def counted(n: int, one: str) -> str:
    """`1 sowing`, `4 sowings`."""
    return f"{n:,} {one if n == 1 else one + 's'}"


def in_hundred(share: float) -> str:
    """`70 in 100`; never 0 or 100, since it is no count."""
    return f"{min(99, max(1, round(share * 100)))} in 100"


def sowings_of(learnt: Learnt, key: Key) -> list[SowingFigures]:
    """The sowings of a kind and measure, in the order sown."""
    return [s for s in learnt.figures.sowings.values() if key_of(s.account) == key]


def seed_comes_up(learnt: Learnt, key: Key, crop: str) -> Told:
    """The chance that a seed of a sowing still to come comes up (sprouts, stands)."""
    groups = [g for s in sowings_of(learnt, key) if (g := s.group)]
    if sum(g.n for g in groups) >= FEWEST:
        return Told(
            learnt.outlooks.of_kind(key, crop).chance,
            True,
            f"your own: {counted(len(groups), 'sowing')}, {_counts(groups)}",
            none_came=not any(g.y for g in groups),
        )
    lent = _other_kinds(learnt, key, crop)
    if lent:
        chance, kinds = lent
        said = f"nothing of your own yet: reckoned with {in_hundred(chance.mean)}, as your {kinds} other kinds came up"
        return Told(chance, False, said)
    said = f"nothing of your own yet: reckoned with {in_hundred(UNKNOWN.mean)} coming up, which is a guess"
    return Told(UNKNOWN, False, said)


def _counts(groups: list[Group]) -> str:
    """`116 of 144 seeds`; with cells of several seeds among them, about how many in 100."""
    if all(g.high == 1 for g in groups):
        return f"{sum(g.y for g in groups):,} of {sum(g.n for g in groups):,} seeds"
    share = germination(groups)
    assert share is not None
    return f"about {in_hundred(share.value)} seeds, worked out from cells"


def _other_kinds(learnt: Learnt, key: Key, crop: str) -> tuple[Chance, int] | None:
    """What the farm's other kinds did in seasons that are over, each kind as one; those of the same measure
    that need a treatment too, or that don't. With m and s^2 the mean and the variance of n kinds' shares:
    v = s^2 (1 + 1/n)/(m (1 - m)), rho* = v + rho (1 - v). A kind's own luck is in both, so it errs on the
    safe side. None with too few kinds."""
    spreads = learnt.figures.spreads
    fact = learnt.figures.kept.book.fact(crop)
    slow = bool(fact and fact.pre_treatment)
    kinds: dict[Key, list[Group]] = defaultdict(list)
    for s in learnt.figures.sowings.values():
        other = key_of(s.account)
        like = other[1] == key[1] and other != key and (other[0] in spreads.slow) == slow
        if like and s.group and s.sowing.season in spreads.finished:
            kinds[other].append(s.group)
    shares = [
        share.value
        for found in kinds.values()
        if sum(g.n for g in found) >= FEWEST and (share := germination(found))
    ]
    if len(shares) < _KINDS or not 0 < mean(shares) < 1:
        return None
    m, n = mean(shares), len(shares)
    between = min(1.0, variance(shares) * (1 + 1 / n) / (m * (1 - m)))
    rho = spreads.planning(key).rho
    return Chance(m, between + rho * (1 - between)), n


def seedling_makes_it(learnt: Learnt, key: Key) -> Told:
    """The chance that what came up makes a good plant. Where all of the kind's own are written down as
    lost, or as finished and never planted, it isn't known which, so they say nothing."""
    rho = learnt.figures.spreads.survival(key).rho
    own = [c for s in sowings_of(learnt, key) if (c := survival_of(s))]
    good, up = sum(c[0] for c in own), sum(c[1] for c in own)
    if good:
        return Told(step(own, rho), True, f"{good:,} of {up:,} of those made good plants")
    lent = farms_survival(learnt.figures, key[1])
    if lent:
        said = f"how many of them make good plants is lent by your other kinds, {in_hundred(lent)}"
        return Told(borrowed(lent, LENT, rho), False, said)
    said = f"that {in_hundred(_SURVIVE)} of them make good plants is common practice, not yours"
    return Told(borrowed(_SURVIVE, LENT, rho), False, said)
