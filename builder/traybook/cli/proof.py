"""`traybook proof` and `traybook why`."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from traybook.cli.common import farm_command
from traybook.files.cases import read_case
from traybook.findings.catalogue import WEIGHTS
from traybook.findings.explain import explanation
from traybook.findings.model import Finding, Weight, offer
from traybook.findings.printers import as_json, full, short, summary
from traybook.pages.words import many
from traybook.pipeline import Loaded, load
from traybook.text.names import near


@click.command()
@click.option(
    "--as",
    "form",
    type=click.Choice(["full", "short", "json"]),
    default="full",
    help="How findings are printed.",
)
@click.option(
    "--strict",
    is_flag=True,
    help="Doubts and waiting lines count too: end with 1 if there is any finding.",
)
@click.option(
    "--mend",
    "mending",
    is_flag=True,
    help="First show what can be put right safely, codes that lines lack above all, and do it.",
)
@click.option("--yes", is_flag=True, help="With --mend: do it without asking.")
@farm_command
def proof(
    folder: Path, as_of: dt.date, form: str, strict: bool, mending: bool, yes: bool
) -> None:  # fmt: skip
    """Read every entry and say what is odd or wrong.

    Ends with 1 when there is an error, else with 0.
    """
    if mending:
        from traybook.cli.mending import mend

        if not mend(folder, as_of, yes):
            raise SystemExit(1)
    loaded = load(folder, as_of)
    if form == "json":
        click.echo(as_json(loaded.findings))
    else:
        for finding in loaded.findings:
            click.echo(full(finding) + "\n" if form == "full" else short(finding))
        click.echo(_closing(loaded))
    raise SystemExit(1 if _fails(loaded.findings, strict) else 0)


def _closing(loaded: Loaded) -> str:
    used = sum(1 for e in loaded.book.entries if e.used)
    sowings = len(loaded.kept.accounts)
    names = list(dict.fromkeys(f.name for f in loaded.findings))
    more = f" (`traybook why {names[0]}` says more)" if names else ""
    counted = f"{many(used, 'entry', 'entries')} and {many(sowings, 'sowing', 'sowings')}"
    return f"{counted} read: {summary(loaded.findings)}{more}"


def _fails(findings: tuple[Finding, ...], strict: bool) -> bool:
    return any(strict or f.weight is Weight.ERROR for f in findings)


@click.command()
@click.argument("name")
def why(name: str) -> None:
    """Explain a finding by its NAME, as `traybook why unknown-code`."""
    case = read_case(name.strip().lower()) if name.strip().lower() in WEIGHTS else None
    if case is None:
        help_ = offer(near(name, WEIGHTS)) or "`traybook proof` prints the names in brackets"
        click.echo(f"traybook: there is no finding called `{name}`; {help_}", err=True)
        raise SystemExit(2)
    click.echo(explanation(case), nl=False)
