"""`traybook import`."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from traybook.cli.common import farm_command
from traybook.cli.importing import Plan, plan_of, write
from traybook.files.outside import read_table
from traybook.intake.events import Kept

_SHOWN = 30


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--write", "write_now", is_flag=True, help="Write them; without it nothing is.")
@click.option("--all", "all_", is_flag=True, help="Show every line, however many.")
@farm_command
def import_(folder: Path, as_of: dt.date, file: Path, write_now: bool, all_: bool) -> None:
    """Read FILE, an events.csv or a table of your own (CSV), into entries.

    Shows first what would be written; `--write` writes it. What stands in the entries already is
    not written again.
    """
    plan = plan_of(read_table(file), folder, as_of)
    for trouble in plan.troubles:
        click.echo(trouble.said(file.name), err=True)
    if not plan.lines:
        click.echo("nothing could be read in it", err=True)
        raise SystemExit(1)
    _show(plan, None if all_ else _SHOWN)
    if not plan.new:
        return
    if not write_now and sys.stdin.isatty():
        write_now = click.confirm("Write them?")
    if not write_now:
        click.echo("nothing is written yet; `--write` writes it")
        return
    for path in write(plan, folder):
        click.echo(path)


def _show(plan: Plan, most: int | None) -> None:
    """The lines under their days, then the sums."""
    _lines(plan.new, most)
    for kept, other in plan.differs:
        click.echo(f"differs, not written ({kept.on}): {kept.text}\n  the entries say: {other}")
    for kept in plan.otherwise[:most]:
        click.echo(f"row {kept.row} is read otherwise here: {kept.text}")
    differ = f"{len(plan.differs)} {'differs' if len(plan.differs) == 1 else 'differ'}"
    otherwise = f", {len(plan.otherwise)} read otherwise" if plan.otherwise else ""
    click.echo(f"{len(plan.new)} new, {plan.there} already there, {differ}{otherwise}")


def _lines(lines: Sequence[Kept], most: int | None) -> None:
    day: dt.date | None = None
    for n, kept in enumerate(lines[:most]):
        if kept.on != day or not n:
            day = kept.on
            click.echo(str(day or "no day"))
        click.echo("  " + kept.text.replace("\n", "\n  "))
    if most is not None and len(lines) > most:
        click.echo(f"and {len(lines) - most} more; `--all` shows them")
