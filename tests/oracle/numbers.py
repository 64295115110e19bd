"""Shares, sprouting days and the give-up day, on plain numbers."""

from __future__ import annotations

from math import ceil, exp, floor, log, prod, sqrt

Z = 1.959963984540054
Step = tuple[int, int]


def wilson(x: float, n: float) -> tuple[float, float]:
    """The 95 % score limits of x out of n, one seed a cell, no spread between sowings."""
    p = x / n
    mid = p + Z * Z / (2 * n)
    half = Z * sqrt(p * (1 - p) / n + Z * Z / (4 * n * n))
    low = 0.0 if x == 0 else (mid - half) / (1 + Z * Z / n)
    high = 1.0 if x == n else (mid + half) / (1 + Z * Z / n)
    return low, high


def fillings(k: float) -> tuple[int, ...]:
    """Seeds in a cell: two and a half are two in half of the cells and three in the others."""
    return (int(k),) if k == int(k) else (floor(k), ceil(k))


def seed_share(theta: float, k: float) -> float:
    """The chance of one seed when a cell of k seeds has something with chance theta."""
    if k == int(k):
        return 1 - (1 - theta) ** (1 / k)
    low, high = 0.0, 1.0
    for _ in range(80):
        p = (low + high) / 2
        full = 1 - sum((1 - p) ** j for j in fillings(k)) / 2
        low, high = (p, high) if full < theta else (low, p)
    return (low + high) / 2


def cell_limits(y: int, n: int, k: float) -> tuple[float, float]:
    """Limits of the seed share from y of n cells: the score limits of the cells, carried over."""
    low, high = wilson(y, n)
    return seed_share(low, k), seed_share(high, k)


def crossing(steps: list[Step], share: float) -> tuple[int, int, float | None] | None:
    """Where the running count reaches a share of the last: (day before, day of, line point).

    No point, and 0 for the day before, when the first visit is already there.
    """
    total = steps[-1][1] if steps else 0
    if total <= 0:
        return None
    target = share * total
    for i, (day, count) in enumerate(steps):
        if count >= target - 1e-9:
            if i == 0:
                return 0, day, None
            before, had = steps[i - 1]
            return before, day, before + (day - before) * (target - had) / (count - had)
    return None


def mean_day(steps: list[Step]) -> float | None:
    """Days of the visits, each weighted by how many were new at it."""
    total = steps[-1][1] if steps else 0
    if total <= 0:
        return None
    had, acc = 0, 0.0
    for day, count in steps:
        acc += (count - had) * day
        had = count
    return acc / total


def evenness(steps: list[Step]) -> float | None:
    """Days between the 10 % and the 90 % point, if the checks were close enough together to say.

    They must lie in different gaps, and no gap from one to the other may exceed half of it.
    """
    low, high = crossing(steps, 0.1), crossing(steps, 0.9)
    if not low or not high or low[2] is None or high[2] is None or low[1] == high[1]:
        return None
    days = [d for d, _ in steps]
    first, last = days.index(low[1]), days.index(high[1])
    widest = max(days[i] - days[i - 1] for i in range(first, last + 1))
    width = high[2] - low[2]
    return width if widest <= width / 2 + 1e-9 else None


def shape_of(steps: list[Step]) -> float | None:
    """The log-logistic shape with 10 % and 90 % where they were seen."""
    low, high = crossing(steps, 0.1), crossing(steps, 0.9)
    if not low or not high or low[2] is None or high[2] is None:
        return None
    if low[2] <= 0 or high[2] <= low[2]:
        return None
    return log(81) / log(high[2] / low[2])


def log_half(steps: list[Step]) -> float:
    """Log of the half day; nine tenths of the first visit when half was up by then."""
    _, by, point = crossing(steps, 0.5)
    return log(point if point is not None else 0.9 * by)


def give_up_day(
    histories: list[list[Step]], farm: list[list[Step]], published: tuple[int, int] | None
) -> int | None:
    """Twice the day by which 90 % should be up, in whole days.

    From the kind's own finished sowings of earlier seasons with five or more up; with none, from
    the days to sprout that crops.yaml gives; with neither there is no such day.
    """
    own = [h for h in histories if h and h[-1][1] >= 5]
    pool = [h for h in farm if h and h[-1][1] >= 5]
    borrowed = 8.0
    if len(pool) >= 10:
        shapes = [b for b in map(shape_of, pool) if b]
        if shapes:
            borrowed = exp(sum(map(log, shapes)) / len(shapes))
    if own:
        mu = sum(map(log_half, own)) / len(own)
        shapes = [b for b in map(shape_of, own) if b]
        b = exp((sum(map(log, shapes)) + 2 * log(borrowed)) / (len(shapes) + 2))
    elif published:
        mu = (log(published[0]) + log(published[1])) / 2
        b = borrowed
    else:
        return None
    return ceil(2 * exp(mu) * 9 ** (1 / b) - 1e-9)


def cell_share(groups: list[tuple[int, float, int]], rho: float) -> float:
    """The seed share at which the score of all groups (cells, seeds a cell, cells up) is nought.

    Seeds of one cell are alike by rho, so the chance of an empty cell is the beta-binomial one.
    Found by halving.
    """
    if all(y == 0 for _, _, y in groups):
        return 0.0
    if all(y == n for n, _, y in groups):
        return 1.0
    low, high = 1e-9, 1 - 1e-9
    for _ in range(60):
        p = (low + high) / 2
        if sum(_score(n, k, y, p, rho) for n, k, y in groups) > 0:
            low = p
        else:
            high = p
    return (low + high) / 2


def empty(k: float, p: float, rho: float) -> float:
    """The chance that a cell of k seeds of one sowing is empty."""
    of_each = [
        prod(((1 - p) * (1 - rho) + j * rho) / (1 - rho + j * rho) for j in range(n))
        for n in fillings(k)
    ]
    return sum(of_each) / len(of_each)


def both_empty(k: float, p: float, rho: float) -> float:
    """The chance that two cells of one sowing are."""
    pairs = [empty(a + b, p, rho) for a in fillings(k) for b in fillings(k)]
    return sum(pairs) / len(pairs)


def slope(k: float, p: float, rho: float) -> float:
    """By how much the chance of a filled cell rises with that of a seed, by small differences."""
    h = min(1e-6, p / 3, (1 - p) / 3)
    return (empty(k, p - h, rho) - empty(k, p + h, rho)) / (2 * h)


def _score(n: int, k: float, y: int, p: float, rho: float) -> float:
    """One group's part of the score: (y - n theta) theta' / (theta (1 - theta))."""
    none = empty(k, p, rho)
    return (y - n * (1 - none)) * slope(k, p, rho) / (none * (1 - none))
