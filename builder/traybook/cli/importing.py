"""What `traybook import` is going to write, tried out before anything is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from pathlib import Path

from traybook.files.atomic import rewrite
from traybook.files.tree import Files, FolderError, read_entries
from traybook.intake.compare import compare, read_otherwise
from traybook.intake.events import Kept, is_events, read_events
from traybook.intake.homes import placed
from traybook.intake.model import Trouble
from traybook.intake.restore import file_text, lines_for
from traybook.intake.sheet import read_sheet
from traybook.pipeline import Loaded, load_files
from traybook.records.book import Book
from traybook.records.reader import begins
from traybook.records.writer import day_file
from traybook.text.edits import add_lines
from traybook.text.source import Source

_TRIAL = "-trial.md"


@dataclass(frozen=True)
class Plan:
    """The lines of a table: those to be written, and by file what is added or made; how many are
    there, which differ from what is there, which will be read otherwise than the table has it."""

    lines: list[Kept]
    new: list[Kept]
    there: int
    differs: list[tuple[Kept, str]]
    otherwise: list[Kept]
    troubles: list[Trouble]
    fresh: dict[str, str]
    added: dict[str, list[str]]


def plan_of(text: str, folder: Path, as_of: dt.date) -> Plan:
    """Read a table against a farm's entries; nothing is written.

    Raises FolderError when the entries can't be read.
    """
    files = read_entries(folder) if (folder / "entries").is_dir() else _none_yet(folder)
    loaded = load_files(files, as_of)
    book, own = loaded.book, is_events(text)
    lines, troubles = read_events(text) if own else read_sheet(text, book)
    if not own:
        lines, more = _usable(lines, files, book)
        troubles += more
    got = compare(lines, (e.event for e in book.entries))
    new = got.new if own else _in_day_files(got.new, files, book)
    fresh, added = _files(new, files, book)
    after = _after(files, fresh, added, as_of)
    otherwise = read_otherwise(new, (e.event for e in after.book.entries))
    return Plan(lines, new, len(got.there), got.differs, otherwise, troubles, fresh, added)


def _none_yet(folder: Path) -> Files:
    if not folder.is_dir():
        raise FolderError(f"there is no folder {folder}; `traybook new {folder}` makes one")
    return Files()


def _usable(lines: list[Kept], files: Files, book: Book) -> tuple[list[Kept], list[Trouble]]:
    """The lines that can be used, tried out in files of their own; what can't, or has to wait, is
    told."""
    farm, as_of = book.farm, book.as_of
    trial = {
        f"{path[:-3]}{_TRIAL}": file_text(path, mine, farm, as_of)
        for path, mine in placed(lines, farm, as_of).items()
    }
    entries = _after(files, trial, {}, as_of).book.entries
    events = [e.event for e in entries if not e.used and e.event.path.endswith(_TRIAL)]
    faults = {(e.on, e.text): (e.fault, e.waits) for e in events}
    kept, told = [], []
    for line in lines:
        fault, waits = faults.get((line.on, line.text), ("", True))
        if fault:
            what = "will wait" if waits else "can't be used, so it is left out"
            said = f"`{line.text}` {what}: {fault}"
            told.append(Trouble(line.row, 0, said, f"`traybook why {fault}` says more"))
        if waits:
            kept.append(line)
    return kept, told


def _in_day_files(new: list[Kept], files: Files, book: Book) -> list[Kept]:
    """Each line with the file of its day, in the order of days."""
    paths = [s.path for s in files.days]
    out = []
    for kept in sorted(new, key=lambda k: (k.on or dt.date.min, k.verb != "sown")):
        assert kept.on is not None
        home = day_file(paths, kept.on, "", book.farm)
        paths.append(home.path)
        out.append(replace(kept, path=home.path))
    return out


def _files(
    new: list[Kept], files: Files, book: Book
) -> tuple[dict[str, str], dict[str, list[str]]]:
    """New files, and lines for those that are there."""
    here = {s.path for s in files.days}
    fresh: dict[str, str] = {}
    added: dict[str, list[str]] = {}
    for path, lines in placed(new, book.farm, book.as_of).items():
        if path in here:
            added[path] = lines_for(path, lines, book.farm, book.as_of)
        else:
            fresh[path] = file_text(path, lines, book.farm, book.as_of)
    return fresh, added


def _after(
    files: Files, fresh: dict[str, str], added: dict[str, list[str]], as_of: dt.date
) -> Loaded:
    """The farm as it will be."""
    days = [Source(s.path, _grown(s, added[s.path])) if s.path in added else s for s in files.days]
    days += [Source(path, text) for path, text in fresh.items()]
    days.sort(key=lambda s: s.path)
    return load_files(Files(files.farm, files.crops, days, list(files.findings)), as_of)


def _grown(source: Source, lines: list[str]) -> str:
    done = add_lines(source.text.encode(), lines, _prose(source.path), begins)
    return done.data.decode() if done.data else source.text


def _prose(path: str) -> bool:
    return not path.lower().endswith((".yaml", ".yml"))


def write(plan: Plan, folder: Path) -> list[str]:
    """Write what was planned; returns the files. Raises FolderError when one can't be written."""
    done = []
    for path, text in plan.fresh.items():
        rewrite(folder / path, lambda old, path=path, text=text: _new(old, path, text))
        done.append(path)
    for path, lines in plan.added.items():
        rewrite(folder / path, lambda old, path=path, lines=lines: _more(old, path, lines))
        done.append(path)
    return done


def _new(old: bytes | None, path: str, text: str) -> bytes:
    if old is not None:
        raise FolderError(f"{path} has come up meanwhile; import again")
    return text.encode("utf-8")


def _more(old: bytes | None, path: str, lines: list[str]) -> bytes:
    done = add_lines(old, lines, _prose(path), begins)
    if done.problem:
        raise FolderError(
            f"{path}: {done.problem}; write these lines in it yourself:\n" + "\n".join(lines)
        )
    return done.data
