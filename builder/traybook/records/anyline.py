"""What any line may carry, and the draft of an event while it is read."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field

from traybook.findings.catalogue import WEIGHTS
from traybook.findings.model import Finding, Label, offer
from traybook.records.clauses import Clauses, read_clause
from traybook.records.field import Verb
from traybook.records.heads import TIME, TIME_TAIL, clock
from traybook.records.no_colon import like_private
from traybook.records.settings import Farm
from traybook.text.lines import Line
from traybook.text.names import near, one_slip
from traybook.text.scalars import DAY, MONTHS, day, iso_day
from traybook.text.source import Piece, Span

_ON = re.compile(rf"(?:on\s+)?(?P<day>{DAY})$", re.IGNORECASE)
_ON_WORD = re.compile(rf"(?:on\s+(?P<day>{DAY})|(?P<word>yesterday|today))$", re.IGNORECASE)
_ON_BAD = re.compile(r"on\s+(?P<day>\d{4}-\d[\d-]*|\d{1,2}/\d{1,2}\S*)$", re.IGNORECASE)
_BY = re.compile(r"by\s+(?P<who>[^\W\d_]{1,12})\.?$", re.IGNORECASE)
_ON_TAIL = re.compile(rf"(?<=\S)\s+(?:on\s+(?P<day>{DAY})|(?P<word>yesterday))$", re.IGNORECASE)
_BY_TAIL = re.compile(r"(?<=\S)\s+by\s+(?P<who>\w+)$", re.IGNORECASE)
_PHOTO = re.compile(
    r"(?:photos?|pics?|pictures?)\s*:?\s+(?P<names>\S+\.(?:jpe?g|png|heic|heif|webp|gif|tiff?)\b.*|[\w-]*\d[\w-]*)$",
    re.IGNORECASE,
)
_ALLOW = re.compile(r"allow\s+(?P<names>[\w ,-]+)$", re.IGNORECASE)


@dataclass(slots=True)
class Draft:
    """An event while it is read."""

    line: Line
    verb: Verb | None
    word: str
    subject: Piece
    clauses: Clauses = field(default_factory=Clauses)
    on: dt.date | None = None
    by: str = ""
    private: bool = False
    allow: frozenset[str] = frozenset()
    fault: str = ""
    waits: bool = False
    unread: bool = False
    day: dt.date | None = None
    time: str = ""
    photos: list[tuple[str, Span]] = field(default_factory=list)

    @property
    def silent(self) -> bool:
        """Nothing was said but the verb and the subject."""
        return not self.clauses.said and not any(w.strip() for w in self.clauses.words)

    def set_aside(
        self, name: str, message: str, at: Piece, help_: str, also: tuple[Label, ...] = ()
    ) -> None:
        """A finding because of which this event can't be used."""
        self.fault = self.fault or name
        self.clauses.findings.append(Finding(name, message, at.at, help_, also))

    def doubt(self, finding: Finding) -> None:
        """A finding that leaves the event as it is."""
        self.clauses.findings.append(finding)


