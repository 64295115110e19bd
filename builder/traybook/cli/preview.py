"""`traybook preview`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from traybook.cli.common import farm_command
from traybook.files.clock import today


@click.command()
@click.option(
    "--port", default=8700, show_default=True, help="The port to serve on; 0 takes any free one."
)
@farm_command
def preview(folder: Path, as_of: dt.date, port: int) -> None:
    """Serve your own site, private lines and findings too, and make it anew when an entry changes.

    It can be opened on this machine only.
    """
    from traybook.site.preview import Preview  # MkDocs takes long to load

    try:
        Preview(folder, click.echo, None if as_of == today() else as_of).run(port)
    except KeyboardInterrupt:
        click.echo("ended")
    except OSError as error:
        click.echo(
            f"traybook: port {port} can't be used: {error.strerror}; name another with --port",
            err=True,
        )
        raise SystemExit(2) from None
