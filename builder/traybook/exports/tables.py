"""The tables by name, for `export` and the site's data/ folder."""

from __future__ import annotations

from collections.abc import Iterable

from traybook.exports.events import event_rows, finding_rows
from traybook.exports.lots import lot_rows
from traybook.exports.rows import (
    check_rows,
    crop_rows,
    harvest_rows,
    planting_rows,
    potting_rows,
    sowing_rows,
)
from traybook.exports.weeks import week_rows
from traybook.findings.model import Finding
from traybook.rollup.columns import header
from traybook.rollup.farm import FarmFigures
from traybook.text.cells import table


def shared_tables(figures: FarmFigures, findings: Iterable[Finding] = ()) -> dict[str, str]:
    """The tables that may be shared, by file name; `findings` only weigh the lines of events.csv."""
    rows = {
        "events.csv": event_rows(figures, findings),
        "sowings.csv": sowing_rows(figures),
        "checks.csv": check_rows(figures),
        "pottings.csv": potting_rows(figures),
        "plantings.csv": planting_rows(figures),
        "harvests.csv": harvest_rows(figures),
        "weeks.csv": week_rows(figures),
        "crops.csv": crop_rows(figures),
        "lots.csv": lot_rows(figures),
    }
    return {name: table(header(name), body) for name, body in rows.items()}


def own_tables(figures: FarmFigures, findings: Iterable[Finding]) -> dict[str, str]:
    """Every table, findings.csv too."""
    told = tuple(findings)
    return shared_tables(figures, told) | {
        "findings.csv": table(header("findings.csv"), finding_rows(told))
    }
