"""`traybook take`."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

import click

from traybook.cli.common import farm_command
from traybook.cli.writing import Desk, desk, load_with
from traybook.exports.events import read_as
from traybook.files import atomic
from traybook.files.put import read_given
from traybook.files.tree import FolderError
from traybook.findings.model import Finding
from traybook.findings.printers import full
from traybook.intake.entry import coded, entries_on, found_on, refuses
from traybook.intake.message import Item, items
from traybook.intake.taking import Sorted, sort
from traybook.pipeline import Loaded
from traybook.records.reader import begins
from traybook.records.writer import DayFile, day_file
from traybook.text.decode import decode
from traybook.text.edits import add_lines

_ROUNDS = 6


@dataclass(frozen=True)
class Placed:
    """An item where it would stand: `first` and `last` line of its file."""

    item: Item
    target: DayFile
    first: int = 0
    last: int = 0
    read_as: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True)
class Plan:
    """What would be written: `files` as old and new bytes, `placed` lines and `refused` ones."""

    sorted: Sorted
    files: dict[str, tuple[bytes | None, bytes]] = field(default_factory=dict)
    placed: tuple[Placed, ...] = ()
    refused: tuple[Placed, ...] = ()


@click.command()
@click.argument("file")
@click.option("--yes", is_flag=True, help="Write without asking.")
@click.option("--notes", is_flag=True, help="Put down as notes what can't be read as entries.")
@farm_command
def take(folder: Path, as_of: dt.date, file: str, yes: bool, notes: bool) -> None:
    """File the entries of a text, a message from a phone say, into the right days.

    FILE is a text file, or - for what is piped in. It shows what it understood and asks before
    anything is written. Taking the same text twice adds nothing.
    """
    text = _text(file)
    plan = _plan(folder, as_of, text, notes)
    _show(plan)
    if not plan.placed:
        click.echo(
            "nothing to write" + (": all of it is there already" if _all_there(plan) else "")
        )
        raise SystemExit(0 if _all_there(plan) else 1)
    many = f"{len(plan.placed)} {'entry' if len(plan.placed) == 1 else 'entries'}"
    if not yes:
        _confirm(many, file)
    _write(folder, as_of, text, notes, plan)
    click.echo(f"{many} written")


def _text(file: str) -> str:
    data = sys.stdin.buffer.read() if file == "-" else read_given(Path(file))
    got = decode(data)
    if got.binary:
        raise FolderError(f"{file} holds no text")
    return got.text


def _all_there(plan: Plan) -> bool:
    return bool(plan.sorted.there) and not plan.refused


def _confirm(many: str, file: str) -> None:
    if not sys.stdin.isatty():
        pipe = "; from a pipe it can't ask" if file == "-" else ""
        click.echo(
            f"nothing written yet{pipe}: look it over, then run it again with --yes", err=True
        )
        raise SystemExit(1)
    if not click.confirm(f"Write {many}?", default=True):
        click.echo("nothing written")
        raise SystemExit(1)


# -- working it out


def _plan(folder: Path, as_of: dt.date, text: str, notes: bool) -> Plan:
    """Place every new line, leave out what would be an error, and put codes in."""
    at = desk(folder, as_of, as_of)
    found = items(text, at.loaded.book.farm, as_of)
    first = min((i.on for i in found), default=as_of)
    if at.since and first < as_of - dt.timedelta(days=30):
        at = desk(folder, as_of, first)
    got = sort(found, at.loaded.kept, notes)
    todo = [Placed(i, _target(i, at)) for i in got.new]
    refused: list[Placed] = []
    files: dict[str, tuple[bytes | None, bytes]] = {}
    for _ in range(_ROUNDS):
        files, todo, loaded, failed = _try(at, [replace(p, first=0, last=0) for p in todo])
        bad = [_read(p, loaded) for p in todo if _fails(p, loaded)]
        todo = [p for p in todo if not _fails(p, loaded)]
        refused += [*failed, *bad]
        fresh = [replace(p, item=_coded(p, loaded)) for p in todo]
        if not bad and fresh == todo:
            break
        todo = fresh
    else:
        files, todo, loaded, failed = _try(at, todo)
        refused += failed
    return Plan(got, files, tuple(_read(p, loaded) for p in todo), tuple(refused))


def _target(item: Item, at: Desk) -> DayFile:
    return day_file(at.files.names, item.on, item.by, at.loaded.book.farm)


def _try(
    at: Desk, todo: Sequence[Placed]
) -> tuple[dict[str, tuple[bytes | None, bytes]], list[Placed], Loaded, list[Placed]]:
    """Add all lines to their files' bytes and read the farm so; also what could not be added."""
    files: dict[str, tuple[bytes | None, bytes]] = {}
    out: list[Placed] = []
    failed: list[Placed] = []
    for target in dict.fromkeys(p.target for p in todo):
        mine = [p for p in todo if p.target == target]
        old = atomic.read(at.folder / target.path)
        added = add_lines(old, [x for p in mine for x in _lines(p)], target.prose, begins)
        if added.problem:
            failed += mine
            continue
        files[target.path] = (old, added.data)
        n = added.line
        for p in mine:
            out.append(replace(p, first=n, last=n + len(p.item.lines) - 1))
            n += len(p.item.lines)
    return files, out, load_with(at, {p: new for p, (_, new) in files.items()}), failed


