"""How fast seeds came up, from counts at visits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Reached:
    """The gap between visits, in days, in which a share was reached: after `after`, by `by`.

    `point` is the straight-line day in it; None when the first visit already reached it.
    """

    after: float
    by: float
    point: float | None


def reached(counts: Sequence[tuple[float, int]], share: float) -> Reached | None:
    """When the running count reached `share` of its last value; None if nothing came up.

    `counts` are (day, count so far), in order. In the gap (t_i, t_j] in which the count goes from
    N_i to N_j >= target the point is t_i + (target - N_i)(t_j - t_i)/(N_j - N_i), target = share x S.

    Source: Farooq et al. 2005, J. Integr. Plant Biol. 47, 187-193 (S/2; N_j may equal the target).

    >>> reached([(5, 8), (8, 23), (12, 32)], 0.5)
    Reached(after=5, by=8, point=6.6)
    """
    if not counts or counts[-1][1] <= 0:
        return None
    target = share * counts[-1][1]
    before: tuple[float, int] | None = None
    for day, count in counts:
        if count >= target - 1e-9:
            if before is None:
                return Reached(0.0, day, None)
            point = before[0] + (target - before[1]) * (day - before[0]) / (count - before[1])
            return Reached(before[0], day, point)
        before = (day, count)
    return None


def mean_days(counts: Sequence[tuple[float, int]]) -> float | None:
    """Days of visits weighted by what was new at each: sum(new x day)/S; None if nothing was.

    Source: mean germination time, Ranal & Santana 2006, Revista Brasil. Bot. 29, 1-11.

    >>> mean_days([(2, 1), (3, 8), (4, 20)])
    3.55
    """
    before, total = 0, 0.0
    for day, count in counts:
        total += (count - before) * day
        before = count
    return total / before if before > 0 else None


def evenness(counts: Sequence[tuple[float, int]]) -> float | None:
    """Days from 10 % to 90 %, where the visits were close enough to tell.

    Only when the two fall in different gaps and no gap from the one with the 10 % point to the one
    with the 90 % point is longer than half of it.
    """
    ten, ninety = reached(counts, 0.1), reached(counts, 0.9)
    if not ten or not ninety or ten.point is None or ninety.point is None:
        return None
    length = ninety.point - ten.point  # in one gap never longer than it, so no rule of its own
    days = [day for day, _ in counts if ten.after <= day <= ninety.by]
    gaps = [b - a for a, b in pairwise(days)]
    return length if length > 0 and max(gaps) <= length / 2 else None
