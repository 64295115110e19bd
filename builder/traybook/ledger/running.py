"""One running count of what stands where it was sown, and what that says came up."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field, replace


@dataclass(slots=True)
class Part:
    """A part of a sowing where it was sown; a partial move makes a second one.

    `share` is the part of the whole sowing that stands here.
    """

    place: str
    share: float = 1.0
    standing: int = 0
    missing: int = 0


@dataclass(frozen=True, slots=True)
class Point:
    """The count after one visit: `census` for a full count, else evidence from takings or losses;
    `rose` when more stood than was left at the visit before, missing ones that came back too;
    `dated` is False where what it counts may have come up on any day before."""

    day: dt.date
    emerged: int
    rose: bool
    census: bool
    dated: bool = True


@dataclass(slots=True)
class Running:
    """The running count of one unit: seedlings, cells, sprouted seeds ...

    Always: emerged = standing + taken + lost + missing. `counted_on` is the day of the last full
    count, `rose_on` of the last rise; `made_good` turns true when missing ones turn up again.
    """

    unit: str
    limit: int | None
    emerged: int = 0
    lost: int = 0
    taken: int = 0
    made_good: bool = False
    counted_on: dt.date | None = None
    rose_on: dt.date | None = None
    parts: list[Part] = field(default_factory=lambda: [Part("")])
    points: list[Point] = field(default_factory=list)

    @property
    def standing(self) -> int:
        """Alive where it was sown, all parts together."""
        return sum(p.standing for p in self.parts)

    @property
    def missing(self) -> int:
        """What fell without a reason and hasn't been made good."""
        return sum(p.missing for p in self.parts)

    @property
    def at_least(self) -> bool:
        """True while something is missing, or after a rise that made missing ones good."""
        return self.missing > 0 or self.made_good

    @property
    def closes(self) -> bool:
        """The invariant; a test and the page print it."""
        return self.emerged == self.standing + self.taken + self.lost + self.missing

    def over(self) -> bool:
        """More came up than was sown."""
        return self.limit is not None and self.emerged > self.limit

    def copy(self) -> Running:
        """A copy to try a visit on."""
        return replace(self, parts=[replace(p) for p in self.parts], points=list(self.points))

    def _rise(self, part: Part, by: int) -> int:
        """`by` more than was known: missing ones come back first, the rest came up."""
        left = by
        for held in (part, *(p for p in self.parts if p is not part)):
            back = min(held.missing, left)
            held.missing -= back
            left -= back
        self.made_good = self.made_good or left < by
        self.emerged += left
        part.standing += by
        return left

    def lose(self, part: Part, n: int) -> int:
        """`n` plants lost; more than stood is itself evidence that more came up."""
        came = self._rise(part, n - part.standing) if n > part.standing else 0
        part.standing -= n
        self.lost += n
        return came

    def count(self, part: Part, n: int) -> int:
        """`n` stand here now; returns how many came up, negative for how many are missing."""
        change = n - part.standing
        if change >= 0:
            return self._rise(part, change)
        part.missing -= change
        part.standing = n
        return change

    def take(self, part: Part, n: int) -> int:
        """`n` leave; more than stood is itself evidence that more came up."""
        came = self._rise(part, n - part.standing) if n > part.standing else 0
        part.standing -= n
        self.taken += n
        return came

    def take_any(self, n: int) -> int:
        """`n` leave, from the fullest parts first."""
        came = 0
        left = n
        for part in sorted(self.parts, key=lambda p: -p.standing):
            here = min(left, part.standing)
            if here:
                self.take(part, here)
                left -= here
        if left:
            came = self.take(self.parts[0], left)
        return came

    def lose_any(self, n: int) -> int:
        """`n` lost, from the fullest parts first."""
        came = 0
        left = n
        for part in sorted(self.parts, key=lambda p: -p.standing):
            here = min(left, part.standing)
            if here:
                self.lose(part, here)
                left -= here
        if left:
            came = self.lose(self.parts[0], left)
        return came

    def count_all(self, n: int) -> int:
        """`n` stand in all parts together: the change goes to the fullest part, and a fall on to
        the next."""
        if len(self.parts) == 1:
            return self.count(self.parts[0], n)
        change = n - self.standing
        if change >= 0:
            full = max(self.parts, key=lambda p: p.standing)
            return self.count(full, full.standing + change)
        left = -change
        for part in sorted(self.parts, key=lambda p: -p.standing):
            fall = min(left, part.standing)
            self.count(part, part.standing - fall)
            left -= fall
        return change

    def split(self, source: Part, share: float, n: int, place: str) -> None:
        """Move `n` standing and `share` of the source's share to a place; both stay where sown."""
        goal = next((p for p in self.parts if p.place == place and p is not source), None)
        if goal is None:
            goal = Part(place, 0.0)
            self.parts.append(goal)
        n = min(n, source.standing)
        moved = source.share * share
        source.standing -= n
        source.share -= moved
        goal.standing += n
        goal.share += moved

    def gather(self, place: str) -> None:
        """All parts to one place."""
        whole = Part(place, 1.0, self.standing, self.missing)
        self.parts = [whole]

    def mark(self, day: dt.date, before: int, census: bool, rose: bool, dated: bool = True) -> None:
        """Note the count after a day's visit."""
        rose = rose or self.emerged > before
        self.points.append(Point(day, self.emerged, rose, census, dated))
        self.counted_on = day if census else self.counted_on
        self.rose_on = day if self.emerged > before else self.rose_on

    def known(self) -> bool:
        """Something was counted, or takings and losses showed that some came up."""
        return self.counted_on is not None or self.emerged > 0


def rests_on(main: Running, cells: Running | None) -> Running:
    """The count that figures rest on: seedlings where they were counted at or after the last rise
    in cells, else the cells."""
    if cells is None or not cells.known():
        return main
    if main.counted_on and (cells.rose_on is None or main.counted_on >= cells.rose_on):
        return main
    return cells
