"""Crops as they are called on this farm, and the codes of sowings."""

from __future__ import annotations

import re
from collections import defaultdict

from traybook.findings.model import Finding, Fix, Label
from traybook.records.book import Book, Entry, Ref
from traybook.records.event import Event
from traybook.records.settings import crop_slug
from traybook.text.names import fold, slug

#: A code as the tool makes them: crop-yy-n, perhaps with initials or a letter after it.
CODE = re.compile(r"(?P<crop>[^\s,;:]+)-(?P<yy>\d{2})-(?P<n>\d+)(?:-(?P<who>\w+))?")
_ONE_WORD = re.compile(r"[^\s,;:]*\d[^\s,;:]*")


def is_code(words: str) -> bool:
    """A code is one word with a number in it, or a crop's words with one: sweet william-26-1."""
    if words.isdigit():
        return False
    return bool(_ONE_WORD.fullmatch(words) or CODE.fullmatch(_joined(words)))


def _joined(words: str) -> str:
    return "-".join(words.split())


class Crops:
    """Every crop's name and spellings, and how words split into crop and the rest."""

    def __init__(self, book: Book) -> None:
        """Gather names from crops.yaml, then from codes and `sown` lines."""
        self.known: dict[str, str] = {}
        for crop in book.farm.crops.values():
            for name in (crop.name, *crop.spellings):
                self._add(name, crop.name)
        self.farm = book.farm
        sown = [e.event for e in book.entries if e.event.verb == "sown"]
        for event in sown:
            said = event.one("crop")
            code = CODE.fullmatch(event.subject)
            if said:
                self._add(said.text, said.text)
            elif code:
                name = crop_slug(self.farm, code["crop"].lower())
                self._add(name, name)
        for event in sown:
            if event.subject and not is_code(event.subject) and not self.split(event.subject)[0]:
                name = _lower_words(event.subject)
                self._add(name, name)
        self.longest = max((len(k.split()) for k in self.known), default=1)

    def _add(self, spelling: str, name: str) -> None:
        self.known.setdefault(fold(spelling), name)

    @property
    def names(self) -> list[str]:
        """The crops' own names, each once."""
        return list(dict.fromkeys(self.known.values()))

    def name(self, word: str) -> str:
        """The farm's name for a spelling, singular or plural; empty if it is none."""
        flat = fold(word)
        for form in (flat, flat.removesuffix("s"), flat.removesuffix("es"), flat + "s"):
            if form and form in self.known:
                return self.known[form]
        return ""

    def split(self, words: str) -> tuple[str, str]:
        """The crop that words begin with (or end with), and the rest; empty if there is none."""
        parts = re.split(r"\s+", words.strip().replace("'", "")) if words.strip() else []
        for many in range(len(parts), 0, -1):
            name = self.name(" ".join(parts[:many]))
            if name:
                return name, " ".join(parts[many:])
        for start in range(1, len(parts)):
            name = self.name(" ".join(parts[start:]))
            if name:
                return name, " ".join(parts[:start])
        return "", ""


def _lower_words(subject: str) -> str:
    """`sweet pea Night Ferry`: the words before the first with a capital, if any are before it."""
    words = subject.split()
    for i, word in enumerate(words):
        if i and word[:1].isupper() and words[0][:1].islower():
            return " ".join(words[:i])
        if i and word[:1] in "'\"":
            return " ".join(words[:i])
    return subject


class Codes:
    """The code of every `sown` line: as written, kept apart, or the one that would be written."""

    def __init__(self, book: Book, crops: Crops, findings: list[Finding]) -> None:
        """Walk the `sown` lines in the order of days, files and lines."""
        self.crops, self.findings = crops, findings
        self.sown: list[Entry] = []
        self.refs: dict[tuple[str, int, int], Ref] = {}
        self.set_aside: dict[str, str] = {}
        self.unwritten: set[str] = set()
        self.renamed: set[str] = set()
        self.was: dict[str, str] = {}
        self.used: dict[str, Event] = {}
        events = [e.event for e in book.entries if e.event.verb == "sown"]
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

    def ref(self, event: Event) -> Ref:
        """What a `sown` line that is used made."""
        return self.refs[_key(event)]

    def _give(self, event: Event) -> None:
        said = event.one("crop")
        if is_code(event.subject):
            code = self._own(event)
            made = CODE.fullmatch(_joined(event.subject))
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
        variety = self._without_crop(variety, crop)
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

    def _next(self, crop: str, event: Event) -> str:
        """crop-yy-n with the next free number; the code that would be written."""
        assert event.on is not None
        stem = f"{slug(crop)}-{event.on.year % 100:02d}"
        n = 1
        while n in self.taken[stem] or fold(f"{stem}-{n}") in self.used:
            n += 1
        self.taken[stem].add(n)
        self.unwritten.add(f"{stem}-{n}")
        return f"{stem}-{n}"


def _key(event: Event) -> tuple[str, int, int]:
    return event.at.path, event.at.start, event.subject_at.start


def tidy(code: str) -> str:
    """A code as the tool spells it, however it was typed."""
    return slug(code) or code


def _variety(event: Event) -> str:
    said = event.one("variety") or event.one("named")
    return said.text.strip("'\"") if said else ""
