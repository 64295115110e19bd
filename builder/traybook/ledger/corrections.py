"""What was written and doesn't hold: counts corrected, lines dropped, tags swapped, other names.

The grower's own lines stay as they are; what counts instead is worked out here.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from traybook.findings.model import Finding
from traybook.ledger.living import One
from traybook.records.book import STARTS, Entry, Ref
from traybook.records.event import Event, Said
from traybook.records.verbs import VERBS, verb_at

_CORRECTIONS = frozenset(v.name for v in VERBS if v.of == "correction")
_WORDS = frozenset(v.name for v in VERBS if v.words)
#: The clauses of a check that are its count; a correction with losses replaces these too.
COUNTS = ("up", "left", "alive", "of", "density", "in_length", "row_alive", "sample", "first_seen")
_STEMS = ("stems", "bunches", "over", "grams", "rejected", "rejected_of")


def settle(entries: list[Entry], findings: list[Finding]) -> list[Entry]:
    """Entries with dropped lines marked, other names put in, and corrections with nothing to
    correct set aside."""
    for one in [e for e in entries if e.used and e.event.verb in _CORRECTIONS]:
        if one.event.verb == "swapped":
            entries = entries if one.event.day else _no_day(entries, one, findings)
        elif one.event.verb == "renamed":
            entries = _renamed(entries, one.ref, one.event.private)
        elif one.event.verb == "dropped":
            entries = _dropped(entries, one, findings)
        else:
            entries = _corrected(entries, one, findings)
    return entries


def _told(event: Event) -> str:
    return "" if event.private else f", as the line of {event.on} says"


@dataclass(frozen=True, slots=True)
class Swap:
    """Two sowings whose tags were changed over, from a day on."""

    a: str
    b: str
    day: dt.date


def swaps_in(entries: Iterable[Entry]) -> tuple[Swap, ...]:
    """The swaps that entries tell of, in their order."""
    return tuple(
        Swap(e.ref.code, e.ref.other, e.event.day)
        for e in entries
        if e.event.verb == "swapped" and e.used and e.event.day and e.ref.code and e.ref.other
    )


def exchanged(entry: Entry, swaps: Iterable[Swap], find: Callable[[str], One | None]) -> Entry:
    """A line about one of two swapped sowings is about the other; `find` gives a sowing by code."""
    event, own = entry.event, entry.event.verb in STARTS or entry.event.verb in _CORRECTIONS
    for swap in () if own or not entry.used or event.on is None else swaps:
        other = {swap.a: swap.b, swap.b: swap.a}.get(entry.ref.code)
        one = find(other) if other else None
        if one and event.on and max(swap.day, one.on) <= event.on:
            entry = Entry(event, replace(one.ref, bed=entry.ref.bed))
    return entry


def _renamed(entries: list[Entry], ref: Ref, private: bool) -> list[Entry]:
    """Every line about the sowing bears its real name; `ref` holds it. A name from a private line
    is for the grower only."""
    begins = (*STARTS, "resown")
    sown = next(e.ref for e in entries if e.event.verb in begins and e.ref.code == ref.code)
    before = sown.before or ((sown.crop, sown.variety) if private else None)
    return [
        Entry(e.event, replace(e.ref, crop=ref.crop, variety=ref.variety, before=before))
        if e.ref.code == ref.code
        else e
        for e in entries
    ]


def _dropped(entries: list[Entry], drop: Entry, findings: list[Finding]) -> list[Entry]:
    """The day's lines about it are taken back; only those of one verb if the line names one."""
    day = drop.event.day
    if day is None:
        return _no_day(entries, drop, findings)
    only = verb_at(drop.event.note)
    hit = {
        (e.event.key, e.ref.code)
        for e in entries
        if _about(e, drop.ref, day)
        and e.event.verb not in (*STARTS, *_CORRECTIONS, *_WORDS)
        and (only is None or e.event.verb == only[0].name)
    }
    if not hit:
        return _nothing(entries, drop, day, (), findings)
    void = f"taken back{_told(drop.event)}"
    # The sowing that filled empty cells goes with its line.
    return [
        Entry(replace(e.event, void=void), e.ref)
        if {(e.event.key, e.ref.code), (e.event.key, e.ref.other)} & hit
        else e
        for e in entries
    ]


def _corrected(entries: list[Entry], one: Entry, findings: list[Finding]) -> list[Entry]:
    """Left as it is where there is a count to correct."""
    day = one.event.day
    if day is None:
        return _no_day(entries, one, findings)
    verb = corrects(one.event)
    if any(_about(e, one.ref, day) and e.event.verb == verb for e in entries):
        return entries
    days = sorted({e.event.on for e in entries if e.used and e.event.on and e.event.verb == verb
                   and _about(e, one.ref, e.event.on)})  # fmt: skip
    return _nothing(entries, one, day, days, findings)


