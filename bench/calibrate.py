"""How often the tool's intervals hold, on invented farms. `make calibrate` prints the tables and says what
passed; with WRITE=1 it writes them into the manual.

Everything that is judged comes from the package itself; only the truths are made up here: the chance of a
sowing is beta about its kind's, counts are binomial, days are lognormal.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from traybook.stats.difference import CLEAR, Arm, difference, stratified, verdict
from traybook.stats.expect import Expectation
from traybook.stats.habit import habit, habit_from_range, half_for_habit, shape
from traybook.stats.proportions import Group, design_effect, germination, wilson
from traybook.stats.seeds import UNKNOWN, chained, seeds_for, step
from traybook.stats.speed import reached
from traybook.stats.spread import Moment, moment, shrunk

SEED = 20261125
SPREADS: dict[str, float | None] = {"0": 0.0, ".02": 0.02, ".05": 0.05, ".1": 0.1, "mixed": None}
SOWINGS = (1, 2, 3, 4)
KINDS = 25
SIZES = (50, 72, 72, 128)
FIRST = "first season"


@dataclass
class Tally:
    """How often something held, how wide it was, in cells of (spread, sowings)."""

    held: dict[tuple[str, int], list[bool]] = field(default_factory=lambda: defaultdict(list))
    width: dict[tuple[str, int], list[float]] = field(default_factory=lambda: defaultdict(list))

    def note(self, spread: str, sowings: int, ok: bool, width: float) -> None:
        """One interval."""
        self.held[spread, sowings].append(bool(ok))
        self.width[spread, sowings].append(width)

    def cell(self, spread: str, sowings: int) -> tuple[float, float] | None:
        """(share that held, mean width); None where nothing was noted."""
        got = self.held.get((spread, sowings))
        return (float(np.mean(got)), float(np.mean(self.width[spread, sowings]))) if got else None

    def average(self, spread: str) -> float | None:
        """The mean over all numbers of sowings."""
        got = [x for (s, _), xs in self.held.items() if s == spread for x in xs]
        return float(np.mean(got)) if got else None

    @property
    def spreads(self) -> list[str]:
        """The rows there are, in order."""
        return [s for s in (*SPREADS, FIRST) if self.average(s) is not None]


def truth(rng: np.random.Generator, spread: float | None) -> float:
    """A kind's spread; mixed ones lie between easy and hard kinds."""
    return float(rng.choice([0.02, 0.04, 0.06, 0.10, 0.15])) if spread is None else spread


def chances(rng: np.random.Generator, p: float, rho: float, n: int) -> np.ndarray:
    """Chances of n sowings about a kind's."""
    if rho <= 0:
        return np.full(n, p)
    return rng.beta(p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho, n)


def used(kind: Moment, farm: Moment) -> float:
    """The spread as the pages use it, all kinds in one pool."""
    return shrunk(kind, farm, farm)


def farms(rng: np.random.Generator, rounds: int, ignore: bool = False) -> dict[str, Tally]:
    """Shares, differences and strata of farms over four seasons, their spreads from earlier ones only."""
    out = {name: Tally() for name in ("sowing", "kind", "difference", "strata")}
    for name, spread in SPREADS.items():
        for k in SOWINGS:
            for _ in range(rounds):
                _farm(rng, name, spread, k, out, ignore)
    return out


def _farm(
    rng: np.random.Generator,
    name: str,
    spread: float | None,
    k: int,
    out: dict[str, Tally],
    ignore: bool,
) -> None:
    rhos = [truth(rng, spread) for _ in range(KINDS)]
    middles = rng.uniform(0.35, 0.95, KINDS)
    own = [Moment()] * KINDS
    farm = Moment()
    before: list[tuple[list[tuple[int, int]], float] | None] = [None] * KINDS
    for season in range(4):
        new = []
        for i in range(KINDS):
            p = float(np.clip(middles[i] + rng.normal(0, 0.05), 0.05, 0.98))
            sizes = rng.choice(SIZES, k)
            ps = chances(rng, p, rhos[i], k)
            counts = [(int(y), int(n)) for y, n in zip(rng.binomial(sizes, ps), sizes, strict=True)]
            rho = 0.0 if ignore else used(own[i], farm)
            row = name if season else FIRST
            _sowings(counts, ps, name, k, out["sowing"])
            got = germination([Group(n, y) for y, n in counts], rho)
            out["kind"].note(row, k, got.low <= p <= got.high, got.high - got.low)
            held = before[i]
            if held:
                old = germination([Group(n, y) for y, n in held[0]], rho)
                d = difference(got, old)
                true = p - held[1]
                out["difference"].note(name, k, d.low <= true <= d.high, d.high - d.low)
            before[i] = (counts, p)
            new.append(moment(counts))
            if i < 12 and season:
                _strata(rng, p, rhos[i], rho, k, name, out["strata"])
        own = [a + b for a, b in zip(own, new, strict=True)]
        farm = sum(own, Moment())


