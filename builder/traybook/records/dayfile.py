"""What a file's name says: its kind, its day and whose it is."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from traybook.records.settings import Farm
from traybook.text.scalars import iso_day

#: Endings of day files, and whether they hold prose besides entries.
ENDINGS = {".md": True, ".markdown": True, ".txt": True, ".yaml": False, ".yml": False}
SETTINGS = ("farm.yaml", "farm.yml", "crops.yaml", "crops.yml")
#: The largest file that is read, in bytes (and so in characters); what is said of a larger one.
LARGEST = 1_000_000
TOO_LARGE = (
    "this file is larger than 1 MB and was not read",
    "a whole season takes half of that; move what isn't entries elsewhere",
)
_NAME = re.compile(r"(\d{4})[-_.](\d{1,2})[-_.](\d{2}(?!\d)|\d(?![\dA-Za-z]))(.*)$")


@dataclass(frozen=True, slots=True)
class FileName:
    """`on` is the day in the name, or None with `problem` saying why; `by` the initials after it;
    `odd` a suffix that is nobody's initials; `month_end` the last day of the month or year that a
    notebook is named by."""

    on: dt.date | None
    problem: str
    dated: bool
    by: str
    odd: str
    prose: bool
    month_end: dt.date | None = None


def file_name(path: str, farm: Farm) -> FileName:
    """Read the last part of a path."""
    base = path.rsplit("/", 1)[-1]
    stem, dot, ending = base.rpartition(".")
    prose = ENDINGS.get(dot + ending.lower(), True)
    found = _NAME.match(stem)
    if not found:
        return FileName(None, "", False, "", "", prose, _month_end(stem))
    read = iso_day("-".join(found.groups()[:3]))
    suffix = found[4].strip(" -_.")
    people = {p.casefold(): p for p in farm.people}
    by = people.get(suffix.casefold(), "")
    if not by and not people and re.fullmatch(r"[^\W\d_]{1,3}", suffix):
        by = suffix
    return FileName(read.on, read.problem, True, by, "" if by or not people else suffix, prose)


def _month_end(stem: str) -> dt.date | None:
    """The last day of the month or year that a notebook is named by: `2026-03`, `2026`."""
    found = re.match(r"(\d{4})(?:[-_.](\d{1,2}))?(?!\d)", stem)
    month = int(found[2] or 12) if found else 0
    if not found or not 1 <= month <= 12 or int(found[1]) < 1900:
        return None
    first = dt.date(int(found[1]), month, 1)
    return (first + dt.timedelta(days=31)).replace(day=1) - dt.timedelta(days=1)


def dated_before(name: str, day: dt.date) -> bool:
    """True when the day in a file's name is before `day`; False also for a name without one."""
    found = _NAME.match(name.rpartition(".")[0])
    on = iso_day("-".join(found.groups()[:3])).on if found else None
    return on is not None and on < day


_TURNED = re.compile(r"(\d{1,2})[-_. ](\d{1,2})[-_. ](\d{4})(?!\d)(.*)$")
_SHORT = re.compile(r"(\d{2})[-_. ](\d{1,2})[-_. ](\d{1,2})(?!\d)(.*)$")
_LETTERS = str.maketrans({"O": "0", "o": "0", "l": "1", "I": "1"})
_TIGHT = re.compile(r"(\d{4})[-_. ]?(\d{2})[-_. ]?(\d{2})(?!\d)(.*)$")


def likely_name(path: str) -> str:
    """The name that a day file's odd one most likely means; empty if nothing is likely.

    >>> likely_name("entries/14-03-2026.md"), likely_name("2026-14-03-jo.txt"), likely_name("a.md")
    ('2026-03-14.md', '2026-03-14-jo.txt', '')
    """
    stem, dot, ending = path.rsplit("/", 1)[-1].rpartition(".")
    stem = stem[:10].translate(_LETTERS) + stem[10:] if stem[:1].isdigit() else stem
    turned, tight = _TURNED.match(stem), _TIGHT.match(stem)
    short = _SHORT.match(stem)
    if turned:
        year, one, two, rest = turned[3], turned[2], turned[1], turned[4]
    elif tight:
        year, one, two, rest = tight.groups()
    elif short:
        year, one, two, rest = "20" + short[1], short[2], short[3], short[4]
    else:
        return ""
    for month, day in ((one, two), (two, one)):
        if iso_day(f"{year}-{month}-{day}").on:
            return f"{year}-{int(month):02d}-{int(day):02d}{rest}{dot}{ending}"
    return ""
