"""From day files on disk to the tables that may be shared, and back into rows."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Mapping
from pathlib import Path

from traybook.exports.tables import shared_tables
from traybook.findings.model import Finding
from traybook.pipeline import Loaded, load
from traybook.rollup.farm import farm_figures

Rows = list[dict[str, str]]


def put(folder: Path, files: Mapping[str, bytes]) -> Path:
    """Write files as they are, to the byte."""
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


def texts_of(loaded: Loaded) -> dict[str, str]:
    """The tables that may be shared, by file name."""
    return shared_tables(farm_figures(loaded.kept), loaded.findings)


def rows_of(texts: Mapping[str, str]) -> dict[str, Rows]:
    """Tables read back."""
    return {name: list(csv.DictReader(io.StringIO(text))) for name, text in texts.items()}


def travel(
    folder: Path, files: Mapping[str, bytes], as_of: dt.date, own: bool = False
) -> tuple[dict[str, str], tuple[Finding, ...]]:
    """The whole road: files on disk, read, worked out, made tables; and what was found odd."""
    loaded = load(put(folder, files), as_of, own=own)
    return texts_of(loaded), loaded.findings
