"""Seed lots as they are called."""

from __future__ import annotations

from dataclasses import dataclass

from traybook.ledger.naming import CODE, is_code
from traybook.records.book import Book
from traybook.text.names import fold


@dataclass(frozen=True, slots=True)
class LotName:
    """A lot's name, the words that tell its crop (and perhaps variety), and the variety if it is
    said apart."""

    name: str
    words: str = ""
    variety: str = ""


def named_lots(book: Book) -> dict[str, LotName]:
    """Every lot that a line names, by its folded name."""
    out: dict[str, LotName] = {}
    for event in (e.event for e in book.entries):
        said = event.one("lot")
        if event.verb in (
            "received",
            "have",
            "ordered",
            "tested",
            "chilled",
            "soaked",
            "nicked",
            "warmed",
            "frozen",
        ):
            seed = event.verb in ("received", "have", "ordered", "tested")
            lot = is_code(event.subject) and (seed or not CODE.fullmatch(event.subject))
            code = event.subject if lot else ""
            name = said.text if said else code
            named, crop = event.one("named"), event.one("crop")
            words = crop.text if crop else named.text if named else "" if code else event.subject
            variety = event.one("variety")
        elif said:
            name, words, variety = said.text, "", event.one("variety")
            made = CODE.fullmatch(event.subject)
            words = made["crop"].replace("-", " ") if made else event.subject
            variety = variety or event.one("named")
        else:
            continue
        if event.private:  # what it says may not come out on a sowing's page
            words, variety = "", None
        known = out.get(fold(name))
        if name and (known is None or not known.words):
            out[fold(name)] = LotName(name, words, variety.text if variety else "")
    return out