def corrects(event: Event) -> str:
    """The verb whose lines a correction replaces."""
    return "harvested" if event.all(*_STEMS) else "checked"


def _about(entry: Entry, ref: Ref, day: dt.date) -> bool:
    same = entry.ref.code == ref.code if ref.code else (
        entry.ref.kind == ref.kind and (entry.ref.crop, entry.ref.bed) == (ref.crop, ref.bed)
    )  # fmt: skip
    return same and entry.used and entry.event.on == day


def _no_day(entries: list[Entry], one: Entry, findings: list[Finding]) -> list[Entry]:
    event = one.event
    message = f"`{event.verb}` needs the day that it is about"
    example = f"{event.verb} {event.subject} with CODE since 14 Mar"
    if event.verb != "swapped":
        example = f"{event.verb} 14 Mar {event.subject}" + (
            ": 31 up" if event.verb == "corrected" else ""
        )
    return _set_aside(
        entries,
        one,
        Finding("which-day", message, event.subject_at, f"write it as `{example}`"),
        findings,
    )


def _nothing(
    entries: list[Entry], one: Entry, day: dt.date, days: Iterable[dt.date], findings: list[Finding]
) -> list[Entry]:
    event = one.event
    what = {"checked": "no count", "harvested": "nothing cut"}.get(
        corrects(event) if event.verb == "corrected" else "", "no line that counts"
    )
    near = sorted(days, key=lambda d: abs((d - day).days))[:2]
    said = " or ".join(f"{d}" for d in sorted(near))
    help_ = f"there is one on {said}" if said else "check the day and the sowing"
    finding = Finding("nothing-to-correct", f"there is {what} of `{event.subject}` on {day}",
                      event.subject_at, help_, about=(one.ref.code,) if one.ref.code else ())  # fmt: skip
    return _set_aside(entries, one, finding, findings)


def _set_aside(
    entries: list[Entry], one: Entry, finding: Finding, findings: list[Finding]
) -> list[Entry]:
    findings.append(finding)
    return [Entry(replace(e.event, fault=finding.name), e.ref) if e is one else e for e in entries]


def as_counted(
    entries: Iterable[Entry],
) -> tuple[list[Entry], dict[tuple[tuple[str, int], str], str]]:
    """The used entries as they count, in the order of days, and what to say of those corrected.

    A correction stands on the day that it is about, as a check or a harvest; the counts it replaces
    are gone from that day's own lines.
    """
    used = [e for e in entries if e.used and e.event.on is not None]
    latest: dict[tuple[Ref, dt.date | None, str], Entry] = {}
    for e in used:
        if e.event.verb == "corrected":
            latest[_what(e.ref), e.event.day, corrects(e.event)] = e
    echo: dict[tuple[tuple[str, int], str], str] = {}
    out = []
    for e in used:
        event = e.event
        if event.verb == "corrected":
            if latest[_what(e.ref), event.day, corrects(event)] is e:
                said = event.said + _facts(e, used)
                out.append(
                    Entry(replace(event, on=event.day, verb=corrects(event), said=said), e.ref)
                )
            else:
                echo[event.key, e.ref.code] = "corrected again by a later line"
            continue
        by = latest.get((_what(e.ref), event.on, event.verb))
        if by is None:
            out.append(e)
            continue
        out.append(Entry(replace(event, said=_left(event, by.event)), e.ref))
        echo[event.key, e.ref.code] = f"its count was corrected on {by.event.on}"
    order = sorted(out, key=lambda e: (e.event.on, e.event.at.path, e.event.at.start))
    return order, echo


def _facts(one: Entry, used: list[Entry]) -> tuple[Said, ...]:
    """What a corrected cut's own line tells besides its count: the bed and the grade."""
    told = {s.field for s in one.event.said}
    same = [
        s
        for e in used
        if e.event.verb == "harvested" == corrects(one.event)
        and e.event.on == one.event.day
        and _what(e.ref) == _what(one.ref)
        for s in e.event.all("bed", "grade")
        if s.field not in told
    ]
    return tuple({s.field: s for s in reversed(same)}.values())


def _what(ref: Ref) -> Ref:
    """What a correction matches by: the code, else what kind of thing it is."""
    return Ref("sowing", ref.code) if ref.code else Ref(ref.kind, crop=ref.crop, bed=ref.bed)


def _left(event: Event, by: Event) -> tuple:
    """The clauses that a correction leaves: takings always, losses unless it tells others."""
    if event.verb == "harvested":
        return ()
    gone = (*COUNTS, "lost") if by.one("lost") else COUNTS
    return tuple(s for s in event.said if s.field not in gone)
