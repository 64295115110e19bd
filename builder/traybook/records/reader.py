"""A file's text in, its events and prose out; nothing that was written raises."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field, replace

from traybook.findings.model import Finding, Fix, Label, offer
from traybook.records.dayfile import LARGEST, TOO_LARGE, FileName, file_name, likely_name
from traybook.records.event import Event, Prose
from traybook.records.heads import day_alone, without_lead
from traybook.records.lines_in import LineReader
from traybook.records.settings import Farm
from traybook.records.verbs import verb_at
from traybook.text.fences import Layout, Tests, split
from traybook.text.lines import Line, tree
from traybook.text.names import fold, near
from traybook.text.scalars import day
from traybook.text.source import Source, Span


@dataclass(slots=True)
class FileRead:
    """What one file came to."""

    events: list[Event] = field(default_factory=list)
    prose: list[Prose] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Head:
    """What holds for a whole file: its day, whose it is, whether it is private, and the name of
    the finding that sets all its lines aside."""

    on: dt.date | None
    by: str
    private: bool
    fault: str = ""
    waits: bool = False


# `bunch 15`: a verb that begins many a sentence, and a number.
_SHORT = re.compile(r"\w+(?:\s\w+)?\s+\d+\s*")


def begins(text: str) -> bool:
    """True when a line begins with a verb and has a subject or a value."""
    words = without_lead(text.lstrip())
    words = words[8:].lstrip() if words.lower().startswith("private ") else words
    found = verb_at(words)
    return (
        text[:1] not in " \t"
        and found is not None
        and (not found[0].common or ":" in words or bool(_SHORT.fullmatch(words)))
    )


def surely_begins(text: str) -> bool:
    """The same with a verb that begins few sentences of prose."""
    found = verb_at(without_lead(text.lstrip()))
    return begins(text) and found is not None and not found[0].common


def read_file(source: Source, farm: Farm, as_of: dt.date) -> FileRead:
    """Read a day file: entry blocks into events, the rest into prose.

    A line dated after `as_of` waits.
    """
    out = FileRead()
    top = Span(source, 0, 0)  # the file as a whole, or its name
    if len(source.text) > LARGEST:
        out.findings.append(Finding("too-large", TOO_LARGE[0], Span(source, 0, 0), TOO_LARGE[1]))
        return out
    name = file_name(source.path, farm)
    heads = None if name.dated else day_alone
    layout = split(source, name.prose, Tests(begins, surely_begins, heads))
    lines = [line for rows in layout.blocks for line in tree(source, rows)]
    if not lines and not layout.prose and not layout.marks:
        out.findings.append(
            Finding("empty-file", "there is nothing in this file", top, "delete it, or write in it")
        )
        return out
    head, lines = _head(lines, name, farm, as_of, top, out)
    _marks(layout, out)
    reader = LineReader(farm, head.on, head.by, as_of, name.month_end)
    for line in lines:
        out.events += reader.read(line)
    out.findings += reader.findings
    out.events = [_under(e, head) for e in out.events]
    if head.fault == "no-date":
        _notebook(out)
    _conflicts(out, lines, _groups(layout))
    _prose(source, layout, head, out)
    if _private_unread(out):
        out.events = [replace(e, private=True) for e in out.events]
        out.prose = [replace(p, private=True) for p in out.prose]
    return out


def _under(event: Event, head: Head) -> Event:
    """What the file's head makes of an event."""
    ahead = head.waits and event.on == head.on
    waits = event.waits or (ahead and not event.fault)
    fault = event.fault or (head.fault if event.on is None or ahead else "")
    return replace(event, private=event.private or head.private, fault=fault, waits=waits)


