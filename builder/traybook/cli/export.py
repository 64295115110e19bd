"""`traybook export`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from traybook.advice.learnt import Learnt
from traybook.cli.common import farm_command
from traybook.exports.calendar import calendar
from traybook.exports.tables import own_tables, shared_tables
from traybook.files.put import put_texts
from traybook.pages.addresses import CALENDAR
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures


@click.command()
@click.option("--to", "to", required=True, metavar="DIR", help="The folder to write into.")
@click.option("--own", is_flag=True, help="Everything, private lines and findings too.")
@farm_command
def export(folder: Path, as_of: dt.date, to: str, own: bool) -> None:
    """Write the CSV tables (events, sowings, checks, pottings, plantings, harvests, weeks, crops,
    lots) and calendar.ics, what is due for a calendar program.

    Without --own they hold what may be shared.
    """
    loaded = load(folder, as_of, own=own)
    figures = farm_figures(loaded.kept)
    tables = (
        own_tables(figures, loaded.findings) if own else shared_tables(figures, loaded.findings)
    )
    for path in put_texts(Path(to), tables | {CALENDAR: calendar(Learnt(figures))}):
        click.echo(path)
