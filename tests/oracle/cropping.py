"""What happens to the plants of a generated sowing after they are up: pots, beds, cuts, the end."""

from __future__ import annotations

from .events import Checked, Finished, Harvested, Loss, Part, Parted, Planted, Potted, Thinned

POTS = ("50s", "72s", "40-cell tray", "4 in pots")
WHOM = ("Marnie", "the plant stall", "Old Tobit")
ENDS = ("over", "done for the year", "frost", "gone to seed")
EARLY = ("mice", "dried out", "dropped the tray", "given up", "mislabelled", "no room")


class Later:
    """The stands outside the tray, as far as the generator must know them: name -> plants alive."""

    def __init__(self, bench):
        self.b, self.rng = bench, bench.rng
        self.pots: dict[str, int] = {}
        self.beds: dict[str, int] = {}

    def pot(self, name: str, n: int) -> None:
        self.pots[name] = self.pots.get(name, 0) + n

    def only_able(self, n: int) -> str | None:
        """The pot stand an unsaid source must mean: the tray holds too few, one stand enough."""
        able = [k for k, v in self.pots.items() if v >= n]
        return able[0] if len(able) == 1 and self.b.holds() < n and self.empty() else None

    def empty(self) -> bool:
        """Nothing left where sown, beyond doubt in either tally."""
        return not self.b.many and self.b.holds() == 0 and self.b.plants.standing == 0


def later_life(b) -> None:
    rng, life = b.rng, Later(b)
    if b.holds() <= 0 or rng.random() < 0.12:
        _early_end(b)
        return
    if b.sown.kind == "direct":
        _direct(b)
        return
    if b.many and b.by_seedlings and b.cells.counted and b.plants.standing > b.cells.standing > 0:
        out = b.plants.standing - b.cells.standing
        b.add(Thinned, out=out)
        b.plants.visit(b.on, 0, None, out)
        b.later(2, 8)
    if b.sown.kind == "paper":
        _off_the_paper(b, life)
    elif rng.random() < 0.5:
        _pot_up(b, life)
    if rng.random() < 0.35:
        _part_with(b, life)
    for _ in range(rng.choice([0, 1, 1, 1, 2])):
        _plant(b, life)
    _look_after(b, life)
    if life.beds:
        _cut(b, life)
    if rng.random() < 0.6:
        b.later(5, 30)
        b.add(Finished, rng.choice(ENDS))


def _early_end(b) -> None:
    if b.rng.random() < 0.6:
        b.later(5, 40)
        b.add(Finished, b.rng.choice(EARLY))


def _direct(b) -> None:
    rng = b.rng
    if rng.random() < 0.4:
        b.add(Thinned, spacing_cm=rng.choice([10, 15, 20]))
    elif rng.random() < 0.4 and b.holds() > 6:
        out = b.holds() // 3
        b.add(Thinned, out=out)
        b.take(out)
    life = Later(b)
    if rng.random() < 0.7:
        _cut(b, life)
    if rng.random() < 0.6:
        b.later(5, 30)
        b.add(Finished, rng.choice(ENDS))


