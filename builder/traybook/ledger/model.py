"""What the ledger makes of a sowing: frozen results."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from traybook.ledger.running import Running, rests_on
from traybook.ledger.seed import COLD, Treatment
from traybook.ledger.sowings import Sowing
from traybook.records.event import Event


@dataclass(slots=True)
class Stand:
    """Plants that left where they were sown: a potting or a planting.

    `name` is the place, container or bed the grower named, with ` 2` for a second one. Always:
    taken in = alive + lost + out + missing, where out is sold, given, spare and moved on.
    """

    name: str
    opened: dt.date
    bed: bool
    entered: int
    alive: int
    place: str = ""
    lost: int = 0
    out: int = 0
    missing: int = 0
    counted: dt.date | None = None
    closed: dt.date | None = None

    @property
    def closes(self) -> bool:
        """The invariant of a later stand."""
        return self.entered == self.alive + self.lost + self.out + self.missing


@dataclass(frozen=True, slots=True)
class Potting:
    """Plants that went into a pot or cell; `first` when they left where they were sown."""

    on: dt.date
    plants: int
    source: str
    into: str
    first: bool
    event: Event


@dataclass(frozen=True, slots=True)
class Planting:
    """Plants set in a bed, and which of the account's stands they make there."""

    on: dt.date
    plants: int
    bed: str
    rows: int | None
    spacing_mm: float | None
    between_mm: float | None
    length_mm: float | None
    stand: int
    good: bool
    event: Event


@dataclass(frozen=True, slots=True)
class Check:
    """One look at one stand on one day (a row of checks.csv)."""

    stand: str
    on: dt.date
    event: Event
    census: bool = False
    up: int | None = None
    left: int | None = None
    alive: int | None = None
    unit: str = ""
    sample_of: int | None = None
    lost: int = 0
    seeds_lost: int = 0
    taken: int = 0
    cause: str = ""
    by: str = ""
    bounds: str = ""


@dataclass(frozen=True, slots=True)
class Account:
    """A sowing with everything its lines came to.

    `main` is the count of single plants (seedlings, sprouted seeds); `cells` that of cells with at
    least one, None where it isn't kept apart. `echo` holds, by an event's key, how it was read;
    `treatments` what was done to it and its seed, `resown` the counts as they were when its empty
    cells were sown again, and the day; `row_plants` about how many stood in a direct sowing's rows.
    `aside` the events about it that are set aside or wait. `finished_on` closes it all,
    `sown_closed_on` only where it was sown.
    """

    sowing: Sowing
    main: Running
    cells: Running | None
    stands: tuple[Stand, ...]
    checks: tuple[Check, ...]
    pottings: tuple[Potting, ...]
    plantings: tuple[Planting, ...]
    sold: int
    given: int
    spare: int
    thinned: int
    seeds_lost: int
    seeds_lost_to: tuple[tuple[int, str], ...]
    finished_on: dt.date | None
    sown_closed_on: dt.date | None
    reason: str
    hardening: tuple[tuple[dt.date, str], ...]
    places: tuple[tuple[dt.date, tuple[tuple[str, float], ...]], ...]
    echo: dict[tuple[str, int], tuple[str, ...]]
    aside: tuple[Event, ...]
    events: tuple[Event, ...]
    treatments: tuple[Treatment, ...] = ()
    resown: tuple[dt.date, Running, Running | None] | None = None
    row_plants: tuple[tuple[dt.date, float], ...] = ()

    @property
    def began(self) -> dt.date:
        """The day from which speed is counted: out of the cold, where the sowing itself was in it and
        nothing was up before; else the day it was sown or came."""
        cold = self.out_of_cold
        return cold or self.sowing.sown_on

    @property
    def out_of_cold(self) -> dt.date | None:
        """The day the sowing came out of its cold, if that was before anything was up."""
        outs = [t.out for t in self.treatments
                if t.ref.code and t.kind in COLD and t.out and t.out > self.sowing.sown_on]  # fmt: skip
        seen = [p.day for t in (self.main, self.cells) if t for p in t.points if p.emerged > 0]
        seen += [c.on for c in self.checks if c.bounds == "some" and c.alive is None]
        last = max(outs, default=None)
        return last if last and all(last < d for d in seen) else None

    @property
    def code(self) -> str:
        """The sowing's code."""
        return self.sowing.code

    @property
    def good(self) -> int:
        """Good plants: planted + sold + given + spare."""
        return sum(p.plants for p in self.plantings if p.good) + self.sold + self.given + self.spare

    @property
    def growing(self) -> int:
        """Plants that still stand before any bed: they may yet become good plants."""
        pots = sum(s.alive for s in self.stands if not s.bed and s.closed is None)
        sown = rests_on(self.main, self.cells).standing if self.sown_closed_on is None else 0
        return pots + sown
