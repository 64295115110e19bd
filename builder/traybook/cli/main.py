"""The `traybook` command and its subcommands."""

from __future__ import annotations

import click

from traybook.cli.group import Commands

# Loaded when they are used: naming and completing a command must not wait for all of them.
_COMMANDS = {
    "completion": "traybook.cli.completing:completion",
    "due": "traybook.cli.due:due",
    "export": "traybook.cli.export:export",
    "import": "traybook.cli.import_:import_",
    "new": "traybook.cli.new:new",
    "preview": "traybook.cli.preview:preview",
    "proof": "traybook.cli.proof:proof",
    "site": "traybook.cli.site:site",
    "take": "traybook.cli.take:take",
    "why": "traybook.cli.proof:why",
}


@click.group(cls=Commands, lazy=_COMMANDS, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="traybook", message="traybook %(version)s")
def main() -> None:
    """A season journal for growers who start plants from seed.

    Write dated entries in entries/; traybook reads them, works out the figures and makes a site.
    """


if __name__ == "__main__":
    main(prog_name="traybook")
