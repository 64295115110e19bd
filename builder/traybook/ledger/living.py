"""Which sowings were living on a day, and what they are called: what subjects are resolved by."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, field

from traybook.ledger.codes import Codes
from traybook.ledger.naming import narrowed, tidy
from traybook.records.book import Book, Entry, Ref
from traybook.records.containers import bare, container
from traybook.records.event import Event
from traybook.text.names import fold


@dataclass(slots=True)
class One:
    """What resolving needs to know of a sowing."""

    code: str
    crop: str
    variety: str
    on: dt.date
    entry: Entry
    by: str = ""
    finished: dt.date | None = None
    beds: set[str] = field(default_factory=set)
    planted: dt.date | None = None

    def alive(self, day: dt.date) -> bool:
        """Living by dates alone."""
        return self.on <= day and not (self.finished and self.finished < day)

    def stands(self, day: dt.date, bed: str) -> bool:
        """Planted by that day and not finished; in that bed, if one is named."""
        return (
            self.planted is not None
            and self.planted <= day
            and self.alive(day)
            and (not bed or fold(bare(bed)) in {fold(bare(b)) for b in self.beds})
        )

    @property
    def ref(self) -> Ref:
        """The sowing as what an event is about."""
        return Ref("sowing", self.code, self.crop, self.variety)


class Living:
    """Every sowing of a book by code, crop and variety."""

    def __init__(self, book: Book, codes: Codes) -> None:
        """Index the sowings that have a code."""
        self.beds, self.codes = book.farm.bed_names(), codes
        self.all: dict[str, One] = {}
        self.by_crop: dict[str, list[One]] = defaultdict(list)
        self.by_variety: dict[str, list[One]] = defaultdict(list)
        for entry in codes.sown:
            self.add(entry)

    def add(self, entry: Entry) -> One:
        """Take a sowing into the index."""
        event, ref = entry.event, entry.ref
        assert event.on is not None
        one = One(ref.code, ref.crop, ref.variety, event.on, entry, event.by)
        held = event.one("container")
        place = container(held.into, self.beds) if held else None
        if (place and place.kind in ("bed", "corms", "tubers")) or event.one("rows"):
            one.planted = event.on
            one.beds |= {fold(place.name)} if place and place.kind == "bed" else set()
        self.all[fold(ref.code)] = one
        self.by_crop[fold(ref.crop)].append(one)
        if ref.variety:
            self.by_variety[fold(ref.variety)].append(one)
        return one

    def of(self, code: str) -> One | None:
        """The sowing with exactly this code."""
        return self.all.get(fold(code)) if code else None

    def by_code(self, event: Event) -> One | None:
        """The sowing of a code; one signed by the later of two with that code is the later's."""
        code = fold(tidy(event.subject))
        signed = self.all.get(fold(f"{tidy(event.subject)}-{event.by}")) if event.by else None
        if signed and signed.by == event.by and fold(signed.code) in self.codes.renamed:
            return signed
        return self.all.get(code) or self.all.get(fold(self.codes.was.get(code, "")))

    def follow(self, entry: Entry) -> None:
        """What a resolved line changes for those after it."""
        one, event = self.of(entry.ref.code), entry.event
        if one is None or not entry.used or event.on is None:
            return
        if event.verb == "finished" and not event.one("where"):
            one.finished = min(one.finished, event.on) if one.finished else event.on
        elif event.verb == "planted out":
            one.planted = min(one.planted, event.on) if one.planted else event.on
            one.beds |= {fold(s.into) for s in event.all("planted") if s.into}

    def rename(self, ref: Ref) -> None:
        """A sowing that is called otherwise from now on."""
        one = self.all[fold(ref.code)]
        one.crop, one.variety = ref.crop, ref.variety
        for index, name in ((self.by_crop, ref.crop), (self.by_variety, ref.variety)):
            if one not in index[fold(name)]:
                index[fold(name)].append(one)

    def fits(self, crop: str, rest: str, day: dt.date) -> list[One]:
        """Living sowings of a crop that day, narrowed by a number or a variety."""
        living = [x for x in self.by_crop.get(fold(crop), []) if x.alive(day)]
        return narrowed(living, rest, lambda x: (x.code, x.variety))
