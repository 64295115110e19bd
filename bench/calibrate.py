"""How often the figures hold, on invented farms: `make calibrate`.

Prints every table and every criterion, and ends with 1 when one was not met. With --write (`make
calibrate WRITE=1`) the tables go into the manual. Only the truths are made up here: all that is judged
are the package's own functions.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.random import Generator

import forecasts
import luck
import pages
import trials
from tally import Criterion, Tally, criteria
from truths import SPREADS

SEED = 20261125
#: Farms of each spread. The other numbers follow it.
FARMS = 80
PARTS = ("farms", "alone", "ranges", "seeds")
#: A part is worked off in so many pieces, each with lots of its own.
PIECES = 4
DRAWS, LUCKY_FARMS = 20_000, 4_000

Tallies = dict[str, Tally]


@dataclass(frozen=True)
class Results:
    """All that was found."""

    tallies: Tallies
    power: dict[int, list[float]]
    by_luck: tuple[float, list[float]]

    @property
    def criteria(self) -> list[Criterion]:
        return list(criteria(self.tallies))


def empty() -> Tallies:
    """A tally for each promise, in the order in which they are told."""
    return trials.empty() | forecasts.no_ranges() | forecasts.no_seeds()


def lots(*of: int) -> Generator:
    """Lots of its own for each piece of work, the same on every run."""
    return np.random.default_rng([SEED, *of])


def piece(work: tuple[str, str, int], farms: int, blind: bool) -> Tallies:
    """One part, one spread, one piece of it."""
    part, spread, which = work
    rng, out = lots(PARTS.index(part), list(SPREADS).index(spread), which), empty()
    share = max(1, round(farms / PIECES))
    if part == "farms":
        for _ in range(share):
            trials.farm(rng, spread, out, blind=blind)
    elif part == "alone":
        for _ in range(max(1, share // 4)):
            trials.farm(rng, spread, out, alone=True, blind=blind)
    elif part == "ranges":
        forecasts.ranges(rng, spread, 4 * share, out)
    else:
        forecasts.seeds(rng, spread, 3 * share, out)
    return out


def run(farms: int = FARMS, *, workers: int = 1, blind: bool = False) -> Results:
    """All of it. `blind` leaves the spread between sowings out, to see the promises fail."""
    works = [(p, s, i) for p in PARTS for s in SPREADS for i in range(PIECES)]
    one = partial(piece, farms=farms, blind=blind)
    out = empty()
    for found in _mapped(one, works, workers):
        for name, tally in found.items():
            out[name].add(tally)
    draws = max(200, DRAWS * farms // FARMS)
    years = max(100, LUCKY_FARMS * farms // FARMS)
    power = luck.power(lots(len(PARTS)), draws)
    return Results(out, power, luck.by_luck(lots(len(PARTS) + 1), years))


def _mapped(
    one: Callable[[tuple[str, str, int]], Tallies], works: list[tuple[str, str, int]], workers: int
) -> Iterator[Tallies]:
    """In the order of the works, whoever is ready first: so the sums are the same to the last digit."""
    if workers <= 1:
        yield from map(one, works)
        return
    with ProcessPoolExecutor(workers) as pool:
        yield from pool.map(one, works)


def main() -> int:
    """Print the tables and the criteria; 1 when one was not met."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="write the tables into the manual")
    parser.add_argument("--farms", type=int, default=FARMS, help="farms of each spread")
    asked = parser.parse_args()
    if asked.write and asked.farms != FARMS:
        parser.error(f"the manual is written from {FARMS} farms of each spread")
    start = time.perf_counter()
    results = run(asked.farms, workers=min(4, os.cpu_count() or 1))
    print(pages.console(results))
    print(f"\nSeed {SEED}, {asked.farms} farms of each spread, {time.perf_counter() - start:.0f} s")
    if asked.write:
        pages.write(results, SEED, FARMS)
    return 0 if all(c.met for c in results.criteria) else 1


if __name__ == "__main__":
    sys.exit(main())