def _head(
    lines: list[Line], name: FileName, farm: Farm, as_of: dt.date, top: Span, out: FileRead
) -> tuple[Head, list[Line]]:
    """Take the file's own keys (date, by, private) off the lines and settle its day."""
    on, by, private, inside, rest = name.on, name.by, False, None, []
    for line in lines:
        key = fold(line.head.text) if line.value is not None and not line.dash else ""
        value = line.value.text.strip("'\"") if line.value else ""
        if key in ("date", "day"):
            read = day(value, name.on or as_of, farm.day_first) if value else None
            inside = (line, read.on if read else None)
        elif key in ("by", "who"):
            by = value or by
        elif key == "private" and not (line.value and verb_at(line.value.text)):
            private = private or fold(value) not in ("no", "false")
        elif key in ("title", "tags"):
            continue
        else:
            rest.append(line)
    if inside:
        private = private or inside[1] is None
        _day_inside(name, *inside, out)
    on = on or (inside[1] if inside else None)
    if name.odd and farm.people:
        out.findings.append(
            Finding("unknown-initials", f"`{name.odd}` in this file's name is nobody in farm.yaml", top,
                    (offer(near(name.odd, farm.people)) + " " if near(name.odd, farm.people) else "")
                    + "the lines are read all the same; add the initials to `people`, or rename the file")
        )  # fmt: skip
    if on is None:
        return Head(None, by, private, _no_day(name, top, lines, out)), rest
    if on > as_of:
        out.findings.append(
            Finding("future-day", f"this file's name says {on}, which is still to come, so its lines wait for that day"
                    if name.on else f"{on} is still to come, so these lines wait for that day",
                    top if name.on or inside is None else inside[0].span,
                    "check the year and the month" + (" in the file's name" if name.on else ""))
        )  # fmt: skip
        return Head(on, by, private, "future-day", True), rest
    return Head(on, by, private), rest


def _day_inside(name: FileName, line: Line, on: dt.date | None, out: FileRead) -> None:
    """A day inside the file that is none, or another than the name's."""
    if on is None and name.on:
        words = line.value.text if line.value else ""
        out.findings.append(
            Finding("impossible-date", f"`{words}` is no day, so the day in the file's name is used",
                    line.span, "make the two agree, or take this line out")
        )  # fmt: skip
    elif on and name.problem:
        out.findings.append(
            Finding("two-dates", f"this file's name has no real day ({name.problem}), this line says {on}",
                    line.span, "this line's day is used; rename the file")
        )  # fmt: skip
    elif on and name.on and on != name.on:
        out.findings.append(
            Finding("two-dates", f"the file's name says {name.on}, this line says {on}",
                    line.span, "the name's day is used; make the two agree")
        )  # fmt: skip


def _no_day(name: FileName, top: Span, lines: list[Line], out: FileRead) -> str:
    """One finding for a file with no day, naming each line that needs one."""
    fault = "impossible-date" if name.dated else "no-date"
    message = (
        f"this file's name has no real day: {name.problem}"
        if name.dated
        else "this file's name doesn't begin with a day"
    )
    waiting = tuple(Label(x.span, "this line needs a day") for x in lines[:20])
    meant = likely_name(top.path)
    help_ = offer([meant] if meant else []) or "rename it, as 2026-03-14.md"
    out.findings.append(
        Finding(fault, message, top, f"{help_}; until then its lines are set aside", also=waiting)
    )
    return fault


def _notebook(out: FileRead) -> None:
    """Where lines have days of their own the file's name needs none; a line without one does."""
    dayless = [e for e in out.events if e.on is None]
    if len(dayless) == len(out.events):
        return
    dayless = [e for e in dayless if e.fault != "impossible-date"]
    out.findings = [f for f in out.findings if f.name != "no-date"]
    if dayless:
        also = tuple(Label(e.at, "and this one") for e in dayless[1:20])
        out.findings.append(
            Finding("no-date", "this line needs a day of its own, since the file's name has none",
                    dayless[0].at, "end it with its day, as `, on 2026-03-14`", also=also)
        )  # fmt: skip


def _groups(layout: Layout) -> list[list[Span]]:
    """The lines that each merge left behind, together; a stray one stands alone."""
    groups: list[list[Span]] = []
    inside = False
    for mark in layout.marks:
        kind = mark.text.lstrip()[:1]
        if inside and kind != "<":
            groups[-1].append(mark)
        else:
            groups.append([mark])
        inside = kind == "<" or (inside and kind != ">")
    return groups


