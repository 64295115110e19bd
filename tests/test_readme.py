"""What README.md says is so."""

from __future__ import annotations

import re

import click

from conftest import ROOT
from kit import load_texts
from traybook.cli.entry import verb_names
from traybook.cli.main import main
from traybook.pages import words
from traybook.rollup.farm import farm_figures

MANUAL = (ROOT / "journal/how-to-write-entries.md").read_text("utf-8")
README = (ROOT / "README.md").read_text("utf-8")
FLAT = " ".join(README.split())


def first_entries():
    blocks = re.findall(r"`(entries/\S+?\.md)`\n\n```\n(.*?)```", README, re.DOTALL)
    return load_texts(dict(blocks)), sum(text.count("\n") for _, text in blocks)


def test_the_first_entries_turn_into_what_is_said():
    loaded, lines = first_entries()
    assert lines == 10
    assert loaded.findings == ()
    figures = farm_figures(loaded.kept)
    larkspur, statice = figures.sowings["larkspur-26-1"], figures.sowings["statice-26-1"]
    said = (
        words.germination(larkspur),
        words.first_up(larkspur.up),
        words.reached(larkspur.up.half),
        words.germination(statice),
    )
    for sentence in said:
        assert f"**{sentence}**" in FLAT, sentence
    last = next(e for e in reversed(loaded.book.of("larkspur-26-1")))
    assert f"*{loaded.kept.echo[last.event.key, 'larkspur-26-1']}*" in FLAT


def test_the_picture_shows_the_page_as_it_is(demo_site):
    """`make picture` takes it anew."""
    from picture import WORDS, words

    assert WORDS.read_text("utf-8").strip() == words(demo_site[0])


def test_every_command_is_in_the_readme_and_has_help():
    ctx = click.Context(main)
    for name in main.list_commands(ctx):
        command = main.get_command(ctx, name)
        assert command is not None and command.help
        verb = name in verb_names()
        assert f"`traybook {name}" in README or (
            verb and (f"`{name}`" in README or in_manual(name))
        )


def in_manual(name):
    """A verb that the manual tells of is a command by its own name, as README says."""
    verb = verb_names()[name].name
    return name == verb.replace(" ", "-") and verb in MANUAL


def test_every_verb_is_in_the_manual():
    from traybook.records.verbs import VERBS

    manual = (ROOT / "journal/how-to-write-entries.md").read_text("utf-8")
    missing = [
        v.name for v in VERBS if f"**{v.name}**" not in manual and f"{v.name} " not in manual
    ]
    assert missing == []
