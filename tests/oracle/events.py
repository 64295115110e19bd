"""What can happen on a small farm, as structured events.

These are facts, not text: the writer turns them into entry lines and the ledger works the figures
out from them, so neither depends on how a line is read.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from math import floor


@dataclass(frozen=True)
class CropFact:
    """One entry of crops.yaml; what is None isn't said there."""

    name: str
    varieties: tuple[str, ...] = ()
    days_to_sprout: tuple[int, int] | None = None
    late_next_year: bool | None = None
    bunch_size: int | None = None
    seeds_per_gram: int | None = None
    pre_treatment: str = ""


@dataclass(frozen=True)
class Place:
    name: str
    light: str


@dataclass(frozen=True)
class Bed:
    name: str
    length_m: int
    kind: str


@dataclass(frozen=True)
class Event:
    """Anything dated; `by` is the initials of whoever did it."""

    day: date
    by: str | None = field(default=None, kw_only=True)
    origin: Event | None = field(default=None, kw_only=True)

    @property
    def written(self) -> Event:
        """The event as it was written down, before anything set it right."""
        return self.origin.written if self.origin else self


@dataclass(frozen=True)
class Sown(Event):
    """A sowing opens.  `kind` is cells, open, paper, direct, corm or bought; `container` is as
    written.  `like` is the code of the sowing whose facts it takes over but for `changes`."""

    code: str
    crop: str
    kind: str
    container: str
    variety: str = ""
    cells: int | None = None
    seeds_said: int | None = None
    per_cell: int | None = None
    per_cell_to: int | None = None
    trays: int = 1
    cover_mm: int | None = None
    light: str | None = None
    place: str | None = None
    lot: str | None = None
    rows: int | None = None
    length: int | None = None
    unit: str = "ft"
    things: str = "plugs"
    dead: int = 0
    like: str | None = None
    changes: tuple[str, ...] = ()
    parent: str | None = None

    @property
    def per_cell_said(self) -> str | None:
        """`2`, or `2-3`."""
        return f"{self.per_cell}-{self.per_cell_to}" if self.per_cell_to else _word(self.per_cell)

    @property
    def each(self) -> float | None:
        """Seeds in a cell: as said (of `2-3` the middle), else the seeds shared over the cells if that
        comes out even."""
        if self.per_cell is not None:
            return (self.per_cell + self.per_cell_to) / 2 if self.per_cell_to else self.per_cell
        if self.cells and self.seeds_said and self.seeds_said % self.cells == 0:
            return self.seeds_said // self.cells
        return None

    @property
    def seeds(self) -> int | None:
        if self.seeds_said is not None:
            return self.seeds_said
        return floor(self.cells * self.each + 0.5) if self.cells and self.per_cell else None

    @property
    def cap(self) -> int | None:
        """The most that can come up of it: of a range its upper end in every cell."""
        return self.cells * self.per_cell_to if self.cells and self.per_cell_to else self.seeds


def _word(n: int | None) -> str | None:
    return None if n is None else str(n)


@dataclass(frozen=True)
class Loss:
    """N lost; `unit` None means the grower wrote no unit, `where` None means no place was named."""

    n: int
    unit: str | None = None
    where: str | None = None
    cause: str | None = None


@dataclass(frozen=True)
class Checked(Event):
    """A check.  `count` is of what stands where sown, `alive` of a later stand.

    `unit` None on cells of several seeds leaves the unit to the usual rule.
    `of` is the M of `N of M`; `tray` marks a count of one tray; `about` an estimate.
    `moves` are (number, container) taken from damp paper within the check itself.
    `bare_ok` tells the writer that the number may stand without a word after it.
    """

    code: str
    count: int | None = None
    unit: str | None = None
    seedlings: int | None = None
    of: int | None = None
    tray: int | None = None
    about: bool = False
    first_seen: bool = False
    left: int | None = None
    alive: int | None = None
    where: str | None = None
    losses: tuple[Loss, ...] = ()
    moves: tuple[tuple[int, str], ...] = ()
    bare_ok: bool = False


@dataclass(frozen=True)
class Moved(Event):
    """All of it, or a part (a number, or "half"), to another place."""

    code: str
    place: str
    part: int | str | None = None


@dataclass(frozen=True)
class Potted(Event):
    """Pricked out or potted on: N plants into a container."""

    code: str
    n: int
    into: str
    pricked: bool = False
    source: str | None = None
    left: int | None = None
    spare: int | None = None


