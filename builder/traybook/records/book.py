"""The Book: every event of a farm in order, and the one place where privacy is decided."""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from traybook.handbook.facts import Fact, Handbook, sow_weeks
from traybook.handbook.parts import lasting
from traybook.records.event import Event, Prose, order
from traybook.records.plans import Plan
from traybook.records.settings import Crop, Farm
from traybook.records.temperatures import Day, joined, recorded
from traybook.text.names import fold

#: Verbs that begin a sowing.
STARTS = ("sown", "arrived")
#: Clauses whose words are nobody's business but the grower's.
# A comma within a number is part of it: `cost 1,200`, `cost 4,50`.
_COST = re.compile(r"[,;]?\s*\bcosts?\b(?:[^,;\n]|,(?=\d))*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Ref:
    """What an event is about: a sowing by `code`, a seed lot, or a crop, bed, place, mix or nothing
    in particular. `other` is the second sowing of a swap; `before` the crop and variety that a
    private line renamed, for those who may not see it."""

    kind: str = "none"
    code: str = ""
    crop: str = ""
    variety: str = ""
    bed: str = ""
    lot: str = ""
    place: str = ""
    other: str = ""
    before: tuple[str, str] | None = None

    @property
    def public(self) -> Ref:
        """As it may be shared."""
        if self.before is None:
            return self
        return replace(self, crop=self.before[0], variety=self.before[1], before=None)


@dataclass(frozen=True, slots=True)
class Entry:
    """An event and what it is about."""

    event: Event
    ref: Ref = Ref()

    @property
    def aside(self) -> bool:
        """True for an event that is set aside or waits."""
        return bool(self.event.fault) or self.event.waits

    @property
    def used(self) -> bool:
        """False for an event that is set aside, waits or was taken back."""
        return not self.aside and not self.event.void


@dataclass(frozen=True)
class Book:
    """All of a farm's records.

    `entries` are in the order of days, files and lines; `set_aside` holds the codes of sowings
    whose own line can't be used, `codes` those not yet written in the entries; `measured` the days that
    the files in entries/weather/ tell.
    """

    farm: Farm
    as_of: dt.date
    entries: tuple[Entry, ...] = ()
    prose: tuple[Prose, ...] = ()
    unwritten: frozenset[str] = frozenset()
    own: bool = True
    plans: tuple[Plan, ...] = ()
    handbook: Handbook = field(default_factory=lambda: Handbook({}), compare=False)
    measured: Mapping[dt.date, Day] = field(default_factory=dict, compare=False)
    _by_code: dict[str, tuple[Entry, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Index the entries by code once."""
        found: dict[str, list[Entry]] = defaultdict(list)
        for entry in self.entries:
            if entry.ref.code:
                found[entry.ref.code].append(entry)
        object.__setattr__(self, "_by_code", {k: tuple(v) for k, v in found.items()})

    def of(self, code: str) -> tuple[Entry, ...]:
        """The entries about one sowing, used or not."""
        return self._by_code.get(code, ())

    def published(self, crop: str) -> Fact | None:
        """What the handbook alone says of a kind, under any name the farm has for it."""
        own = self.farm.crops.get(fold(crop))
        return self.handbook.of([crop, *(own.spellings if own else ())])

    def fact(self, crop: str) -> Fact | None:
        """What is known of a kind: the farm's own facts before the handbook's."""
        own = self.farm.crops.get(fold(crop))
        fact = self.published(crop)
        return fact if own is None else _own_first(own, fact or Fact(own.name))

    @property
    def codes(self) -> tuple[str, ...]:
        """Every code that has entries, in the order of their first one."""
        return tuple(self._by_code)

    @cached_property
    def temperatures(self) -> dict[dt.date, Day]:
        """Lowest and highest of each day up to the book's, in Celsius: the farm's own `weather` lines
        before the files in entries/weather/."""
        said = recorded((e.event for e in self.entries if e.used), self.farm.units == "imperial")
        days = sorted({*self.measured, *said})
        none: Day = (None, None)
        return {
            on: joined(self.measured.get(on, none), said.get(on, none))
            for on in days
            if on <= self.as_of
        }

    @property
    def last_day(self) -> dt.date | None:
        """The day of the latest entry that is used."""
        return max((e.event.on for e in self.entries if e.used and e.event.on), default=None)

    def shared(self) -> Book:
        """The book as helpers and the public may see it: nothing private is left in it.

        A line is private when it says so, when its file does, or when its sowing's own line is;
        who plants were sold or given to and what things cost are cut out of the words.
        """
        secret = {
            e.ref.code
            for e in self.entries
            if e.event.verb in STARTS and e.event.private and e.ref.code
        }
        kept = [
            Entry(_public(e.event, self.farm), e.ref.public)
            for e in self.entries
            if not e.event.private and e.ref.code not in secret and e.ref.other not in secret
        ]
        farm = replace(
            self.farm,
            latitude=None if self.farm.latitude is None else float(round(self.farm.latitude)),
            longitude=None if self.farm.longitude is None else float(round(self.farm.longitude)),
        )
        prose = tuple(replace(p, by=_who(p.by, self.farm)) for p in self.prose if not p.private)
        return replace(self, farm=farm, entries=tuple(kept), prose=prose, own=False)


def _own_first(own: Crop, fact: Fact) -> Fact:
    """A kind's facts with the farm's own word before the handbook's."""
    indoors, out = own.indoors_weeks or fact.indoors_weeks, own.out_weeks or fact.out_weeks
    moved = own.indoors_weeks or own.out_weeks
    late, treatment = own.late_for_next_year, own.pre_treatment
    return replace(
        fact,
        light=own.light or fact.light,
        days=own.sprout_days or fact.days,
        depth_mm=fact.depth_mm if own.cover_mm is None else own.cover_mm,
        keeps_years=own.keeps_years or fact.keeps_years,
        pre_treatment=fact.pre_treatment if treatment is None else treatment,
        treatment_days=fact.treatment_days if treatment is None else lasting(treatment or "none"),
        bloom_days=own.bloom_days or fact.bloom_days,
        stems=own.stems or fact.stems,
        indoors_weeks=indoors,
        out_weeks=out,
        sow_weeks=sow_weeks(indoors, out) if moved else fact.sow_weeks,
        spacing_cm=own.spacing_cm or fact.spacing_cm,
        late_for_next_year=fact.late_for_next_year if late is None else late,
    )


def _who(by: str, farm: Farm) -> str:
    """A person as may be published: initials where the farm says so."""
    if not farm.initials_only or len(by) <= 3:
        return by
    return "".join(part[0] for part in by.split())


def _public(event: Event, farm: Farm) -> Event:
    """An event without names of buyers and without costs; of a sale only the numbers stay."""
    text, said, note = event.text, event.said, event.note
    if event.verb in ("sold", "gave"):
        said, note = tuple(replace(s, text="") for s in event.said), ""
        numbers = ", ".join(
            s.n.said() + (f" from {s.where}" if s.where else "") for s in said if s.n
        )
        text = f"{event.verb} {event.subject}: {numbers}".rstrip(": ")
    if "cost" in text.lower():
        text, note = _COST.sub("", text), _COST.sub("", note)
    return replace(event, text=text, said=said, note=note, by=_who(event.by, farm))


def numbered(events: Iterable[Event]) -> tuple[Event, ...]:
    """Events in order, each with its number in its day's file order; subjects of one line share
    theirs."""
    out: list[Event] = []
    day: dt.date | None = None
    n, line = 0, ("", -1)
    for event in sorted(events, key=order):
        if not out or event.on != day:
            day, n, line = event.on, 0, ("", -1)
        if (event.at.path, event.at.start) != line:
            n, line = n + 1, (event.at.path, event.at.start)
        out.append(replace(event, n=n))
    return tuple(out)
