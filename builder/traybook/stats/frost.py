"""Chances of a last and a first frost, from the dates of some years. Numbers only: a date is a day
counted from any fixed day of the season, the same for all years.

The meaning is NOAA's. In spring the 90 % date is the EARLY one (nine years in ten have a frost later
than it), the 10 % date the LATE one. In autumn the chance is that of a frost EARLIER than the date, so
the 10 % date is the early one.

Source: NCDC freeze/frost probability tables (meaning; a year without frost has a share of its own and
the dates are those of years with one); H. C. S. Thom and R. H. Shaw, Monthly Weather Review 86 (1958),
257-270 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist, fmean, stdev

#: A minimum at or under this, in Celsius, is a frost: it was reached.
FREEZING = 0.0


def reached(least: float, threshold: float = FREEZING) -> bool:
    """True where a day's minimum reached the threshold: at it counts as under it.

    >>> reached(0.0), reached(0.1), reached(-2.0, threshold=-2.2)
    (True, False, False)
    """
    return least <= threshold


def quantile(values: Sequence[float], share: float) -> float:
    """The value that a share of all years lie under, on a straight line between two order statistics.

    The k-th of n values stands for the share k / (n + 1) (Weibull's plotting position; type 6 of
    Hyndman and Fan, The American Statistician 50 (1996), 361-365): whatever the values come from, the
    next one lies under the k-th with just that chance. Shares under 1 / (n + 1) get the least value and
    those over n / (n + 1) the greatest, since nothing beyond was seen. Raises ValueError with no value
    or a share outside 0 to 1.

    >>> quantile([10, 20, 30], 0.5), quantile([10, 20, 30], 0.4), quantile([10, 20, 30], 0.9)
    (20, 16.0, 30)
    """
    if not values or not 0 <= share <= 1:
        raise ValueError("a quantile needs values, and a share from 0 to 1")
    found = sorted(values)
    place = share * (len(found) + 1)
    if place <= 1:
        return found[0]
    if place >= len(found):
        return found[-1]
    k = math.floor(place + 1e-9)
    over = max(0.0, place - k)
    return found[k - 1] + over * (found[k] - found[k - 1]) if over > 1e-9 else found[k - 1]


def spring(days: Sequence[float], chance: float, without: int = 0) -> float | None:
    """The day after which a frost comes with this chance; None where there is no such day.

    `days` are the last frosts of years that had one, `without` the number of years that had none. With
    frost in a share f of all years, P(later than x) = f (1 - F(x)): the day is where F is 1 - chance / f,
    and there is none where the chance is over f.
    """
    of = _within(days, chance, without)
    return None if of is None else quantile(days, 1 - of)


def autumn(days: Sequence[float], chance: float, without: int = 0) -> float | None:
    """The day before which a frost comes with this chance, in the same way: F is chance / f."""
    of = _within(days, chance, without)
    return None if of is None else quantile(days, of)


def spring_normal(days: Sequence[float], chance: float, without: int = 0) -> float | None:
    """The same by a normal curve through the dates: mean + s z, with z the 1 - chance / f point of the
    standard normal. None where there is no such day. Needs two dates; raises ValueError with fewer."""
    of = _within(days, chance, without)
    return None if of is None or of >= 1 else _normal(days, 1 - of)


def autumn_normal(days: Sequence[float], chance: float, without: int = 0) -> float | None:
    """The same in autumn: z is the chance / f point."""
    of = _within(days, chance, without)
    return None if of is None or of >= 1 else _normal(days, of)


def _within(days: Sequence[float], chance: float, without: int) -> float | None:
    """The chance within the years that had a frost; None where it is over their share of all."""
    if not days:
        return None
    of = chance * (len(days) + without) / len(days)
    return min(1.0, of) if of <= 1 + 1e-9 else None


def _normal(days: Sequence[float], share: float) -> float:
    if len(days) < 2:
        raise ValueError("a normal curve needs two dates")
    return fmean(days) + stdev(days) * NormalDist().inv_cdf(share)
