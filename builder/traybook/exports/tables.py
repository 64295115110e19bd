"""The tables by name, for `export` and the site's data/ folder."""

from __future__ import annotations

from collections.abc import Iterable

from traybook.exports.events import EVENTS, FINDINGS, event_rows, finding_rows
from traybook.exports.lots import LOTS, lot_rows
from traybook.exports.rows import (
    CHECKS,
    CROPS,
    HARVESTS,
    PLANTINGS,
    POTTINGS,
    SOWINGS,
    check_rows,
    crop_rows,
    harvest_rows,
    planting_rows,
    potting_rows,
    sowing_rows,
)
from traybook.findings.model import Finding
from traybook.rollup.farm import FarmFigures
from traybook.text.cells import table

#: Every table's columns, by file name.
COLUMNS: dict[str, tuple[str, ...]] = {
    "events.csv": EVENTS,
    "sowings.csv": SOWINGS,
    "checks.csv": CHECKS,
    "pottings.csv": POTTINGS,
    "plantings.csv": PLANTINGS,
    "harvests.csv": HARVESTS,
    "crops.csv": CROPS,
    "lots.csv": LOTS,
    "findings.csv": FINDINGS,
}


def shared_tables(figures: FarmFigures, findings: Iterable[Finding] = ()) -> dict[str, str]:
    """The tables that may be shared, by file name; `findings` only weigh the lines of events.csv."""
    rows = {
        "events.csv": event_rows(figures, findings),
        "sowings.csv": sowing_rows(figures),
        "checks.csv": check_rows(figures),
        "pottings.csv": potting_rows(figures),
        "plantings.csv": planting_rows(figures),
        "harvests.csv": harvest_rows(figures),
        "crops.csv": crop_rows(figures),
        "lots.csv": lot_rows(figures),
    }
    return {name: table(COLUMNS[name], body) for name, body in rows.items()}


def own_tables(figures: FarmFigures, findings: Iterable[Finding]) -> dict[str, str]:
    """Every table, findings.csv too."""
    told = tuple(findings)
    return shared_tables(figures, told) | {"findings.csv": table(FINDINGS, finding_rows(told))}
