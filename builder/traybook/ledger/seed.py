"""Seed before it is sown: lots with what came, was tested and is left, and treatments."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field

from traybook.ledger.sowings import Sowing
from traybook.records.book import Entry, Ref
from traybook.records.event import Event, Said
from traybook.records.settings import Farm
from traybook.text.names import fold
from traybook.text.scalars import day as read_day

#: Verbs of treatments, and what the treatment is called.
TREATMENTS = {
    "chilled": "cold",
    "soaked": "soaked",
    "nicked": "nicked",
    "warmed": "warm",
    "frozen": "frozen",
}
#: The same, as a `sown` line says it.
_SAID = {"stratified": "cold", "cold": "cold", "chill": "cold", "chilling": "cold", "stratification": "cold",
         "soak": "soaked", "soaking": "soaked", "scarified": "nicked", "warming": "warm", **TREATMENTS}  # fmt: skip
COLD = ("cold", "frozen")
_DAYS = {"week": 7.0, "wk": 7.0, "w": 7.0, "day": 1.0, "d": 1.0, "night": 1.0, "hour": 1 / 24, "hr": 1 / 24,
         "h": 1 / 24, "month": 30.0, "fortnight": 14.0, "overnight": 0.5, "over night": 0.5}  # fmt: skip
# common practice, no source: seed that came out of its treatment is sown within a few days
_SOON = 3
# How long a treatment lasts of which no length was said and no end was written.
_UNSAID = {"soaked": 1.0, "nicked": 0.0}


@dataclass(slots=True)
class Treatment:
    """A treatment of a lot, of a crop's seed or of a sowing.

    `start` is None when it was only said on a `sown` line or only its end was written; `out` its
    end; `planned` the length said, in days.
    """

    kind: str
    ref: Ref
    event: Event
    start: dt.date | None
    out: dt.date | None = None
    planned: float | None = None
    moisture: str = ""
    place: str = ""

    @property
    def due(self) -> dt.date | None:
        """The day its planned end falls on; None without a length of a day or more."""
        if self.start is None or self.planned is None or self.planned < 1:
            return None
        return self.start + dt.timedelta(days=round(self.planned))

    def last(self) -> dt.date | None:
        """The last day it can have lasted to; None while it is open with no end in sight."""
        if self.out is not None or self.start is None:
            return self.out
        length = self.planned if self.planned is not None else _UNSAID.get(self.kind)
        return None if length is None else self.start + dt.timedelta(days=length)

    def days(self, until: dt.date | None = None) -> float | None:
        """Its length in days, for seed taken out of it on `until`; None when that isn't known."""
        if self.kind == "nicked":
            return None
        if self.start is None:
            return self.planned
        if self.planned is not None and self.planned < 1:
            return self.planned
        ends = [d for d in (self.out, until) if d is not None]
        whole = [float((d - self.start).days) for d in ends]
        if self.out is None and self.planned is not None:
            whole.append(self.planned)
        return max(0.0, min(whole)) if whole else None


@dataclass(slots=True)
class Trial:
    """A few seeds of a lot put to the test: `n` of them, and what had come of it by its last look on day
    `on`. `begun` is the day they were put down, `medium` what on or in, as written."""

    on: dt.date
    n: int | None
    sprouted: int | None = None
    bad: int = 0
    done: bool = False
    begun: dt.date | None = None
    medium: str = ""


@dataclass(slots=True)
class Lot:
    """A seed lot. `left` is None while it isn't known how many seeds there were, and `unsure` is true
    from when seed came or went uncounted until what is left is counted; `received` is None unless all that
    came was counted."""

    lot: str
    crop: str
    variety: str
    supplier: str = ""
    packed_for: int | None = None
    received_on: dt.date | None = None
    received: int | None = None
    left: int | None = None
    coating: str = ""
    printed: float | None = None
    tests: list[Trial] = field(default_factory=list)
    unsure: bool = False

    @property
    def dressed(self) -> bool:
        """Treated with a pesticide."""
        return self.coating.startswith("dressed")

    @property
    def test(self) -> Trial | None:
        """The latest test with a result."""
        told = [t for t in self.tests if t.sprouted is not None]
        return told[-1] if told else None


@dataclass(frozen=True)
class Seed:
    """All lots by folded name, and all treatments in the order they began."""

    lots: dict[str, Lot]
    treatments: tuple[Treatment, ...]


