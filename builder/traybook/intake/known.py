"""The sowings that a table's rows may mean: those of the book, and those made on the way."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from traybook.ledger.naming import Crops, free_code
from traybook.records.book import Book
from traybook.text.names import fold, slug

#: Stands in a line for the code that its sowing will have.
CODE = "{code}"


@dataclass(slots=True)
class Known:
    """A sowing: `words` is its own line but for the code; `met` once a row was found to be it."""

    code: str
    crop: str
    variety: str
    on: dt.date
    words: str
    finished: dt.date | None = None
    met: bool = False


@dataclass(frozen=True, slots=True)
class Asked:
    """A row that asks for its sowing's code; `text` is its line, with CODE where the code goes."""

    code: str
    crop: str
    variety: str
    on: dt.date
    text: str


class Sowings:
    """The sowings of a book; codes are made as commands make them."""

    def __init__(self, book: Book) -> None:
        """Gather them, with the day each was finished."""
        self.crops = Crops(book)
        self.all: list[Known] = []
        self.codes = {fold(e.ref.code) for e in book.entries if e.ref.code}
        by_code: dict[str, Known] = {}
        for entry in book.entries:
            event, code = entry.event, entry.ref.code
            if event.verb == "sown" and code and event.on:
                words = _words(event.text, event.subject)
                known = Known(code, entry.ref.crop, entry.ref.variety, event.on, words)
                by_code[fold(code)] = known
                self.all.append(known)
            elif event.verb == "finished" and not event.one("where") and fold(code) in by_code:
                by_code[fold(code)].finished = event.on

    def codes_of(self, rows: Sequence[Asked]) -> list[str]:
        """The code of each row's sowing: as given; as it has in the book, where its line stands
        there word for word, or else one of that day, crop and variety; else a new one."""
        found = [self._given(r) for r in rows]
        for alike in (_word_for_word, _of_that_day):
            for i, row in enumerate(rows):
                if not found[i]:
                    found[i] = self._in_book(row, alike)
        return [code or self._new(row) for code, row in zip(found, rows, strict=True)]

    def _given(self, row: Asked) -> str:
        if not row.code:
            return ""
        known = next((k for k in self.all if fold(k.code) == fold(row.code)), None)
        if known is None:
            return self._new(row)
        known.met = True
        return known.code

    def _in_book(self, row: Asked, alike: Callable[[Known, Asked], bool]) -> str:
        crop = slug(self.crops.name(row.crop) or row.crop)
        for known in self.all:
            mine = known.on == row.on and not known.met
            if mine and crop in (slug(known.crop), _crop(known.code)) and alike(known, row):
                known.met = True
                return known.code
        return ""

    def _new(self, row: Asked) -> str:
        crop = self.crops.name(row.crop) or row.crop
        code = slug(row.code) if row.code else self._next(crop, row.on)
        self.codes.add(fold(code))
        self.all.append(Known(code, crop, row.variety, row.on, row.text, met=True))
        return code

    def _next(self, crop: str, on: dt.date) -> str:
        return free_code(crop, on, lambda c: fold(c) in self.codes)

    def fitting(self, code: str, crop: str, variety: str, on: dt.date) -> Sequence[Known]:
        """The sowings that a row of checks can mean on that day."""
        if code:
            return [k for k in self.all if fold(k.code) == fold(code)]
        name = fold(self.crops.name(crop) or crop)
        alive = [
            k for k in self.all
            if name and fold(k.crop) == name and k.on <= on and (k.finished is None or on <= k.finished)
        ]  # fmt: skip
        return [k for k in alive if not variety or fold(k.variety) == fold(variety)]


def _word_for_word(known: Known, row: Asked) -> bool:
    return known.words == _words(row.text, CODE)


def _of_that_day(known: Known, row: Asked) -> bool:
    return fold(known.variety) == fold(row.variety)


def _words(text: str, subject: str) -> str:
    """A line's words behind its subject, spelling of blanks apart."""
    at = text.find(subject) + len(subject) if subject else 0
    return re.sub(r"\s+", " ", text[at:]).strip(" :")


def _crop(code: str) -> str:
    return code.rsplit("-", 2)[0]
