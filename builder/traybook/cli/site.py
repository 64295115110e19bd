"""`traybook site`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from traybook.cli.common import farm_command
from traybook.pages.words import left_out


@click.command()
@click.option(
    "--to",
    "to",
    default=None,
    metavar="DIR",
    help="The folder of the site (default: site/ in the farm's folder).",
)
@farm_command
def site(folder: Path, as_of: dt.date, to: str | None) -> None:
    """Build the site for helpers and the public, and say where to open it.

    Nothing private is in it. If anything fails, the last good site stays as it was.
    """
    from traybook.site.build import (
        build_site,
    )  # MkDocs takes long to load; only this command needs it

    out = Path(to) if to else folder / "site"
    built = build_site(folder, out, as_of, own=False)
    if built.left_out:
        click.echo(f"{left_out(built.left_out)}; `traybook proof` says which and why")
    click.echo(f"{built.pages} pages made; open {(out / 'index.html').absolute()}")