def length_days(said: Said, on: dt.date, day_first: bool | None) -> float | None:
    """A length clause in days: `4 weeks`, `12 hours`, `overnight`, `until 15 Feb`."""
    unit = said.unit.lower()
    if (said.n and said.n.value is not None) or unit:
        number = said.n.value if said.n and said.n.value is not None else 1.0
        return number * _DAYS.get(unit.removesuffix("s"), _DAYS.get(unit, 1.0))
    words = said.text.lower().split()
    if words and words[-1] in _DAYS:
        return _DAYS[words[-1]]
    until = read_day(said.text, on + dt.timedelta(days=364), day_first).on if said.text else None
    return float((until - on).days) if until and until >= on else None


def said_on_sown(event: Event) -> list[Treatment]:
    """Treatments that a `sown` line tells of the seed: `soaked 12 hours`."""
    out = []
    for s in event.all("treated"):
        kind = _SAID.get(s.text.lower(), s.text.lower())
        length = length_days(s, event.on or dt.date.min, None) if s.n or s.unit else None
        out.append(Treatment(kind, Ref(), event, None, planned=length))
    return out


def seed_of(entries: Iterable[Entry], sowings: Iterable[Sowing], farm: Farm) -> Seed:
    """Lots and treatments of a book's used entries, which stand in the order of days."""
    lots: dict[str, Lot] = {}
    treatments: list[Treatment] = []
    sown = {(w.event.key, w.code): w for w in sowings}
    for entry in entries:
        if not entry.used or entry.event.on is None:
            continue
        if entry.event.verb in TREATMENTS:
            _treat(entry, treatments, farm)
        made = sown.get((entry.event.key, entry.ref.code))
        if made and made.lot:
            _sown(made, lots)
        elif entry.ref.kind == "lot":
            _lot_line(entry, lots, farm)
    return Seed(lots, tuple(treatments))


def _treat(entry: Entry, treatments: list[Treatment], farm: Farm) -> None:
    event, kind = entry.event, TREATMENTS[entry.event.verb]
    assert event.on is not None
    length = event.one("length")
    planned = length_days(length, event.on, farm.day_first) if length else None
    if event.one("out"):
        mine = [
            t for t in treatments if t.kind == kind and _same(t.ref, entry.ref) and t.out is None
        ]
        for t in mine:
            t.out = event.on
        if mine:
            return
        start = event.on - dt.timedelta(days=round(planned)) if planned and planned >= 1 else None
        treatments.append(Treatment(kind, entry.ref, event, start, event.on, planned))
        return
    moisture, place = event.one("moisture"), event.one("place")
    treatments.append(
        Treatment(kind, entry.ref, event, event.on, None, planned,
                  moisture.text.lower() if moisture else "", place.where if place else "")
    )  # fmt: skip


def _same(a: Ref, b: Ref) -> bool:
    if a.code or b.code:
        return a.code == b.code
    if a.lot or b.lot:
        return fold(a.lot) == fold(b.lot)
    return fold(a.crop) == fold(b.crop) and (not b.variety or fold(a.variety) == fold(b.variety))


def treatments_of(sowing: Sowing, treatments: Iterable[Treatment]) -> tuple[Treatment, ...]:
    """What was done to a sowing's seed and to the sowing itself, in order.

    Seed of its lot counts when it was sown while the treatment lasted or within three days of its
    end. Without a lot, a treatment of the crop's seed counts in the same way.
    """
    found = [t for t in treatments if _belongs(t, sowing)]
    return (*said_on_sown(sowing.event), *found)


def _belongs(t: Treatment, sowing: Sowing) -> bool:
    if t.ref.code:
        return t.ref.code == sowing.code
    if t.ref.lot:
        if fold(t.ref.lot) != fold(sowing.lot):
            return False
    elif (
        sowing.lot
        or fold(t.ref.crop) != fold(sowing.crop)
        or (t.ref.variety and fold(t.ref.variety) != fold(sowing.variety))
    ):
        return False
    last = t.last()
    begun = t.start is None or t.start <= sowing.sown_on
    return begun and (last is None or sowing.sown_on <= last + dt.timedelta(days=_SOON))


# -- lots


def _sown(sowing: Sowing, lots: dict[str, Lot]) -> None:
    """What was sown is gone from the lot; with an unknown number nobody knows what is left."""
    lot = lots.setdefault(fold(sowing.lot), Lot(sowing.lot, sowing.crop, sowing.variety))
    _less(lot, sowing.seeds)


