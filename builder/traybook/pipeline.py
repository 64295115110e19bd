"""The one road from a folder to a ledger; commands, site and tests all take it."""

from __future__ import annotations

import datetime as dt
import gc
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from traybook.files.package import handbook_texts
from traybook.files.tree import Files, read_entries
from traybook.findings.model import Finding, in_order
from traybook.handbook.facts import Handbook, read_handbook
from traybook.ledger.keep import Kept, keep
from traybook.ledger.subjects import resolve
from traybook.records.book import Book, numbered
from traybook.records.copies import is_settings, originals, settings_copy, without_the_same
from traybook.records.event import Event, Prose
from traybook.records.plans import read_plan
from traybook.records.reader import FileRead, read_file
from traybook.records.settings import Farm, read_crops, read_farm
from traybook.records.temperatures import read_temperatures
from traybook.rules.allow import silence
from traybook.rules.around import Around
from traybook.rules.run import run


@dataclass(frozen=True)
class Loaded:
    """A farm as read: the ledger of its book (own or shared) and every finding, in order."""

    kept: Kept
    findings: tuple[Finding, ...]

    @property
    def book(self) -> Book:
        """The book behind the ledger."""
        return self.kept.book


def load(folder: Path, as_of: dt.date, own: bool = True) -> Loaded:
    """Read a farm folder; `own=False` gives the book as it may be shared.

    Findings are the same in both. Raises FolderError when the folder can't be read.
    """
    return load_files(read_entries(folder), as_of, own)


def load_files(files: Files, as_of: dt.date, own: bool = True) -> Loaded:
    """The same from sources at hand."""
    collect_seldom()
    crops, crop_findings = read_crops(files.crops)
    farm, farm_findings = read_farm(files.farm, crops)
    findings = [*files.findings, *crop_findings, *farm_findings]
    events: list[Event] = []
    prose: list[Prose] = []
    for got in _read_days(files, farm, as_of):
        events += got.events
        prose += got.prose
        findings += got.findings
    plans = []
    for year, source in sorted(files.plans.items()):
        plan, plan_findings = read_plan(source, year, farm, _handbook())
        plans.append(plan)
        findings += plan_findings
    measured, measured_findings = read_temperatures(files.temperatures)
    findings += measured_findings
    book = Book(
        farm, as_of, prose=tuple(prose), plans=tuple(plans), handbook=_handbook(), measured=measured
    )
    book, more = resolve(book, numbered(events))
    findings += more
    kept, ledger_findings = keep(book)
    findings = silence([*findings, *ledger_findings, *run(kept, _around(files))], kept.book.entries)
    if not own:
        kept, _ = keep(kept.book.shared())
    return Loaded(kept, in_order(findings))


def collect_seldom() -> None:
    """Have Python look for rubbish less often: nearly all that is read and worked out lives to the end,
    and looking it through again and again took a fifth of the time."""
    gc.set_threshold(50_000, 20, 100)


@cache
def _handbook() -> Handbook:
    return read_handbook(*handbook_texts())


def _around(files: Files) -> Around:
    return Around(files.photos, files.away)


def _read_days(files: Files, farm: Farm, as_of: dt.date) -> Iterator[FileRead]:
    """Every day file as read; of a sync copy only what its original hasn't."""
    settings = [s.path for s in (files.farm, files.crops) if s]
    copies = originals((s.path for s in files.days), settings)
    read = {s.path: read_file(s, farm, as_of) for s in files.days}
    for source in files.days:
        original = copies.get(source.path)
        if original is None:
            yield read[source.path]
        elif is_settings(original):
            yield FileRead(findings=[settings_copy(source, original)])
        else:
            yield without_the_same(read[source.path], source, read[original], original, farm)
