"""The lowest and highest temperature of days: from files in entries/weather/, and from `weather` lines.

A file has a header. `date` is an ISO day; `min` and `max` are Celsius, `min_f` and `max_f` Fahrenheit, and
a column `units` says C or F row by row. Capitals don't matter, other columns are passed over, so are
lines that begin with `#`, and an empty cell is a day that nobody measured.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from traybook.findings.model import Finding
from traybook.records.event import Event, Said
from traybook.text.cells import records, separator_of
from traybook.text.scalars import iso_day
from traybook.text.source import Source

#: Lowest and highest of a day in Celsius; None where that end was not measured.
Day = tuple[float | None, float | None]
COLUMNS = ("date", "min", "max", "min_f", "max_f", "units")
_MISSING = ("", "-", "na", "n/a", "nan", "m", "none", "null")
# common practice, no source: no thermometer in the shade ever read these Celsius
_COLDEST, _WARMEST = -90.0, 60.0
# common practice, no source: above this a bare number can only be Fahrenheit
_MOST_CELSIUS = 45.0


def celsius(number: float, unit: str, imperial: bool = False) -> float:
    """A temperature as written in Celsius. A bare number is Fahrenheit on a farm with imperial units, and
    where it is above 45.

    >>> celsius(21, "C"), celsius(50, "f"), celsius(50, ""), celsius(41, "", imperial=True)
    (21, 10.0, 10.0, 5.0)
    """
    flat = unit.strip().lower()[:1]
    fahrenheit = flat == "f" or (flat != "c" and (imperial or number > _MOST_CELSIUS))
    return (number - 32) / 1.8 if fahrenheit else number


def degrees(text: str, imperial: bool = False) -> float | None:
    """`21 C`, `70 F`, or the middle of `18-21 C`, in Celsius; None where no number begins it.

    >>> degrees("21 C"), degrees("18 to 22 C"), degrees("68-77 F"), degrees("warm")
    (21.0, 20.0, 22.5, None)
    """
    found = re.match(
        r"\s*(?:about |at |~)?\s*(-?\d+(?:\.\d+)?)\s*(?:°?\s*[cf]\b)?"
        r"(?:\s*(?:-|to)\s*(-?\d+(?:\.\d+)?))?\s*°?\s*([cf]\b)?",
        text, re.IGNORECASE,
    )  # fmt: skip
    if not found:
        return None
    unit = found[3] or (re.search(r"\d\s*°?\s*([cf])\b", text, re.IGNORECASE) or ["", ""])[1]
    low, high = float(found[1]), float(found[2] or found[1])
    return (celsius(low, unit, imperial) + celsius(high, unit, imperial)) / 2


def recorded(events: Iterable[Event], imperial: bool = False) -> dict[dt.date, Day]:
    """The lowest and highest of days by `weather` lines; of two on one day the later number holds."""
    out: dict[dt.date, Day] = {}
    for event in events:
        if event.verb == "weather" and event.on is not None:
            low, high = ends(event, imperial)
            if low is not None or high is not None:
                out[event.on] = joined(out.get(event.on, (None, None)), (low, high))
    return out


def ends(event: Event, imperial: bool = False) -> Day:
    """Lowest and highest that one `weather` or `temperature` line tells; a unit on either is both's."""
    low, high = event.one("min"), event.one("max")
    both = event.one("range")
    unit = next((s.unit for s in (low, high, both) if s and s.unit), "")
    return (
        _number(low or both, unit, imperial),
        _number(high, unit, imperial) if high else _number(both, unit, imperial, of=True),
    )


def temperature_of(event: Event, imperial: bool = False) -> float | None:
    """The one temperature that a `temperature PLACE` line tells, in Celsius; None where it tells none."""
    said = event.one("temperature")
    return _number(said, said.unit, imperial) if said else None


def joined(first: Day, over: Day) -> Day:
    """A day told twice: what the second doesn't tell is the first's."""
    return (
        first[0] if over[0] is None else over[0],
        first[1] if over[1] is None else over[1],
    )


def _number(said: Said | None, unit: str, imperial: bool, of: bool = False) -> float | None:
    amount = (said.of if of else said.n) if said else None
    if amount is None or amount.value is None:
        return None
    return celsius(amount.value, unit, imperial)


def read_temperatures(sources: Iterable[Source]) -> tuple[dict[dt.date, Day], list[Finding]]:
    """All files together, in the order of their names; a day that stands twice is the later one's.

    A line that can't be read is left out; each cause is one doubt a file, at the first such line.
    """
    out: dict[dt.date, Day] = {}
    findings: list[Finding] = []
    for source in sources:
        file = _File(source)
        for line, on, day in file.days():
            if out.get(on, day) != day:
                file.lose("twice", line)
            out[on] = day
        findings += file.findings()
    return out, findings


