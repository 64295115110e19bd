"""Which sowing a line means: by its code, or by what fits one living sowing that day."""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from dataclasses import dataclass, field, replace

from traybook.findings.model import Finding, Label, offer
from traybook.ledger.naming import CODE, Codes, Crops, tidy
from traybook.records.book import Book, Entry, Ref
from traybook.records.containers import bare, container
from traybook.records.event import Event
from traybook.records.verbs import VERBS, near_verb
from traybook.text.names import fold, near
from traybook.text.source import Span

_VERB = {v.name: v for v in VERBS}


@dataclass(slots=True)
class _Living:
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


class _Resolver:
    def __init__(self, book: Book) -> None:
        self.book = book
        self.findings: list[Finding] = []
        self.crops = Crops(book)
        self.codes = Codes(book, self.crops, self.findings)
        self.living: dict[str, _Living] = {}
        self.by_crop: dict[str, list[_Living]] = defaultdict(list)
        self.by_variety: dict[str, list[_Living]] = defaultdict(list)
        self.ghosts = self.codes.set_aside
        for entry in self.codes.sown:
            self._add(entry)

    def _add(self, entry: Entry) -> None:
        event, ref = entry.event, entry.ref
        assert event.on is not None
        one = _Living(ref.code, ref.crop, ref.variety, event.on, entry, event.by)
        held = event.one("container")
        place = container(held.into, self.book.farm.bed_names()) if held else None
        if (place and place.kind in ("bed", "corms", "tubers")) or event.one("rows"):
            one.planted = event.on
            one.beds |= {fold(place.name)} if place and place.kind == "bed" else set()
        self.living[fold(ref.code)] = one
        self.by_crop[fold(ref.crop)].append(one)
        if ref.variety:
            self.by_variety[fold(ref.variety)].append(one)

    # -- one event

    def entry(self, event: Event) -> Entry:
        """The event with what it is about; what can't be told is set aside."""
        if event.doing:
            return Entry(event) if event.fault else self._doing(event)
        verb = _VERB[event.verb]
        if event.fault or event.on is None:
            return Entry(event, self._known(event))
        if verb.of == "any":
            return Entry(event, self._loose(event))
        if not event.subject and not (verb.of == "new sowing" and event.one("crop")):
            return self._fault(event, "no-subject", f"`{event.verb}` needs to know which sowing",
                               "write its code or its crop before the colon")  # fmt: skip
        entry = self._cut(event) if verb.of == "cut" else self._sowing(event)
        self._follow(entry)
        return entry

    def _follow(self, entry: Entry) -> None:
        """What a resolved line changes for those after it."""
        one = self.living.get(fold(entry.ref.code)) if entry.ref.code else None
        event = entry.event
        if one is None or not entry.used or event.on is None:
            return
        if event.verb == "finished" and not event.one("where"):
            one.finished = min(one.finished, event.on) if one.finished else event.on
        elif event.verb == "planted out":
            one.planted = min(one.planted, event.on) if one.planted else event.on
            one.beds |= {fold(s.into) for s in event.all("planted") if s.into}

    def _known(self, event: Event) -> Ref:
        """What a line that is set aside would be about, as far as its code says."""
        one = self.living.get(fold(tidy(event.subject)))
        return Ref("sowing", one.code, one.crop, one.variety) if one else Ref()

    def _loose(self, event: Event) -> Ref:
        """Notes and lessons may be about anything, or nothing."""
        one = self._by_code(event)
        if one:
            return Ref("sowing", one.code, one.crop, one.variety)
        crop, rest = self.crops.split(event.subject)
        if not crop:
            held = container(event.subject, self.book.farm.bed_names())
            return Ref("bed", bed=held.name) if held and held.kind == "bed" else Ref()
        fits = self._fits(crop, rest, event)
        if rest and len(fits) == 1:
            return Ref("sowing", fits[0].code, fits[0].crop, fits[0].variety)
        return Ref("crop", crop=crop, variety=rest)

    def _doing(self, event: Event) -> Entry:
        """An unknown verb with a known subject is a doing; without one it is asked about."""
        words = event.subject.split()
        for i in range(len(words) + 1):
            tail = " ".join(words[i:]).strip(" ,")
            ref = self._loose(replace(event, subject=tail)) if tail else Ref()
            if ref.kind != "none" or fold(bare(tail)) in self.book.farm.spots():
                return Entry(replace(event, subject=tail), ref)
        line = event.at.text.split("\n")[0].rstrip()
        whole = line.split(":")[0].strip()
        if self._subject_only(whole):
            at = Span(event.at.source, event.at.start, event.at.start + len(whole))
            verb = "harvested" if re.search(r"stems?|bunch|\db\b", line) else "checked"
            return self._fault(replace(event, subject_at=at), "unknown-verb", "this line doesn't say what was done",
                               f"put what was done first, as `{verb} {line[:60]}`")  # fmt: skip
        if near_verb(event.verb):
            return Entry(event)  # asked about where it was read
        if re.search(r"\d", event.text):
            close = near(event.verb, [v for v in _VERB if " " not in v])
            return self._fault(
                event,
                "unknown-verb",
                f"`{event.verb or whole}` is no verb, and no sowing, crop, bed or place is named here",
                offer(close)
                or "put what was done first, then a colon; plain words go under `noted:`",
            )
        self._find("odd-verb", event, f"`{event.verb or whole}` is no verb that counts, so it is kept as a note",
                   "write `noted:` before it, or name a sowing, crop, bed or place")  # fmt: skip
        return Entry(event)

    def _subject_only(self, words: str) -> bool:
        return bool(CODE.fullmatch(words)) or bool(self.crops.split(words)[0])

    # -- by code

    def _by_code(self, event: Event) -> _Living | None:
        """The sowing of a code; one signed by the later of two with that code is the later's."""
        code = fold(tidy(event.subject))
        signed = self.living.get(fold(f"{tidy(event.subject)}-{event.by}")) if event.by else None
        if signed and signed.by == event.by and fold(signed.code) in self.codes.renamed:
            return signed
        return self.living.get(code) or self.living.get(fold(self.codes.was.get(code, "")))

    def _sowing(self, event: Event) -> Entry:
        if event.verb == "sown":
            ref = self.codes.ref(event)
            return Entry(event, ref)
        one = self._by_code(event)
        if one:
            return self._by_day(event, one)
        if fold(tidy(event.subject)) in self.ghosts:
            return Entry(
                replace(event, fault="hangs", waits=True),
                Ref("sowing", self.ghosts[fold(tidy(event.subject))]),
            )
        crop, rest = self.crops.split(event.subject)
        if not crop:
            varieties = self.by_variety.get(fold(event.subject), [])
            if not varieties:
                return self._unknown(event)
            crop, rest = varieties[0].crop, event.subject
        return self._one_of(event, self._fits(crop, rest, event), crop)

    def _by_day(self, event: Event, one: _Living) -> Entry:
        ref = Ref("sowing", one.code, one.crop, one.variety)
        assert event.on is not None
        if event.on < one.on:
            self._find("before-sowing", event, f"this is dated {event.on}, but `{one.code}` was sown on {one.on}",
                       "check the day of either line", (Label(one.entry.event.at, "sown here"),), one.code)  # fmt: skip
            return Entry(replace(event, fault="before-sowing"), ref)
        return Entry(event, ref)

    def _unknown(self, event: Event) -> Entry:
        day = event.on or self.book.as_of
        codes = [x.code for x in self.living.values() if abs(x.on.year - day.year) < 2]
        if CODE.fullmatch(event.subject) or re.search(r"-\d", event.subject):
            return self._fault(event, "unknown-code", f"no sowing has the code `{event.subject}`",
                               offer(near(event.subject, codes)) or "check the code on the tray's tag")  # fmt: skip
        if re.match(r"[~\d]", event.subject):
            return self._fault(event, "unknown-subject", f"`{event.subject}` is no sowing or crop that is known here",
                               "the colon belongs after the sowing's code, before its numbers")  # fmt: skip
        names = [*self.crops.names, *codes]
        return self._fault(event, "unknown-subject", f"`{event.subject}` is no sowing or crop that is known here",
                           offer(near(event.subject, names)) or "write the code that stands on its `sown` line")  # fmt: skip

    # -- by what fits

    def _fits(self, crop: str, rest: str, event: Event) -> list[_Living]:
        """Living sowings of a crop that day, narrowed by a number or a variety."""
        day = event.on or self.book.as_of
        living = [x for x in self.by_crop.get(fold(crop), []) if x.alive(day)]
        rest = fold(rest)
        if not rest:
            return living
        if re.fullmatch(r"(?:no |nr |number |#)?\d+", rest):
            n = re.sub(r"\D", "", rest)
            return [x for x in living if re.search(rf"-0*{n}(?:-\w+)?$", x.code)]
        return [x for x in living if fold(x.variety) == rest] or [
            x
            for x in living
            if x.variety and (rest in fold(x.variety).split() or fold(x.variety).startswith(rest))
        ]

    def _one_of(self, event: Event, fits: list[_Living], crop: str) -> Entry:
        if len(fits) == 1:
            return Entry(event, Ref("sowing", fits[0].code, fits[0].crop, fits[0].variety))
        if fits:
            latest = max(fits, key=lambda x: (x.on, x.entry.event.at.order()))
            also = (Label(latest.entry.event.at, "the latest that fits"),)
            self._find("which-sowing", event, f"`{event.subject}` fits {len(fits)} sowings that were living on {event.on}",
                       offer(x.code for x in fits[:6]) + " write the code", also)  # fmt: skip
            return Entry(replace(event, fault="which-sowing", waits=True), Ref("crop", crop=crop))
        others = [x.code for x in self.by_crop.get(fold(crop), [])][-4:]
        self._find("no-sowing-fits", event, f"no sowing that fits `{event.subject}` was living on {event.on}",
                   offer(others) or "write its `sown` line first")  # fmt: skip
        return Entry(replace(event, fault="no-sowing-fits", waits=True), Ref("crop", crop=crop))

    # -- harvests

    def _cut(self, event: Event) -> Entry:
        """A harvest goes to a sowing by its code, or when just one planted sowing can be meant."""
        one = self._by_code(event)
        if one:
            return self._by_day(event, one)
        if fold(tidy(event.subject)) in self.ghosts:
            return Entry(
                replace(event, fault="hangs", waits=True),
                Ref("sowing", self.ghosts[fold(tidy(event.subject))]),
            )
        said = event.one("bed")
        bed = said.where if said else ""
        if fold(event.subject) in ("mix", "mixed", "mixed bunches", "bouquets"):
            return Entry(event, Ref("mix", bed=bed))
        held = container(event.subject, self.book.farm.bed_names())
        crop, rest = self.crops.split(event.subject)
        if not crop and held and held.kind == "bed":
            fits = [x for x in self.living.values() if self._stands(x, event, held.name)]
            return Entry(event, self._cut_ref(fits, Ref("bed", bed=held.name)))
        if not crop:
            return self._unknown(event)
        fits = [x for x in self._fits(crop, rest, event) if self._stands(x, event, bed)]
        number = bool(re.fullmatch(r"\D*\d+", rest))
        return Entry(
            event,
            self._cut_ref(fits, Ref("crop", crop=crop, variety="" if number else rest, bed=bed)),
        )

    def _stands(self, one: _Living, event: Event, bed: str) -> bool:
        assert event.on is not None
        planted = one.planted is not None and one.planted <= event.on
        return (
            planted
            and one.alive(event.on)
            and (not bed or fold(bare(bed)) in {fold(bare(b)) for b in one.beds})
        )

    def _cut_ref(self, fits: list[_Living], else_: Ref) -> Ref:
        if len(fits) != 1:
            return else_
        return Ref("sowing", fits[0].code, fits[0].crop, fits[0].variety, else_.bed)

    # -- findings

    def _find(self, name: str, event: Event, message: str, help_: str,
              also: tuple[Label, ...] = (), code: str = "") -> None:  # fmt: skip
        self.findings.append(
            Finding(name, message, event.subject_at, help_, also, (code,) if code else ())
        )

    def _fault(self, event: Event, name: str, message: str, help_: str) -> Entry:
        self.findings.append(Finding(name, message, event.subject_at, help_))
        return Entry(replace(event, fault=name))


def resolve(book: Book, events: tuple[Event, ...]) -> tuple[Book, list[Finding]]:
    """The book with every event's subject settled, in the order of days, files and lines."""
    resolver = _Resolver(replace(book, entries=tuple(Entry(e) for e in events)))
    entries = tuple(resolver.entry(e) for e in events)
    return replace(
        book, entries=entries, unwritten=frozenset(resolver.codes.unwritten)
    ), resolver.findings
