"""Ranges for trays under way and numbers to sow on invented farms, set against what then came."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.random import Generator

from tally import Tally
from traybook.advice.seeds import to_sow
from traybook.stats.expect import Expectation
from traybook.stats.habit import Habit, habit, habit_from_range, half_for_habit, shape
from traybook.stats.seeds import UNKNOWN, chained, step
from traybook.stats.speed import reached
from traybook.stats.spread import Moment, moment, shrunk
from truths import (
    GROUPS,
    SIZES,
    SPREADS,
    TOLD,
    Count,
    Kind,
    chances,
    counted,
    kind,
    kinds,
    sown,
)

PHASES = ("before half are up", "about then", "later, some to come")
HISTORIES = (0, 1, 2, 4)
MOST_HISTORIES = 8
#: From half of them up to this many times as long is "about then".
ABOUT = 1.4
#: Twice the day by which nine tenths are up.
GIVEN_UP = 2.6
#: One tray in 25 fails wholly. common practice, no source
FAILED = 0.04
#: With fewer that came up a half day says little of the kind.
FEWEST_UP = 5

#: So many farms lend their spreads, drawn by lot.
LENDERS = 16
#: Rows of late looks after which nothing more came: shown, not judged. The count as it stood was right
#: then, and a range can't begin above it nor be narrower than it.
NONE_CAME = ", none came after"

EASE = ("easy kinds", "hard kinds")
EARLIER = (1, 2, 4, 8)
PLANTS = 50
FUTURES = 40
#: How far sowings differ in how many of those up make good plants.
SURVIVAL = 0.04


@dataclass(frozen=True, slots=True)
class Lent:
    """What the other kinds of a farm lend to one: moments of its pool and of the farm."""

    plain: Moment
    slow: Moment

    def used(self, counts: Sequence[Count], slow: bool = False) -> float:
        """The spread for planning, the kind's own sowings of all years being one group."""
        return shrunk(moment(counts), self.slow if slow else self.plain, self.plain + self.slow)


def lent(rng: Generator, spread: str) -> Lent:
    """A farm that has sown each of its kinds 2 to 8 times."""
    found = {False: Moment(), True: Moment()}
    for k in kinds(rng, spread):
        found[k.slow] += moment(sown(rng, k.share, k.rho, int(rng.integers(2, 9))))
    return Lent(found[False], found[True])


def lent_survival(rng: Generator) -> Lent:
    """The same of how many of those up make good plants."""
    found = Moment()
    for _ in range(20):
        found += moment(sown(rng, rng.uniform(0.75, 0.97), SURVIVAL, int(rng.integers(2, 9))))
    return Lent(found, Moment())


@dataclass(frozen=True, slots=True)
class Pace:
    """What is true of a kind's days: log of its half day, by how much a sowing's lies from it and a
    seed's from its sowing's; and the days its packet says."""

    middle: float
    sowing: float
    seed: float
    packet: tuple[float, float]


def pace(rng: Generator) -> Pace:
    """A kind that takes about 12 days to half; nine in ten such kinds lie within their packet's days."""
    packet, wide = rng.normal(np.log(12), 0.4), rng.uniform(0.5, 1.1)
    middle = packet + wide / 3.29 * rng.normal()
    days = (float(np.exp(packet - wide / 2)), float(np.exp(packet + wide / 2)))
    return Pace(middle, rng.uniform(0.15, 0.3), rng.uniform(0.15, 0.33), days)


@dataclass(frozen=True, slots=True)
class Tray:
    """One tray: seeds, its looks (day, up so far), what came in the end, its true half day."""

    seeds: int
    looks: list[Count]
    final: int
    half: float


def tray(rng: Generator, k: Kind, p: Pace, sound: bool = True) -> Tray:
    """A tray looked at every two to five days until it would be given up."""
    n, half = int(rng.choice(SIZES)), float(np.exp(rng.normal(p.middle, p.sowing)))
    share = chances(rng, k.share, k.rho, 1)[0] if sound else 0.0
    days = np.exp(rng.normal(np.log(half), p.seed, rng.binomial(n, share)))
    looks, day = [], 0
    while day < GIVEN_UP * half:
        day += int(rng.integers(2, 6))
        looks.append((day, int((days <= day).sum())))
    return Tray(n, looks, len(days), half)


def known(earlier: Sequence[Tray], p: Pace) -> Habit:
    """The habit of a kind from its earlier trays, else from its packet's days."""
    halves, shapes = [], []
    for t in earlier:
        half = reached(t.looks, 0.5)
        if half is None or t.looks[-1][1] < FEWEST_UP:
            continue
        halves.append(half_for_habit(half.after, half.by, half.point))
        ten, ninety = reached(t.looks, 0.1), reached(t.looks, 0.9)
        if ten and ninety and ten.point is not None and ninety.point is not None:
            shapes.append(shape(ten.point, ninety.point))
    if not halves:
        return habit_from_range(*p.packet)
    return habit(halves, [b for b in shapes if b is not None])


