"""`traybook proof --mend`."""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import replace
from pathlib import Path

import click

from traybook.cli.writing import Desk, desk, load_with
from traybook.files import atomic
from traybook.files.tree import FolderError
from traybook.intake.mend import Mend, differences, mends, together, unsettled, worse
from traybook.text.decode import decode
from traybook.text.edits import change
from traybook.text.source import Source

_ROUNDS = 4
_PASSES = 3

Bytes = dict[str, bytes]


def mend(folder: Path, as_of: dt.date, yes: bool) -> bool:
    """Show the safe fixes and make them; False when they were shown and not made."""
    at = desk(folder, as_of, as_of, everything=True)
    old: Bytes = {}
    new: Bytes = {}
    for _ in range(_PASSES):
        more = _better(at, old, new)
        if not more:
            break
        new |= more
        at = _as_new(at, new)
    many = _show(old, new)
    if not many:
        click.echo("nothing that can be mended without asking you")
        return True
    if not yes and not _agreed(many):
        return False
    _write(folder, old, new)
    click.echo(f"{many} mended\n")
    return True


def _as_new(at: Desk, new: Bytes) -> Desk:
    """The farm as it would be with the changes made so far."""
    texts = {path: Source(path, decode(data).text) for path, data in new.items()}
    files = replace(at.files, days=[texts.get(s.path, s) for s in at.files.days])
    return replace(at, files=files, loaded=load_with(at, new))


def _better(at: Desk, old: Bytes, new: Bytes) -> Bytes:
    """The files' bytes with all that holds; those that change what others say are left out."""
    found = mends(at.loaded.kept, at.loaded.findings, at.files.days)
    found = [m for m in found if _read(m.path, at, old, new)]
    chosen = [m for m in found if not m.recounts]
    for _ in range(_ROUNDS):
        after = _changed(chosen, old, new)
        gone = unsettled(at.loaded.kept, load_with(at, after).kept) if chosen else set()
        if not gone:
            break
        chosen = [m for m in chosen if (m.path, m.line) not in gone]
    else:
        chosen = []
    for one in (m for m in found if m.recounts):
        after = _changed([*chosen, one], old, new)
        if not worse(at.loaded.findings, load_with(at, after).findings):
            chosen.append(one)
    return _changed(chosen, old, new)


def _read(path: str, at: Desk, old: Bytes, new: Bytes) -> bool:
    """Have a file's bytes at hand; False when they are no longer what was read."""
    if path not in old:
        data = atomic.read(at.folder / path)
        if data is None:
            return False
        old[path] = data
    text = next((s.text for s in at.files.days if s.path == path), None)
    return decode(new.get(path, old[path])).text == text


def _changed(chosen: list[Mend], old: Bytes, new: Bytes) -> Bytes:
    """Each touched file's bytes with the changes made; a file that can't take them is left."""
    out = {}
    for path, changes in together(chosen).items():
        data = change(new.get(path, old[path]), changes)
        if data is not None:
            out[path] = data
    return out


def _show(old: Bytes, new: Bytes) -> str:
    """Every line as it stands and as it would; says how many there are, or nothing."""
    lines = 0
    for path in sorted(new):
        shown = differences(decode(old[path]).text, decode(new[path]).text)
        click.echo(path)
        for one in shown:
            if one.old is not None:
                click.echo(f"{one.line:>5} - {one.old}")
            if one.new is not None:
                click.echo(f"{'' if one.old is not None else one.line:>5} + {one.new}")
        lines += len(shown)
    files = len(new)
    return (
        f"{lines} {'line' if lines == 1 else 'lines'} in {files} {'file' if files == 1 else 'files'}"
        if lines
        else ""
    )


def _agreed(many: str) -> bool:
    if not sys.stdin.isatty():
        click.echo(f"{many} could be mended; run it again with --yes to do so", err=True)
        return False
    if click.confirm(f"Mend {many}?", default=True):
        return True
    click.echo("nothing written")
    return False


def _write(folder: Path, old: Bytes, new: Bytes) -> None:
    with atomic.locked(folder):
        for path in sorted(new):
            try:
                atomic.put(folder / path, old[path], new[path])
            except atomic.ChangedError:
                raise FolderError(
                    f"{path} was changed by another program meanwhile and was left as it is; "
                    "run it again to mend the rest"
                ) from None
