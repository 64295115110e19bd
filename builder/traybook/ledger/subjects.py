"""Which sowing a line means: by its code, or by what fits one living sowing that day."""

from __future__ import annotations

import re
from dataclasses import replace

from traybook.findings.model import Finding, Label, offer
from traybook.ledger.codes import Codes
from traybook.ledger.corrections import Swap, exchanged, settle, swaps_in
from traybook.ledger.living import Living, One
from traybook.ledger.lots import LotName, named_lots
from traybook.ledger.naming import CODE, Crops, tidy
from traybook.records.book import Book, Entry, Ref
from traybook.records.containers import bare, container
from traybook.records.event import Event
from traybook.records.verbs import VERBS, near_verb
from traybook.text.names import fold, near
from traybook.text.source import Span

_VERB = {v.name: v for v in VERBS}
# Days after its sowing in which a treatment of a crop can mean the sown tray rather than seed.
_JUST_SOWN = 14


class _Resolver:
    def __init__(self, book: Book, swaps: tuple[Swap, ...] = ()) -> None:
        self.book, self.swaps = book, swaps
        self.findings: list[Finding] = []
        self.crops = Crops(book)
        self.lots = named_lots(book)
        self.codes = Codes(book, self.crops, self.lots, self.findings)
        self.living = Living(book, self.codes)
        self.ghosts = self.codes.set_aside
        self.treated: dict[str, str] = {}

    # -- one event

    def entries(self, event: Event) -> list[Entry]:
        """The event with what it is about, and the sowing that it makes besides."""
        entry = exchanged(self.entry(event), self.swaps, self.living.of)
        self.living.follow(entry)
        if event.verb == "renamed" and entry.used:
            return [Entry(event, self._renamed(event, entry.ref))]
        if event.verb != "resown" or not entry.used:
            return [entry]
        parent = self.living.of(entry.ref.code)
        assert parent is not None
        secret = event.private or parent.entry.event.private
        ref = replace(self.codes.child(entry.ref, event), other=entry.ref.code)
        child = Entry(replace(event, private=secret), ref)
        self.living.add(child)
        return [entry, child]

    def _renamed(self, event: Event, ref: Ref) -> Ref:
        """The sowing under its real name: a variety, or a crop and variety."""
        said = event.one("name")
        words = said.text.strip("'\"") if said else event.note
        crop, rest = self.crops.split(words)
        ref = replace(ref, crop=crop or ref.crop, variety=rest if crop else words)
        self.living.rename(ref)
        return ref

    def entry(self, event: Event) -> Entry:
        """The event with what it is about; what can't be told is set aside."""
        if event.doing:
            return Entry(event) if event.fault else self._doing(event)
        verb = _VERB[event.verb]
        if event.fault or event.on is None:
            return Entry(event, self._known(event))
        if verb.of == "any":
            return Entry(event, self._loose(event))
        if verb.of in ("farm", "place"):
            return self._farm(event)
        made = self.codes.ref(event) if verb.of == "new sowing" else None
        if made:
            return Entry(self.codes.whole_of(event), made)
        if verb.of == "new sowing" or not (event.subject or event.one("lot")):
            return self._fault(event, "no-subject", f"`{event.verb}` needs to know which sowing",
                               "write its code or its crop before the colon")  # fmt: skip
        if verb.of == "lot":
            return self._lot(event)
        if verb.of == "lot or sowing":
            return self._treated(event)
        if verb.of == "correction":
            return self._correction(event)
        return self._cut(event) if verb.of == "cut" else self._sowing(event)

    def _known(self, event: Event) -> Ref:
        """What a line that is set aside would be about, as far as its code says."""
        one = self.living.of(tidy(event.subject))
        return one.ref if one else Ref()

    def _loose(self, event: Event) -> Ref:
        """Notes and lessons may be about anything, or nothing."""
        one = self.living.by_code(event)
        if one:
            return one.ref
        if fold(event.subject) in self.lots:
            return self._lot_ref(event.subject)
        crop, rest = self.crops.split(event.subject)
        if not crop:
            return self._spot(event.subject)
        assert event.on is not None or event.fault
        fits = self.living.fits(crop, rest, event.on or self.book.as_of)
        if rest and len(fits) == 1:
            return fits[0].ref
        return Ref("crop", crop=crop, variety=rest)

    def _spot(self, words: str) -> Ref:
        held = container(words, self.book.farm.bed_names())
        if held and held.kind == "bed":
            return Ref("bed", bed=held.name)
        known = next((p for p in self.book.farm.places if fold(p) == fold(bare(words))), "")
        return Ref("place", place=known) if known else Ref()

    def _farm(self, event: Event) -> Entry:
        """The weather, a place's temperature, the bunch size of the farm or a crop."""
        if not event.subject or event.verb == "weather":
            return Entry(event)
        if event.verb == "temperature":
            ref = self._spot(event.subject)
            return Entry(
                event, ref if ref.kind != "none" else Ref("place", place=bare(event.subject))
            )
        crop, rest = self.crops.split(event.subject)
        return Entry(event, Ref("crop", crop=crop, variety=rest)) if crop else self._unknown(event)

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
        if bool(CODE.fullmatch(whole)) or bool(self.crops.split(whole)[0]):
            at = Span(event.at.source, event.at.start, event.at.start + len(whole))
            verb = "harvested" if re.search(r"stems?|bunch|\db\b", line) else "checked"
            glued = next((v for v in _VERB if whole.lower().startswith(v) and len(v) > 3), "")
            shown = f"{glued} {line[len(glued) :]}" if glued else f"{verb} {line}"
            return self._fault(replace(event, subject_at=at), "unknown-verb", "this line doesn't say what was done",
                               f"put what was done first, as `{shown[:80]}`")  # fmt: skip
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

    # -- sowings

    def _sowing(self, event: Event) -> Entry:
        one = self.living.by_code(event)
        if one:
            return self._by_day(event, one)
        hanging = self._hangs(event)
        if hanging:
            return hanging
        crop, rest = self.crops.split(event.subject)
        if not crop:
            varieties = self.living.by_variety.get(fold(event.subject), [])
            if not varieties:
                if fold(event.subject) in self.lots and event.verb == "finished":
                    return Entry(event, self._lot_ref(event.subject))
                return self._unknown(event)
            crop, rest = varieties[0].crop, event.subject
        assert event.on is not None
        return self._one_of(event, self.living.fits(crop, rest, event.on), crop)

    def _hangs(self, event: Event) -> Entry | None:
        """A line about a sowing whose own line is set aside waits with it, and isn't told again."""
        code = self.ghosts.get(fold(tidy(event.subject)))
        if code is None:
            return None
        return Entry(replace(event, fault="hangs", waits=True), Ref("sowing", code))

    def _by_day(self, event: Event, one: One) -> Entry:
        assert event.on is not None
        if event.on < one.on:
            self._find("before-sowing", event, f"this is dated {event.on}, but `{one.code}` was sown on {one.on}",
                       "check the day of either line", (Label(one.entry.event.at, "sown here"),), one.code)  # fmt: skip
            return Entry(replace(event, fault="before-sowing"), one.ref)
        return Entry(event, one.ref)

    def _unknown(self, event: Event) -> Entry:
        day = event.on or self.book.as_of
        codes = [x.code for x in self.living.all.values() if abs(x.on.year - day.year) < 2]
        if CODE.fullmatch(event.subject) or re.search(r"-\d", event.subject):
            return self._fault(event, "unknown-code", f"no sowing has the code `{event.subject}`",
                               offer(near(event.subject, codes)) or "check the code on the tray's tag")  # fmt: skip
        if re.match(r"[~\d]", event.subject):
            return self._fault(event, "unknown-subject", f"`{event.subject}` is no sowing or crop that is known here",
                               "the colon belongs after the sowing's code, before its numbers")  # fmt: skip
        names = [*self.crops.names, *codes]
        return self._fault(event, "unknown-subject", f"`{event.subject}` is no sowing or crop that is known here",
                           offer(near(event.subject, names)) or "write the code that stands on its `sown` line")  # fmt: skip

    def _one_of(self, event: Event, fits: list[One], crop: str) -> Entry:
        if len(fits) == 1:
            return Entry(event, fits[0].ref)
        if fits:
            latest = max(fits, key=lambda x: (x.on, x.entry.event.at.order()))
            also = (Label(latest.entry.event.at, "the latest that fits"),)
            self._find("which-sowing", event, f"`{event.subject}` fits {len(fits)} sowings that were living on {event.on}",
                       offer(x.code for x in fits[:6]) + " write the code", also)  # fmt: skip
            return Entry(replace(event, fault="which-sowing", waits=True), Ref("crop", crop=crop))
        others = [x.code for x in self.living.by_crop.get(fold(crop), [])][-4:]
        self._find("no-sowing-fits", event, f"no sowing that fits `{event.subject}` was living on {event.on}",
                   offer(others) or "write its `sown` line first")  # fmt: skip
        return Entry(replace(event, fault="no-sowing-fits", waits=True), Ref("crop", crop=crop))

    # -- corrections

    def _correction(self, event: Event) -> Entry:
        """Resolved as on the day that it is about."""
        on = event.on
        assert on is not None
        stems = event.all("stems", "bunches")
        find = self._cut if event.verb == "corrected" and stems else self._sowing
        got = find(replace(event, on=event.day or on))
        ref = got.ref
        said = event.one("with")
        if event.verb == "swapped" and said and got.used:
            second = self._sowing(replace(event, subject=said.text, on=event.day or on))
            if second.aside:
                got = second
            ref = replace(ref, other=second.ref.code)
        return Entry(replace(got.event, on=on, subject=event.subject), ref)

    # -- seed

    def _lot_ref(self, lot: str, crop: str = "", variety: str = "") -> Ref:
        known = self.lots.get(fold(lot), LotName(lot))
        found, rest = self.crops.split(known.words)
        variety = variety or known.variety or rest
        return Ref("lot", crop=crop or found or known.words, variety=variety, lot=known.name)

    def _lot(self, event: Event) -> Entry:
        """Seed: by its lot, else by crop and variety."""
        said = event.one("lot")
        crop, rest = self.crops.split(event.subject)
        if said:
            return Entry(event, self._lot_ref(said.text, crop, rest))
        if fold(event.subject) in self.lots:
            return Entry(event, self._lot_ref(event.subject))
        if not crop:
            return self._unknown(event)
        mine = [
            x
            for x in self.lots.values()
            if fold(self.crops.split(x.words)[0] or x.words) == fold(crop)
        ]
        if event.verb in ("tested", "have") and len(mine) == 1 and not rest:
            return Entry(event, self._lot_ref(mine[0].name))
        return Entry(event, Ref("crop", crop=crop, variety=rest))

    def _treated(self, event: Event) -> Entry:
        """Cold, soaking and the like: of a sowing by its code, of a lot, or of a crop's seed."""
        one = self.living.by_code(event)
        entry = self._hangs(event) or self._treated_thing(event, one)
        key = entry.ref.code or fold(entry.ref.lot or entry.ref.crop)
        if entry.used and event.one("out"):
            self.treated.pop(key, None)
        elif entry.used:
            self.treated[key] = event.verb
        return entry

    def _treated_thing(self, event: Event, one: One | None) -> Entry:
        if one:
            return self._by_day(event, one)
        if fold(event.subject) in self.lots:
            return Entry(event, self._lot_ref(event.subject))
        crop, rest = self.crops.split(event.subject)
        if not crop:
            return self._unknown(event)
        assert event.on is not None
        sowings = self.living.fits(crop, rest, event.on)
        if event.one("out"):
            fits = [x for x in sowings if self.treated.get(x.code) == event.verb]
        else:
            fits = [x for x in sowings if (event.on - x.on).days <= _JUST_SOWN]
        if fits:
            return self._one_of(event, fits, crop)
        return Entry(event, Ref("crop", crop=crop, variety=rest))

    # -- harvests

    def _cut(self, event: Event) -> Entry:
        """A harvest goes to a sowing by its code, or when just one planted sowing can be meant."""
        one = self.living.by_code(event)
        if one:
            return self._by_day(event, one)
        hanging = self._hangs(event)
        if hanging:
            return hanging
        said, on = event.one("bed"), event.on
        assert on is not None
        bed = said.where if said else ""
        if fold(event.subject) in ("mix", "mixed", "mixed bunches", "bouquets"):
            return Entry(event, Ref("mix", bed=bed))
        held = container(event.subject, self.book.farm.bed_names())
        crop, rest = self.crops.split(event.subject)
        if not crop and held and held.kind == "bed":
            fits = [x for x in self.living.all.values() if x.stands(on, held.name)]
            return Entry(event, _cut_ref(fits, Ref("bed", bed=held.name)))
        if not crop:
            return self._unknown(event)
        fits = [x for x in self.living.fits(crop, rest, on) if x.stands(on, bed)]
        number = bool(re.fullmatch(r"\D*\d+", rest))
        return Entry(
            event, _cut_ref(fits, Ref("crop", crop=crop, variety="" if number else rest, bed=bed))
        )

    # -- findings

    def _find(self, name: str, event: Event, message: str, help_: str,
              also: tuple[Label, ...] = (), code: str = "") -> None:  # fmt: skip
        self.findings.append(
            Finding(name, message, event.subject_at, help_, also, (code,) if code else ())
        )

    def _fault(self, event: Event, name: str, message: str, help_: str) -> Entry:
        self.findings.append(Finding(name, message, event.subject_at, help_))
        return Entry(replace(event, fault=name))


def _cut_ref(fits: list[One], else_: Ref) -> Ref:
    return replace(fits[0].ref, bed=else_.bed) if len(fits) == 1 else else_


def resolve(book: Book, events: tuple[Event, ...]) -> tuple[Book, list[Finding]]:
    """The book with every event's subject settled, in the order of days, files and lines."""
    resolver = _Resolver(replace(book, entries=tuple(Entry(e) for e in events)))
    entries = [entry for e in events for entry in resolver.entries(e)]
    swaps = swaps_in(entries)
    if swaps:  # from their day on other lines are about other sowings, so all is told anew
        resolver = _Resolver(resolver.book, swaps)
        entries = [entry for e in events for entry in resolver.entries(e)]
    settled = settle(entries, resolver.findings)
    return replace(
        book, entries=tuple(settled), unwritten=frozenset(resolver.codes.unwritten)
    ), resolver.findings
