"""How long a kind takes at a temperature, learnt from its own sowings at places whose warmth is known."""

from __future__ import annotations

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from traybook.records.book import Book, Entry
from traybook.records.temperatures import degrees, ends, temperature_of
from traybook.rollup.farm import FarmFigures
from traybook.rollup.habits import Key
from traybook.rollup.sowing import SowingFigures
from traybook.stats.heat import ThermalTime, thermal_time
from traybook.text.names import fold

# common practice, no source: with fewer sowings, or temperatures closer together, a line tells nothing
_FEWEST, _APART = 3, 3.0


@dataclass(frozen=True, slots=True)
class Warmth:
    """A kind's days to half by temperature (Celsius): the line, and the (temperature, days) it rests on."""

    line: ThermalTime
    seen: tuple[tuple[float, float], ...]

    @property
    def range(self) -> tuple[float, float]:
        """The coldest and the warmest it was learnt from; outside them it says nothing."""
        return self.line.low, self.line.high

    @property
    def off(self) -> float:
        """By how many days the sowing furthest from the line missed it."""
        told = ((self.line.days_at(t), days) for t, days in self.seen)
        return max(abs(at - days) for at, days in told if isinstance(at, float))

    def day(self, temperature: float) -> float | None:
        """The day by which half are expected up at a temperature; None outside the range."""
        at = self.line.days_at(temperature)
        return at if isinstance(at, float) else None


def warmth(figures: FarmFigures, key: Key) -> Warmth | None:
    """What a kind's sowings of one measure say; None with fewer than three that settled and have a half
    day, with temperatures less than 3 C apart, and where warmer wasn't faster.

    A sowing counts if it stood at one place until half was up and that place's temperature is known.
    Days are counted as elsewhere: from sowing, or from the day it came out of its cold.
    """
    book = figures.kept.book
    readings = _readings(book)
    seen = []
    for s in (s for k in figures.kinds if k.key == key for s in k.sowings):
        if not s.up.settled or s.pace is None or s.up.half is None or s.up.half.point is None:
            continue
        warm = _warm(s, book, readings)
        if warm is not None and s.up.half.point > 0:
            seen.append((warm, s.up.half.point))
    if len(seen) < _FEWEST or max(t for t, _ in seen) - min(t for t, _ in seen) < _APART:
        return None
    line = thermal_time(seen)
    if line is None or line.base >= line.low:
        return None
    return Warmth(line, tuple(seen))


def places(book: Book) -> dict[str, float]:
    """The places of farm.yaml whose temperature it tells, in Celsius, coldest first."""
    told = {name: place_warmth(book, name) for name in book.farm.places}
    known = {name: warm for name, warm in told.items() if warm is not None}
    return dict(sorted(known.items(), key=lambda x: x[1]))


def place_warmth(book: Book, place: str) -> float | None:
    """What farm.yaml says of a place, in Celsius; the middle of a range."""
    facts = next((v for k, v in book.farm.places.items() if fold(k) == fold(place)), {})
    words = next((v for k, v in facts.items() if fold(k) in ("temperature", "temp")), "")
    return degrees(words, book.farm.units == "imperial")


_Readings = dict[str, list[tuple[dt.date, float]]]


def _readings(book: Book) -> _Readings:
    """What `temperature PLACE` lines told, by folded place."""
    out: _Readings = defaultdict(list)
    for entry in book.entries:
        event = entry.event
        if event.verb == "temperature" and entry.used and event.on:
            warm = _told(entry, book.farm.units == "imperial")
            if warm is not None:
                out[fold(entry.ref.place or entry.ref.bed)].append((event.on, warm))
    return out


def _told(entry: Entry, imperial: bool) -> float | None:
    """One reading: the temperature, else the middle of lowest and highest."""
    at = temperature_of(entry.event, imperial)
    if at is not None:
        return at
    low, high = ends(entry.event, imperial)
    return None if low is None or high is None else (low + high) / 2


def _warm(s: SowingFigures, book: Book, readings: _Readings) -> float | None:
    """How warm a sowing stood until half was up: by readings there meanwhile, else by its own line, else
    by farm.yaml; None where it moved before."""
    assert s.up.half is not None
    began = s.account.began
    until = began + dt.timedelta(days=math.ceil(s.up.half.by))
    place = _one_place(s, began, until)
    if not place:
        return None
    meanwhile = [warm for on, warm in readings.get(fold(place), ()) if began <= on <= until]
    if meanwhile:
        return math.fsum(meanwhile) / len(meanwhile)
    said = s.sowing.event.one("temperature")
    own = degrees(said.text, book.farm.units == "imperial") if said else None
    return own if own is not None else place_warmth(book, place)


def _one_place(s: SowingFigures, began: dt.date, until: dt.date) -> str:
    """The place where all of it stood from the one day to the other; empty where there was none such."""
    times = s.account.places
    before = [t for t in times if t[0] <= began][-1:]
    stood = [part for _, part in (*before, *(t for t in times if began < t[0] < until))]
    names = {fold(place) for parts in stood for place in _names(parts)}
    return next((p for parts in stood for p in _names(parts)), "") if len(names) == 1 else ""


def _names(parts: Iterable[tuple[str, float]]) -> list[str]:
    return [place for place, share in parts if share > 0]
