"""How many seeds to sow for a number of plants."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from traybook.stats.proportions import filled

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# A chance that equals the aim but for the last digits counts as reaching it.
TIE = 1e-12


@dataclass(frozen=True, slots=True)
class Chance:
    """The chance of one seed in a sowing still to come.

    `mean` is what is expected of it; `rho` (0 to 1) says how far a whole sowing may lie from that,
    by what sowings differ by and by what isn't known together: 0 is seeds independent of each other
    with a chance known exactly.
    """

    mean: float
    rho: float


# A kind of which nothing is known. common practice, no source
UNKNOWN = Chance(0.70, 0.25)


def step(counts: Sequence[tuple[float, int]], rho: float, add: float = 0.5) -> Chance:
    """The chance of one step (seed to seedling, seedling to good plant) from earlier sowings.

    `counts` are (came through, of) of each sowing, `rho` the spread between sowings. With N seeds
    in all, D = 1 + rho (sum n^2/N - 1) and ne = N/D: mean = (sum x/D + add)/(ne + 1), what isn't
    known v = 1/(ne + 2), together v + rho (1 - v). `add` is where one seed's worth of belief lies
    before any count: .5, or .7 for the forecast of a sowing under way. Without counts it is all.

    Assumes sowings that differ as beta-binomials do and a beta for the mean. Sources: the effective
    number by the design effect of clusters, Kish 1965, Survey Sampling (from memory); the rest is a
    beta's mean and variance.

    >>> step([(36, 72)], 0.0)
    Chance(mean=0.5, rho=0.013513513513513514)
    """
    seeds = sum(n for _, n in counts)
    effect = 1.0 + rho * (sum(n * n for _, n in counts) / seeds - 1.0) if seeds else 1.0
    known = seeds / effect
    mean = (sum(x for x, _ in counts) / effect + add) / (known + 1.0)
    return borrowed(mean, known, rho)


def borrowed(mean: float, weight: float, rho: float) -> Chance:
    """A chance taken over from elsewhere, as if `weight` seeds had shown it.

    A farm's pooled survival stands in for a kind's own at a weight of 8. v = 1/(weight + 2), rho* =
    v + rho (1 - v).

    >>> borrowed(0.9, 8, 0.0)
    Chance(mean=0.9, rho=0.1)
    """
    unknown = 1.0 / (weight + 2.0)
    return Chance(mean, unknown + rho * (1.0 - unknown))


def chained(steps: Sequence[Chance]) -> Chance:
    """Steps one after another as one chance: M = prod m, E2 = prod (m^2 + rho m (1 - m)),
    rho* = (E2 - M^2)/(M (1 - M)).

    Assumes that a sowing's luck in one step says nothing of its luck in the next. It is the mean
    and the variance of a product of independent chances. No steps: certain.
    """
    mean = math.prod(c.mean for c in steps)
    square = math.prod(c.mean**2 + c.rho * c.mean * (1.0 - c.mean) for c in steps)
    room = mean * (1.0 - mean)
    return Chance(mean, min(1.0, max(0.0, (square - mean * mean) / room)) if room > 0 else 0.0)


def of_cells(c: Chance, low: int, high: int) -> Chance:
    """The chance that a cell of `low` to `high` seeds has one or more, from the chance of a seed.

    Assumes chances of sowings that follow a beta, as the formulas of `filled` do.

    >>> of_cells(Chance(0.6, 0.0), 2, 2)
    Chance(mean=0.84, rho=0.0)
    """
    return Chance(*filled(c.mean, c.rho, low, high))


def chance_of(plants: int, seeds: int, c: Chance, goes: int = 1) -> float:
    """P(at least `plants` from `seeds`), the count being beta-binomial.

    In several `goes` the seeds are shared out evenly and each go has luck of its own; what isn't
    known of the kind is then taken as new each time too, which is a little hopeful.

    Source: Skellam 1948, J. R. Statist. Soc. B 10, 257-261, for the beta-binomial (from memory).

    >>> round(chance_of(72, 96, Chance(0.8, 0.0)), 4)
    0.909
    """
    if plants <= 0:
        return 1.0
    if seeds < plants or c.mean <= 0:
        return 0.0
    if c.mean >= 1:
        return 1.0
    sizes = [seeds // goes + (i < seeds % goes) for i in range(goes)]
    return min(1.0, max(0.0, 1.0 - _fewer(plants, sizes, c)))


def plants_from(seeds: int, c: Chance, aim: float) -> int:
    """The most plants that so many seeds give with a chance of `aim`; 0 where not even one is so sure.

    >>> plants_from(96, Chance(0.8, 0.0), 0.9)
    72
    """
    if seeds <= 0 or c.mean <= 0:
        return 0
    if c.mean >= 1:
        return seeds
    at_most = _spread(seeds, c).cumsum()  # P(at most k)
    return int((1.0 - at_most >= aim - TIE).sum())


def seeds_for(
    plants: int, c: Chance, aim: float, goes: int = 1, most: int | None = None
) -> int | None:
    """The fewest seeds that give at least `plants` with a chance of `aim`.

    None where no number up to `most` does (ten times what would be needed on average, when not
    said): a kind that fails whole sowings at a time has to be sown in several `goes`, and the
    number is then a multiple of them.

    >>> seeds_for(72, Chance(0.8, 0.0), 0.9)
    96
    """
    if plants <= 0:
        return 0
    if c.mean <= 0:
        return None
    if most is None:
        most = math.ceil(10 * plants / c.mean - 1e-9)
    each = _least(
        lambda size: chance_of(plants, size * goes, c, goes) >= aim - TIE,
        math.ceil(plants / goes),
        _guess(plants / goes, c, aim, goes),
        most // goes,
    )
    return None if each is None else each * goes


def binomial_seeds(plants: int, share: float, aim: float) -> int | None:
    """The same where the share is taken as known and sowings as alike; None for a share of 0.

    >>> binomial_seeds(72, 0.6, 0.95)
    135
    """
    return seeds_for(plants, Chance(share, 0.0), aim)


def _guess(plants: float, c: Chance, aim: float, goes: int) -> int:
    """About how many, were the count normal: where the search begins, no more."""
    far = 1.3 if aim > 0.6 else 0.0
    low = c.mean - far * math.sqrt(c.mean * (1.0 - c.mean) * (c.rho + 1.0 / plants) / goes)
    return math.ceil(plants / max(low, c.mean / 10))


def _least(enough: Callable[[int], bool], low: int, guess: int, most: int) -> int | None:
    """The least whole number from `low` to `most` that is enough, found outwards from `guess`."""
    if most < low:
        return None
    at = min(max(low, guess), most)
    stride, up = max(1, at // 32), not enough(at)
    while True:
        on = min(most, at + stride) if up else max(low, at - stride)
        if on == at:
            return None if up else at
        if enough(on) == up:
            break
        at, stride = on, 2 * stride
    short, high = (at, on) if up else (on, at)
    while high - short > 1:
        middle = (short + high) // 2
        if enough(middle):
            high = middle
        else:
            short = middle
    return high


def _fewer(plants: int, sizes: Sequence[int], c: Chance) -> float:
    """P(fewer than `plants` in all) from goes of these sizes: convolved, as far as it matters."""
    import numpy as np

    parts = [_spread(n, c)[:plants] for n in sizes]
    out = parts[0]
    for part in parts[1:-1]:
        out = np.convolve(out, part)[:plants]
    if len(parts) == 1:
        return float(out.sum())
    up_to = np.cumsum(parts[-1])
    room = np.minimum(plants - 1 - np.arange(len(out)), len(up_to) - 1)
    return float(out @ up_to[room])


def _spread(n: int, c: Chance) -> NDArray[np.float64]:
    """Chances of 0 to n of n: each from its neighbour, outwards from the mean.

    So nothing overflows and no logarithm of a factorial costs digits. With t = rho/(1 - rho) the
    ratio of neighbours is (n - k)(m + k t)/((k + 1)(1 - m + (n - k - 1) t)); t = 0 is the binomial.
    """
    import numpy as np

    rho = min(c.rho, 1.0 - 1e-9)
    t, start, k = rho / (1.0 - rho), min(n, int(n * c.mean)), np.arange(n)
    ratio = (n - k) * (c.mean + k * t) / ((k + 1) * (1.0 - c.mean + (n - k - 1) * t))
    upwards = np.cumprod(ratio[start:])
    downwards = np.cumprod(1.0 / ratio[:start][::-1])[::-1]
    out = np.concatenate([downwards, [1.0], upwards])
    return out / out.sum()