def no_ranges() -> dict[str, Tally]:
    """A tally for each phase."""
    title = "90 % range of the final count, "
    return {p: Tally(title + p, "90", "earlier sowings", tuple(SPREADS)) for p in PHASES}


def ranges(rng: Generator, spread: str, rounds: int, out: dict[str, Tally]) -> None:
    """Ranges of the final count at every look."""
    lenders = [lent(rng, spread) for _ in range(LENDERS)]
    for histories in HISTORIES:
        for i in range(rounds):
            k, p = kind(rng, spread, i % len(GROUPS)), pace(rng)
            other = lenders[rng.integers(LENDERS)]
            times = int(rng.integers(4, MOST_HISTORIES + 1)) if histories == 4 else histories
            earlier = [tray(rng, k, p) for _ in range(times)]
            counts = [(t.looks[-1][1], t.seeds) for t in earlier]
            chance = step(counts, other.used(counts, k.slow), 0.7) if counts else UNKNOWN
            now = tray(rng, k, p, sound=rng.random() >= FAILED)
            _looked_at(Expectation(known(earlier, p), chance), now, spread, histories, out)


def _looked_at(
    ahead: Expectation, now: Tray, row: str, histories: int, out: dict[str, Tally]
) -> None:
    for (day, up), got in zip(now.looks, ahead.finals(now.seeds, now.looks), strict=True):
        if up >= now.seeds:
            continue  # all are up: nothing was foretold
        phase = PHASES[(day >= now.half) + (day >= ABOUT * now.half)]
        held = got.low <= now.final <= got.high
        over = phase == PHASES[2] and up == now.final
        out[phase].note(
            row + NONE_CAME if over else row, histories, held, (got.high - got.low) / now.seeds
        )


def no_seeds() -> dict[str, Tally]:
    """A tally for easy and one for hard kinds."""
    title = "seeds to sow were enough, "
    return {e: Tally(title + e, "sow", "earlier sowings", tuple(SPREADS)) for e in EASE}


def seeds(rng: Generator, spread: str, trials: int, out: dict[str, Tally]) -> None:
    """Seeds for fifty good plants, 9 times in 10, by coming up and surviving one after the other.

    The width is seeds for a plant. Where no number is given, nothing is noted.
    """
    lenders = [(lent(rng, spread), lent_survival(rng)) for _ in range(LENDERS)]
    mixed = SPREADS[spread] is None
    for ease, earlier, i in product(EASE, EARLIER, range(trials)):
        k = _of_ease(rng, spread, ease, i)
        one = lenders[rng.integers(LENDERS)]
        for lender in (one, None) if mixed else (one,):
            held = _sown_again(rng, k, earlier, lender)
            if held:
                out[ease].note(spread if lender else spread + TOLD, earlier, *held)


def _of_ease(rng: Generator, spread: str, ease: str, i: int) -> Kind:
    """A kind of .70 to .95, or one of .30 to .65; on a mixed farm with the spread of its group."""
    hard = ease == EASE[1]
    group = 3 + i % 2 if hard else i % 3
    share = rng.uniform(*((0.3, 0.65) if hard else (0.7, 0.95)))
    return Kind(float(share), kind(rng, spread, group).rho, hard)


def _sown_again(
    rng: Generator, k: Kind, earlier: int, lender: tuple[Lent, Lent] | None
) -> tuple[float, float] | None:
    """(share of futures with enough plants, seeds for a plant); None where no number is given.

    Without a lender the true spreads are used.
    """
    survive = float(rng.uniform(0.75, 0.97))
    ups = sown(rng, k.share, k.rho, earlier)
    left = [y for y, _ in ups if y]
    on = counted(rng, left, chances(rng, survive, SURVIVAL, len(left)))
    rho = lender[0].used(ups, k.slow) if lender else k.rho
    then = lender[1].used(on) if lender else SURVIVAL
    got = to_sow(PLANTS, chained([step(ups, rho), step(on, then)]))
    if got.number is None:
        return None
    plants = np.zeros(FUTURES, dtype=int)
    for go in range(got.goes):
        size = got.number // got.goes + (go < got.number % got.goes)
        both = chances(rng, k.share, k.rho, FUTURES) * chances(rng, survive, SURVIVAL, FUTURES)
        plants += rng.binomial(size, both)
    return float((plants >= PLANTS).mean()), got.number / PLANTS