@dataclass(frozen=True)
class Thinned(Event):
    code: str
    out: int | None = None
    spacing_cm: int | None = None
    per: int | None = None
    unit: str = "ft"


@dataclass(frozen=True)
class Part:
    """One planting of a planting-out: so many to one bed."""

    n: int
    bed: str
    rows: int | None = None
    in_row_cm: int | None = None
    between_cm: int | None = None
    length_m: float | None = None


@dataclass(frozen=True)
class Planted(Event):
    code: str
    parts: tuple[Part, ...]
    source: str | None = None
    left: int | None = None
    spare: int | None = None


@dataclass(frozen=True)
class Parted(Event):
    """Plants sold, given away or put by: `how` is sold, given or spare."""

    code: str
    how: str
    n: int
    whom: str | None = None
    source: str | None = None


@dataclass(frozen=True)
class Hardening(Event):
    codes: tuple[str, ...]
    stage: str = ""


@dataclass(frozen=True)
class Harvested(Event):
    """A cut, by code or (code None) by crop."""

    crop: str
    code: str | None = None
    stems: int | None = None
    bunches: int | None = None
    size: int | None = None
    over: int | None = None
    rejected: int | None = None
    rejected_within: bool = False
    grade: str | None = None
    bed: str | None = None


@dataclass(frozen=True)
class Finished(Event):
    """The sowing is over; with `where_only` just the place where it was sown is."""

    code: str
    reason: str
    where_only: str | None = None


@dataclass(frozen=True)
class Noted(Event):
    code: str
    text: str


@dataclass(frozen=True)
class Lot(Event):
    """Seed came (`have` False) or was counted over (`have` True)."""

    lot: str
    crop: str
    variety: str
    seeds: int
    have: bool = False
    supplier: str | None = None
    packed: int | None = None
    coating: str | None = None


@dataclass(frozen=True)
class SeedTest(Event):
    """Seed of a lot put down to test, or looked at: `up` of `n` have sprouted."""

    lot: str
    n: int
    up: int | None = None
    bad: int | None = None
    medium: str | None = None
    done: bool = False


@dataclass(frozen=True)
class Treated(Event):
    """A treatment of a lot or of a sowing begins, or (`out`) ends.

    `verb` is chilled, soaked, nicked, warmed or frozen; `length` is (number, unit) as said.
    """

    verb: str
    code: str | None = None
    lot: str | None = None
    length: tuple[int, str] | None = None
    moisture: str | None = None
    place: str | None = None
    n: int | None = None
    out: bool = False
    sprouted: int | None = None
    bad: int | None = None


@dataclass(frozen=True)
class Resown(Event):
    code: str
    cells: int
    per_cell: int


@dataclass(frozen=True)
class Density(Event):
    """A look at a drill: `n` plants in `length` feet or metres, here and there."""

    code: str
    n: int
    length: int = 1
    unit: str = "ft"
    places: int | None = None


@dataclass(frozen=True)
class Stretch(Event):
    """So much of a drill's whole length still has plants."""

    code: str
    n: int
    of: int
    unit: str = "ft"


@dataclass(frozen=True)
class Corrected(Event):
    """Another day's counts put right: `check` is what should have stood there, or `stems`."""

    code: str
    target: date
    check: Checked | None = None
    stems: int | None = None


@dataclass(frozen=True)
class Dropped(Event):
    code: str
    target: date
    why: str = ""


@dataclass(frozen=True)
class Swapped(Event):
    one: str
    other: str
    since: date


@dataclass(frozen=True)
class Renamed(Event):
    code: str
    variety: str


@dataclass(frozen=True)
class Bunch(Event):
    """The size of a bunch from a day on, for a crop or (crop None) the farm."""

    size: int
    crop: str | None = None


@dataclass(frozen=True)
class Aside(Event):
    """A line that changes no number: weather, temperature, keep, seen, netted and the like."""

    verb: str
    subject: str
    text: str


@dataclass(frozen=True)
class Farm:
    name: str
    latitude: int
    places: tuple[Place, ...]
    beds: tuple[Bed, ...]
    people: tuple[str, ...]
    crops: tuple[CropFact, ...]
    bunch_size: int
    harvest_unit: str
    events: tuple[Event, ...]
    rich: bool = False

    def crop(self, name: str) -> CropFact:
        return next((c for c in self.crops if c.name == name), CropFact(name))

    def sowing(self, code: str) -> Sown:
        return next(s for s in self.sowings() if s.code == code)

    def sowings(self) -> list[Sown]:
        return [e for e in self.events if isinstance(e, Sown)]