class AnyLine:
    """Reads what any line may carry: its day, initials, allow, private, cost."""

    def __init__(self, farm: Farm, on: dt.date | None, as_of: dt.date) -> None:
        """`on` is the file's day, from which days without a year are told."""
        self.farm, self.file_day, self.as_of = farm, on, as_of
        self.people = {p.casefold(): p for p in farm.people}

    def tail(self, draft: Draft, piece: Piece, verb: Verb) -> Piece:
        """A day or initials at the end of a clause are the line's: `31 up yesterday`, `31 up by jo`.

        A day only if all else in the clause was read: in `must look again on Friday`, `for a
        wedding on Saturday` or a second count of the same thing it is no day of this line's.
        """
        timed = TIME_TAIL.search(piece.text)
        if timed and clock(timed["time"]):
            draft.time, piece = clock(timed["time"]), piece.part(0, timed.start())
        found = _ON_TAIL.search(piece.text)
        if found:
            rest, trial = piece.part(0, found.start()), Clauses()
            read_clause(verb, rest, self.farm, trial)
            here = {(s.field, s.unit, s.where) for s in trial.said}
            if (
                not here
                or here & {(s.field, s.unit, s.where) for s in draft.clauses.said}
                or (found["day"] and trial.words)
            ):
                return piece
            self.day_of(draft, piece.part(found.start(), len(piece.text)))
            return rest
        by = _BY_TAIL.search(piece.text)
        if by and by["who"].casefold() in self.people:
            draft.by = self.people[by["who"].casefold()]
            return piece.part(0, by.start())
        return piece

    def takes(self, draft: Draft, piece: Piece, strict: bool) -> bool:
        """What any line may carry: by, on, allow, private, cost."""
        text = piece.text
        by, allow = _BY.match(text), _ALLOW.match(text)
        if allow:
            draft.allow |= allowed(allow["names"])
        elif _like_allow(text):
            draft.doubt(Finding("unused-allow", f"`{text}` allows nothing", piece.at,
                                f"did you mean `allow {text.split()[-1]}`?"))  # fmt: skip
        elif by and (
            not self.farm.people or by["who"].casefold() in self.people or len(by["who"]) < 4
        ):
            self.by_of(draft, piece.part(by.start("who"), by.end("who")))
        elif (
            (strict and _ON.match(text) and not text.isdigit() and text[:2].lower() == "on")
            or _ON_WORD.match(text)
            or _ON_BAD.match(text)
            or near_day(text)
        ):
            self.day_of(draft, piece)
        elif text.lower() == "private" or one_slip(text, "private"):
            draft.private = True
            draft.clauses.findings += like_private(piece)
        elif (timed := TIME.match(text)) and clock(timed["time"]):
            draft.time = clock(timed["time"])
        elif shown := _PHOTO.match(text):
            self.photos(draft, piece.part(*shown.span("names")))
        else:
            return bool(re.match(r"cost\b", text, re.I))
        return True

    def by_of(self, draft: Draft, who: Piece) -> None:
        """The line's own initials; nobody of the farm's is asked about."""
        draft.by = self.people.get(who.text.casefold(), who.text)
        if self.people and who.text.casefold() not in self.people:
            close = offer(near(who.text, self.farm.people))
            draft.doubt(Finding("unknown-initials", f"`{who.text}` is nobody in farm.yaml", who.at,
                                close or "the line is read all the same; add the initials to `people` there"))  # fmt: skip

    def photos(self, draft: Draft, names: Piece) -> None:
        """The photos that a line names, each with its place."""
        for found in re.finditer(r"[^\s,&][^,&]*?\.\w{3,4}\b|[^\s,&]+", names.text):
            if found.group().lower() != "and":
                draft.photos.append((found.group(), names.part(*found.span()).at))

    def day_of(self, draft: Draft, piece: Piece) -> None:
        """The line's own day."""
        draft.on = self.read_day(draft, piece) or draft.on

    def read_day(self, draft: Draft, piece: Piece) -> dt.date | None:
        """A day; what is odd about it is found, and an impossible one sets the line aside."""
        text = re.sub(r"^on\s+", "", piece.text, flags=re.I)
        if not re.fullmatch(DAY, text, re.I):
            draft.set_aside("impossible-date", f"`{text}` is no day", piece, day_help(text))
            return None
        read_ = day(text, self.file_day or self.as_of, self.farm.day_first)
        if read_.on is None:
            draft.set_aside("impossible-date", f"`{text}` is no day: {read_.problem}", piece,
                            day_help(text))  # fmt: skip
        elif read_.on > self.as_of:
            draft.waits = True
            draft.set_aside("future-day", f"{read_.on} is still to come, so this line waits", piece,
                        "check the year and the month")  # fmt: skip
        elif read_.unsure:
            draft.doubt(Finding("unsure-date", f"`{text}` is read as {read_.on}", piece.at,
                        "say `dates: day first` or `dates: month first` in farm.yaml"))  # fmt: skip
        return read_.on


def allowed(names: str) -> frozenset[str]:
    """The names after `allow`; a space may stand for the line in one."""
    out: set[str] = set()
    for part in re.split(r"\s*,\s*|\s+and\s+", names.strip().lower()):
        whole = re.sub(r"[\s_]+", "-", part)
        out |= {whole} if whole in WEIGHTS else set(part.split())
    return frozenset(out)


def _like_allow(text: str) -> bool:
    words = text.lower().split()
    return len(words) == 2 and words[1] in WEIGHTS and bool(near(words[0], ["allow"]))


