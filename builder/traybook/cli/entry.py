"""Every verb as a command: `traybook check sweet pea 31 up, 2 lost to mice`."""

from __future__ import annotations

import datetime as dt
import re
import sys
from pathlib import Path
from typing import Any

import click

from traybook.cli.common import farm_command
from traybook.cli.completing import complete_people, complete_words
from traybook.records.verbs import VERBS, Verb
from traybook.text.names import slug
from traybook.text.scalars import DAY, day

#: Short names; any other verb is called as it is spelt.
SHORT = {
    "sown": "sow",
    "checked": "check",
    "moved": "move",
    "pricked out": "prick-out",
    "potted on": "pot",
    "thinned": "thin",
    "hardening off": "harden-off",
    "planted out": "plant",
    "harvested": "cut",
    "sold": "sell",
    "gave": "give",
    "finished": "finish",
    "noted": "note",
}


def verb_names() -> dict[str, Verb]:
    """The commands' names, each with its verb."""
    return {SHORT.get(v.name, slug(v.name)): v for v in VERBS}


def verb_called(name: str) -> tuple[str, Verb] | None:
    """A command's own name and verb for any spelling of the verb: `pot-on`, `potted-on`, `bump`."""
    flat = slug(name)
    for own, verb in verb_names().items():
        if flat in (own, *(slug(x) for x in (verb.name, *verb.also))):
            return own, verb
    return None


def verb_command(name: str, verb: Verb) -> click.Command:
    """The command that writes one verb's entries."""

    @click.command(
        name,
        help=f"Write `{verb.name}`: {verb.help}.\n\n{_example(verb)}\n\n"
        "Without words it asks, if this is a terminal.",
        short_help=f"Write: {verb.help}.",
    )
    @click.argument("words", nargs=-1, shell_complete=complete_words)
    @click.option(
        "--on", "on", metavar="DAY", help="The day, as yesterday, -2, 3/14 or 2026-03-14."
    )
    @click.option(
        "--by",
        "by",
        default="",
        metavar="INITIALS",
        shell_complete=complete_people,
        help="Who did it or saw it.",
    )
    @click.option("--note", "note", default="", metavar="TEXT", help="Words to go with it.")
    @click.option("--dry-run", "dry", is_flag=True, help="Show the line and write nothing.")
    @farm_command
    def command(folder: Path, as_of: dt.date, **options: Any) -> None:
        run(verb, folder, as_of, **options)

    return command


def _example(verb: Verb) -> str:
    clauses = ", ".join(f.example for f in verb.fields[-2:] if f.example)
    return f"For example: {SHORT.get(verb.name, verb.name)} stock-26-1 {clauses or 'a few words'}"


def run(
    verb: Verb, folder: Path, as_of: dt.date, words: tuple[str, ...], on: str | None, by: str,
    note: str, dry: bool,
) -> None:  # fmt: skip
    """Write one entry, or ask for it when there are no words."""
    # What reads a farm takes long to load; naming and completing commands need not wait for it.
    from traybook.cli import asking
    from traybook.cli.writing import plan, refuse, show, write
    from traybook.intake.entry import Asked

    day_, who = settle(folder, as_of, on, by)
    if not words:
        if not sys.stdin.isatty():
            click.echo(
                f"traybook: say what was {verb.name}, as in the example of "
                f"`traybook {SHORT.get(verb.name, slug(verb.name))} --help`; "
                "questions are asked only at a terminal",
                err=True,
            )
            raise SystemExit(2)
        asking.ask(verb, folder, as_of, day_, who, note, dry)
        return
    asked = Asked(verb, " ".join(words), note, who)
    tried = write(folder, lambda: plan(folder, as_of, day_, asked), dry)
    if not tried.ok:
        refuse(tried)
        raise SystemExit(1)
    show(tried, "would be written to" if dry else "written to")


def settle(folder: Path, as_of: dt.date, on: str | None, by: str) -> tuple[dt.date, str]:
    """The day and the initials, checked against farm.yaml; ends with 2 where they can't be used."""
    from traybook.files.tree import read_settings
    from traybook.records.settings import read_farm

    farm, _ = read_farm(read_settings(folder), {})
    day_ = read_on(on, as_of, farm.day_first) if on else as_of
    people = {p.casefold(): p for p in farm.people}
    if by and people and by.casefold() not in people:
        _wrong(f"`{by}` is nobody in farm.yaml; it names {', '.join(farm.people)}")
    if by and not re.fullmatch(r"[^\W\d_]{1,12}", by):
        _wrong(f"`{by}` are no initials; write letters only")
    return day_, people.get(by.casefold(), by)


def read_on(text: str, as_of: dt.date, day_first: bool | None) -> dt.date:
    """The day of --on: a day in any spelling of the entries, or -2 for the day before yesterday."""
    back = re.fullmatch(r"-(\d{1,3})", text.strip())
    if back:
        return as_of - dt.timedelta(days=int(back[1]))
    words = re.sub(r"^on\s+", "", text.strip())
    read = day(words, as_of, day_first) if re.fullmatch(DAY, words, re.IGNORECASE) else None
    if read is None or read.on is None:
        why = read.problem if read else "write it as yesterday, -2, or 2026-03-14"
        _wrong(f"`{text}` is no day: {why}")
    if read.unsure:
        _wrong(
            f"`{text}` can be read either way round; write {as_of.year}-MM-DD, or set "
            "`dates: day first` or `dates: month first` in farm.yaml"
        )
    if read.on > as_of:
        _wrong(f"{read.on} is still to come; check the year and the month")
    return read.on


def _wrong(message: str) -> Any:
    click.echo(f"traybook: {message}", err=True)
    raise SystemExit(2)
