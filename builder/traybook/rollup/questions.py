"""Questions that nobody has answered yet."""

from __future__ import annotations

from traybook.records.book import Book, Entry
from traybook.text.names import fold


def open_questions(book: Book) -> tuple[Entry, ...]:
    """Questions without an answer, the oldest first. An `answered` line answers the oldest one that is
    open about the same sowing, crop, bed or place."""
    waiting: list[Entry] = []
    for e in book.entries:
        if not e.used:
            continue
        if e.event.verb == "question":
            waiting.append(e)
        elif e.event.verb == "answered":
            asked = next((w for w in waiting if _about(w) == _about(e)), None)
            if asked is not None:
                waiting.remove(asked)
    return tuple(waiting)


def _about(e: Entry) -> tuple[str, ...]:
    r = e.ref
    if r.code:
        return (r.code,)
    return tuple(fold(x) for x in (r.lot or r.crop, r.variety, r.bed, r.place))
