"""Warmth added up: degree-days of a day, and thermal time of seeds. Numbers only; any one unit of
temperature, the same throughout."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass


def average(least: float, most: float, base: float, upper: float | None = None) -> float:
    """Degree-days of a day above a base from its lowest and highest: max(0, middle - base).

    `upper` is a horizontal cutoff: what lies above it adds nothing. The middle is taken first and the
    base after, so a day with a middle under the base gives none even where its afternoon was warmer.

    >>> average(50, 70, 50), average(53, 75, 53), average(40, 60, 50)
    (10.0, 11.0, 0.0)
    """
    return _below(lambda b: max(0.0, (least + most) / 2 - b), base, upper)


def modified(least: float, most: float, base: float, upper: float = math.inf) -> float:
    """The same with both temperatures first brought between the base and the upper limit (86/50).

    >>> modified(65, 90, 50, 86), modified(46, 72, 50, 86)
    (25.5, 11.0)
    """
    low, high = (min(max(t, base), upper) for t in (least, most))
    return (low + high) / 2 - base


def sine(least: float, most: float, base: float, upper: float | None = None) -> float:
    """Degree-days of a day as a single sine from its lowest to its highest: the part above the base.

    With M = (most + least) / 2, W = (most - least) / 2 and A = asin((base - M) / W):
    (W cos A - (base - M)(pi / 2 - A)) / pi. `upper` is a horizontal cutoff: what lies above it is
    taken off. Raises ValueError where the lowest is above the highest.

    Source: G. L. Baskerville and P. Emin, Ecology 50 (1969), 514-517.

    >>> round(sine(40, 60, 50), 4), round(sine(60, 90, 50, upper=86), 4)
    (3.1831, 24.3715)
    """
    if least > most:
        raise ValueError("the lowest of a day is above its highest")
    return _below(lambda b: _sine(least, most, b), base, upper)


def _sine(least: float, most: float, base: float) -> float:
    middle, half = (most + least) / 2, (most - least) / 2
    if least >= base:
        return middle - base
    if most <= base:
        return 0.0
    a = math.asin((base - middle) / half)
    return (half * math.cos(a) - (base - middle) * (math.pi / 2 - a)) / math.pi


def _below(of: Callable[[float], float], base: float, upper: float | None) -> float:
    return of(base) if upper is None else of(base) - of(upper)


def sums(days: Iterable[tuple[float, float]], base: float, upper: float | None = None) -> float:
    """Degree-days of (lowest, highest) of many days, each as a single sine, added up."""
    return math.fsum(sine(least, most, base, upper) for least, most in days)


@dataclass(frozen=True, slots=True)
class ThermalTime:
    """How long something takes at a temperature: 1 / days = (temperature - base) / theta.

    `theta` in degree-days; `r2` the share of the scatter of 1 / days that the line explains; `low` and
    `high` the coldest and warmest it was learnt from, `n` of how many.
    """

    base: float
    theta: float
    r2: float
    low: float
    high: float
    n: int

    def days_at(self, temperature: float) -> float | tuple[float, float]:
        """Days at a temperature; outside those it was learnt from the (coldest, warmest) in their place:
        below them the base may be nearer than it seems, above them seed slows down again. The same at or
        under the base, which the line may have above the coldest."""
        if not self.low <= temperature <= self.high or temperature <= self.base:
            return self.low, self.high
        return self.theta / (temperature - self.base)


def thermal_time(seen: Sequence[tuple[float, float]]) -> ThermalTime | None:
    """The straight line of 1 / days on temperature through (temperature, days), by least squares.

    None with fewer than two temperatures, and where it isn't faster when warmer: such a line tells no
    days. Days are over nought.

    Source: 1 / t = (T - Tb) / theta; Bierhuizen and Wagenvoort, Scientia Horticulturae 2 (1974),
    213-219 (from memory).
    """
    temperatures = [t for t, _ in seen]
    if len(set(temperatures)) < 2:
        return None
    rates = [1 / days for _, days in seen]
    n = len(seen)
    mean_t, mean_r = math.fsum(temperatures) / n, math.fsum(rates) / n
    tt = math.fsum((t - mean_t) ** 2 for t in temperatures)
    tr = math.fsum((t - mean_t) * (r - mean_r) for t, r in zip(temperatures, rates, strict=True))
    rr = math.fsum((r - mean_r) ** 2 for r in rates)
    if tr <= 0:
        return None
    slope = tr / tt
    base = mean_t - mean_r / slope
    r2 = tr * tr / (tt * rr)
    return ThermalTime(base, 1 / slope, r2, min(temperatures), max(temperatures), n)
