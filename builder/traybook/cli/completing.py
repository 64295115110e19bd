"""Completing commands, sowings, crops, places and beds with the Tab key."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem, get_completion_class

if TYPE_CHECKING:
    from traybook.records.settings import Crop, Farm

_SINCE_DAYS = 548
_SHELLS = ("bash", "zsh", "fish")


def complete_words(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:  # fmt: skip
    """What a verb's next word may be: first a sowing or crop, then a place, bed or variety."""
    del param
    # Only what is needed: the shell waits for this at every press of the key.
    folder = Path(ctx.params.get("farm") or ".")
    before = tuple(ctx.params.get("words") or ())
    names = _later(folder) if before else _first(folder, ctx.command.name or "")
    return [CompletionItem(n) for n in _beginning(names, incomplete)]


def _beginning(names: Iterable[str], incomplete: str) -> Iterator[str]:
    flat = incomplete.casefold()
    return (n for n in dict.fromkeys(names) if n.casefold().startswith(flat))


def _first(folder: Path, name: str) -> Iterator[str]:
    """Sowings, and crops, beds or places where a verb's subject can be one."""
    from traybook.cli.entry import verb_called
    from traybook.files.clock import today
    from traybook.files.quick import living_codes

    called = verb_called(name)
    of = called[1].of if called else ""
    if of == "place":
        yield from _farm(folder).places
        return
    if of not in ("new sowing", "farm", "lot"):
        yield from living_codes(folder, today() - dt.timedelta(days=_SINCE_DAYS))
    if of != "sowing":
        yield from (crop.name for crop in _crops(folder))
    if of in ("any", "cut"):
        yield from _farm(folder).beds


def _later(folder: Path) -> Iterator[str]:
    """Places, beds and varieties."""
    farm = _farm(folder)
    yield from farm.places
    yield from farm.beds
    for crop in _crops(folder):
        yield from crop.varieties


def _farm(folder: Path) -> Farm:
    from traybook.files.tree import read_settings
    from traybook.records.settings import read_farm

    return read_farm(read_settings(folder), {})[0]


def _crops(folder: Path) -> Iterator[Crop]:
    from traybook.files.tree import read_settings
    from traybook.records.settings import read_crops

    crops, _ = read_crops(read_settings(folder, "crops"))
    yield from crops.values()


def complete_people(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:  # fmt: skip
    """The farm's initials."""
    del param
    farm = _farm(Path(ctx.params.get("farm") or "."))
    return [CompletionItem(n) for n in _beginning(farm.people, incomplete)]


@click.command()
@click.argument("shell", type=click.Choice(_SHELLS))
def completion(shell: str) -> None:
    """Print what makes the Tab key complete commands, sowings, crops, places and beds.

    For bash put this line into ~/.bashrc: eval "$(traybook completion bash)". For zsh the same
    into ~/.zshrc with zsh. For fish: traybook completion fish > ~/.config/fish/completions/traybook.fish
    """
    from traybook.cli.main import main

    kind = get_completion_class(shell)
    assert kind is not None
    click.echo(kind(main, {}, "traybook", "_TRAYBOOK_COMPLETE").source())
