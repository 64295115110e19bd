"""How the day of the first cut follows the day of sowing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

#: With fewer sowings, or sown closer together, a slope says nothing: each is taken to need as long.
FEWEST, APART = 3, 21
# A slope beyond these would send a sowing date far off for a week's change of the cut.
_LEAST, _MOST = 0.25, 1.5
# common practice, no source: the day of a cut is never foretold closer than a week either way
_WEEK = 7.0


@dataclass(frozen=True, slots=True)
class Response:
    """`cut = slope x sown + start`, in days of one count; learnt from `n` sowings between the days
    `first` and `last`. A slope under 1: later sowings catch up. `learnt` is False where it is 1 only
    because too little is known."""

    slope: float
    start: float
    n: int
    first: float
    last: float
    learnt: bool
    under: float
    over: float

    def cut(self, sown: float) -> float:
        """The day of the first cut of what is sown on a day."""
        return self.start + self.slope * sown

    def sown(self, cut: float) -> float:
        """The day to sow for a first cut on a day.

        >>> r = response([(80, 180), (110, 195), (140, 210)])
        >>> r.slope, r.cut(100), r.sown(190.0)
        (0.5, 190.0, 100.0)
        """
        return (cut - self.start) / self.slope


def response(points: Sequence[tuple[float, float]]) -> Response | None:
    """The line through (day sown, day of first cut) by least squares; None without any.

    Where fewer than three sowings stand or they lie within three weeks, the slope is 1 and the line
    goes through their middle. Slopes are held between .25 and 1.5, about the middle. Assumes days
    that belong to one season of the kind: spring sowings are not mixed with those that wintered.

    Source: ordinary least squares; the change of the cut for a change of the sowing is how trials of
    successions tell it (common practice, no source).
    """
    if not points:
        return None
    days, cuts = [x for x, _ in points], [y for _, y in points]
    x, y = fmean(days), fmean(cuts)
    slope, learnt = 1.0, len(points) >= FEWEST and max(days) - min(days) >= APART
    if learnt:
        wide = sum((d - x) ** 2 for d in days)
        slope = sum((d - x) * (c - y) for d, c in points) / wide
        slope = min(_MOST, max(_LEAST, slope))
    off = [c - (y + slope * (d - x)) for d, c in points]
    return Response(
        slope, y - slope * x, len(points), min(days), max(days), learnt, max(_WEEK, -min(off)), max(_WEEK, *off),
    )  # fmt: skip
