"""Entries as lines: how one is spelt, which file it belongs in, and codes put into lines."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from traybook.records.book import Entry
from traybook.records.dayfile import ENDINGS, file_name
from traybook.records.settings import Farm
from traybook.records.verbs import verb_at
from traybook.text.edits import Change
from traybook.text.names import fold, slug
from traybook.text.source import plain

_LATEST = 5


def entry_line(verb: str, subject: str, value: str = "", note: str = "", by: str = "") -> str:
    """One entry as a line.

    >>> entry_line("checked", "stock-26-1", "31 up", "patchy", "jo")
    'checked stock-26-1: 31 up; patchy; by jo'
    """
    tails = [note, f"by {by}" if by else ""]
    said = "; ".join(x for x in (_flat(value), *(_flat(t) for t in tails)) if x)
    return f"{verb}{' ' if subject else ''}{subject}:{' ' if said else ''}{said}"


def _flat(words: str) -> str:
    """On one line, white space at the ends and a last semicolon taken off."""
    return " ".join(words.split()).strip(" ;")


@dataclass(frozen=True, slots=True)
class DayFile:
    """The file a day's entry goes into; `by` are the initials its name already carries."""

    path: str
    by: str
    prose: bool


def day_file(paths: Iterable[str], on: dt.date, by: str, farm: Farm) -> DayFile:
    """Choose among the farm's files (paths relative to its folder), or name a new one.

    The person's own file of the day if there is one, else the one without initials. Sync copies
    and files with other endings to their names are passed over.
    """
    theirs: list[DayFile] = []
    for path in sorted(paths):
        stem, dot, ending = path.rsplit("/", 1)[-1].rpartition(".")
        name = file_name(path, farm)
        plain_name = stem.casefold() in (f"{on}", f"{on}-{name.by}".casefold())
        if name.on == on and plain_name and dot + ending.lower() in ENDINGS:
            theirs.append(DayFile(path, name.by, name.prose))
    for wanted in dict.fromkeys((by, "")):
        found = [f for f in theirs if f.by.casefold() == wanted.casefold()]
        if found:
            return min(found, key=lambda f: (not f.path.endswith(".md"), f.path))
    ending = _habit(paths)
    return DayFile(f"entries/{on:%Y}/{on}{ending}", "", ENDINGS[ending])


def _habit(paths: Iterable[str]) -> str:
    """.md, or .yaml where most of the latest day files are YAML."""
    dated = [p.rsplit("/", 1)[-1] for p in paths]
    dated = sorted(p for p in dated if re.match(r"\d{4}-\d\d-\d\d", p))[-_LATEST:]
    endings = Counter("." + p.rpartition(".")[2].lower() for p in dated)
    yaml = sum(n for ending, n in endings.items() if not ENDINGS.get(ending, True))
    return ".yaml" if yaml * 2 > len(dated) else ".md"


def code_changes(entry: Entry, unwritten: bool = False) -> tuple[Change, ...]:
    """What puts the code into an entry's line; empty where it stands already or has no place.

    `unwritten` is True for a `sown` line, whose words besides the crop are kept as its variety.
    """
    event, ref = entry.event, entry.ref
    same = fold(slug(event.subject)) == fold(ref.code)
    if ref.kind != "sowing" or not ref.code or event.doing or same:
        return ()
    at = event.subject_at
    if not event.subject:
        end = _verb_end(event.text)
        start = event.at.start + end
        return (Change(start, start, f" {ref.code}"),) if end else ()
    if plain(at.text).strip("'\" ") != event.subject:
        return ()
    return (Change(at.start, at.end, ref.code), *(_kept_words(entry) if unwritten else ()))


def _verb_end(text: str) -> int:
    """Where the verb at the beginning of a line ends; 0 where there is none."""
    lead = re.match(r"private\b[: ]*", text, re.IGNORECASE)
    at = lead.end() if lead else 0
    found = verb_at(plain(text)[at:])
    return at + found[1] if found else 0


def _kept_words(entry: Entry) -> tuple[Change, ...]:
    """`sown stock Iron Rose: 72 seeds`: the variety goes behind the colon with the code put in."""
    event, ref = entry.event, entry.ref
    said = event.one("variety") or event.one("named")
    if said or not ref.variety or fold(ref.variety) not in fold(event.subject):
        return ()
    after = event.subject_at.end
    rest = event.at.source.plain[after : event.at.end]
    colon = re.match(r"\s*:[ \t]*", rest)
    if not colon:
        return (Change(after, after, f": {ref.variety}" + ("," if rest.strip() else "")),)
    more = rest[colon.end() :].lstrip(" ")
    if not more or more[0] in "\r\n{[|>\"'":
        return ()
    at = after + colon.end()
    return (Change(at, at, f"{ref.variety}, "),)
