"""The codes of sowings: as written, kept apart, or the ones that would be written."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

from traybook.findings.model import Finding, Fix, Label, offer
from traybook.ledger.like import taken_over
from traybook.ledger.lots import LotName
from traybook.ledger.naming import CODE, Crops, free_code, is_code, joined, narrowed, tidy
from traybook.records.book import STARTS, Book, Entry, Ref
from traybook.records.event import Event, Said
from traybook.records.settings import crop_slug
from traybook.text.names import fold, near, slug

_LOT = re.compile(r"(?:seed\s+)?lot\s+(\S+)", re.IGNORECASE)


class Codes:
    """The code of every `sown` line: as written, kept apart, or the one that would be written."""

    def __init__(
        self, book: Book, crops: Crops, lots: Mapping[str, LotName], findings: list[Finding]
    ) -> None:
        """Walk the `sown` lines in the order of days, files and lines."""
        self.crops, self.lots, self.findings = crops, lots, findings
        self.sown: list[Entry] = []
        self.refs: dict[tuple[str, int, int], Ref] = {}
        self.set_aside: dict[str, str] = {}
        self.unwritten: set[str] = set()
        self.renamed: set[str] = set()
        self.was: dict[str, str] = {}
        self.used: dict[str, Event] = {}
        self.whole: dict[tuple[str, int, int], Event] = {}
        events = [e.event for e in book.entries if e.event.verb in STARTS]
        self.written = {fold(tidy(e.subject)) for e in events if is_code(e.subject)}
        self.taken: dict[str, set[int]] = defaultdict(set)
        for words in self.written:
            self._reserve(words)
        for event in events:
            if event.fault or event.on is None:
                if is_code(event.subject):
                    self.set_aside.setdefault(fold(tidy(event.subject)), tidy(event.subject))
                continue
            self._give(event)
        for flat in list(self.set_aside):
            if flat in self.used:
                del self.set_aside[flat]

    def _reserve(self, flat: str) -> None:
        found = re.fullmatch(r"(.+) (\d{2}) (\d+)(?: \w+)?", flat)
        if found:
            self.taken[f"{slug(found[1])}-{found[2]}"].add(int(found[3]))

    def ref(self, event: Event) -> Ref | None:
        """What a `sown` line that is used made; None where it names no crop."""
        return self.refs.get(_key(event))

    def whole_of(self, event: Event) -> Event:
        """A `sown` line with what it takes over by `like`."""
        return self.whole.get(_key(event), event)

    def _like(self, event: Event) -> Event:
        """The event with the facts of the sowing it is like."""
        said = event.one("like")
        if said is None:
            return event
        words = re.sub(r"^(?:the |last year's )", "", said.text.strip())
        made = self.used.get(fold(tidy(words)))
        if made is None:
            crop, rest = self.crops.split(words)
            ours = [e for e in self.sown if crop and fold(e.ref.crop) == fold(crop)]
            fits = narrowed(ours, rest, lambda e: (e.ref.code, e.ref.variety))
            made = fits[0].event if len(fits) == 1 else None
            if made is None:
                self._unclear(said, event, [e.ref.code for e in fits])
                return event
        whole = self.whole[_key(event)] = taken_over(event, made)
        return whole

    def _unclear(self, said: Said, event: Event, fits: list[str]) -> None:
        """Which sowing it is like can't be told, so nothing is taken over."""
        message = (
            f"`{said.text}` fits {len(fits)} earlier sowings"
            if fits
            else f"no earlier sowing fits `{said.text}`"
        )
        close = fits[-4:] or near(said.text, [e.ref.code for e in self.sown])
        self.findings.append(
            Finding("unclear-like", f"{message}, so nothing is taken over from it", said.at or event.at,
                    offer(close) or "write the code of the sowing it is like")
        )  # fmt: skip

    def _give(self, event: Event) -> None:
        event = self._of_a_lot(self._like(event))
        said = event.one("crop")
        if is_code(event.subject):
            code = self._own(event)
            made = CODE.fullmatch(joined(event.subject))
            part = made["crop"].lower() if made else ""
            crop = said.text if said else crop_slug(self.crops.farm, part) if part else ""
            crop = self.crops.name(crop) or crop or self._crop_in_words(event) or event.subject
            variety = _variety(event)
        else:
            words = event.subject or (said.text if said else "")
            crop, rest = self.crops.split(words)
            crop = crop or words
            if not crop:
                return
            variety = _variety(event) or rest
            code = self._next(crop, event)
        variety = self._without_crop(variety, crop) or self._of_lot(event, crop)
        ref = Ref("sowing", code, crop, variety)
        self.refs[_key(event)] = ref
        self.used[fold(code)] = event
        self.sown.append(Entry(event, ref))
        was = event.one("was")
        if was:
            self.was[fold(tidy(was.text))] = code

    def _crop_in_words(self, event: Event) -> str:
        """The crop that the first words of the line name."""
        named = event.one("named")
        return self.crops.split(named.text)[0] if named else ""

    def _of_a_lot(self, event: Event) -> Event:
        """`sown SNP-24: ...`, `sown lot SNP-24: ...` or `sown: lot SNP-24` name the lot where a crop
        or code is looked for."""
        told, named = event.one("lot"), _LOT.fullmatch(event.subject)
        name = named[1] if named else event.subject or (told.text if told else "")
        lot = self.lots.get(fold(name))
        if event.one("crop") or (told and event.subject) or CODE.fullmatch(event.subject):
            return event
        if lot is None or not lot.words:
            return replace(event, subject="") if named else event
        crop = self.crops.split(lot.words)[0] or lot.words
        more = (Said("crop", text=crop), *(() if told else (Said("lot", text=lot.name),)))
        whole = self.whole[_key(event)] = replace(event, subject="", said=(*event.said, *more))
        return whole

    def _of_lot(self, event: Event, crop: str) -> str:
        """The variety of the lot, where the line names the lot and no variety."""
        said = event.one("lot")
        lot = self.lots.get(fold(said.text)) if said else None
        if lot is None:
            return ""
        name, rest = self.crops.split(lot.words)
        return (lot.variety or rest) if fold(name) == fold(crop) else ""

    def _without_crop(self, variety: str, crop: str) -> str:
        """`larkspur Mist Tower` on a larkspur's line is the variety Mist Tower."""
        name, rest = self.crops.split(variety)
        return rest if name and fold(name) == fold(crop) else variety

    def _own(self, event: Event) -> str:
        """The code as written; the later of two with one code gets its own ending."""
        code = tidy(event.subject)
        if fold(code) not in self.used:
            return code
        endings = ([event.by] if event.by else []) + [chr(c) for c in range(ord("b"), ord("z") + 1)]
        made = next(f"{code}-{x}" for x in endings if fold(f"{code}-{x}") not in self.used)
        self.renamed.add(fold(made))
        first = self.used[fold(code)]
        self.findings.append(
            Finding("two-sowings-one-code", f"another sowing already has the code `{code}`",
                    event.subject_at, f"this one is called `{made}`; write that, or a code of its own",
                    (Label(first.at, "sown first"),), (code, made), Fix(((event.subject_at, made),)))
        )  # fmt: skip
        return made

    def child(self, parent: Ref, event: Event) -> Ref:
        """The sowing that sowing empty cells again makes: the next free code of its crop."""
        said = _variety(event)
        code = self._next(parent.crop, event)
        self.used[fold(code)] = event
        return Ref("sowing", code, parent.crop, said or parent.variety)

    def _next(self, crop: str, event: Event) -> str:
        """crop-yy-n with the next free number; the code that would be written."""
        assert event.on is not None
        code = free_code(
            crop,
            event.on,
            lambda c: fold(c) in self.used or c in self.unwritten or self._reserved(c),
        )
        self.unwritten.add(code)
        return code

    def _reserved(self, code: str) -> bool:
        """True for a number that a written code has, also with initials behind it."""
        stem, _, n = code.rpartition("-")
        return int(n) in self.taken[stem]


def _key(event: Event) -> tuple[str, int, int]:
    return event.at.path, event.at.start, event.subject_at.start


def _variety(event: Event) -> str:
    said = event.one("variety") or event.one("named")
    return said.text.strip("'\"") if said else ""
