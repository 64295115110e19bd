"""`traybook due`."""

from __future__ import annotations

import datetime as dt
import json
import textwrap
from collections.abc import Iterable, Iterator
from itertools import groupby
from pathlib import Path

import click

from traybook.advice.due import DAYS, Due, coming
from traybook.advice.learnt import Learnt
from traybook.cli.common import farm_command
from traybook.pages.words import many
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures
from traybook.text.days import day, weekday

# A phone held upright shows about so many letters.
_WIDE = 60


@click.command()
@click.argument("there", metavar="[FOLDER]", required=False, type=click.Path(path_type=Path))
@click.option(
    "--days",
    type=click.IntRange(1, 366),
    default=DAYS,
    show_default=True,
    metavar="N",
    help="How many days to look ahead, today among them.",
)
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    help="How it is printed.",
)
@farm_command
def due(folder: Path, as_of: dt.date, there: Path | None, days: int, form: str) -> None:
    """Say what is due today and on the coming days: what is late first, then day by day.

    FOLDER is the farm's, as with --farm.
    """
    learnt = Learnt(farm_figures(load(there or folder, as_of).kept))
    found = coming(learnt, days)
    if form == "json":
        click.echo(json.dumps([_as_row(d) for d in found], ensure_ascii=False, indent=2))
        return
    if not (learnt.figures.sowings or found or learnt.figures.kept.book.plans):
        click.echo(_wrapped("Nothing has been sown here yet, so nothing is due."))
        click.echo(_wrapped("`traybook sow` writes down your first sowing."))
        return
    for line in _text(found, as_of, days):
        click.echo(line)


def _text(found: tuple[Due, ...], as_of: dt.date, days: int) -> Iterator[str]:
    """What is late, then a heading for each day that has something, and how much it is."""
    end = day(as_of + dt.timedelta(days=days - 1))
    if not found:
        when = f"from {day(as_of)} to {end}" if days > 1 else f"on {end}"
        yield _wrapped(f"Nothing is due {when}.")
        return
    late = sorted((d for d in found if d.since), key=lambda d: (d.kind == "look", d.since, d.about))
    if late:
        yield f"Late on {weekday(as_of)}"
        yield from _lines(late)
    for on, things in groupby((d for d in found if not d.since), key=lambda d: d.on):
        yield f"{weekday(on)}{', today' if on == as_of else ''}"
        yield from _lines(things)
    count = many(len(found), "thing", "things")
    yield _wrapped(f"{count} due up to {end}, {len(late) or 'none'} late.")


def _lines(things: Iterable[Due]) -> Iterator[str]:
    for d in things:
        yield _wrapped(f"{d.about}: {d.what[0].lower()}{d.what[1:]}", "  ")
        since = f"since {day(d.since)}; " if d.since else ""
        yield _wrapped(since + d.why, "    ")
        if d.where:
            yield _wrapped(f"at: {d.where}", "    ")
    yield ""


def _wrapped(words: str, before: str = "") -> str:
    return textwrap.fill(
        words, _WIDE, initial_indent=before, subsequent_indent=before and before + "  ",
        break_on_hyphens=False,
    )  # fmt: skip


def _as_row(d: Due) -> dict[str, str | None]:
    return {
        "on": d.on.isoformat(),
        "kind": d.kind,
        "what": d.what,
        "code": d.code,
        "seed": d.seed,
        "why": d.why,
        "where": d.where,
        "since": d.since.isoformat() if d.since else None,
    }
