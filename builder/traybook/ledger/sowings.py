"""A sowing's own facts, from its `sown` line."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from traybook.records.book import Book, Entry
from traybook.records.containers import Container, bare, container
from traybook.records.event import Event
from traybook.records.settings import Farm
from traybook.text.names import fold

_CORMS = re.compile(r"corms?|tubers?|bulbs?|crowns?|roots?", re.IGNORECASE)
MEASURES = ("up", "sprouted", "stand", "bought in", "corm")


@dataclass(frozen=True, slots=True)
class Sowing:
    """What was sown, where and how.

    `seeds` is None when neither a number nor seeds a cell nor a weight that can be turned into
    one was said; `low` and `high` are seeds a cell, None when unknown; `about` marks an
    estimated number of seeds. `unwritten` is True for a code that the entries don't hold yet.
    """

    code: str
    crop: str
    variety: str
    sown_on: dt.date
    season: int
    entry: Entry
    measure: str = "up"
    container: Container | None = None
    seeds: int | None = None
    about: bool = False
    cells: int | None = None
    low: int | None = None
    high: int | None = None
    lot: str = ""
    place: str = ""
    light: str = ""
    cover_mm: float | None = None
    rows: int | None = None
    length_mm: float | None = None
    was: str = ""
    unwritten: bool = False
    shares: str = ""

    @property
    def event(self) -> Event:
        """The `sown` line."""
        return self.entry.event

    @property
    def several(self) -> bool:
        """More than one seed a cell."""
        return self.high is not None and self.high > 1 and self.cells is not None

    @property
    def limit(self) -> int | None:
        """The most that can come up, in what is counted singly; None when unknown."""
        if self.about:
            return None
        if self.seeds is not None and self.low == self.high:
            return self.seeds
        if self.several and self.cells is not None and self.high is not None:
            return self.cells * self.high
        return self.seeds if self.seeds is not None else self.cells


def season_of(on: dt.date, late: bool, south: bool) -> int:
    """The year meant for the first cut: the next for kinds sown late for it.

    Late is after 31 August, south of the equator after the end of February.
    """
    turned = (on.month > 2) if south else (on.month > 8)
    return on.year + 1 if late and turned else on.year


def sowing_of(entry: Entry, book: Book) -> Sowing:
    """Read the facts of a `sown` entry that is used."""
    event, farm, ref = entry.event, book.farm, entry.ref
    assert event.on is not None
    held = _container(event, farm)
    cells = _cells(event, held)
    low, high = _per_cell(event)
    if event.verb == "arrived":
        cells = low = high = None
    seeds, about = _seeds(event, farm, ref.crop, cells, low, high)
    if seeds is not None and cells and low is None and not about:
        low, high, cells = _per_cell_from(seeds, cells)
    fact, said = book.fact(ref.crop), event.one("season")
    rows = [s for s in event.all("rows") if s.rows]
    lengths = [s.length_mm for s in event.all("rows") if s.length_mm]
    return Sowing(
        code=ref.code,
        crop=ref.crop,
        variety=ref.variety,
        sown_on=event.on,
        season=int(said.text)
        if said
        else season_of(event.on, bool(fact and fact.late_for_next_year), farm.south),
        entry=entry,
        measure=_measure(event, held),
        container=held,
        seeds=seeds,
        about=about,
        cells=cells,
        low=low,
        high=high,
        lot=_text(event, "lot"),
        place=_place(event),
        light=_light(event),
        cover_mm=_cover(event),
        rows=rows[0].rows if rows else None,
        length_mm=lengths[0] if lengths else None,
        was=_text(event, "was"),
        unwritten=ref.code in book.unwritten,
        shares=ref.other if event.verb == "resown" else "",
    )


def resown_seeds(event: Event, parent: Sowing) -> int | None:
    """Seeds put into a sowing's empty cells: said, else so many a cell as the tray has."""
    said = event.one("seeds")
    if said and said.n and said.n.value is not None:
        return round(said.n.value)
    cells, (low, high) = event.one("cells"), _per_cell(event)
    if not cells or not cells.n or cells.n.whole is None:
        return None
    low, high = (low, high) if low is not None else (parent.low or 1, parent.high or 1)
    return _half_up(cells.n.whole * (low + (high or low)) / 2)


