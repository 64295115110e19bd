"""A reader of calendars that takes nothing that RFC 5545 doesn't allow; what it finds wrong, it raises.

source: RFC 5545, sections 3.1 (lines), 3.3.4, 3.3.5, 3.3.11 (dates, times, texts), 3.4 (the object),
3.6 and 3.6.1 (calendar and event properties), 3.8.2.7 (transparency); RFC 7986, 5.1 (NAME)
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field

_NAME = r"(?:X-[A-Z0-9-]+|[A-Z][A-Z0-9-]*)"
_LINE = re.compile(rf'({_NAME})((?:;{_NAME}=[^;:,"\x00-\x1f\x7f]+)*):(.*)', re.DOTALL)
_CONTROL = re.compile(r"[\x00-\x08\x0a-\x1f\x7f]")
_TEXTS = ("UID", "SUMMARY", "DESCRIPTION", "LOCATION", "NAME", "X-WR-CALNAME", "PRODID")
_EVENT = {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "LOCATION", "TRANSP"}
_CALENDAR = {"VERSION", "PRODID", "CALSCALE", "NAME", "X-WR-CALNAME"}


class NotAllowedError(Exception):
    """The calendar breaks a rule of the standard."""


@dataclass
class Part:
    """A calendar or an event: its properties by name, each with its parameters and its value."""

    kind: str
    told: dict[str, tuple[str, str]] = field(default_factory=dict)
    parts: list[Part] = field(default_factory=list)

    def text(self, name: str) -> str:
        return unescaped(self.told[name][1]) if name in self.told else ""

    def day(self, name: str) -> dt.date | None:
        return day(self.told[name][1]) if name in self.told else None


def need(so: object, words: str) -> None:
    if not so:
        raise NotAllowedError(words)


def lines(data: bytes) -> list[str]:
    """Unfolded lines."""
    need(data.endswith(b"\r\n"), "the last line isn't ended")
    rest = data.replace(b"\r\n", b"")
    need(b"\r" not in rest and b"\n" not in rest, "a line ends in something else than CRLF")
    out: list[str] = []
    for raw in data[:-2].split(b"\r\n"):
        need(raw and len(raw) <= 75, f"a line of {len(raw)} octets")
        try:
            line = raw.decode("utf-8")
        except UnicodeDecodeError as error:
            raise NotAllowedError("a line is broken inside a character") from error
        need(not _CONTROL.search(line), "a control character")
        if line[0] in " \t":
            need(out, "the first line is folded")
            out[-1] += line[1:]
        else:
            out.append(line)
    return out


def unescaped(value: str) -> str:
    out, i = "", 0
    while i < len(value):
        c = value[i]
        need(c not in ",;", f"a bare {c} in a text")
        if c == "\\":
            i += 1
            need(i < len(value) and value[i] in "\\;,nN", "an escape that is none")
            c = "\n" if value[i] in "nN" else value[i]
        out += c
        i += 1
    return out


def day(value: str) -> dt.date:
    need(re.fullmatch(r"\d{8}", value), f"{value} is no day")
    return dt.date(int(value[:4]), int(value[4:6]), int(value[6:]))


def read(data: bytes) -> Part:
    """The calendar in a file of one."""
    top = Part("")
    open_: list[Part] = [top]
    for line in lines(data):
        found = _LINE.fullmatch(line)
        if found is None:
            raise NotAllowedError(f"no property: {line}")
        name, params, value = found.groups()
        if name == "BEGIN":
            part = Part(value)
            open_[-1].parts.append(part)
            open_.append(part)
        elif name == "END":
            need(len(open_) > 1 and open_.pop().kind == value, f"END:{value} ends nothing")
        else:
            need(name not in open_[-1].told, f"{name} stands twice")
            open_[-1].told[name] = (params, value)
    need(len(open_) == 1 and len(top.parts) == 1 and not top.told, "not one calendar")
    _calendar(top.parts[0])
    return top.parts[0]


def _calendar(cal: Part) -> None:
    need(cal.kind == "VCALENDAR", "no calendar")
    need(cal.told.get("VERSION") == ("", "2.0"), "VERSION has to be 2.0")
    need(cal.told.get("PRODID", ("", ""))[1], "PRODID is required")
    need(cal.told.get("CALSCALE", ("", "GREGORIAN"))[1] == "GREGORIAN", "CALSCALE")
    need(set(cal.told) <= _CALENDAR, f"not in a calendar: {set(cal.told) - _CALENDAR}")
    need(cal.parts, "a calendar holds one thing at least")
    for event in cal.parts:
        _event(event)
    names = [e.told["UID"][1] for e in cal.parts]
    need(len(names) == len(set(names)), "two things have one UID")
    for part in (cal, *cal.parts):
        for name in _TEXTS:
            part.text(name)


def _event(event: Part) -> None:
    need(event.kind == "VEVENT" and not event.parts, f"not an event: {event.kind}")
    need(set(event.told) <= _EVENT, f"not in an event: {set(event.told) - _EVENT}")
    for name in ("UID", "DTSTAMP", "DTSTART"):
        need(event.told.get(name, ("", ""))[1], f"{name} is required")
    need(re.fullmatch(r"\d{8}T\d{6}Z", event.told["DTSTAMP"][1]), "DTSTAMP is a time in UTC")
    day(event.told["DTSTAMP"][1][:8])
    for name in ("DTSTART", "DTEND"):
        need(event.told.get(name, (";VALUE=DATE", ""))[0] == ";VALUE=DATE", f"{name} is a day")
    start, end = event.day("DTSTART"), event.day("DTEND")
    need(start and (end is None or end > start), "it ends before it begins")
    for name, (params, _) in event.told.items():
        need(name.startswith("DT") or not params, f"{name} has no parameter here")
    transp = event.told.get("TRANSP", ("", "OPAQUE"))[1]
    need(transp in ("OPAQUE", "TRANSPARENT"), f"TRANSP is {transp}")
