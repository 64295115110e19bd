"""events.csv read back: each line as typed into the file where it stood."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from traybook.intake.model import Trouble
from traybook.records.dayfile import ENDINGS, SETTINGS
from traybook.text.cells import records, separator_of, uncell
from traybook.text.names import fold
from traybook.text.scalars import iso_day

#: Columns without which a table is no events.csv.
NEEDED = ("on", "verb", "text")
_NAMES = (*NEEDED, "n", "subject_written", "code", "by", "private", "read_as", "file", "line")
# Folders of entries/ that hold no day files.
_NOT_DAYS = ("plans", "photos", "weather")


@dataclass(frozen=True, slots=True)
class Kept:
    """One line of events.csv, which may have several subjects. `fault` is the name of what set it
    aside; `path` the file it stood in, empty where the table doesn't say."""

    row: int
    on: dt.date | None
    n: int
    verb: str
    subjects: tuple[str, ...]
    text: str
    by: str
    private: bool
    fault: str
    path: str
    line: int

    @property
    def key(self) -> tuple[object, ...]:
        """What makes it the same line as another one."""
        return self.on, fold(self.verb), tuple(fold(s) for s in self.subjects), self.text, self.by


def is_events(text: str) -> bool:
    """True for a table with the columns of events.csv in its first row."""
    rows = records(text[:20_000], separator_of(text, _NAMES))[:1]
    return bool(rows) and {c.casefold() for c in rows[0].cells} >= {*NEEDED, "n"}


def read_events(text: str) -> tuple[list[Kept], list[Trouble]]:
    """The lines of an events.csv, in its order."""
    separator = separator_of(text, _NAMES)
    head, *rows = records(text, separator)
    at = {name.casefold(): i for i, name in enumerate(head.cells)}
    out: list[Kept] = []
    troubles: list[Trouble] = []
    for record in rows:
        got = {k: record.cells[i] for k, i in at.items() if i < len(record.cells)}
        read = iso_day(got["on"]) if got.get("on") else None
        if read and read.on is None:
            todo = "write the day as 2026-03-14"
            troubles.append(Trouble(record.row, at["on"] + 1, f"`{got['on']}` is no day", todo))
        elif not got.get("text"):
            troubles.append(Trouble(record.row, at["text"] + 1, "this row has no line in `text`"))
        else:
            _add(out, _kept(record.row, got, read.on if read else None))
    return out, troubles


def _kept(row: int, got: dict[str, str], on: dt.date | None) -> Kept:
    aside = re.fullmatch(r"(?:waits|set aside): ([\w-]+)", got.get("read_as", ""))
    return Kept(
        row=row,
        on=on,
        n=int(got["n"]) if got.get("n", "").isdigit() else 0,
        verb=uncell(got.get("verb", "")),
        subjects=(uncell(got.get("subject_written", "")),),
        text=uncell(got["text"]),
        by=uncell(got.get("by", "")),
        private=got.get("private", "").casefold() in ("true", "yes", "wahr", "vrai"),
        fault=aside[1] if aside else "",
        path=_safe(uncell(got.get("file", ""))),
        line=int(got["line"]) if got.get("line", "").isdigit() else 0,
    )


def _safe(path: str) -> str:
    """A path of a day file under entries/; empty for any other."""
    parts = path.split("/")
    *folders, name = parts
    stem, dot, ending = name.rpartition(".")
    if (
        len(parts) < 2
        or parts[0] != "entries"
        or dot + ending.lower() not in ENDINGS
        or not stem
        or any(not p.strip() or p.startswith(".") or "\\" in p or ":" in p for p in parts)
        or any(f in _NOT_DAYS for f in folders)
        or name in SETTINGS
    ):
        return ""
    return path


def _add(out: list[Kept], kept: Kept) -> None:
    """Rows of one line, a subject each, become one."""
    last = out[-1] if out else None
    same = ("on", "n", "text", "path", "line")
    if last and kept.n and all(getattr(last, k) == getattr(kept, k) for k in same):
        out[-1] = Kept(**{k: getattr(last, k) for k in Kept.__slots__}
                       | {"subjects": (*last.subjects, *kept.subjects)})  # fmt: skip
    else:
        out.append(kept)
