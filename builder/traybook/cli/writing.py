"""Putting one entry into the farm's files: read, word, try out, write, read back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import click

from traybook.exports.events import read_as
from traybook.files import atomic
from traybook.files.tree import Files, FolderError, read_entries
from traybook.findings.model import Finding
from traybook.findings.printers import full
from traybook.intake.entry import (
    Asked,
    brought_up,
    coded,
    entries_on,
    found_on,
    refuses,
    word,
)
from traybook.pipeline import Loaded, load_files
from traybook.records.reader import begins
from traybook.records.writer import DayFile, day_file
from traybook.text.decode import decode
from traybook.text.edits import add_lines
from traybook.text.source import Source

# Older sowings are found by their code alone.
_MONTHS_18_DAYS = 548


@dataclass(frozen=True)
class Desk:
    """A farm as it was read for writing: `since` is the first day read, None when all was."""

    folder: Path
    as_of: dt.date
    files: Files
    loaded: Loaded
    since: dt.date | None


def desk(folder: Path, as_of: dt.date, on: dt.date, everything: bool = False) -> Desk:
    """Read what is dated in the last eighteen months before the day written for, or everything."""
    since = None if everything else min(on, as_of) - dt.timedelta(days=_MONTHS_18_DAYS)
    files = read_entries(folder, since)
    return Desk(folder, as_of, files, load_files(files, as_of), since)


@dataclass(frozen=True)
class Tried:
    """Lines as they would stand in a file, and how they would be read.

    `old` are the file's bytes as read, None when it doesn't exist yet; `problem` says why nothing
    can be written, `offers` what could be meant instead.
    """

    lines: tuple[str, ...] = ()
    path: str = ""
    line: int = 0
    old: bytes | None = None
    new: bytes = b""
    read_as: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    elsewhere: tuple[Finding, ...] = ()
    problem: str = ""
    offers: tuple[str, ...] = ()
    refused: bool = False
    loaded: Loaded | None = field(default=None, repr=False)

    @property
    def ok(self) -> bool:
        """True when it may be written."""
        return not self.problem and not self.refused

    @property
    def where(self) -> str:
        """File and line."""
        return f"{self.path}:{self.line}"


def try_lines(at: Desk, lines: Sequence[str], target: DayFile) -> Tried:
    """Add lines to a file's bytes and read the whole farm with them; nothing is written.

    Codes are put into the lines as they are settled.
    """
    tried = _try_once(at, tuple(lines), target)
    if tried.problem or tried.loaded is None:
        return tried
    kept = tried.loaded.kept
    with_codes = tuple(
        coded(line, entries_on(kept, target.path, n, n), kept)
        for n, line in enumerate(tried.lines, tried.line)
    )
    return tried if with_codes == tried.lines else _try_once(at, with_codes, target)


def _try_once(at: Desk, lines: tuple[str, ...], target: DayFile) -> Tried:
    old = atomic.read(at.folder / target.path)
    added = add_lines(old, lines, target.prose, begins)
    if added.problem:
        return Tried(
            lines, target.path, problem=f"{target.path} can't be added to: {added.problem}"
        )
    loaded = load_with(at, {target.path: added.data})
    first, last = added.line, added.line + len(lines) - 1
    entries = entries_on(loaded.kept, target.path, first, last)
    findings = found_on(loaded.findings, target.path, first, last)
    return Tried(
        lines,
        target.path,
        first,
        old,
        added.data,
        tuple(read_as(loaded.kept, e) for e in entries),
        tuple(findings),
        tuple(brought_up(at.loaded.findings, loaded.findings, target.path, first, last)),
        refused=refuses(entries, findings),
        loaded=loaded,
    )


def load_with(at: Desk, new: Mapping[str, bytes]) -> Loaded:
    """The farm as it would be read with some files changed."""
    days = {s.path: s for s in at.files.days}
    days |= {path: Source(path, decode(data).text) for path, data in new.items()}
    found = [f for f in at.files.findings if f.at.path not in new]
    files = replace(at.files, days=[days[p] for p in sorted(days)], findings=found)
    return load_files(files, at.as_of)


def plan(folder: Path, as_of: dt.date, on: dt.date, asked: Asked) -> Tried:
    """The line that words come to, tried out; where the code isn't found all files are read."""
    at = desk(folder, as_of, on)
    tried = _plan(at, asked, on)
    if not tried.ok and at.since is not None and _has_code(asked.words):
        whole = _plan(desk(folder, as_of, on, everything=True), asked, on)
        return whole if whole.ok or not tried.problem else tried
    return tried


def _has_code(words: str) -> bool:
    from traybook.ledger.naming import CODE

    return any(CODE.fullmatch(w.rstrip(",:;")) for w in words.split()[:3])


def _plan(at: Desk, asked: Asked, on: dt.date) -> Tried:
    target = day_file(at.files.names, on, asked.by, at.loaded.book.farm)
    if asked.by and target.by.casefold() == asked.by.casefold():
        asked = replace(asked, by="")
    got = word(asked, at.loaded.kept, on)
    if got.problem:
        return Tried(problem=got.problem, offers=got.offers)
    return try_lines(at, [got.line], target)


def write(folder: Path, make: Callable[[], Tried], dry: bool) -> Tried:
    """Make a plan and write it while no other of our programs writes; others are noticed.

    On a lost race it is planned anew. Raises FolderError when the file kept changing.
    """
    with atomic.locked(folder):
        for _ in range(atomic.TRIES):
            tried = make()
            if dry or not tried.ok:
                return tried
            try:
                atomic.put(folder / tried.path, tried.old, tried.new)
            except atomic.ChangedError:
                continue
            return tried
    lines = "\n".join(f"  {x}" for x in tried.lines)
    raise FolderError(
        f"{tried.path} is being changed by another program, so nothing was written. "
        f"Save and close it there, then try again. This would have been written:\n{lines}"
    )


def show(tried: Tried, did: str) -> None:
    """The lines, where they stand, how they are read, and what is odd about them."""
    for line in tried.lines:
        click.echo(line)
    click.echo(f"  {did} {tried.where}")
    for words in tried.read_as:
        click.echo(f"  read as: {words}")
    for finding in (*tried.findings, *tried.elsewhere):
        click.echo("\n" + full(finding))


def refuse(tried: Tried) -> None:
    """Why nothing was written, and what to do."""
    if tried.problem:
        click.echo(f"nothing written: {tried.problem}", err=True)
        for offer in tried.offers:
            click.echo(f"  {offer}", err=True)
        if tried.offers:
            click.echo("write one of these in its place", err=True)
        return
    for finding in tried.findings:
        click.echo(full(finding) + "\n", err=True)
    if not tried.findings:
        click.echo(f"`{tried.lines[0]}` was not read back as an entry", err=True)
    click.echo("nothing written", err=True)