def _off_the_paper(b, life: Later) -> None:
    """Sprouted seeds go to a tray in the check itself, perhaps in two goes."""
    rng, tray = b.rng, "72-cell tray"
    n = b.holds() if rng.random() < 0.7 else max(1, b.holds() // 2)
    b.add(Checked, b.holds(), moves=((n, tray),))
    b.plants.visit(b.on, 0, b.holds(), n)
    life.pot(tray, n)
    if b.holds() > 0:
        b.later(2, 4)
        n = b.holds()
        b.add(Checked, moves=((n, tray),))
        b.take(n)
        life.pot(tray, n)
    b.later(4, 10)
    if rng.random() < 0.5:
        _alive(b, life, life.pots, tray)
    b.later(3, 10)


def _pot_up(b, life: Later) -> None:
    rng = b.rng
    first, second = rng.sample(POTS, 2)
    n = b.holds() if rng.random() < 0.6 else max(1, b.holds() * 2 // 3)
    left = b.holds() - n
    more = {"left": left} if left and not b.many and rng.random() < 0.5 else {}
    b.add(Potted, n, first, pricked=rng.random() < 0.5, **more)
    b.take(n)
    life.pot(first, n)
    b.later(4, 12)
    if rng.random() < 0.4:
        _alive(b, life, life.pots, first)
        b.later(1, 5)
    if rng.random() < 0.35 and life.pots[first] > 3:
        n = life.pots[first] // 2 if rng.random() < 0.6 else life.pots[first]
        b.add(Potted, n, second, source=first)
        life.pots[first] -= n
        life.pot(second, n)
        b.later(5, 12)


def _part_with(b, life: Later) -> None:
    """Sold, given away or put by, where it is plain which plants are meant."""
    how = b.rng.choice(["sold", "gave", "spare"])
    n = b.rng.randint(1, 6)
    stand = None if b.holds() >= n else life.only_able(n)
    if b.holds() < n and not stand:
        return
    b.add(Parted, how, n, whom=b.rng.choice(WHOM) if how != "spare" else None)
    if stand:
        life.pots[stand] -= n
    else:
        b.take(n)
    b.later(1, 6)


def _plant(b, life: Later) -> None:
    rng = b.rng
    free = [name for name in ("bed 1", "bed 2", "bed 3", "long bed") if name not in life.beds]
    pots = [k for k, v in life.pots.items() if v > 1]
    source = rng.choice(pots) if pots and (b.holds() < 2 or rng.random() < 0.7) else None
    have = life.pots[source] if source else b.holds()
    if have < 2 or not free:
        return
    n = have if rng.random() < 0.6 else have // 2 + 1
    spare = rng.randint(1, 5) if have - n > 5 and rng.random() < 0.4 else None
    said = source
    if source and life.only_able(n + (spare or 0)) == source and rng.random() < 0.5:
        said = None
    cuts = [n]
    if n > 8 and len(free) > 1 and rng.random() < 0.3 and said is None:
        cuts = [n // 3, n - n // 3]
    beds = rng.sample(free, len(cuts))
    left = have - n - (spare or 0)
    more = {"left": left} if not source and left > 0 and not b.many and rng.random() < 0.3 else {}
    b.add(
        Planted,
        tuple(_planting(rng, k, bed) for k, bed in zip(cuts, beds, strict=False)),
        source=said,
        spare=spare,
        **more,
    )
    if source:
        life.pots[source] -= n + (spare or 0)
    else:
        b.take(n + (spare or 0))
    life.beds.update(zip(beds, cuts, strict=False))
    b.later(3, 20)


def _planting(rng, n: int, bed: str) -> Part:
    spaced = rng.random() < 0.6
    return Part(
        n,
        bed,
        rng.choice([None, 2, 3, 4]),
        rng.choice([15, 20, 23]) if spaced else None,
        rng.choice([20, 25, 30]) if spaced and rng.random() < 0.8 else None,
        rng.choice([None, None, 3.0, 4.5]),
    )


def _look_after(b, life: Later) -> None:
    for bed in list(life.beds):
        if b.rng.random() < 0.5:
            b.later(3, 25)
            _alive(b, life, life.beds, bed)


def _alive(b, life: Later, where: dict[str, int], name: str) -> None:
    """A count of a later stand, perhaps with a loss; the place goes unsaid only if alone."""
    rng = b.rng
    live = [k for k, v in (*life.pots.items(), *life.beds.items()) if v > 0]
    alone = live == [name] and life.empty()
    have = where[name]
    lost = rng.randint(1, max(1, have // 6)) if have > 4 and rng.random() < 0.4 else 0
    quiet = rng.randint(0, min(3, have - lost - 1)) if have - lost > 1 and rng.random() < 0.3 else 0
    said = None if alone and rng.random() < 0.5 else name
    lost_at = name if b.sown.kind == "paper" else said
    losses = (Loss(lost, None, lost_at, rng.choice(["slugs", "frost", "heat"])),) if lost else ()
    if lost and rng.random() < 0.3:
        b.add(Checked, losses=losses)
        where[name] = have - lost
        return
    b.add(Checked, alive=have - lost - quiet, where=said, losses=losses, bare_ok=said is None)
    where[name] = have - lost - quiet


def _cut(b, life: Later) -> None:
    """Cuts from the beds, weeks after planting."""
    rng, sown = b.rng, b.sown
    b.later(25, 60)
    for _ in range(rng.randint(0, 5)):
        b.later(2, 7)
        more: dict = {}
        if rng.random() < 0.5:
            more["stems"] = rng.randint(5, 200)
        else:
            more["bunches"] = rng.randint(1, 20)
            more["size"] = rng.choice([None, 5, 10, 12])
            if rng.random() < 0.3:
                more["over"] = rng.randint(1, 4)
        if rng.random() < 0.2:
            more["rejected"] = rng.randint(1, 4)
            more["rejected_within"] = rng.random() < 0.5 and "stems" in more
        if rng.random() < 0.15:
            more["grade"] = rng.choice(["first", "second"])
        if life.beds and rng.random() < 0.3:
            more["bed"] = rng.choice(sorted(life.beds))
        b.events.append(
            Harvested(b.day, sown.crop, sown.code, by=rng.choice([None, *b.people]), **more)
        )
