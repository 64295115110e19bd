"""lots.csv, a row a seed lot."""

from __future__ import annotations

from collections.abc import Iterator

from traybook.exports.text import count, day, yes
from traybook.rollup.farm import FarmFigures
from traybook.text.cells import cell

LOTS = (
    "lot", "crop", "variety", "supplier", "packed_for", "received_on", "seeds", "seeds_left", "tested_on",
    "tested_n", "tested_sprouted", "dressed", "age_years",
)  # fmt: skip


def lot_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of lots.csv, in the order in which the lots are first named."""
    year = figures.kept.book.as_of.year
    for lot in figures.kept.seed.lots.values():
        test = lot.test
        age = year - lot.packed_for if lot.packed_for else None
        yield [
            cell(lot.lot), cell(lot.crop), cell(lot.variety), cell(lot.supplier), count(lot.packed_for),
            day(lot.received_on), count(lot.received), count(lot.left), day(test.on if test else None),
            count(test.n if test else None), count(test.sprouted if test else None), yes(lot.dressed), count(age),
        ]  # fmt: skip
