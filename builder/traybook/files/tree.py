"""A farm's folder into sources: which files are read, and what could not be."""

from __future__ import annotations

import datetime as dt
import os
from dataclasses import dataclass, field
from pathlib import Path

from traybook.findings.model import Finding
from traybook.records.dayfile import ENDINGS, LARGEST, SETTINGS, TOO_LARGE, dated_before
from traybook.text.decode import decode
from traybook.text.source import Source, Span

#: Endings of pictures.
PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".heic", ".heif", ".tif", ".tiff", ".avif")
_NOT_DAYS = ("plans", "photos", "weather")


class FolderError(Exception):
    """A folder or file that can't be read or written; the message is for people."""


@dataclass(slots=True)
class Files:
    """What the entries folder holds."""

    farm: Source | None = None
    crops: Source | None = None
    days: list[Source] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    photos: list[str] | None = None
    away: list[str] = field(default_factory=list)
    plans: dict[int, Source] = field(default_factory=dict)
    temperatures: list[Source] = field(default_factory=list)


def read_entries(folder: Path, since: dt.date | None = None) -> Files:
    """Read a farm folder's `entries/`, all of it or what is dated on `since` or later.

    Files whose name has no day are read always. Paths of sources are relative to the farm folder;
    `names` holds those of all day files, read or not; `photos` those of pictures, `away` of
    pictures that are links out of entries/. Raises FolderError when there is no entries/
    or it can't be listed.
    """
    entries = folder / "entries"
    if not entries.is_dir():
        raise FolderError(
            f"there is no entries/ folder in {folder}; make one, or name the farm's folder"
        )
    out = Files()
    for path in _walk(entries):
        name = path.relative_to(folder).as_posix()
        if path.name.lower() in SETTINGS and path.parent == entries:
            _settings(path, name, out)
        elif path.suffix.lower() in ENDINGS:
            out.names.append(name)
            if since and dated_before(path.name, since):
                continue
            source = _read(path, name, out)
            if source:
                out.days.append(source)
    _plans(folder, entries, out)
    _temperatures(folder, entries, out)
    _pictures(folder, entries, out)
    return out


def _plans(folder: Path, entries: Path, out: Files) -> None:
    """plans/YEAR.yaml, by year."""
    root = entries.resolve()
    for path in sorted((entries / "plans").glob("[0-9][0-9][0-9][0-9].y*ml")):
        if path.suffix.lower() in (".yaml", ".yml") and path.resolve().is_relative_to(root):
            source = _read(path, path.relative_to(folder).as_posix(), out)
            if source:
                out.plans[int(path.stem)] = source


def _temperatures(folder: Path, entries: Path, out: Files) -> None:
    """weather/*.csv, in the order of names."""
    root = entries.resolve()
    for path in sorted((entries / "weather").glob("*")):
        named = path.suffix.lower() == ".csv" and not path.name.startswith(".")
        if named and path.resolve().is_relative_to(root):
            source = _read(path, path.relative_to(folder).as_posix(), out)
            if source:
                out.temperatures.append(source)


def _pictures(folder: Path, entries: Path, out: Files) -> None:
    """The names of all pictures under entries/, and of those that are links out of it."""
    root = entries.resolve()
    out.photos = []
    for top, folders, names in os.walk(entries):
        folders[:] = sorted(f for f in folders if not f.startswith("."))
        for name in sorted(names):
            path = Path(top) / name
            if path.suffix.lower() not in PICTURES:
                continue
            shown = path.relative_to(folder).as_posix()
            out.photos.append(shown)
            if not path.resolve().is_relative_to(root):
                out.away.append(shown)


def read_settings(folder: Path, kind: str = "farm") -> Source | None:
    """farm.yaml (or crops.yaml) alone."""
    for name in (f"{kind}.yaml", f"{kind}.yml"):
        path = folder / "entries" / name
        if path.is_file():
            return _read(path, f"entries/{name}", Files())
    return None


def day_files(folder: Path) -> list[Path]:
    """The farm's day files, unread, in the order of names."""
    entries = folder / "entries"
    found = _walk(entries) if entries.is_dir() else []
    return [p for p in found if p.suffix.lower() in ENDINGS and p.name not in SETTINGS]


def _walk(entries: Path) -> list[Path]:
    """Every file in the order of names, hidden ones and links out of the folder apart."""
    found: list[Path] = []
    root = entries.resolve()

    def failed(error: OSError) -> None:
        raise FolderError(f"{error.filename} can't be listed: {error.strerror}")

    for top, folders, names in os.walk(entries, onerror=failed):
        folders[:] = sorted(f for f in folders if not f.startswith(".") and f not in _NOT_DAYS)
        for name in sorted(names):
            path = Path(top) / name
            if not name.startswith(".") and path.resolve().is_relative_to(root):
                found.append(path)
    return sorted(found, key=lambda p: p.as_posix())


def _settings(path: Path, name: str, out: Files) -> None:
    source = _read(path, name, out)
    if source and path.name.lower().startswith("farm"):
        out.farm = source
    elif source:
        out.crops = source


def _read(path: Path, name: str, out: Files) -> Source | None:
    """One file as a source; what isn't text is a finding."""
    try:
        data = _bytes(path)
    except OSError as error:
        _find(out, "unreadable-file", name, f"this file can't be read: {error.strerror}",
              "check who may read it; the other files are read")  # fmt: skip
        return None
    if len(data) > LARGEST:
        _find(out, "too-large", name, *TOO_LARGE)
        return None
    got = decode(data)
    if got.binary:
        _find(
            out,
            "not-text",
            name,
            "this file holds no text",
            "move it out of entries/, or write it anew",
        )
        return None
    source = Source(name, got.text)
    if got.odd:
        out.findings.append(
            Finding(
                "odd-characters",
                got.odd,
                source.line_span(1),
                "save it as UTF-8 text and look it over",
            )
        )
    return source


def _bytes(path: Path) -> bytes:
    with open(path, "rb") as file:
        return file.read(LARGEST + 1)


def _find(out: Files, rule: str, name: str, message: str, help_: str) -> None:
    out.findings.append(Finding(rule, message, Span(Source(name, ""), 0, 0), help_))