@dataclass
class _File:
    """One file as it is read: its columns, and for each cause the lines that it cost."""

    source: Source
    separator: str = ","
    at: Mapping[str, int] = field(default_factory=dict)
    lost: dict[str, list[int]] = field(default_factory=dict)

    def days(self) -> list[tuple[int, dt.date, Day]]:
        """Each line that tells anything, with its number; none where it must be Fahrenheit throughout."""
        self.separator = separator_of(self.source.text, COLUMNS)
        out, told = [], 0
        for line in range(1, self.source.lines + 1):
            cells = self._cells(line)
            if not cells:
                continue
            if not self.at:
                if not self._head(cells, line):
                    return []
                continue
            told += 1
            got = self._day(cells, line)
            if got:
                out.append((line, *got))
        hot = self.lost.get("range", ())
        if len(hot) < 2 or len(hot) * 10 < told:
            return out
        self.lost = {"fahrenheit": [hot[0]]}
        return []

    def _cells(self, line: int) -> tuple[str, ...]:
        text = self.source.line_span(line).text
        if text.lstrip().startswith("#"):
            return ()
        rows = records(text, self.separator)
        return rows[0].cells if rows else ()

    def _head(self, cells: tuple[str, ...], line: int) -> bool:
        self.at = {c.casefold(): n for n, c in reversed(list(enumerate(cells)))}
        known = "date" in self.at and self.at.keys() & {"min", "max", "min_f", "max_f"}
        if not known:
            self.lose("header", line)
        return bool(known)

    def _day(self, cells: tuple[str, ...], line: int) -> tuple[dt.date, Day] | None:
        got = {k: cells[n] for k, n in self.at.items() if n < len(cells)}
        on = iso_day(re.split(r"[T ]", got.get("date", ""))[0]).on
        try:
            low, high = self._end(got, "min"), self._end(got, "max")
        except ValueError:
            return self.lose("date" if on is None else "number", line)
        if on is None:
            return self.lose("date", line)
        if any(t is not None and not _COLDEST <= t <= _WARMEST for t in (low, high)):
            return self.lose("range", line)
        if low is not None and high is not None and low > high:
            return self.lose("order", line)
        return None if low is None and high is None else (on, (low, high))

    def _end(self, got: Mapping[str, str], name: str) -> float | None:
        """One end in Celsius; raises ValueError where its cell holds no number."""
        plain, fahrenheit = got.get(name, ""), got.get(f"{name}_f", "")
        words = plain if plain.casefold() not in _MISSING else fahrenheit
        if words.casefold() in _MISSING:
            return None
        if self.separator != ",":
            words = words.replace(",", ".")
        if not re.fullmatch(r"[+-]?(?:\d+\.?\d*|\.\d+)", words.replace("−", "-")):
            raise ValueError(words)
        number = float(words.replace("−", "-"))
        in_f = words is fahrenheit or got.get("units", "").strip(" °").casefold()[:1] == "f"
        return (number - 32) / 1.8 if in_f else number

    def lose(self, cause: str, line: int) -> None:
        """Note a line that a cause costs."""
        self.lost.setdefault(cause, []).append(line)

    def findings(self) -> list[Finding]:
        """One doubt a cause."""
        return [self._finding(cause, lines) for cause, lines in self.lost.items()]

    def _finding(self, cause: str, lines: list[int]) -> Finding:
        message, help_ = _CAUSES[cause]
        more = len(lines) - 1
        if more:
            message += f"; {more} more {'line is' if more == 1 else 'lines are'} like it"
        return Finding("unread-temperature", message, self.source.line_span(lines[0]), help_)


_CAUSES = {
    "header": (
        "this first line names no columns that are known, so the file was passed over",
        "begin it with `date,min,max`, or `date,min_f,max_f` for Fahrenheit",
    ),
    "date": (
        "no day could be read in this line, so it was left out",
        "write the day as 2026-04-09",
    ),
    "number": (
        "no temperature could be read in this line, so it was left out",
        "write it in figures, as -1.5; leave a cell empty where nothing was measured",
    ),
    "range": (
        "this is colder or warmer than any place gets, so the line was left out",
        "if it is Fahrenheit, call the columns `min_f` and `max_f`",
    ),
    "fahrenheit": (
        "so many days of this file are above 60 C that it must be Fahrenheit, so it was passed over",
        "call its columns `min_f` and `max_f`",
    ),
    "order": (
        "the lowest of this day is above its highest, so it was left out",
        "look whether the two columns changed places",
    ),
    "twice": ("an earlier line tells this day otherwise; this one is used", "keep the right one"),
}
