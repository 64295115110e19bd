"""One entry line, in any of its three forms, into events."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

from traybook.findings.model import Finding, offer
from traybook.records.anyline import AnyLine, Draft, counted_for_each, more_than_of, nothing_said
from traybook.records.clauses import read_clause, split
from traybook.records.event import Event
from traybook.records.field import Verb
from traybook.records.heads import (
    TIME_TAIL,
    Led,
    about_day,
    before_tail,
    clock,
    led_by,
    two_sowings,
)
from traybook.records.in_note import count_in_note
from traybook.records.no_colon import (
    AND,
    BARE_NUMBER,
    CODE,
    EARLY,
    LOT,
    end_of_subject,
    no_colon,
    private_lead,
    respelt,
    subject_first,
    trimmed,
    unquoted,
)
from traybook.records.pairs import read_pairs
from traybook.records.settings import Farm
from traybook.records.verbs import field_for, near_verb, verb_at
from traybook.text.flow import Broken, Items, Pairs, Value, read
from traybook.text.lines import Line, split_colon
from traybook.text.names import fold
from traybook.text.scalars import DAY
from traybook.text.source import Piece

# A day in figures may stand alone behind its sowing: `sown ammi 14/3`.
_ON_HEAD = re.compile(
    rf"^(?P<rest>.+?)\s+(?P<on>on\s+{DAY}|yesterday|(?=\d+[/.]\d|\d{{4}}-\d|\d+\s+[a-z]){DAY})$",
    re.IGNORECASE,
)
_PRIVATE_WORD = re.compile(r"\bprivate\b", re.IGNORECASE)


_HALF_A_YEAR = 183


class LineReader:
    """Reads the lines of one file; findings gather in `findings`."""

    def __init__(
        self,
        farm: Farm,
        on: dt.date | None,
        by: str,
        as_of: dt.date,
        month_end: dt.date | None = None,
    ) -> None:
        """`on` is the file's day and `by` its initials; a line may name its own. `month_end` is that
        of the month a notebook is named by."""
        self.farm, self.on, self.by, self.as_of = farm, on, by, as_of
        self.any = AnyLine(farm, on or month_end, as_of)
        self.dated, self.seen = on is not None, on
        self.under = ("", False)
        self.findings: list[Finding] = []

    def read(self, line: Line) -> list[Event]:
        """The events of a line at the left edge and of what is indented under it."""
        led = led_by(line)
        if led:
            return self._led(line, led)
        if fold(line.head.text) == "private" and line.value and verb_at(line.value.text):
            told, value = split_colon(line.value)
            line = replace(line, head=told, value=value)
        head, private, asked = private_lead(line.head)
        if not verb_at(head.text):
            head, private, asked = line.head, False, []
        self.findings += asked
        named = verb_at(head.text)
        if named is None:
            return self._doing(line, head, private)
        verb, end = named
        subject = head.part(end, len(head.text))
        if verb.name == "swapped":
            start = head.at.start - line.whole.at.start + end
            return self._swap(line, verb, line.whole.part(start, len(line.whole.text)), private)
        if line.value is None:
            return self._no_colon(line, verb, subject, private)
        got = read(line.value, line.below) if line.value.text else None
        if got is None and line.value.text and not subject.text and verb.of in EARLY:
            return self._early_colon(line, verb, line.value, private)
        if isinstance(got, Items) and not subject.text:
            return self._list(line, verb, got, private)
        if not line.value.text and not subject.text and line.below and not verb.words:
            return self._block(line, verb, private)
        return self._one(line, verb, subject, line.value, private, got)

    def _led(self, line: Line, led: Led) -> list[Event]:
        """A line that begins with its day or time; a day alone is the day of the lines after it."""
        probe, on, near = Draft(line, None, "", line.head), self.on, self.any.file_day
        if led.day is not None:
            self.any.file_day = self._near(led.day.text)
            self.any.day_of(probe, led.day)
            self._flush(probe)
            self.on = self.any.file_day = probe.on
            self.seen = probe.on or self.seen
        if led.rest is None:
            self.under = (probe.fault, probe.waits)
            return []
        events = self.read(led.rest)
        self.on, self.any.file_day = on, near
        return [
            replace(
                e,
                fault=e.fault or probe.fault,
                waits=e.waits or probe.waits,
                time=e.time or led.time,
            )
            for e in events
        ]

    def _near(self, words: str) -> dt.date | None:
        """What a day without a year is told from: in a notebook the day before it, which may lie on
        either side by its date, and before it by its weekday."""
        if self.dated or self.seen is None:
            return self.any.file_day
        ahead = _HALF_A_YEAR if re.search(r"\d", words) else 6
        return min(self.as_of, self.seen + dt.timedelta(days=ahead))

    def _swap(self, line: Line, verb: Verb, words: Piece, private: bool) -> list[Event]:
        """`swapped A with B since DAY`, with or without a colon somewhere."""
        words = words.part(1, len(words.text)) if words.text[:1] == ":" else words
        words, more = before_tail(words)
        rest, day = about_day(words)
        pair = two_sowings(rest)
        draft = Draft(line, verb, verb.name, pair[0] if pair else rest, private=private)
        if day is not None:
            draft.day = self.any.read_day(draft, day)
        if pair:
            self._value(draft, pair[1])
            self._value(draft, more)
        else:
            draft.set_aside("no-subject", "`swapped` needs the two sowings whose tags were changed over",
                        rest if rest.text else line.whole,
                        "write it as `swapped stock-26-1 with stock-26-2 since 14 Mar`")  # fmt: skip
        self._flush(draft)
        return [self._event(draft, draft.subject)]

    # -- forms

    def _list(self, line: Line, verb: Verb, got: Items, private: bool) -> list[Event]:
        """`hardening off: [stock-26-1, stock-26-2]`."""
        out = []
        for item in got.values:
            if isinstance(item, Piece):
                out += self._subjects(Draft(line, verb, verb.name, item, private=private), item)
            elif isinstance(item, Pairs):
                for key, value in item.pairs:
                    out += self._one(line, verb, key, None, private, value)
        return out

    def _block(self, line: Line, verb: Verb, private: bool) -> list[Event]:
        """A verb with subjects, or with its own fields, indented under it."""
        heads = [x.head.text for x in line.below]
        if not line.below[0].dash and field_for(verb, heads[0]):
            return self._one(line, verb, line.head.part(0, 0), None, private, None)
        out = []
        for child in line.below:
            head, lead, asked = private_lead(child.head)
            secret, self.findings = private or lead, self.findings + asked
            if child.value is None:
                out += self._no_colon(child, verb, head, secret)
            else:
                got = read(child.value, child.below) if child.value.text else None
                out += self._one(child, verb, head, child.value, secret, got)
        return out

    def _one(
        self, line: Line, verb: Verb, subject: Piece, value: Piece | None, private: bool,
        got: Value | Broken | None,
    ) -> list[Event]:  # fmt: skip
        """One event: its value as clauses, as a mapping, or both."""
        draft = Draft(line, verb, verb.name, subject, private=private)
        if isinstance(got, Broken):
            value = self._broken(draft, got)
        elif isinstance(got, Pairs):
            read_pairs(self.any, draft, [(k, v) for k, v in got.pairs])
            value = None
        elif isinstance(got, Items):
            for item in got.values:
                if isinstance(item, Piece):
                    self._value(draft, item)
            value = None
        elif isinstance(got, Piece):
            value = got
        if value is not None and value.text and not draft.fault:
            self._value(draft, value)
        if line.below and got is None:
            self._below(draft)
        return self._subjects(draft, subject)

    def _below(self, draft: Draft) -> None:
        """Lines indented under an event: a mapping, a list of clauses, or more of the value."""
        verb = draft.verb
        lines = draft.line.below
        if verb and not verb.words and any(x.value is not None and not x.dash for x in lines):
            pairs: list[tuple[Piece, Value]] = []
            for child in lines:
                if child.value is None:
                    self._value(draft, child.whole)
                    continue
                read_ = read(child.value, child.below) if child.value.text else None
                pairs.append(
                    (
                        child.head,
                        child.value if read_ is None or isinstance(read_, Broken) else read_,
                    )
                )
            read_pairs(self.any, draft, pairs)
            return
        for child in lines:
            if child.dash:
                self._value(draft, child.whole.part(1, len(child.whole.text)))
            else:
                for more in child.walk():
                    draft.clauses.words.append(more.whole.text) if draft.clauses.words or (
                        verb and verb.words
                    ) else self._value(draft, more.whole)

    def _no_colon(self, line: Line, verb: Verb, rest: Piece, private: bool) -> list[Event]:
        """A line without a colon: a code or the words up to a number are the subject."""
        if verb.words:
            code = CODE.match(rest.text)
            cut = code.end() if code else 0
            subject, value = rest.part(0, cut), rest.part(cut, len(rest.text))
            return self._one(line, verb, subject, value, private, None)
        if verb.of == "farm":
            number = BARE_NUMBER.search(" " + rest.text)
            cut = 0 if verb.name == "weather" or number is None else number.start()
            return self._one(
                line, verb, rest.part(0, cut), rest.part(cut, len(rest.text)), private, None
            )
        cut = end_of_subject(verb, rest)
        subject, value = trimmed(rest, 0, cut), trimmed(rest, cut, len(rest.text))
        return self._guessed(line, verb, subject, value, private)

    def _guessed(
        self,
        line: Line,
        verb: Verb,
        subject: Piece,
        value: Piece,
        private: bool,
        early: bool = False,
    ) -> list[Event]:
        """An event whose subject no colon ends; asked about when a number may belong elsewhere."""
        self.findings += no_colon(verb, subject, value, early)
        return self._one(line, verb, subject, value, private, None)

    def _early_colon(self, line: Line, verb: Verb, value: Piece, private: bool) -> list[Event]:
        """`checked: stock-26-1 31 up`: the colon stands before the subject."""
        head, rest = split_colon(value)
        if rest is not None and not re.match(r"[~\d]", head.text):
            return self._guessed(line, verb, head, rest, private, early=True)
        if subject_first(value, self.farm):
            return self._no_colon(line, verb, value, private)
        return self._one(line, verb, line.head.part(0, 0), value, private, None)

    def _doing(self, line: Line, head: Piece, private: bool) -> list[Event]:
        """A verb the table doesn't know: kept as a doing, and asked about if it is nearly one."""
        word = re.match(r"[^\W\d_]+(?:'\w+)?", head.text)
        draft = Draft(line, None, word.group() if word else "", head, private=private)
        draft.subject = head.part(word.end(), len(head.text)) if word else head
        if not word:
            draft.set_aside("unknown-verb", "this line doesn't begin with a verb", head,
                        "begin with what was done, as `checked` or `sown`")  # fmt: skip
        else:
            close = near_verb(draft.word)
            if close:
                draft.fault = ""
                self.findings.append(
                    Finding("odd-verb", f"`{draft.word}` is no verb that counts, so it is kept as a note",
                            head.part(0, word.end()).at, offer(close), fix=respelt(head.part(0, word.end()), close))
                )  # fmt: skip
        text = " ".join(x.whole.text for x in line.below) if line.below else ""
        first = line.value.text if line.value else ""
        if line.value:
            head_, *tails = line.value.text.split(";")
            first = head_ if tails else first
            self._tails(draft, split(line.value)[1])
        draft.clauses.words[:0] = [t for t in (first.strip(), text) if t]
        self._flush(draft)
        return [self._event(draft, draft.subject)]

    # -- values

    def _value(self, draft: Draft, value: Piece) -> None:
        """A raw value: clauses, then what stands after semicolons."""
        verb = draft.verb
        assert verb is not None
        if verb.words:
            head, *tails = value.text.split(";")
            kept = [value.part(0, len(head))]
            at = len(head) + 1
            for tail in tails:
                kept.append(value.part(at, at + len(tail)))
                at += len(tail) + 1
            draft.clauses.words += [
                p.text for p in kept if not self.any.takes(draft, p, strict=True)
            ]
            return
        clauses, tails_ = split(value)
        for written in clauses:
            piece = self.any.tail(draft, written, verb)
            if not self.any.takes(draft, piece, strict=False):
                read_clause(verb, piece, self.farm, draft.clauses)
        self._tails(draft, tails_)

    def _tails(self, draft: Draft, tails: list[Piece]) -> None:
        for piece in tails:
            if not self.any.takes(draft, piece, strict=True):
                draft.clauses.words.append(piece.text)
                draft.clauses.findings += count_in_note(draft.verb, piece, self.farm)

    # -- ends

    def _broken(self, draft: Draft, got: Broken) -> Piece | None:
        """A quote that doesn't close is taken off; braces that don't close set the event aside."""
        if got.quote:
            at, help_ = got.piece.part(0, 1).at, "take it out; the rest is read as it stands"
            draft.doubt(Finding("unclosed-quote", "this quote is never closed", at, help_))
            return got.piece.part(1, len(got.piece.text))
        draft.set_aside("broken-braces", "these braces could not be read", got.piece,
                    "close them, or write the same words without braces")  # fmt: skip
        return None

    def _subjects(self, draft: Draft, subject: Piece) -> list[Event]:
        """One event a subject; a day may stand after the subject (`checked stock on sat`)."""
        if draft.verb and draft.verb.of == "correction":
            subject, about = about_day(subject)
            draft.day = self.any.read_day(draft, about) if about else draft.day
        timed = TIME_TAIL.search(subject.text)
        if timed and clock(timed["time"]):
            draft.time, subject = clock(timed["time"]), subject.part(0, timed.start())
        found = _ON_HEAD.match(subject.text)
        if found and draft.on is None:
            self.any.day_of(draft, subject.part(found.start("on"), found.end("on")))
            subject = subject.part(0, found.end("rest"))
        parts, at = [], 0
        for cut in AND.finditer(subject.text):
            parts.append(subject.part(at, cut.start()))
            at = cut.end()
        parts.append(subject.part(at, len(subject.text)))
        self.findings += nothing_said(draft, subject)
        if len(parts) == 2 and draft.verb and draft.verb.of == "lot" and LOT.match(parts[1].text):
            read_clause(draft.verb, parts.pop(), self.farm, draft.clauses)
        counted_for_each(draft, len(parts), subject)
        self._flush(draft)
        return [self._event(draft, p) for p in parts]

    def _flush(self, draft: Draft) -> None:
        more_than_of(draft)
        draft.unread |= any(f.name == "unread-number" for f in draft.clauses.findings)
        self.findings += draft.clauses.findings
        draft.clauses.findings = []

    def _event(self, draft: Draft, subject: Piece) -> Event:
        line, clauses = draft.line, draft.clauses
        return Event(
            on=draft.on or self.on,
            verb=draft.verb.name if draft.verb else draft.word,
            subject=unquoted(subject.text),
            said=tuple(clauses.said),
            note="; ".join(w for w in clauses.words if w.strip()),
            by=draft.by or self.by,
            text=line.text,
            at=line.span,
            subject_at=subject.at if subject.text else line.head.at,
            private=draft.private or bool(_PRIVATE_WORD.search(line.text)),
            doing=draft.verb is None,
            allow=draft.allow,
            fault=draft.fault or ("" if draft.on else self.under[0]),
            waits=draft.waits or (draft.on is None and not draft.fault and self.under[1]),
            unread=draft.unread,
            day=draft.day,
            time=draft.time,
            photos=tuple(draft.photos),
        )