def _lines(p: Placed) -> tuple[str, ...]:
    """The item's lines, signed where the file's name doesn't say whose they are."""
    by = p.item.by
    if not by or p.target.by.casefold() == by.casefold() or len(p.item.lines) > 1:
        return p.item.lines
    line = p.item.lines[0]
    return p.item.lines if f"by {by}" in line else (f"{line}; by {by}",)


def _fails(p: Placed, loaded: Loaded) -> bool:
    entries = entries_on(loaded.kept, p.target.path, p.first, p.last)
    return refuses(entries, found_on(loaded.findings, p.target.path, p.first, p.last))


def _coded(p: Placed, loaded: Loaded) -> Item:
    """The item with codes put in, a line at a time."""
    lines = []
    for n, line in enumerate(p.item.lines, p.first):
        lines.append(coded(line, entries_on(loaded.kept, p.target.path, n, n), loaded.kept))
    return replace(p.item, lines=tuple(lines))


def _read(p: Placed, loaded: Loaded) -> Placed:
    entries = entries_on(loaded.kept, p.target.path, p.first, p.last)
    words = tuple(read_as(loaded.kept, e) for e in entries)
    found = tuple(found_on(loaded.findings, p.target.path, p.first, p.last))
    return replace(p, read_as=words, findings=found)


# -- showing and writing


def _show(plan: Plan) -> None:
    """Day by day what was understood, then what is there already, refused, or no entry."""
    for on in sorted({p.item.on for p in plan.placed}):
        mine = [p for p in plan.placed if p.item.on == on]
        said = (
            "" if any(p.item.dated for p in mine) else ", taken as today's: the text names no day"
        )
        click.echo(f"{on:%A} {on}{said}")
        for p in mine:
            _show_one(p)
        click.echo("")
    _listed("already there", plan.sorted.there)
    for p in plan.refused:
        click.echo(f"not written, {p.item.on}: {p.item.text}")
        for finding in p.findings or ():
            click.echo("  " + full(finding).replace("\n", "\n  "))
        if not p.first:
            click.echo(f"  {p.target.path} can't be added to as it stands; look at it first")
        click.echo("")
    _listed("not read as entries (--notes puts these down as notes)", plan.sorted.prose)


def _show_one(p: Placed) -> None:
    for line in _lines(p):
        click.echo(f"  {line}")
    click.echo(f"    into {p.target.path}:{p.first}")
    for words in p.read_as:
        click.echo(f"    read as: {words}")
    if p.item.unsure:
        click.echo(
            f"    `{p.item.unsure}` is read as {p.item.on}; farm.yaml can say which way round"
        )
    for finding in p.findings:
        click.echo("    " + full(finding).replace("\n", "\n    "))


def _listed(title: str, found: Sequence[Item]) -> None:
    if found:
        click.echo(f"{title}:")
        for item in found:
            click.echo(f"  {item.on}  " + item.text.replace("\n", "\n" + " " * 14))
        click.echo("")


def _write(folder: Path, as_of: dt.date, text: str, notes: bool, plan: Plan) -> None:
    """Write the files as shown; where something changed meanwhile it is worked out anew."""
    with atomic.locked(folder):
        for path, (old, new) in plan.files.items():
            try:
                atomic.put(folder / path, old, new)
            except atomic.ChangedError:
                break
        else:
            return
        # What was written before the race counts as there already.
        again = _plan(folder, as_of, text, notes)
        for path, (old, new) in again.files.items():
            try:
                atomic.put(folder / path, old, new)
            except atomic.ChangedError as error:
                raise FolderError(
                    f"{error} is being changed by another program; save and close it there, then "
                    "take the text again: what is written already is not written twice"
                ) from None