_MONTH_SLIP = re.compile(r"(?:on\s+)?(?P<n>\d{1,2})(?:st|nd|rd|th)?\s+(?P<month>[a-z]{3,9})$|"
                         r"on\s+(?P<month2>[a-z]{3,9})\s+(?P<n2>\d{1,2})$", re.IGNORECASE)  # fmt: skip


def near_day(text: str) -> str:
    """The day that a slip of the pen is near to; empty for one that can be read, or is none.

    >>> near_day("on 20 Mach"), near_day("yesteday"), near_day("20 March"), near_day("20 cells")
    ('20 March', 'yesterday', '', '')
    """
    flat = text.lower().removeprefix("on ").strip()
    if re.fullmatch(DAY, flat, re.I):
        return ""
    if near(flat, ["yesterday"]) and len(flat) > 6:
        return "yesterday"
    found = _MONTH_SLIP.match(text)
    month = next(iter(near(found["month"] or found["month2"], MONTHS, 1)), "") if found else ""
    return f"{found['n'] or found['n2']} {month}" if found and month else ""


def day_help(text: str) -> str:
    """How to write a day, with the one that was likely meant.

    >>> day_help("2026-14-03")
    'did you mean `2026-03-14`? A day is written year-month-day'
    """
    meant = near_day(text)
    if meant:
        return offer([meant])
    figures = re.match(r"(\d{4})-(\d{1,2})-(\d{1,2})$", text)
    if figures and int(figures[2]) > 12 >= int(figures[3]):
        turned = iso_day(f"{figures[1]}-{figures[3]}-{figures[2]}").on
        if turned:
            return f"did you mean `{turned}`? A day is written year-month-day"
    return "write the right day, year-month-day, as 2026-03-14"


def more_than_of(draft: Draft) -> None:
    """Of a test, of plants looked at or of stems there can't be more than there were."""
    if draft.verb is None or draft.verb.name not in ("tested", "seen", "harvested"):
        return
    if draft.verb.name == "harvested":
        stems = sum(
            s.n.value or 0 for s in draft.clauses.said if s.field in ("stems", "over") and s.n
        )
        whole = not any(s.field in ("bunches", "grams") for s in draft.clauses.said)
        bad = next((s for s in draft.clauses.said if s.field == "rejected_of" and s.n), None)
        if bad and bad.at and bad.n and whole and 0 < stems < (bad.n.value or 0):
            message = f"{bad.n.value:g} rejected of {stems:g}: more than there were"
            draft.set_aside("more-than-of", message, Piece("", bad.at), "check both numbers")
        return
    begun = next((s.n.value for s in draft.clauses.said if s.field == "seeds" and s.n), None)
    for said in draft.clauses.said:
        n, of = said.n and said.n.value, said.of.value if said.of else begun
        if said.field in ("of", "up") and said.at and n is not None and of is not None and n > of:
            message = f"{n:g} of {of:g}: more than there were to count"
            draft.set_aside("more-than-of", message, Piece("", said.at), "check both numbers")


# Verbs that mean nothing by themselves, and what to do.
_MUST_SAY = {
    "checked": "write what you saw, as `31 up` or `none up`, or words; no count is not nought",
    "harvested": "write what was cut, as `120 stems` or `6 bunches of 10`",
    "moved": "write where to, as `to frame`",
    "noted": "write the note after the colon, or take the line out",
    "lesson": "write what to do differently after the colon, or take the line out",
}


def counted_for_each(draft: Draft, many: int, subject: Piece) -> None:
    """Asks about a number cut of several crops in one line: it is taken for each of them."""
    told = next((s for s in draft.clauses.said if s.n), None)
    if many > 1 and draft.verb and draft.verb.of == "cut" and told and told.n:
        message = f"{told.n.said()} is counted for each of {many}"
        draft.doubt(Finding("unknown-amount", message, told.at or subject.at,
                            "write a line for each, with its own number"))  # fmt: skip


def nothing_said(draft: Draft, subject: Piece) -> list[Finding]:
    """Asks about a line of a verb that means nothing by itself."""
    verb = draft.verb
    if verb is None or draft.fault or not draft.silent or verb.name not in _MUST_SAY:
        return []
    if not subject.text and not verb.words:
        return []
    what = "check" if verb.name == "checked" else "line"
    message = f"this {what} says nothing"
    return [Finding("nothing-said", message, draft.line.whole.at, _MUST_SAY[verb.name])]
