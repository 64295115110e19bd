"""What the walk through a sowing keeps: running counts, stands, and the state after a visit."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from .events import Part


@dataclass
class Tally:
    """A running count where sown: emerged = standing + taken + lost + missing, always."""

    standing: int = 0
    missing: int = 0
    emerged: int = 0
    fell: bool = False
    counted: bool = False
    last_count: int | None = None
    seen: int | None = None  # the number at the last count
    last_rise: int | None = None
    still: list[tuple[int, bool]] = field(default_factory=list)
    steps: list[tuple[int, int]] = field(default_factory=list)
    log: list[tuple[int, int]] = field(default_factory=list)

    def visit(self, day: int, lost: int, count: int | None, taken: int) -> None:
        """Losses, then the count, then takings.  A rise first makes good what was missing."""
        after = self.standing - lost
        seen = max(after, taken) if count is None else max(count, taken)
        rise = seen - after
        before = self.emerged
        if rise < 0:
            self.missing -= rise
            self.fell = True
        else:
            self.emerged += max(0, rise - self.missing)
            self.missing -= min(self.missing, rise)
        self.standing = seen - taken
        if count is not None:
            self.counted, self.last_count, self.seen = True, day, count
            if self.emerged > before:
                self.last_rise = day
            self.still.append((day, rise <= 0))
        elif rise > 0:
            self.still.append((day, False))
        if count is not None or self.emerged > before:
            self.steps.append((day, self.emerged))
        self.log.append((day, self.emerged))

    @property
    def known(self) -> bool:
        return self.counted or self.emerged > 0

    def emerged_on(self, day: int) -> int | None:
        """The running count after a day; None while nothing had been counted."""
        if not self.known or not self.steps or self.steps[0][0] > day:
            return None
        return [e for d, e in self.log if d <= day][-1]


@dataclass
class Stand:
    """A batch or a planting after it left the place where it was sown."""

    name: str
    bed: bool
    opened: date
    came: int
    part: Part | None = None
    alive: int = 0
    lost: int = 0
    missing: int = 0
    out: int = 0
    counted: bool = False

    def take(self, n: int) -> None:
        self.alive -= n
        self.out += n

    def lose(self, n: int) -> None:
        self.alive -= n
        self.lost += n

    def count(self, n: int) -> None:
        self.missing += self.alive - n
        self.alive, self.counted = n, True


@dataclass
class Hop:
    """One row of pottings.csv."""

    day: date
    n: int
    source: str
    into: str


@dataclass
class State:
    single: Tally = field(default_factory=Tally)
    cells: Tally = field(default_factory=Tally)
    seedlings: Tally = field(default_factory=Tally)
    stands: list[Stand] = field(default_factory=list)
    hops: list[Hop] = field(default_factory=list)
    checks: list[dict] = field(default_factory=list)
    parts: dict[str, int] = field(default_factory=dict)
    lost: int = 0
    seeds_lost: int = 0
    taken: int = 0
    potted: int = 0
    planted: int = 0
    twice: int = 0  # planted, and then sold, given or put by
    parted: dict[str, int] = field(default_factory=lambda: {"sold": 0, "given": 0, "spare": 0})
    some: list[int] = field(default_factory=list)
    none: list[int] = field(default_factory=list)
    census: int = 0
