"""How a generated sowing comes up, and how its grower looks at it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

from .cropping import later_life
from .events import Checked, Event, Loss, Moved, Noted, Parted, Sown
from .tally import Tally

SPOTS = ("shelf A", "shelf B", "cellar floor", "cold frame")
CAUSES = ("mice", "damping off", "slugs", "heat")
TEXTS = (
    "slow to start",
    "roots look good",
    "“worth growing again”, said Wren",
    "the tag’s fallen out",
    "patchy at the north end",
)


def by_whom(rng: Random, people) -> str | None:
    return rng.choice(people) if rng.random() < 0.3 else None


class Bench:
    """What the generator needs to know of a sowing while it writes its history."""

    def __init__(self, rng: Random, sown: Sown, people):
        self.rng, self.sown, self.people = rng, sown, people
        self.day = sown.day
        self.many = (sown.each or 1) > 1
        self.cells, self.plants = Tally(), Tally()
        self.cap = sown.cap if sown.cap is not None else sown.cells
        self.seen = self.counted = False
        self.parted: str | None = None
        self.by_seedlings = self.many and rng.random() < 0.5
        self.events: list[Event] = [sown]

    @property
    def on(self) -> int:
        return (self.day - self.sown.day).days

    def later(self, low: int, high: int) -> None:
        self.day += timedelta(days=self.rng.randint(low, high))

    def add(self, cls, *args, **more) -> None:
        self.events.append(
            cls(self.day, self.sown.code, *args, by=by_whom(self.rng, self.people), **more)
        )

    def holds(self) -> int:
        """Plants that may safely be taken from where it was sown."""
        if not self.many:
            return self.plants.standing
        if not self.by_seedlings:
            return self.cells.standing
        return (
            min(self.plants.standing, self.cells.standing)
            if self.cells.counted
            else self.plants.standing
        )

    def take(self, n: int) -> None:
        for tally in (self.cells, self.plants):
            tally.visit(self.on, 0, None, n)


def life(rng: Random, sown: Sown, people) -> list[Event]:
    b = Bench(rng, sown, people)
    _checks(b, rng.randint(2, 7))
    if b.parted:
        b.later(1, 3)
        b.add(Moved, rng.choice(SPOTS))
        b.parted = None
    if rng.random() < 0.2:
        b.later(1, 4)
        b.add(Noted, rng.choice(TEXTS))
    b.later(3, 15)
    later_life(b)
    return b.events


def _checks(b: Bench, visits: int) -> None:
    """Checks while it comes up: the truth follows a slow S, the grower sees it now and then."""
    rng, sown = b.rng, b.sown
    best = rng.choice([0.0, 0.3, 0.6, 0.8, 0.9, 0.95])
    half, width = rng.uniform(6, 16), rng.uniform(2, 6)
    seeds = b.cap if not b.many else sown.seeds
    due = [
        half + width * (rng.random() + rng.random() - 1)
        for _ in range(seeds)
        if rng.random() < best
    ]
    cell_of = [rng.randrange(sown.cells) for _ in due] if b.many else []
    close = rng.random() < 0.25
    for i in range(visits * 2 if close else visits):
        b.later(3 if i == 0 else 1, 9 if i == 0 else 2 if close else 6)
        up = sum(1 for d in due if d <= b.on)
        full = len({c for c, d in zip(cell_of, due, strict=False) if d <= b.on})
        _visit(b, up, full)
        if (
            not b.many
            and b.counted
            and b.holds() > 9
            and not b.parted
            and rng.random() < 0.04
            and sown.kind in ("cells", "open")
        ):
            b.later(1, 1)
            b.parted = rng.choice([p for p in SPOTS if p != _home(b)])
            b.add(Moved, b.parted, rng.choice(["half", rng.randint(2, b.holds() // 2)]))
            _parts(b)
            return
        if rng.random() < 0.06 and sown.kind in ("cells", "open"):
            b.add(Moved, rng.choice([p for p in SPOTS if p != _home(b)]))


def _home(b: Bench) -> str | None:
    moves = [e.place for e in b.events if isinstance(e, Moved) and e.part is None]
    return moves[-1] if moves else b.sown.place


def _parts(b: Bench) -> None:
    """After a part has gone elsewhere each count names its place, and the number never falls."""
    move = b.events[-1]
    n = b.holds() // 2 if move.part == "half" else move.part
    there = {b.parted: n, _home(b): b.holds() - n}
    for place in b.rng.sample(sorted(there), b.rng.randint(1, 2)):
        b.later(2, 5)
        new = b.rng.randint(0, max(0, min(4, b.cap - b.plants.emerged)))
        there[place] += new
        b.plants.visit(b.on, 0, sum(there.values()), 0)
        b.add(Checked, there[place], where=place)


def _visit(b: Bench, up: int, full: int) -> None:
    """One visit, in one of the ways that visits go."""
    rng = b.rng
    gone = b.plants.emerged - b.plants.standing - b.plants.missing
    count = max(0, up - gone)
    if up == 0:
        if rng.random() < 0.85:
            b.add(Checked, 0)
            _book(b, 0, 0, 0)
        return
    way = rng.random()
    if not b.seen and way < 0.08:
        b.seen = True
        b.add(Checked, first_seen=True)
        return
    if not b.counted and b.many and not b.by_seedlings and way < 0.1:
        return
    if way < 0.14 and b.counted:
        b.add(Checked, max(1, count // 10 * 10), about=True)
        return
    if way < 0.22 and b.counted and b.sown.kind != "direct":
        _sample(b, count, full)
        return
    if way < 0.28 and b.counted and b.holds() > 4:
        n = rng.randint(1, 3)
        if b.sown.kind == "paper":
            b.add(Checked, losses=(Loss(n, rng.choice([None, "seeds"]), None, "mould"),))
        else:
            b.add(Checked, losses=(_loss(b, n),))
            _book(b, None, None, n)
        return
    if way < 0.33 and b.counted and (b.sown.kind != "cells" or b.sown.each):
        _too_many(b)
        return
    _count(b, count, full)


def _loss(b: Bench, n: int) -> Loss:
    """Plants lost where sown, with or without the unit."""
    unit = None if b.rng.random() < 0.5 else "seedlings"
    return Loss(n, unit, None, b.rng.choice(CAUSES))


def _book(b: Bench, cells: int | None, plants: int | None, lost: int) -> None:
    b.cells.visit(b.on, 0, cells, 0)
    b.plants.visit(b.on, lost, plants, 0)


def _count(b: Bench, count: int, full: int) -> None:
    """A full count, perhaps with a loss that explains, a fall that nothing does, or seeds gone."""
    rng = b.rng
    lost = (
        rng.randint(1, 4)
        if b.counted and b.holds() > 8 and rng.random() < 0.2 and b.sown.kind != "paper"
        else 0
    )
    if rng.random() < 0.12 and b.counted:
        fall = rng.randint(1, 3)
        count, full = max(1, b.plants.standing - fall), max(1, b.cells.standing - fall)
    elif b.many and full < b.cells.standing:
        full = b.cells.standing
    count = max(1, min(count - lost, b.cap))
    losses = [_loss(b, lost)] if lost else []
    if rng.random() < 0.08 and b.sown.kind in ("paper", "open"):
        losses.append(Loss(rng.randint(1, 4), "seeds", None, "mould"))
    if rng.random() < 0.04:
        count = max(1, count // 2)
    more: dict = {
        "losses": tuple(losses),
        "bare_ok": (b.counted and b.holds() > 0) or b.sown.kind == "direct",
    }
    if b.many:
        _count_many(b, count, max(1, full), lost, more)
    else:
        if rng.random() < 0.4:
            more["of"] = b.cap if b.sown.kind != "direct" else None
        b.add(Checked, count, **more)
        _book(b, None, count, lost)
        _second_pair_of_eyes(b)
    b.seen = b.counted = True


def _count_many(b: Bench, count: int, full: int, lost: int, more: dict) -> None:
    """Cells of several seeds: cells alone, seedlings alone, or both."""
    rng = b.rng
    if not b.by_seedlings:
        if rng.random() < 0.4:
            more["of"] = b.sown.cells
        b.add(Checked, full, None if more.get("of") or rng.random() < 0.5 else "cells", **more)
        _book(b, full, None, lost)
        return
    count = max(count, full)
    if count > b.sown.cells and rng.random() < 0.3:
        more["of"] = b.sown.seeds if rng.random() < 0.5 else None
        b.add(Checked, count, None, **more)
        _book(b, None, count, lost)
    elif rng.random() < 0.3:
        b.add(Checked, count, "seedlings", **more)
        _book(b, None, count, lost)
    else:
        b.add(Checked, full, "cells", seedlings=count, **more)
        _book(b, full, count, lost)


def _second_pair_of_eyes(b: Bench) -> None:
    """Now and then somebody else counts the same tray on the same day and finds one fewer."""
    last = b.events[-1]
    if len(b.people) < 2 or b.rng.random() > 0.04 or last.count < 5 or last.losses:
        return
    b.events[-1] = replace(last, by=b.people[0])
    b.events.append(replace(last, by=b.people[1], count=last.count - 1, losses=()))


def _sample(b: Bench, count: int, full: int) -> None:
    if b.sown.trays > 1:
        size = b.sown.cells // b.sown.trays
        b.add(Checked, min(size, (full if b.many else count) // b.sown.trays), of=size, tray=1)
    else:
        whole = b.sown.cells or b.cap
        m = max(5, whole // 3)
        b.add(Checked, b.rng.randint(0, m) or 1, of=m)


def _too_many(b: Bench) -> None:
    """A visit that would carry emerged past what was sown: nothing of it counts."""
    over = b.cap - b.plants.emerged + b.plants.standing + b.plants.missing + b.rng.randint(1, 9)
    if b.many:
        over = max(over, b.sown.cap + 1)
    b.add(Checked, over, "seedlings" if b.many else None)
    if b.rng.random() < 0.25:
        b.add(Parted, "spare", 2)