def _sowings(counts: list[tuple[int, int]], ps: np.ndarray, name: str, k: int, out: Tally) -> None:
    for (y, n), p in zip(counts, ps, strict=True):
        own = wilson(y, n)
        out.note(name, k, own.low <= p <= own.high, own.high - own.low)


def _strata(
    rng: np.random.Generator, p: float, true: float, rho: float, k: int, name: str, out: Tally
) -> None:
    """Three seasons, in each k sowings of two ways that lie .1 apart."""
    pairs, gap = [], 0.1 if p > 0.5 else -0.1
    for _ in range(3):
        base = float(np.clip(p + rng.normal(0, 0.05), 0.15, 0.95))
        arms = []
        for share in (base, base - gap):
            ps = chances(rng, share, true, k)
            groups = [Group(72, int(y)) for y in rng.binomial(72, ps)]
            sizes = [72] * k
            arms.append(Arm(germination(groups, rho), sum(sizes) / design_effect(sizes, rho)))
        pairs.append((arms[0], arms[1]))
    d = stratified(pairs)
    out.note(name, k, d.low <= gap <= d.high, d.high - d.low)


def cells(rng: np.random.Generator, rounds: int, ignore: bool = False) -> Tally:
    """A kind's share from trays of two seeds a cell, every other farm with one of seeds among them; the
    spread as a farm of two earlier seasons would have it."""
    out = Tally()
    for name, spread in SPREADS.items():
        for k in SOWINGS:
            for r in range(rounds):
                rho = truth(rng, spread)
                earlier = [
                    (float(rng.uniform(0.4, 0.95)), truth(rng, spread)) for _ in range(2 * KINDS)
                ]
                learnt = sum(
                    (moment([(int(y), 72) for y in rng.binomial(72, chances(rng, p, t, max(2, k)))])
                     for p, t in earlier), Moment()
                )  # fmt: skip
                p = float(rng.uniform(0.35, 0.9))
                groups = []
                for j, share in enumerate(chances(rng, p, rho, k)):
                    if j == 0 and r % 2 and k > 1:
                        groups.append(Group(72, int(rng.binomial(72, share))))
                    else:
                        groups.append(Group(72, int(rng.binomial(72, 1 - (1 - share) ** 2)), 2, 2))
                got = germination(groups, 0.0 if ignore else used(Moment(), learnt))
                out.note(name, k, got.low <= p <= got.high, got.high - got.low)
    return out


HISTORIES = (0, 1, 2, 4)
PHASES = ("before half", "about half", "later")


def ranges(rng: np.random.Generator, sowings: int) -> dict[str, Tally]:
    """Ranges of the final count at every look that leaves something open, by phase; columns are earlier
    sowings of the kind."""
    out = {phase: Tally() for phase in PHASES}
    for histories in HISTORIES:
        for _ in range(sowings):
            mu, wide, sd = rng.normal(np.log(12), 0.4), 0.22, rng.uniform(0.2, 0.35)
            p, rho = float(rng.uniform(0.5, 0.92)), 0.06
            earlier = [_tray(rng, mu, wide, sd, p, rho)[:2] for _ in range(histories)]
            n, looks, final, half = _tray(rng, mu, wide, sd, p, rho)
            ahead = _expectation(earlier, mu)
            for (day, _), got in zip(looks, ahead.finals(n, looks), strict=True):
                if got.low == got.high:
                    continue  # nothing is left to be told
                phase = PHASES[0] if day < half else PHASES[1] if day < 1.4 * half else PHASES[2]
                out[phase].note(
                    "mixed", histories, got.low <= final <= got.high, (got.high - got.low) / n
                )
    return out


def _tray(
    rng: np.random.Generator, mu: float, wide: float, sd: float, p: float, rho: float
) -> tuple[int, list[tuple[float, int]], int, float]:
    """Seeds, looks, the final count and the half day of one tray."""
    n, half = int(rng.choice(SIZES)), float(np.exp(mu + rng.normal(0, wide)))
    up = rng.random(n) < chances(rng, p, rho, 1)[0]
    days = np.sort(np.exp(np.log(half) + rng.normal(0, sd, n))[up])
    looks, day = [], 0.0
    while day < 3 * half:
        day += float(rng.integers(2, 6))
        looks.append((day, int((days <= day).sum())))
    return n, looks, int(up.sum()), half


def _expectation(earlier: list[tuple[int, list[tuple[float, int]]]], mu: float) -> Expectation:
    if not earlier:
        return Expectation(habit_from_range(np.exp(mu - 0.35), np.exp(mu + 0.35)), UNKNOWN)
    halves, shapes = [], []
    for _, looks in earlier:
        got = reached(looks, 0.5)
        if got is None or looks[-1][1] < 5:
            continue
        halves.append(half_for_habit(got.after, got.by, got.point))
        ten, ninety = reached(looks, 0.1), reached(looks, 0.9)
        both = ten.point is not None and ninety.point is not None
        b = shape(ten.point, ninety.point) if both else None
        shapes += [b] if b else []
    counts = [(looks[-1][1], n) for n, looks in earlier]
    known = (
        habit(halves, shapes) if halves else habit_from_range(np.exp(mu - 0.35), np.exp(mu + 0.35))
    )
    return Expectation(known, step(counts, used(moment(counts), Moment()), 0.7))


