"""Harvest lines as stems, bunches and weight."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from traybook.findings.model import Finding
from traybook.ledger.bunches import BunchSizes
from traybook.records.book import Entry, Ref
from traybook.records.event import Event
from traybook.records.settings import Farm
from traybook.text.source import Span


@dataclass(frozen=True, slots=True)
class Harvest:
    """One cut: `stems` that were good, `rejected` besides them; None where it wasn't told.

    `size` is the bunch size used and `assumed` true when the line didn't say it.
    """

    event: Event
    ref: Ref
    on: dt.date
    stems: int | None
    bunches: float | None
    size: int | None
    grams: float | None
    rejected: int | None
    grade: str
    bed: str
    assumed: bool


def harvest_of(
    entry: Entry, farm: Farm, sizes: BunchSizes, findings: list[Finding]
) -> tuple[Harvest, str]:
    """A used harvest entry, and how it was read in words."""
    event = entry.event
    assert event.on is not None
    loose = _sum(event, "stems") if not _bare_bunches(event, farm) else None
    bunches = _sum(event, "bunches")
    if _bare_bunches(event, farm):
        bunches = (bunches or 0) + (_sum(event, "stems") or 0)
    _ask_unit(event, farm, findings)
    said = next((s.of for s in event.all("bunches") if s.of), None)
    size, assumed = (said.whole, False) if said else (sizes.on(entry.ref.crop, event.on), True)
    over = _sum(event, "over")
    stems = _total(loose, over, bunches, size)
    of_which, extra = _sum(event, "rejected_of"), _sum(event, "rejected")
    if of_which and stems is not None:
        stems = max(0, stems - round(of_which))
    rejected = (
        round((of_which or 0) + (extra or 0)) if of_which is not None or extra is not None else None
    )
    grams, grade, bed = _sum(event, "grams"), event.one("grade"), event.one("bed")
    got = Harvest(event, entry.ref, event.on, stems, bunches, size if bunches else None, grams, rejected,
                  grade.text if grade else "", bed.where if bed else entry.ref.bed, bool(bunches) and assumed)  # fmt: skip
    return got, _words(got)


def _sum(event: Event, name: str) -> float | None:
    values = [s.n.value for s in event.all(name) if s.n and s.n.value is not None]
    return sum(values) if values else None


def _bare(event: Event) -> bool:
    return any(s.text == "bare" for s in event.all("stems"))


def _bare_bunches(event: Event, farm: Farm) -> bool:
    """A bare number counts what farm.yaml says a bare harvest number is."""
    return _bare(event) and farm.harvest_unit.startswith("bunch")


def _ask_unit(event: Event, farm: Farm, findings: list[Finding]) -> None:
    if _bare(event) and not farm.harvest_unit:
        findings.append(
            Finding("unknown-amount", "the number has no unit; it is read as stems", _bare_at(event),
                    "write stems or bunches, or set `harvest unit` in farm.yaml")
        )  # fmt: skip


def _bare_at(event: Event) -> Span:
    """The words of the number without a unit."""
    return next((s.at for s in event.all("stems") if s.text == "bare" and s.at), event.subject_at)


def _total(
    loose: float | None, over: float | None, bunches: float | None, size: int | None
) -> int | None:
    """Stems that could be told; None when nothing, or bunches of unknown size, were."""
    if bunches is not None and size is None:
        return None
    if loose is None and over is None and bunches is None:
        return None
    return round((loose or 0) + (over or 0) + (bunches or 0) * (size or 0))


def _words(h: Harvest) -> str:
    parts = []
    if h.bunches is not None:
        of = f" of {h.size}{' (assumed)' if h.assumed else ''}" if h.size else ", of unknown size"
        parts.append(f"{h.bunches:g} bunches{of}")
    if h.stems is not None:
        parts.append(f"{h.stems:,} stems")
    if h.grams is not None:
        parts.append(f"{h.grams:g} g")
    if h.rejected:
        parts.append(f"{h.rejected} rejected besides")
    to = {
        "sowing": h.ref.code,
        "crop": f"{h.ref.crop}, no sowing in particular",
        "bed": h.ref.bed,
        "mix": "the mix",
    }
    return f"{', '.join(parts) or 'no number'}: {to.get(h.ref.kind, '')}"
