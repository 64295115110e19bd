"""Day files made again from their lines, so that each reads as it did."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from traybook.intake.events import Kept
from traybook.records.dayfile import file_name
from traybook.records.event import Event
from traybook.records.reader import begins, read_file
from traybook.records.settings import Farm
from traybook.text.names import fold
from traybook.text.source import Source

_FENCE = "---"
_OPEN, _BETWEEN, _CLOSE = "<<<<<<< ours", "=======", ">>>>>>> theirs"


@dataclass(frozen=True)
class _Head:
    """A file's own keys: a day that its name doesn't say, whose it is, whether all is private."""

    on: dt.date | None = None
    by: str = ""
    private: bool = False

    def lines(self) -> list[str]:
        """The keys as written."""
        out = [f"date: {self.on}"] if self.on else []
        out += [f"by: {self.by}"] if self.by else []
        return out + (["private: true"] if self.private else [])


@dataclass(slots=True)
class _Put:
    """A line as it is written: under a verb of its own (`over`), or at the left edge."""

    kept: Kept
    over: str = ""
    body: list[str] = field(default_factory=list)


def file_text(path: str, lines: Sequence[Kept], farm: Farm, as_of: dt.date) -> str:
    """A day file that holds these lines in their order and reads as they did.

    A line whose verb stood above it gets it back; two sides that a merge left stay apart.
    """
    prose = file_name(path, farm).prose
    head, puts = _Head(), [None] * len(lines)
    for other in _heads(lines):
        more = [_best(k, _reads_under(other, path, farm, as_of)) for k in lines]
        if other == head or more.count(None) < puts.count(None):
            head, puts = other, more
        if None not in puts:
            break
    plain = [put or _flush(kept) for put, kept in zip(puts, lines, strict=True)]
    body = _laid(_with_sides(plain))
    bare = lines[0].line == 1 and head == _Head() and begins(body[0])
    if None in puts and any(k.private for k in lines):
        head = replace(head, private=True)  # what was private stays so, whatever else is lost
    return _whole(prose, head, body, bare and head == _Head())


def lines_for(path: str, lines: Sequence[Kept], farm: Farm, as_of: dt.date) -> list[str]:
    """The same lines for a file that is there already."""
    reads = _reads_under(_Head(), path, farm, as_of)
    return _laid([_best(k, reads) or _flush(k) for k in lines])


def reads_on(kept: Kept, day: dt.date, farm: Farm, as_of: dt.date) -> bool:
    """True when the line, written into a file of that day, is of the day that it has."""
    head = _Head(by=kept.by, private=kept.private)
    return _best(kept, _reads_under(head, f"entries/{day}.md", farm, as_of)) is not None


def _reads_under(head: _Head, path: str, farm: Farm, as_of: dt.date) -> Callable[[_Put], bool]:
    """Tells whether a line written so is read as the table has it."""
    prose = file_name(path, farm).prose

    def reads(put: _Put) -> bool:
        source = Source(path, _whole(prose, head, _laid([put])))
        return _same(read_file(source, farm, as_of).events, put.kept)

    return reads


def _heads(lines: Sequence[Kept]) -> Iterator[_Head]:
    """The keys that a file may have needed, none of them first."""
    days = Counter(k.on for k in lines if k.on).most_common(1)
    people = [by for by, _ in Counter(k.by for k in lines if k.by).most_common()]
    for private in (False, True) if all(k.private for k in lines) else (False,):
        for on in (None, *(day for day, _ in days)):
            for by in ("", *people):
                yield _Head(on, by, private)


def _flush(kept: Kept) -> _Put:
    return _Put(kept, "", _body(kept.text, ""))


def _best(kept: Kept, reads: Callable[[_Put], bool]) -> _Put | None:
    """The plainest way to write a line that reads as it did; None if none does."""
    under = [
        _Put(kept, over, _body(kept.text, "  ")) for over in (kept.verb, f"private {kept.verb}")
    ]
    ways = [_flush(kept), *under]
    if "\n" in kept.text:
        ways += [_Put(kept, way.over, _body(kept.text, " " * 4)) for way in ways]
    return next((way for way in ways if reads(way)), None)


def _body(text: str, indent: str) -> list[str]:
    """The lines of a text under an indent. One that stood no deeper than the first, as where tabs
    and blanks were mixed, gets a tab."""
    first, *more = text.split("\n")
    deep = [indent + line if line[:1] in " \t" or len(indent) < 4 else "\t" + line for line in more]
    return [indent + first, *deep]


def _same(events: list[Event], kept: Kept) -> bool:
    """The line is read as the table has it, whatever the ledger may say of it."""
    if tuple(e.subject for e in events) != kept.subjects:
        return False
    return all(
        (e.on, fold(e.verb), e.text, e.by, e.private)
        == (kept.on, fold(kept.verb), kept.text, kept.by, kept.private)
        for e in events
    )


def _with_sides(puts: list[_Put]) -> list[_Put | str]:
    """The lines with the marks of a merge around those that wait because of one."""
    out: list[_Put | str] = list(puts)
    for put in [p for p in puts if p.kept.fault == "merge-conflict"]:
        at = out.index(put)
        grows = at > 0 and out[at - 1] == _CLOSE
        end = at - 1 - out[at - 2 :: -1].index(_BETWEEN) - 1 if grows else at
        start = max((i for i in range(end) if out[i] == _OPEN), default=0) if grows else end
        low = max((i + 1 for i in range(start) if out[i] == _CLOSE), default=0)
        twin = _twin(out, put, low, end)
        if twin is None:
            continue
        if grows:
            out[at - 1 : at + 1] = [put, _CLOSE]
            if twin < start:
                del out[start]
                out.insert(twin, _OPEN)
        else:
            out[at : at + 1] = [_BETWEEN, put, _CLOSE]
            out.insert(twin, _OPEN)
    return out


def _twin(out: list[_Put | str], put: _Put, start: int, end: int) -> int | None:
    """The last line between two places that says something of the same subject."""
    what = _about(put.kept)
    same = (
        i
        for i in range(end - 1, start - 1, -1)
        if isinstance(held := out[i], _Put) and _about(held.kept) == what
    )
    return next(same, None)


def _about(kept: Kept) -> tuple[str, ...]:
    return fold(kept.verb), *(fold(s) for s in kept.subjects)


def _laid(puts: Sequence[_Put | str]) -> list[str]:
    """The lines of a block; neighbours with one verb above them share it."""
    out: list[str] = []
    over = ("", "")
    edge = _edge([p for p in puts if isinstance(p, _Put) and not p.over])
    for put in puts:
        if isinstance(put, str):
            out.append(put)
            continue
        now = (put.over, _set_in(put))
        if put.over and now != over:
            out.append(f"{edge}{put.over}:")
        over = now
        as_is = not put.over and (_set_in(put) or put.body[0].startswith("-"))
        out += put.body if as_is else [edge + line for line in put.body]
    return out


def _edge(flush: list[_Put]) -> str:
    """Where one line at the left edge is set in, all are; beside a dash, which counts as one
    deeper, by one."""
    if any(_set_in(p) for p in flush):
        return " " * 4
    return " " if any(p.body[0].startswith("-") for p in flush) else ""


def _set_in(put: _Put) -> str:
    """The white space before a line."""
    return put.body[0][: len(put.body[0]) - len(put.body[0].lstrip())]


def _whole(prose: bool, head: _Head, body: list[str], bare: bool = False) -> str:
    """A file's text. Where a line begins with a dash, the file's own keys are set in as others are."""
    dashed = any(line.startswith("-") for line in body)
    lines = [*(" " + key if dashed else key for key in head.lines()), *body]
    return "\n".join([_FENCE, *lines, _FENCE] if prose and not bare else lines) + "\n"
