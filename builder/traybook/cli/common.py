"""What all commands share: the farm's folder, the day, and how they end."""

from __future__ import annotations

import datetime as dt
import functools
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from traybook.files.clock import today
from traybook.files.tree import FolderError
from traybook.text.scalars import iso_day


class DayType(click.ParamType):
    """A day on the command line, as 2026-03-14."""

    name = "day"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> dt.date:
        """The day, or a clear refusal."""
        if isinstance(value, dt.date):
            return value
        read = iso_day(str(value))
        if read.on is None:
            self.fail(
                f"`{value}` is no day: {read.problem or 'write it as 2026-03-14'}", param, ctx
            )
        return read.on


def farm_command(function: Callable[..., Any]) -> Callable[..., Any]:
    """Adds --farm and --as-of, and turns a folder that can't be used into one sentence and 2."""

    @click.option(
        "--farm",
        "farm",
        default=".",
        metavar="FOLDER",
        help="The farm's folder, which holds entries/ (default: here).",
    )
    @click.option(
        "--as-of",
        "as_of",
        type=DayType(),
        metavar="DAY",
        help="Work as on this day (default: today).",
    )
    @functools.wraps(function)
    def command(farm: str, as_of: dt.date | None, **options: Any) -> None:
        try:
            function(folder=Path(farm), as_of=as_of or today(), **options)
        except FolderError as error:
            click.echo(f"traybook: {error}", err=True)
            raise SystemExit(2) from None

    return command


def at_terminal() -> bool:
    """True when somebody can be asked: the command's input is a terminal."""
    return sys.stdin.isatty()
