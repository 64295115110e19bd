"""The `traybook` command and its subcommands."""

from __future__ import annotations

import click

from traybook.cli.export import export
from traybook.cli.import_ import import_
from traybook.cli.preview import preview
from traybook.cli.proof import proof, why
from traybook.cli.site import site


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="traybook", message="traybook %(version)s")
def main() -> None:
    """A season journal for growers who start plants from seed.

    Write dated entries in entries/; traybook reads them, works out the figures and makes a site.
    """


for _command in (proof, why, export, import_, site, preview):
    main.add_command(_command)

if __name__ == "__main__":
    main(prog_name="traybook")
