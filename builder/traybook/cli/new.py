"""`traybook new`."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import click

from traybook.cli.common import DayType
from traybook.exports.schema import schemas
from traybook.files.clock import today
from traybook.files.put import is_bare, put_texts
from traybook.files.tree import FolderError
from traybook.intake.starting import Answers, farm_texts, trouble_with

_ASKED = {
    "name": "What is the farm called?",
    "units": "metric or imperial?",
    "place": "Where is it (latitude, longitude, or the next town)?",
    "last_frost": "When is the last frost in spring, usually?",
    "first_frost": "When is the first frost in autumn, usually?",
    "bunch": "How many stems make a bunch?",
}


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--name", help="What the farm is called.")
@click.option("--units", help="metric or imperial.")
@click.option("--place", help="Latitude and longitude as `52.3, -2.6`, or the next town.")
@click.option("--last-frost", help="The usual last frost, as `8 May`.")
@click.option("--first-frost", help="The usual first frost, as `12 October`.")
@click.option("--bunch", help="Stems in a bunch.")
@click.option("--no-questions", is_flag=True, help="Ask nothing; what isn't given stays open.")
@click.option("--as-of", type=DayType(), metavar="DAY", help="The first day (default: today).")
def new(
    folder: Path, as_of: dt.date | None, no_questions: bool, **given: str | None
) -> None:  # fmt: skip
    """Make a farm's folder that can be written in at once.

    Asks a few things; Enter leaves one out, and all can be set later in entries/farm.yaml.
    """
    for field, said in given.items():
        trouble = trouble_with(field, said or "")
        if trouble:
            raise click.BadParameter(trouble, param_hint=f"--{field.replace('_', '-')}")
    try:
        if not is_bare(folder):
            raise FolderError(f"{folder} isn't empty; name a new folder, or an empty one")
        answers = Answers(
            **{k: v or "" for k, v in (given if no_questions else _ask(given)).items()}
        )
        day = as_of or today()
        texts = farm_texts(answers, day) | {f"schema/{n}": t for n, t in schemas().items()}
        put_texts(folder, texts)
    except FolderError as error:
        click.echo(f"traybook: {error}", err=True)
        raise SystemExit(2) from None
    first = next(p for p in texts if p.endswith(f"{day}.md"))
    click.echo(f"{folder} is ready. Write in {folder / first}, or `traybook sow --farm {folder}`;")
    click.echo(f"{folder / 'README.md'} says how text gets in from a phone, and how to share.")


def _ask(given: dict[str, str | None]) -> dict[str, str | None]:
    """The answers to what wasn't given; none are asked once nobody answers any more."""
    answers = dict(given)
    click.echo("Enter leaves a question out; all can be changed later.")
    for field, question in _ASKED.items():
        if answers[field] is not None:
            continue
        try:
            answers[field] = click.prompt(
                question,
                default="",
                show_default=False,
                prompt_suffix=" ",
                value_proc=lambda said, f=field: _checked(f, said),
            )
        except click.Abort:
            if sys.stdin.isatty():
                raise
            click.echo("")
            break
    return answers


def _checked(field: str, said: str) -> str:
    trouble = trouble_with(field, said)
    if trouble:
        raise click.BadParameter(trouble)
    return said
