"""Crops as they are called on this farm, and the codes of sowings."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable
from typing import TypeVar

from traybook.records.book import STARTS, Book
from traybook.records.settings import crop_slug
from traybook.text.names import fold, slug

T = TypeVar("T")
#: A code as the tool makes them: crop-yy-n, perhaps with initials or a letter after it.
CODE = re.compile(r"(?P<crop>[^\s,;:]+)-(?P<yy>\d{2})-(?P<n>\d+)(?:-(?P<who>\w+))?")
_ONE_WORD = re.compile(r"[^\s,;:]*\d[^\s,;:]*")


def is_code(words: str) -> bool:
    """A code is one word with a number in it, or a crop's words with one: sweet william-26-1."""
    if words.isdigit():
        return False
    return bool(_ONE_WORD.fullmatch(words) or CODE.fullmatch(joined(words)))


def joined(words: str) -> str:
    """Words as one, with `-` between them."""
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
        sown = [e.event for e in book.entries if e.event.verb in STARTS]
        for event in sown:
            said = event.one("crop")
            code = CODE.fullmatch(event.subject)
            if said:
                self._add(said.text, said.text)
            elif code:
                name = crop_slug(self.farm, code["crop"].lower())
                self._add(name, name)
        for words in (*(e.subject for e in sown), *_of_lots(book)):
            if words and not is_code(words) and not self.split(words)[0]:
                name = _lower_words(words)
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


def _of_lots(book: Book) -> list[str]:
    """What the lines about seed call a crop and variety: `larkspur Mist Tower`."""
    out = []
    for event in (e.event for e in book.entries):
        if event.verb in ("received", "have", "ordered"):
            named = event.one("crop") or event.one("named")
            words = event.subject if not is_code(event.subject) else named.text if named else ""
            out.append(words if words[:1].islower() else "")
    return out


def _lower_words(subject: str) -> str:
    """`sweet pea Night Ferry`: the words before the first with a capital, if any are before it."""
    words = subject.split()
    for i, word in enumerate(words):
        if i and word[:1].isupper() and words[0][:1].islower():
            return " ".join(words[:i])
        if i and word[:1] in "'\"":
            return " ".join(words[:i])
    return subject


_NUMBER = re.compile(r"(?:no |nr |number |#)?(\d+)")


def narrowed(found: Iterable[T], rest: str, named: Callable[[T], tuple[str, str]]) -> list[T]:
    """Of the sowings of a crop those that a number or a variety after its name can mean; `named`
    gives a sowing's code and variety. All of them where nothing more is said."""
    all_, flat = list(found), fold(rest)
    number = _NUMBER.fullmatch(flat)
    if not flat:
        return all_
    if number:
        return [x for x in all_ if re.search(rf"-0*{number[1]}(?:-\w+)?$", named(x)[0])]
    exact = [x for x in all_ if fold(named(x)[1]) == flat]
    return exact or [x for x in all_ if _begins(fold(named(x)[1]), flat)]


def _begins(variety: str, words: str) -> bool:
    return words in variety.split() or variety.startswith(words)


def free_code(crop: str, on: dt.date, taken: Callable[[str], bool]) -> str:
    """crop-yy-n with the first number from 1 that isn't taken."""
    stem, n = f"{slug(crop)}-{on:%y}", 1
    while taken(f"{stem}-{n}"):
        n += 1
    return f"{stem}-{n}"


def tidy(code: str) -> str:
    """A code as the tool spells it, however it was typed."""
    return slug(code) or code
