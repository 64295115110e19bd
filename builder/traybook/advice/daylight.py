"""How long the day is, and when it falls under ten hours, by the farm's latitude.

A day lasts from the sun's upper edge on a level horizon to the same in the evening, as the air bends
its light (90.833 degrees from overhead). astral works it out by the equations of NOAA.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from astral import Observer
from astral.sun import daylight

#: common practice, no source: under ten hours of day most plants hardly grow
TEN = 10.0


@dataclass(frozen=True, slots=True)
class TenHours:
    """The days about the dark of winter: `last` the last day of ten hours in autumn, `first` the first
    one again in late winter, both within one calendar year."""

    last: dt.date
    first: dt.date


@lru_cache(maxsize=4096)
def day_length(latitude: float, on: dt.date) -> float | None:
    """Hours of a day at a latitude (degrees, south below nought); None where the sun doesn't rise or set.

    Longitude changes it by seconds and is left out, so that it is nobody's exact position.
    """
    try:
        rise, fall = daylight(Observer(latitude, 0.0), on)
    except ValueError:  # what astral says of polar days and nights
        return None
    hours = (fall - rise).total_seconds() / 3600
    return hours if 0 < hours < 24 else None


def ten_hours(latitude: float, year: int) -> TenHours | None:
    """When the day is ten hours long in autumn for the last time, and in late winter again for the first.

    In the south both lie about June. None where every day has ten hours, and near the poles, where the
    sun stays up or down for days.
    """
    short = []
    for on in _year(year):
        hours = day_length(latitude, on)
        if hours is None:
            return None
        if hours < TEN:
            short.append(on)
    if not short:
        return None
    one = dt.timedelta(days=1)
    if latitude < 0:
        return TenHours(short[0] - one, short[-1] + one)
    turn = dt.date(year, 7, 1)
    autumn, winter = [d for d in short if d > turn], [d for d in short if d < turn]
    last = min(autumn, default=dt.date(year + 1, 1, 1)) - one
    return TenHours(last, max(winter, default=dt.date(year, 1, 1) - one) + one)


def _year(year: int) -> Iterator[dt.date]:
    on = dt.date(year, 1, 1)
    while on.year == year:
        yield on
        on += dt.timedelta(days=1)