EARLIER = (1, 2, 4, 8)


def to_sow(rng: np.random.Generator, trials: int, futures: int = 20) -> dict[str, Tally]:
    """Seeds for 50 plants, 9 times in 10: how often a new sowing of that many gave them; by coming up and
    surviving one after the other. Columns are earlier sowings of the kind."""
    out = {"easy kinds": Tally(), "hard kinds": Tally()}
    for name, (low, high), rho in (
        ("easy kinds", (0.7, 0.95), 0.05),
        ("hard kinds", (0.3, 0.7), 0.12),
    ):
        for earlier in EARLIER:
            for _ in range(trials):
                p, on = float(rng.uniform(low, high)), float(rng.uniform(0.75, 0.97))
                ups = [(int(rng.binomial(72, x)), 72) for x in chances(rng, p, rho, earlier)]
                goods = [(int(rng.binomial(u, s)), u)
                         for (u, _), s in zip(ups, chances(rng, on, 0.04, earlier), strict=True) if u]  # fmt: skip
                spread = used(moment(ups), Moment())
                after = step(goods, used(moment(goods), Moment())) if goods else UNKNOWN
                n = seeds_for(50, chained([step(ups, spread), after]), 0.9)
                if n is None:
                    continue
                ps = chances(rng, p, rho, futures) * chances(rng, on, 0.04, futures)
                for got in rng.binomial(n, ps):
                    out[name].note("mixed", earlier, got >= 50, n / 50)
    return out


OTHERS = (0.7, 0.6, 0.5, 0.4, 0.8)


def power(rng: np.random.Generator, draws: int) -> dict[int, list[float]]:
    """How often a share of .80 is told clearly from another, with so many sowings of 72 on each side and
    a spread of .06; the last is no difference at all."""
    out = {}
    for k in (1, 2, 4, 6):
        row = []
        for other in OTHERS:
            clear = 0
            for _ in range(draws):
                one, two = (
                    germination(
                        [Group(72, int(y)) for y in rng.binomial(72, chances(rng, p, 0.06, k))],
                        0.06,
                    )
                    for p in (0.8, other)
                )
                clear += verdict(difference(one, two)) == CLEAR
            row.append(clear / draws)
        out[k] = row
    return out


def judged(results: dict[str, Tally]) -> Iterator[tuple[str, bool]]:
    """Every criterion in words, and whether it was met."""
    for name, tally in results.items():
        low, high = _bounds(name)
        for spread in tally.spreads:
            got = tally.average(spread)
            if spread == FIRST:
                continue
            top = 0.99 if spread == "0" else high
            yield (
                f"{name}, spread {spread}: {got:.3f} lies in {low:.2f}-{top:.2f}",
                low <= got <= top,
            )
        worst = min(
            c[0] for s in tally.spreads if s != FIRST for k in range(9) if (c := tally.cell(s, k))
        )
        yield f"{name}, worst cell: {worst:.3f} is at least 0.88", worst >= 0.88


def _bounds(name: str) -> tuple[float, float]:
    if name.startswith("range"):
        return 0.87, 0.96
    return (0.85, 0.96) if name.startswith("to sow") else (0.93, 0.97)


def run(
    scale: float = 1.0, ignore: bool = False
) -> tuple[dict[str, Tally], dict[int, list[float]]]:
    """All of it; `scale` shrinks the number of farms, `ignore` leaves the spread out, to see it fail."""
    rng = np.random.default_rng(SEED)
    size = lambda n: max(1, round(n * scale))  # noqa: E731
    results = dict(farms(rng, size(16), ignore))
    results["cells"] = cells(rng, size(160), ignore)
    results |= {f"range, {k}": v for k, v in ranges(rng, size(900)).items()}
    results |= {f"to sow, {k}": v for k, v in to_sow(rng, size(260)).items()}
    return results, power(rng, size(1500))


def main() -> int:
    """Print the tables and the criteria; 1 when one was not met."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="write the tables into the manual")
    write = parser.parse_args().write
    from pages import console, manual

    start = time.perf_counter()
    results, seen = run()
    print(console(results, seen))
    met = list(judged(results))
    for words, ok in met:
        print("met   " if ok else "MISSED", words)
    print(f"{time.perf_counter() - start:.0f} s, seed {SEED}")
    if write:
        manual(results, seen)
    return 0 if all(ok for _, ok in met) else 1


if __name__ == "__main__":
    sys.exit(main())
