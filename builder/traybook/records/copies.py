"""Copies that a sync made of a day file: known by their names, read line by line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from traybook.findings.model import Finding, Label
from traybook.records.dayfile import SETTINGS, file_name
from traybook.records.event import Event, Prose
from traybook.records.reader import FileRead
from traybook.records.settings import Farm
from traybook.text.source import Source, Span

_DAY = r"\d{4}-?\d{2}-?\d{2}(?:[-_ T.]?\d{2}[-.:]?\d{2}(?:[-.:]?\d{2})?)?"
# What sync tools put after a name: (1), copy, conflicted copy, sync-conflict, a host and a day.
_MARK = re.compile(
    r"\s*\(\d{1,2}\)"
    r"|[\s_-]+copy(?:[\s_-]*\(?\d{1,2}\)?)?"
    r"|\s*\([^()]*\b(?:conflict(?:ed)?|copy)\b[^()]*\)"
    r"|[\s._-]+(?:sync-)?conflict(?:ed)?(?:[\s_-]copy)?(?:[-_ .].*)?"
    rf"|[\s_-]*\(\s*[^()]+[-_ ]{_DAY}\s*\)"
    rf"|[\s_-]+[^\W\d][\w'.-]*[-_ ]{_DAY}",
    re.IGNORECASE,
)


def _parts(path: str) -> tuple[str, str, str]:
    folder, _, base = path.rpartition("/")
    stem, _, ending = base.rpartition(".")
    return folder, stem, ending.lower()


def originals(paths: Iterable[str], settings: Iterable[str] = ()) -> dict[str, str]:
    """The original of each path that is a sync copy of another one in the same folder.

    >>> originals(["e/2026-03-14.md", "e/2026-03-14 (1).md", "e/2026-03-15 copy.md"])
    {'e/2026-03-14 (1).md': 'e/2026-03-14.md'}
    """
    known = {_parts(p): p for p in (*paths, *settings)}
    out: dict[str, str] = {}
    for (folder, stem, ending), path in sorted(known.items()):
        for cut in range(len(stem) - 1, 3, -1):
            original = known.get((folder, stem[:cut], ending))
            if original and _MARK.fullmatch(stem[cut:]):
                out[path] = out.get(original, original)
                break
    return out


def settings_copy(source: Source, original: str) -> Finding:
    """A copy of farm.yaml or crops.yaml: nothing in it is read."""
    name = original.rsplit("/", 1)[-1]
    return Finding("sync-copy", f"this is a copy of {name} that a sync made; nothing in it is read",
                   Span(source, 0, 0), f"put into {name} what is missing there, then delete this file")  # fmt: skip


def is_settings(path: str) -> bool:
    """True for farm.yaml and crops.yaml."""
    return path.rsplit("/", 1)[-1].lower() in SETTINGS


def without_the_same(
    copy: FileRead, source: Source, first: FileRead, original: str, farm: Farm
) -> FileRead:
    """A copy as read, less what its original has word for word; what it hasn't waits."""
    have = {e.text.strip() for e in first.events}
    told = {p.text.strip() for p in first.prose}
    secret = _private(first)
    by = file_name(original, farm).by
    kept = [e for e in copy.events if e.text.strip() not in have]
    events = [
        replace(e, fault="sync-copy", waits=True, private=e.private or secret, by=e.by or by)
        for e in kept
    ]
    prose = [
        replace(p, private=p.private or secret) for p in copy.prose if p.text.strip() not in told
    ]
    return FileRead(events, prose, [_asked(source, original, events, prose)])


def _private(first: FileRead) -> bool:
    all_ = [*first.events, *first.prose]
    return bool(all_) and all(x.private for x in all_)


def _asked(source: Source, original: str, events: list[Event], prose: list[Prose]) -> Finding:
    """One finding a copy, at its first line that the original hasn't."""
    name = original.rsplit("/", 1)[-1]
    new = [e.at for e in events] or [p.at for p in prose]
    if not new:
        return Finding("sync-copy", f"this is a copy of {name} that a sync made, and says nothing more",
                       Span(source, 0, 0), "delete it")  # fmt: skip
    more = "this line isn't" if len(new) == 1 else f"{len(new)} lines in it aren't"
    return Finding("sync-copy", f"this file is a copy of {name} that a sync made; {more} in {name}, and waits",
                   new[0], f"put it into {name} if it is right, then delete this file",
                   tuple(Label(at, "nor is this") for at in new[1:20]))  # fmt: skip
