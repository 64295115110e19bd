"""Text from a phone or a message into lines, each with the day it is for."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from traybook.records.reader import begins
from traybook.records.settings import Farm
from traybook.records.verbs import field_for, verb_at
from traybook.text.fences import is_fence
from traybook.text.names import fold
from traybook.text.scalars import DAY, day
from traybook.text.source import plain

_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+(?:the\s+)?)?"
_HEADING = re.compile(rf"(?:#+\s*)?(?:on\s+)?{_WEEKDAY}(?P<day>{DAY})\s*[:,.]?$", re.IGNORECASE)
_LED = re.compile(rf"(?:on\s+)?{_WEEKDAY}(?P<day>{DAY})\s*[:,-]?\s+(?P<rest>\S.*)$", re.IGNORECASE)
# What chat programs put before a message that is copied out of them.
_STAMP = r"\d{1,4}[./-]\d{1,2}[./-]\d{2,4}"
_CLOCK = r"\d{1,2}[:.]\d{2}(?:[:.]\d{2})?(?:\s*[ap]\.?m\.?)?"
_CHAT = (
    re.compile(rf"\[(?P<day>{_STAMP}),?\s+{_CLOCK}\]\s*(?P<who>[^:\]]{{1,40}}):\s*", re.IGNORECASE),
    re.compile(rf"\[{_CLOCK},?\s+(?P<day>{_STAMP})\]\s*(?P<who>[^:\]]{{1,40}}):\s*", re.IGNORECASE),
    re.compile(rf"(?P<day>{_STAMP}),?\s+{_CLOCK}\s+-\s+(?P<who>[^:]{{1,40}}):\s*", re.IGNORECASE),
)
_UNSEEN = str.maketrans("", "", "\u200e\u200f\u202a\u202c\ufeff\u2068\u2069")
# A sowing and what is said of it, under a verb.
_SUBJECT = re.compile(r"\s+([^-\s{\[|#][^:]*):\s+[^{\[|>\s]")
_KEY = re.compile(r"(date|day|by|who|private|title|tags)\s*:\s*(.*)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Item:
    """An entry with its indented lines, or a line of prose, and the day it is for.

    `dated` is False when the text named no day, so that today is taken; `unsure` holds a day in
    figures that could be read either way round; `by` initials that the text named.
    """

    lines: tuple[str, ...]
    on: dt.date
    dated: bool
    by: str = ""
    prose: bool = False
    unsure: str = ""

    @property
    def text(self) -> str:
        """All its lines."""
        return "\n".join(self.lines)


class _Reader:
    def __init__(self, farm: Farm, today: dt.date) -> None:
        self.farm, self.today = farm, today
        self.on, self.dated, self.by, self.unsure = today, False, "", ""
        self.private = False
        self.people = {fold(p): p for p in farm.people}
        self.items: list[Item] = []

    def read(self, text: str) -> list[Item]:
        """Walk the lines."""
        fenced = 0  # 0 before any fence, 1 inside a block, 2 after one
        for raw in re.split(r"\r\n|\n|\r", text):
            line = self._unchatted(raw.translate(_UNSEEN).rstrip())
            flat = plain(line)
            if is_fence(line, flat):
                fenced = 2 if fenced == 1 else 1
            elif flat.strip():
                self._line(line, flat, prose=fenced == 2 and not begins(flat))
        return self.items

    def _unchatted(self, line: str) -> str:
        """Without what a chat program put before it; its day and name hold from here on."""
        flat = plain(line)
        for pattern in _CHAT:
            found = pattern.match(flat)
            if found and self._day(re.sub(r"[.-]", "/", found["day"])):
                self.by = self.people.get(fold(found["who"]), "")
                return line[found.end() :]
        return line

    def _day(self, words: str) -> bool:
        """Take words as the day of what follows; False when they are none or still to come."""
        read = day(words, self.today, self.farm.day_first)
        if read.on is None or read.on > self.today:
            return False
        self.on, self.dated, self.unsure = read.on, True, words if read.unsure else ""
        return True

    def _line(self, line: str, flat: str, prose: bool) -> None:
        heading, key = _HEADING.match(flat.strip()), _KEY.match(flat)
        if heading and self._day(heading["day"]):
            return
        if key and not prose and self._key(key[1].lower(), key[2].strip("'\" ")):
            return
        if flat[:1] in " \t" and self.items and not prose and not self.items[-1].prose:
            last = self.items[-1]
            self.items[-1] = replace(last, lines=(*last.lines, line))
            return
        line, flat = line.strip(), flat.strip()
        led = _LED.match(flat)
        if led and begins(led["rest"]):
            here = self.on, self.dated, self.unsure
            if self._day(led["day"]):
                self._add(line[led.start("rest") :], False)
                self.on, self.dated, self.unsure = here
                return
        self._add(line, prose)

    def _key(self, key: str, value: str) -> bool:
        """A file's own keys: its day, its person, whether it is private."""
        if key in ("date", "day"):
            return self._day(value)
        if key in ("by", "who"):
            self.by = self.people.get(fold(value), value)
        elif key == "private":
            self.private = fold(value) not in ("no", "false")
        return True

    def _add(self, line: str, prose: bool) -> None:
        line = re.sub(r"^[-*•]\s+", "", line)
        if self.private and not prose and not line.lower().startswith("private"):
            line = f"private {line}"
        self.items.append(Item((line,), self.on, self.dated, self.by, prose, self.unsure))


def items(text: str, farm: Farm, today: dt.date) -> list[Item]:
    """Split a text into entries and prose, each with its day.

    A day on a line of its own holds for the lines after it, a day at the beginning of a line for
    that line; what stands before any day is for today.
    """
    return [one for item in _Reader(farm, today).read(text) for one in _unblocked(item)]


def _unblocked(item: Item) -> Iterator[Item]:
    """`checked:` with a sowing a line under it, as lines of their own."""
    head, below = item.lines[0], item.lines[1:]
    private = "private " if re.match(r"private\s", head, re.IGNORECASE) else ""
    words = plain(head)[len(private) :].strip()
    found = verb_at(words)
    if not below or not found or found[0].words or words[found[1] :].strip() != ":":
        yield item
        return
    verb = words[: found[1]]
    indents = {len(x) - len(x.lstrip()) for x in below}
    each = [_SUBJECT.match(plain(x)) for x in below]
    if len(indents) == 1 and all(e and not field_for(found[0], e[1]) for e in each):
        for line in below:
            yield replace(item, lines=(f"{private}{verb} {line.strip()}",))
    else:
        yield item
