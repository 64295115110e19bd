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
from traybook.records.verbs import VERBS, verb_at
from traybook.text.edits import Change
from traybook.text.names import fold, slug
from traybook.text.source import plain

#: Verbs whose line makes a sowing.
NEW_SOWING = tuple(v.name for v in VERBS if v.of == "new sowing")
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


def code_changes(entry: Entry, farm: Farm) -> tuple[Change, ...]:
    """What puts the code into an entry's line; empty where it stands already or has no place.

    Of a new sowing the words beside the crop are kept as its variety.
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
    kept = _kept_words(entry, farm) if event.verb in NEW_SOWING else ()
    return () if kept is None else (Change(at.start, at.end, ref.code), *kept)


def _verb_end(text: str) -> int:
    """Where the verb at the beginning of a line ends; 0 where there is none."""
    lead = re.match(r"private\b[: ]*", text, re.IGNORECASE)
    at = lead.end() if lead else 0
    found = verb_at(plain(text)[at:])
    return at + found[1] if found else 0


def _kept_words(entry: Entry, farm: Farm) -> tuple[Change, ...] | None:
    """`sown stock Iron Rose: 72 seeds`: the variety, and a crop that the code spells otherwise,
    go behind the colon. None when there is no place for them."""
    event, ref = entry.event, entry.ref
    said = event.one("variety") or event.one("named")
    words = [] if event.one("crop") else [crop_clause(ref.crop, ref.code, farm)]
    if not said and ref.variety and fold(ref.variety) in fold(event.subject):
        words.append(ref.variety)
    put = ", ".join(w for w in words if w)
    if not put:
        return ()
    after = event.subject_at.end
    rest = event.at.source.plain[after : event.at.end]
    colon = re.match(r"\s*:[ \t]*", rest)
    if not colon:
        return (Change(after, after, f": {put}" + ("," if rest.strip() else "")),)
    more = rest[colon.end() :]
    if not more.strip(" "):
        return (Change(after + colon.end(), after + colon.end(), f" {put}"),)
    if more[0] in "\r\n{[|>\"'":
        return None
    at = after + colon.end()
    return (Change(at, at, f"{put}, "),)


def crop_clause(crop: str, code: str, farm: Farm) -> str:
    """`crop Queen Anne's lace` where the code's own spelling would say otherwise; else nothing."""
    part = code.rsplit("-", 2)[0]
    known = next((c.name for c in farm.crops.values() if slug(c.name) == part), None)
    return "" if fold(known or part) == fold(crop) else f"crop {crop}"
