"""Entries as lines on a page."""

from __future__ import annotations

from collections.abc import Iterable

from traybook.ledger.keep import Kept
from traybook.pages.addresses import sowing_address
from traybook.pages.model import Link, Written
from traybook.records.book import Book, Entry
from traybook.records.event import Event
from traybook.records.verbs import verb_at

_WORDS = {
    "hangs": "waits, because the line that sowed it is set aside",
    "which-sowing": "waits: it could mean more than one sowing",
    "no-sowing-fits": "waits: no sowing fits",
    "more-than-sown": "waits: more than was sown",
    "more-than-stood": "waits: more than stood there",
    "future-day": "waits for its day",
    "merge-conflict": "waits: two versions of it stand in the file",
}


def written(entries: Iterable[Entry], kept: Kept, lead: bool = False) -> tuple[Written, ...]:
    """Entries in their order, in the grower's words, with how each was read.

    With `lead`, each leads to its sowing's page.
    """
    return tuple(_one(e, kept, lead) for e in entries)


def _one(entry: Entry, kept: Kept, lead: bool) -> Written:
    event = entry.event
    echo = kept.echo.get((event.key, entry.ref.code), "")
    if entry.aside:
        echo = _WORDS.get(event.fault, "set aside") if event.waits else "set aside, not counted"
    code = entry.ref.code
    return Written(
        on=event.on,
        text=_text(event),
        echo=echo,
        by=event.by,
        counts=entry.used,
        where=f"{event.at.path}:{event.at.line}",
        about=Link(code, sowing_address(code)) if lead and code in kept.accounts else None,
    )


def _text(event: Event) -> str:
    """The line as typed; one from a block gets its verb back."""
    text = event.text
    first = text.split(None, 1)[0].lower() if text.split() else ""
    if event.verb.split()[0][:4].lower() == first[:4] or event.doing or first == "private":
        return text
    return text if _has_verb(text) else f"{event.verb} {text}"


def _has_verb(text: str) -> bool:
    return verb_at(text) is not None


def lessons(book: Book, year: int | None = None) -> tuple[tuple[str, Entry], ...]:
    """Lessons, latest first; of one calendar year if asked."""
    found = [
        (e.event.note, e)
        for e in book.entries
        if e.event.verb == "lesson"
        and e.used
        and e.event.on
        and (year is None or e.event.on.year == year)
    ]
    return tuple(reversed(found))
