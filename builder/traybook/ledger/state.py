"""Where a sowing's plants are: where it was sown, and the stands taken from it."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field, replace

from traybook.ledger.model import Check, Planting, Potting, Stand
from traybook.ledger.running import Part, Running, rests_on
from traybook.ledger.sowings import Sowing
from traybook.records.containers import bare, container
from traybook.text.names import fold

_DIGIT = re.compile(r"\d")
_WHERE_SOWN = frozenset(
    ("where sown", "sowing tray", "seed tray", "tray", "flat", "the tray", "mother tray", "paper")
)


@dataclass(slots=True)
class State:
    """All that a visit may change; copied before each, so that a visit can be given up whole."""

    sowing: Sowing
    main: Running
    cells: Running | None
    stands: list[Stand] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    pottings: list[Potting] = field(default_factory=list)
    plantings: list[Planting] = field(default_factory=list)
    sold: int = 0
    given: int = 0
    spare: int = 0
    thinned: int = 0
    seeds_lost: int = 0
    seeds_lost_to: list[tuple[int, str]] = field(default_factory=list)
    closed: dt.date | None = None
    finished: dt.date | None = None
    resown: tuple[dt.date, Running, Running | None] | None = None
    per_mm: float | None = None
    row_plants: list[tuple[dt.date, float]] = field(default_factory=list)

    @staticmethod
    def of(sowing: Sowing) -> State:
        """Before anything came up."""
        place = Part(sowing.place)
        if sowing.several:
            limit = None if sowing.about else (sowing.cells or 0) * (sowing.high or 1)
            limit = sowing.seeds if sowing.low == sowing.high and not sowing.about else limit
            return State(
                sowing,
                Running("seedlings", limit, parts=[place]),
                Running("cells", sowing.cells, parts=[replace(place)]),
            )
        if sowing.measure == "bought in":
            n = sowing.seeds or 0
            place.standing = n
            return State(sowing, Running("plants", sowing.limit, emerged=n, parts=[place]), None)
        unit = {"sprouted": "sprouted seeds", "corm": "plants", "stand": "plants"}.get(
            sowing.measure, "seedlings"
        )
        if sowing.seeds is None and sowing.cells is not None:
            unit = "cells"
        return State(sowing, Running(unit, sowing.limit, parts=[place]), None)

    def copy(self) -> State:
        """A copy whose changes leave this one as it is."""
        return replace(
            self,
            main=self.main.copy(),
            cells=self.cells.copy() if self.cells else None,
            stands=[replace(s) for s in self.stands],
            checks=list(self.checks),
            pottings=list(self.pottings),
            plantings=list(self.plantings),
            seeds_lost_to=list(self.seeds_lost_to),
            row_plants=list(self.row_plants),
        )

    def resow(self, day: dt.date, seeds: int | None) -> None:
        """Note what had come up before `seeds` more were put into empty cells; the first time is
        what counts."""
        if self.resown is None:
            self.resown = (day, self.main.copy(), self.cells.copy() if self.cells else None)
        limit = self.main.limit
        self.main.limit = limit + seeds if limit is not None and seeds is not None else None

    @property
    def row_mm(self) -> float | None:
        """Length of all rows of a direct sowing together."""
        w = self.sowing
        return w.length_mm * (w.rows or 1) if w.length_mm else None

    def row(self, day: dt.date, per_mm: float, share: float = 1.0) -> int | None:
        """So many plants a millimetre in a share of the row: about how many stand in all of it."""
        self.per_mm = per_mm
        if self.row_mm is None:
            return None
        self.row_plants.append((day, per_mm * self.row_mm * share))
        return round(self.row_plants[-1][1])

    @property
    def first(self) -> Running:
        """The count that tells what stands where it was sown: seedlings, else cells."""
        return rests_on(self.main, self.cells)

    @property
    def empty(self) -> bool:
        """Nothing stands any more where it was sown."""
        return self.closed is not None or (self.first.standing == 0 and self.first.emerged > 0)

    @property
    def over(self) -> Running | None:
        """The count that went past what was sown."""
        return next((t for t in (self.main, self.cells) if t and t.over()), None)

    def find(self, words: str) -> list[int]:
        """The later stands that words can mean, newest last; those with a place of that name too."""
        flat = fold(bare(words))
        exact = [
            i for i, s in enumerate(self.stands) if s.closed is None and fold(bare(s.name)) == flat
        ]
        if exact:
            base = {fold(bare(self.stands[i].name)) for i in exact}
            return [
                i
                for i, s in enumerate(self.stands)
                if s.closed is None and (_base(s.name) in base or i in exact)
            ]
        return [
            i
            for i, s in enumerate(self.stands)
            if s.closed is None and (_like(s.name, words) or fold(s.place) == flat)
        ]

    def is_sown(self, words: str) -> bool:
        """True when words mean where it was sown."""
        held = self.sowing.container
        flat = fold(bare(words))
        if held and (held.like(words) or fold(bare(held.name)) == flat):
            return True
        return flat in _WHERE_SOWN or self.part(words) is not None

    def part(self, words: str) -> int | None:
        """Which part of where it was sown stands at a place."""
        flat = fold(bare(words))
        for i, part in enumerate(self.main.parts):
            if part.place and (fold(bare(part.place)) == flat or flat in fold(part.place).split()):
                return i
        if len(self.main.parts) == 2 and not self.main.parts[0].place:
            return 0
        return None

    def newest(self, n: int | None = None, beds: bool = True) -> int | None:
        """The newest stand with plants, with at least `n` of them; before `beds` only if asked."""
        for i in range(len(self.stands) - 1, -1, -1):
            s = self.stands[i]
            if s.closed is None and s.alive >= (n if n is not None else 1) and (beds or not s.bed):
                return i
        return None

    def name(self, into: str, bed: bool) -> str:
        """A new stand's name: as the grower named it, with a number for a second one."""
        wanted = into or ("bed" if bed else "pots")
        used = {fold(s.name) for s in self.stands}
        name, n = wanted, 1
        while fold(name) in used:
            n += 1
            name = f"{wanted} {n}"
        return name

    def put(self, into: str, n: int, day: dt.date, bed: bool, join: bool = False) -> int:
        """Put `n` plants into a stand, a new one unless they join one of that name."""
        if join:
            for i, stand in enumerate(self.stands):
                same = fold(stand.name) == fold(into) or (
                    not _DIGIT.search(into) and _like(stand.name, into)
                )
                if stand.closed is None and same and not stand.bed:
                    stand.entered += n
                    stand.alive += n
                    return i
        self.stands.append(Stand(self.name(into, bed), day, bed, n, n))
        return len(self.stands) - 1


def _base(name: str) -> str:
    """A stand's name without the number of a second one."""
    words = fold(bare(name)).split()
    return " ".join(words[:-1]) if len(words) > 1 and words[-1].isdigit() else " ".join(words)


def _like(name: str, words: str) -> bool:
    flat, ours = fold(bare(words)), fold(bare(name)).split()
    held = container(name)
    if held and held.like(words):
        return True
    return flat in ours or flat.removesuffix("s") in [x.removesuffix("s") for x in ours]