def _marks(layout: Layout, out: FileRead) -> None:
    if layout.unclosed:
        out.findings.append(
            Finding("unclosed-fence", "these entries have no closing `---`", layout.unclosed,
                    "put `---` on a line of its own after the last entry", fix=_closing(layout))
        )  # fmt: skip


def _closing(layout: Layout) -> Fix | None:
    """A closing fence after the last entry of the block that has none."""
    if not layout.unclosed or not layout.blocks or not layout.blocks[-1]:
        return None
    source = layout.unclosed.source
    end = source.line_span(layout.blocks[-1][-1].line).end
    eol = re.match(r"\r\n|\n|\r", source.text[source.line_span(1).end :])
    return Fix(((Span(source, end, end), (eol.group() if eol else "\n") + "---"),))


def _conflicts(out: FileRead, lines: list[Line], groups: list[list[Span]]) -> None:
    """Of the second side of a merge, a line that says otherwise than the first side's waits; one
    that says the same is dropped; any other is an entry like all."""
    side = {line.span.start: line.row for line in lines for line in line.walk()}
    first: dict[tuple[int, str, str], list[Event]] = {}
    kept = []
    differ: dict[int, list[Label]] = {}
    for event in out.events:
        row = side.get(event.at.start)
        what = (row.conflict if row else 0, event.verb, fold(event.subject))
        if row and row.side == 1:
            first.setdefault(what, []).append(event)
        if not row or row.side != 2 or what not in first:
            kept.append(event)
            continue
        if any(e.text.strip() == event.text.strip() for e in first[what]):
            continue
        differ.setdefault(row.conflict, []).extend(
            (Label(first[what][0].at, "this is used"), Label(event.at, "this waits"))
        )
        kept.append(replace(event, fault="merge-conflict", waits=True))
    out.events = kept
    opened = 0
    for marks in groups:
        opened += marks[0].text.lstrip()[:1] == "<"
        out.findings.append(_merge(marks, differ.pop(opened, [])))


def _merge(marks: list[Span], differ: list[Label]) -> Finding:
    """One finding for all that one merge left behind."""
    left = tuple(Label(m, "and this line") for m in marks[1:])
    if differ:
        return Finding("merge-conflict", "a merge left two versions here that disagree; the first is used",
                       marks[0], "keep the right lines, then delete the others and the marker lines",
                       also=tuple(dict.fromkeys((*differ, *left))))  # fmt: skip
    return Finding("merge-marker", "a merge left this line behind", marks[0],
                   "keep what is right on both sides, then delete the marker lines", also=left)  # fmt: skip


def _prose(source: Source, layout: Layout, head: Head, out: FileRead) -> None:
    for first, last in layout.prose:
        span = Span(source, source.line_span(first).start, source.line_span(last).end)
        if span.text.strip():
            out.prose.append(Prose(head.on, span.text.strip("\r\n"), head.by, head.private, span))
        lines = [source.line_span(n) for n in range(first, last + 1)]
        like = [s for s in lines if _looks_like_entry(source.plain[s.start : s.end])]
        if like:
            also = tuple(Label(s, "and this") for s in like[1:20])
            out.findings.append(
                Finding("entry-in-prose", "this looks like an entry but stands among prose, so it is not counted",
                        like[0], "put it between two lines of `---`", also)
            )  # fmt: skip


def _looks_like_entry(text: str) -> bool:
    """A line among prose that reads like a count, perhaps after a list's mark, is asked about,
    never taken."""
    text = text.lstrip(" -*+>#")
    found = verb_at(text)
    if not found or found[0].words:
        return False
    head, colon, value = text.partition(": ")
    return bool(colon) and any(c.isdigit() for c in value) and len(head.split()) <= 4


def _private_unread(out: FileRead) -> bool:
    """Where `private` stands in a line that could not be read, all of the file is kept private."""
    return any(e.fault and "private" in e.text.lower() for e in out.events) or any(
        "private" in f.at.text.lower() for f in out.findings if f.name != "entry-in-prose"
    )
