"""weeks.csv, a row a week and crop that was cut."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from traybook.exports.text import count
from traybook.ledger.harvests import Harvest
from traybook.rollup.farm import FarmFigures
from traybook.text.cells import cell


def week_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of weeks.csv, in the order of weeks and crops; weeks and their years are ISO 8601's."""
    cut: dict[tuple[int, int, str], list[Harvest]] = defaultdict(list)
    for h in figures.kept.harvests:
        year, week, _ = h.on.isocalendar()
        crop = h.ref.crop or ("mix" if h.ref.kind == "mix" else "")
        cut[year, week, crop].append(h)
    for (year, week, crop), mine in sorted(cut.items()):
        yield [
            str(year), str(week), cell(crop),
            _sum(h.stems for h in mine), _sum(h.bunches for h in mine),
        ]  # fmt: skip


def _sum(numbers: Iterable[float | None]) -> str:
    """What is known of them; empty where nothing is."""
    known = [n for n in numbers if n is not None]
    return count(sum(known)) if known else ""