def _text(event: Event, name: str) -> str:
    said = event.one(name)
    return said.text if said else ""


def _container(event: Event, farm: Farm) -> Container | None:
    said = event.one("container")
    if said:
        return container(said.into, farm.bed_names()) or Container("open", bare(said.into))
    cells = event.one("cells")
    if cells and cells.n and cells.n.whole:
        return Container("cells", f"{cells.n.whole} cells", cells.n.whole)
    if event.one("rows"):
        return Container("bed", "")
    return None


def _cells(event: Event, held: Container | None) -> int | None:
    """Cells sown: said outright, else those of the container."""
    said = event.one("cells")
    if said and said.n and said.n.whole:
        return said.n.whole
    return held.cells if held and held.kind in ("cells", "blocks", "pots") else None


def _per_cell(event: Event) -> tuple[int | None, int | None]:
    said = event.one("per_cell")
    if not said or not said.low:
        return None, None
    low, high = said.low, said.high or said.low
    return (low, high) if low <= high else (high, low)


def _seeds(
    event: Event, farm: Farm, crop: str, cells: int | None, low: int | None, high: int | None
) -> tuple[int | None, bool]:
    """Seeds as sown: said, else cells by seeds a cell (the middle of a range), else by weight."""
    said = event.one("seeds") or event.one("plants")
    if said and said.n and said.n.value is not None:
        return round(said.n.value), said.n.about
    for held in event.all("container"):
        corms = re.match(r"(\d+)\s+(?:corms?|tubers?)", held.into)
        if corms:
            return int(corms[1]), False
    if cells and low is not None and high is not None:
        return _half_up(cells * (low + high) / 2), False
    grams = event.one("grams")
    facts = farm.crops.get(fold(crop))
    if grams and grams.n and grams.n.value is not None and facts and facts.seeds_per_gram:
        return _half_up(grams.n.value * facts.seeds_per_gram), grams.n.about
    return None, False


def _half_up(x: float) -> int:
    return int(x + 0.5)


def _per_cell_from(seeds: int, cells: int) -> tuple[int | None, int | None, int | None]:
    """Seeds a cell when both numbers were said; fewer seeds than cells leave cells empty."""
    if seeds <= cells:
        return 1, 1, seeds
    if seeds % cells == 0:
        return seeds // cells, seeds // cells, cells
    return seeds // cells, seeds // cells + 1, cells


def _measure(event: Event, held: Container | None) -> str:
    kind = held.kind if held else ""
    if any(re.match(r"\d+\s+(?:corms?|tubers?)", s.into) for s in event.all("container")):
        return "corm"
    if event.verb == "arrived":
        came = event.one("plants")
        return "corm" if came and _CORMS.match(came.unit) else "bought in"
    if kind == "paper":
        return "sprouted"
    if kind == "bed":
        return "stand"
    return "corm" if kind in ("corms", "tubers") else "up"


def _place(event: Event) -> str:
    said = event.one("place")
    if said:
        return said.where
    heat = event.one("heat")
    return heat.text if heat and "no" not in heat.text.lower().split() else ""


def _light(event: Event) -> str:
    """Dark or light, as said of this sowing."""
    said = _text(event, "light").lower()
    return "light" if said.startswith(("under", "bright")) else said


def _cover(event: Event) -> float | None:
    said = event.one("cover")
    if not said:
        return None
    if said.depth_mm is not None:
        return said.depth_mm
    bare_ = re.match(
        r"surface|on (?:the )?surface|left on|not covered|uncovered|no cover|bare|none",
        said.text,
        re.I,
    )
    return 0.0 if bare_ else None
