"""Which lines of a message are entries, which stand in the files already, where the rest go."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from traybook.intake.message import Item
from traybook.intake.subject import Sowings
from traybook.ledger.keep import Kept
from traybook.records.book import Entry
from traybook.records.event import Event
from traybook.records.lines_in import LineReader
from traybook.records.reader import begins
from traybook.records.settings import Farm
from traybook.records.writer import NEW_SOWING, entry_line
from traybook.text.fences import Row
from traybook.text.lines import tree
from traybook.text.names import fold
from traybook.text.scalars import DAY
from traybook.text.source import Source, plain

# A word or two before a colon can be a doing: `fed stock 1: seaweed`.
_MOST_DOING = 4
_SIGNED = re.compile(r"[;,]\s*by\s+[^\W\d_]{1,12}\.?\s*$", re.IGNORECASE)
_OWN_DAY = re.compile(rf"[,;]?\s*\b(?:on\s+{DAY}|yesterday)(?=\s*(?:[:;,.]|$))", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Sorted:
    """A message's lines: `new` ones to write, `there` already, and `prose` that is no entry."""

    new: tuple[Item, ...] = ()
    there: tuple[Item, ...] = ()
    prose: tuple[Item, ...] = ()


def events_of(item: Item, farm: Farm, as_of: dt.date) -> list[Event]:
    """An item as read by itself."""
    source = Source("", item.text)
    rows = [Row(n) for n in range(1, source.lines + 1)]
    reader = LineReader(farm, item.on, item.by, as_of)
    return [e for line in tree(source, rows) for e in reader.read(line)]


def dated(item: Item, farm: Farm, as_of: dt.date) -> Item:
    """An item whose line carries its own day, moved to that day with the words for it taken out.

    Where these can't be taken out without changing what is read, it stays as it is.
    """
    events = events_of(item, farm, as_of)
    days = {e.on for e in events}
    if len(days) != 1 or len(item.lines) != 1 or item.on in days:
        return item
    (on,) = days
    for found in _OWN_DAY.finditer(plain(item.text)):
        line = item.text[: found.start()] + item.text[found.end() :]
        moved = replace(item, lines=(line.strip(),), on=on or item.on, dated=True)
        if [_told(e) for e in events_of(moved, farm, as_of)] == [_told(e) for e in events]:
            return moved
    return item


def _told(event: Event) -> tuple[object, ...]:
    return event.verb, event.subject, event.said, event.note, event.by, event.on, event.private


def sort(found: Iterable[Item], kept: Kept, notes: bool) -> Sorted:
    """Tell a message's entries from its prose, and new lines from those in the files.

    With `notes` prose becomes `noted:` lines.
    """
    farm, as_of = kept.book.farm, kept.book.as_of
    new: list[Item] = []
    there: list[Item] = []
    prose: list[Item] = []
    written = _Written(kept)
    for one in found:
        item = one
        if not _is_entry(item, kept):
            if not notes:
                prose.append(item)
                continue
            item = replace(
                item, lines=(entry_line("noted", "", " ".join(item.lines)),), prose=False
            )
        item = dated(item, farm, as_of)
        (there if written.holds(item) else new).append(item)
    return Sorted(tuple(new), tuple(there), tuple(prose))


def _is_entry(item: Item, kept: Kept) -> bool:
    """A line that begins with a verb, or a doing about something that is known."""
    if item.prose:
        return False
    if begins(item.lines[0]):
        return True
    head, colon, _ = plain(item.lines[0]).partition(":")
    words = head.split()
    if not colon or not 1 < len(words) <= _MOST_DOING or not words[0].lower().endswith("ed"):
        return False
    sowings = Sowings(kept, item.on)
    subject = " ".join(words[1:])
    return bool(sowings.fits(subject) or fold(subject) in kept.book.farm.spots())


class _Written:
    """The lines of the files, each of which answers one line of a message."""

    def __init__(self, kept: Kept) -> None:
        self.kept = kept
        self.left: Counter[tuple[str, int]] = Counter(e.event.key for e in kept.book.entries)
        self.by_day: dict[tuple[dt.date | None, str], list[Entry]] = {}
        for entry in kept.book.entries:
            key = (entry.event.on, entry.event.verb)
            self.by_day.setdefault(key, []).append(entry)

    def holds(self, item: Item) -> bool:
        """True, and these lines are used up, when all that an item says is written already."""
        farm, as_of = self.kept.book.farm, self.kept.book.as_of
        events = events_of(item, farm, as_of)
        found: list[Entry] = []
        for event in events:
            same = next((e for e in self._like(event) if e not in found), None)
            if same is None:
                return False
            found.append(same)
        for entry in found:
            self.left[entry.event.key] -= 1
        return bool(found)

    def _like(self, event: Event) -> Iterator[Entry]:
        """Lines of that day and verb with the same words about what may be the same sowing."""
        for entry in self.by_day.get((event.on, event.verb), ()):
            theirs = entry.event
            if self.left[theirs.key] < 1 or not self._about_one(event, entry):
                continue
            if _rest(theirs) == _rest(event) or (
                event.verb in NEW_SOWING and _sown(theirs) == _sown(event)
            ):
                yield entry

    def _about_one(self, event: Event, entry: Entry) -> bool:
        ours, theirs = fold(event.subject), fold(entry.event.subject)
        if ours == theirs:
            return True
        if not ours or not entry.ref.code:
            return event.verb in NEW_SOWING and bool(entry.ref.code)
        sowings = Sowings(self.kept, event.on or self.kept.book.as_of)
        if event.verb in NEW_SOWING:
            crop = sowings.crops.split(event.subject)[0] or event.subject
            return fold(crop) == fold(entry.ref.crop)
        return entry.ref.code in sowings.fits(event.subject)


def _rest(event: Event) -> str:
    """A line's words but for its subject and who signed it."""
    start = event.subject_at.start - event.at.start
    end = event.subject_at.end - event.at.start
    text = plain(event.at.text)
    if event.subject:
        text = text[:start] + "\\0" + text[end:]
    return " ".join(_SIGNED.sub("", text).replace(":", " ").casefold().split())


def _sown(event: Event) -> tuple[object, ...]:
    """What a sowing's line says, wherever its crop and variety stand."""
    said = [s for s in event.said if s.field not in ("named", "variety", "crop")]
    return tuple(said), event.note
