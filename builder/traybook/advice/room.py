"""Room for trays: what stands and what is planned, week by week, against the room a place has."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from traybook.advice.standing import Standing, standing
from traybook.records.book import Book
from traybook.records.containers import Container, bare, container
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold

# How many of a kind fill one tray's place, where the cells of a tray aren't said. Blocks: forty to fifty of two
# inches fill a carrier tray; pots of nine centimetres: eighteen. common practice, no source
_IN_A_TRAY = {"blocks": 50, "pots": 18}
# A second stand of one name has a number behind it.
_SECOND = re.compile(r" \d+$")
# Weeks a tray stands from sowing to planting out, where the handbook doesn't say. common practice, no source
_WEEKS = 8


@dataclass(frozen=True, slots=True)
class Stay:
    """So many `trays` in a place from the first day to the last, both included; `what` they hold."""

    place: str
    first: dt.date
    last: dt.date
    trays: int
    what: str


@dataclass(frozen=True, slots=True)
class RoomWeek:
    """One place in one ISO week: trays that stand there on any day of it, and what they hold; `room` is None
    where none is said. `year` is the year the week is numbered in."""

    place: str
    year: int
    week: int
    trays: int
    room: int | None
    what: tuple[Stay, ...]

    @property
    def over(self) -> bool:
        """More trays than there is room for."""
        return self.room is not None and self.trays > self.room

    @property
    def monday(self) -> dt.date:
        """The day the week begins."""
        return dt.date.fromisocalendar(self.year, self.week, 1)

    def words(self, year: bool = False) -> str:
        """`warm shelf, week 12: 11 trays, room for 8`; with the `year` where several stand side by side."""
        week = f"week {self.week}" + (f" of {self.year}" if year else "")
        trays = f"{self.trays} tray" + ("" if self.trays == 1 else "s")
        room = "" if self.room is None else f", room for {self.room}"
        return f"{self.place}, {week}: {trays}{room}"


@dataclass(frozen=True, slots=True)
class ShelfRoom:
    """A table of weeks by places: `weeks` are (year, week) in order without a gap, `places` the farm's own in
    its order and then others; only those where a tray stands."""

    weeks: tuple[tuple[int, int], ...]
    places: tuple[str, ...]
    cells: Mapping[tuple[str, int, int], RoomWeek]

    def at(self, place: str, year: int, week: int) -> RoomWeek | None:
        """One place in one week; None where nothing stands."""
        return self.cells.get((place, year, week))

    @property
    def over(self) -> tuple[RoomWeek, ...]:
        """The weeks in which a place is over-full, in order."""
        found = [x for x in self.cells.values() if x.over]
        return tuple(sorted(found, key=lambda x: (x.year, x.week, self.places.index(x.place))))

    @property
    def told(self) -> tuple[str, ...]:
        """The over-full weeks in words."""
        several = len({year for year, _ in self.weeks}) > 1
        return tuple(x.words(several) for x in self.over)


def shelf_room(book: Book, stays: Iterable[Stay]) -> ShelfRoom:
    """The room on each place of a farm against the trays that stand and are planned.

    A tray takes its room in every ISO week in which it stands on any day. A stay of no trays, or that ends
    before it begins, takes none.
    """
    places = book.farm.places
    names = {fold(p): p for p in places}
    held: dict[tuple[str, int, int], list[Stay]] = defaultdict(list)
    for stay in stays:
        place = names.get(fold(bare(stay.place)), stay.place)
        for year, week in _weeks(stay.first, stay.last) if stay.trays > 0 else ():
            held[place, year, week].append(stay)
    found = {place for place, _, _ in held}
    cells = {
        (place, year, week): RoomWeek(
            place, year, week, sum(s.trays for s in some), room_of(places, place), tuple(some)
        )
        for (place, year, week), some in held.items()
    }
    mondays = [x.monday for x in cells.values()]
    weeks = _weeks(min(mondays), max(mondays)) if mondays else ()
    order = [p for p in names.values() if p in found]
    return ShelfRoom(weeks, (*order, *sorted(found - set(order))), cells)


def _weeks(first: dt.date, last: dt.date) -> tuple[tuple[int, int], ...]:
    """(year, week) of every ISO week from one day to another."""
    monday = first - dt.timedelta(days=first.weekday())
    out = []
    while monday <= last and first <= last:
        year, week, _ = monday.isocalendar()
        out.append((year, week))
        monday += dt.timedelta(days=7)
    return tuple(out)


def room_of(places: Mapping[str, Mapping[str, str]], place: str) -> int | None:
    """How many trays a place has room for, as farm.yaml says; None where it doesn't."""
    said = next((v for k, v in places.items() if fold(k) == fold(place)), {})
    number = re.match(r"\s*(\d+)", next((v for k, v in said.items() if fold(k) == "trays"), ""))
    return int(number[1]) if number else None


def standing_stays(figures: FarmFigures) -> tuple[Stay, ...]:
    """What stands now, from today: until it has had its weeks from sowing to planting out, as the handbook has
    them at the longest (else eight), and for this week at least. Damp paper takes no tray."""
    return tuple(
        stay for x in standing(figures) if (stay := _stay(figures, figures.sowings[x.code], x))
    )


def _stay(figures: FarmFigures, s: SowingFigures, x: Standing) -> Stay | None:
    trays = _trays(s, x)
    if not trays:
        return None
    book = figures.kept.book
    fact = book.fact(s.sowing.crop)
    weeks = fact.indoors_weeks[1] if fact and fact.indoors_weeks else _WEEKS
    until = s.sowing.sown_on + dt.timedelta(days=round(7 * weeks))
    return Stay(x.place, book.as_of, max(until, book.as_of), trays, f"{x.crop}, {x.code}")


def _trays(s: SowingFigures, x: Standing) -> int:
    """Trays of one stand: cells by the size of a tray where it was sown, plants by it where they were moved to."""
    sown = x.share is not None
    into = s.sowing.container if sown else container(_SECOND.sub("", x.stand))
    if sown and (s.sowing.measure == "sprouted" or into is None):
        return 0 if s.sowing.measure == "sprouted" else 1
    full = _holds(into)
    if not full:
        return 1
    many = (s.sowing.cells or full) * (x.share or 0) if sown else (x.plants or 0)
    return math.ceil(many / full - 1e-9)


def _holds(into: Container | None) -> int | None:
    """How many go on one tray's place; None where that can't be told, and it is taken for one tray."""
    if into is None:
        return None
    return into.size or _IN_A_TRAY.get(into.kind)