def _less(lot: Lot, n: int | None) -> None:
    if lot.left is not None:
        lot.unsure = n is None
        lot.left = max(0, lot.left - n) if n is not None else None


def _lot_line(entry: Entry, lots: dict[str, Lot], farm: Farm) -> None:
    event, ref = entry.event, entry.ref
    lot = lots.setdefault(fold(ref.lot), Lot(ref.lot, ref.crop, ref.variety))
    lot.crop, lot.variety = lot.crop or ref.crop, lot.variety or ref.variety
    if event.verb in ("received", "have", "ordered"):
        _about_lot(lot, event)
    if event.verb == "received":
        _came(lot, event, seeds_told(event, farm, lot.crop))
    elif event.verb == "have":
        n = 0 if _none_left(event) else seeds_told(event, farm, lot.crop)
        lot.left, lot.unsure = (n, False) if n is not None else (lot.left, lot.unsure)
    elif event.verb == "finished":
        lot.left, lot.unsure = 0, False
    elif event.verb == "tested":
        _tested(lot, event)
    elif event.verb in TREATMENTS:
        _less(lot, _whole(event, "bad") or 0)


def _none_left(event: Event) -> bool:
    """`have LAR-25: none`, `none left`."""
    named = event.one("named")
    said = {fold(event.note), fold(named.text) if named else ""}
    return event.one("sold_out") is not None or bool(said & {"none", "nothing", "no seeds"})


def _came(lot: Lot, event: Event, n: int | None) -> None:
    """More seed of a lot. What came uncounted makes it unknown how many there are; what was sold out
    did not come."""
    if n is None and event.one("sold_out"):
        return
    counted = lot.received is not None or lot.received_on is None
    lot.received = (lot.received or 0) + n if n is not None and counted else None
    lot.received_on = lot.received_on or event.on
    if n is None or lot.unsure:
        lot.left, lot.unsure = None, True
    else:
        lot.left = (lot.left or 0) + n


def _tested(lot: Lot, event: Event) -> None:
    """A test begins with its number of seeds, or with a result out of a number that none has."""
    assert event.on is not None
    told, begun = event.one("up"), _whole(event, "seeds")
    n = told.of.whole if told and told.of else begun
    last = lot.tests[-1] if lot.tests and not lot.tests[-1].done else None
    fresh = last is None or begun is not None or (n is not None and last.n not in (None, n))
    if last is None or fresh:
        medium, place = event.one("medium"), event.one("place")
        where = medium.text if medium else place.where if place else ""
        last = Trial(event.on, n, begun=event.on, medium=where)
        lot.tests.append(last)
        _less(lot, n or 0)
    if told and told.n and told.n.whole is not None:
        last.sprouted, last.on = told.n.whole, event.on
    bad = _whole(event, "bad")
    last.bad += bad or 0
    last.done = last.done or event.one("done") is not None


def _whole(event: Event, name: str) -> int | None:
    said = event.one(name)
    return said.n.whole if said and said.n else None


def _about_lot(lot: Lot, event: Event) -> None:
    """Facts of a lot that a line tells; the first that says a thing is kept."""
    supplier, packed, coating = event.one("supplier"), event.one("packed"), event.one("coating")
    tested = event.one("tested")
    lot.supplier = lot.supplier or (supplier.text if supplier else "")
    lot.packed_for = lot.packed_for or (int(packed.text) if packed else None)
    lot.coating = lot.coating or (coating.text.lower() if coating else "")
    if lot.printed is None and tested and tested.n and tested.n.value is not None:
        share = (
            tested.n.value if tested.n.value <= 1 and not tested.n.percent else tested.n.value / 100
        )
        lot.printed = share if share <= 1 else None  # more than all of them can't be meant


def seeds_told(event: Event, farm: Farm, crop: str) -> int | None:
    """Seeds that a line tells: said, or packets of so many, or a weight where crops.yaml says how many
    seeds a gram holds; None where it tells none."""
    said = event.one("seeds")
    if said and said.n and said.n.value is not None:
        return round(said.n.value)
    packets = event.one("packets")
    if packets and packets.n and packets.n.value is not None and packets.of and packets.of.value:
        return round(packets.n.value * packets.of.value)
    grams, facts = event.one("grams"), farm.crops.get(fold(crop))
    if grams and grams.n and grams.n.value is not None and facts and facts.seeds_per_gram:
        return round(grams.n.value * facts.seeds_per_gram)
    return None
