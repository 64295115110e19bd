"""Completing commands, sowings, crops, places and beds with the Tab key."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path

import click
from click.shell_completion import CompletionItem, get_completion_class

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


def _first(folder: Path, verb: str) -> Iterator[str]:
    from traybook.files.clock import today
    from traybook.files.quick import living_codes

    if verb != "sow":
        codes = living_codes(folder, today() - dt.timedelta(days=_SINCE_DAYS))
        yield from codes
        if verb not in ("cut", "note", "lesson"):
            return
    for crop in _crops(folder):
        yield crop.name


def _later(folder: Path) -> Iterator[str]:
    from traybook.files.tree import read_settings
    from traybook.records.settings import read_farm

    farm, _ = read_farm(read_settings(folder), {})
    yield from farm.places
    yield from farm.beds
    for crop in _crops(folder):
        yield from crop.varieties


def _crops(folder: Path) -> Iterator:  # type: ignore[type-arg]
    from traybook.files.tree import read_settings
    from traybook.records.settings import read_crops

    crops, _ = read_crops(read_settings(folder, "crops"))
    yield from crops.values()


def complete_people(
    ctx: click.Context, param: click.Parameter, incomplete: str
) -> list[CompletionItem]:  # fmt: skip
    """The farm's initials."""
    del param
    from traybook.files.tree import read_settings
    from traybook.records.settings import read_farm

    farm, _ = read_farm(read_settings(Path(ctx.params.get("farm") or ".")), {})
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
