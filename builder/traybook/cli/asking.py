"""A command without words asks for them, one question at a time."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import click

from traybook.cli.writing import Desk, Tried, desk, plan, refuse, show, write
from traybook.intake.entry import Asked
from traybook.intake.questions import (
    WHICH,
    Offer,
    Question,
    default_for,
    questions,
    sowings_offered,
    words_of,
)
from traybook.intake.subject import Sowings
from traybook.records.verbs import Verb
from traybook.rollup.farm import farm_figures

_BACK = ("<", "back")


class _BackError(Exception):
    """One question back."""


def ask(
    verb: Verb, folder: Path, as_of: dt.date, on: dt.date, by: str, note: str, dry: bool
) -> None:
    """Ask, show what would be written, and write it when Enter is pressed."""
    at = desk(folder, as_of, on)
    offers = sowings_offered(farm_figures(at.loaded.kept), verb, as_of)
    click.echo(f"{verb.name}, {on:%A} {on}. Enter takes what stands in brackets, < goes back.")
    asked, answers = questions(verb), {}
    step = 0
    while True:
        try:
            while step < len(asked):
                answers[asked[step].key] = _answer(asked[step], verb, at, on, offers, answers)
                step += 1
            words = words_of(answers)
            if _done(folder, as_of, on, Asked(verb, words, note, by), dry):
                return
            step = len(asked) - 1
        except _BackError:
            step = max(0, step - 1)


def _answer(
    question: Question, verb: Verb, at: Desk, on: dt.date, offers: list[Offer],
    answers: dict[str, str],
) -> str:  # fmt: skip
    """One answer that can be used; `<` raises _BackError."""
    which = question.key == WHICH
    default = offers[0].answer if which and offers else ""
    if which:
        for n, offer in enumerate(offers, 1):
            click.echo(f"  {n}  {offer.answer:<24} {offer.why}")
    else:
        default = answers.get(question.key) or default_for(
            question.key, verb, at.loaded.kept, answers
        )
    while True:
        text = _prompt(question.ask, default)
        if which:
            text = _code(text, at, on, offers)
        if text or question.optional:
            return text


def _prompt(words: str, default: str) -> str:
    text: str = click.prompt(words, default=default, show_default=bool(default)).strip()
    if text.lower() in _BACK:
        raise _BackError
    # A lone dash leaves out what is offered.
    return "" if text == "-" else text


def _code(text: str, at: Desk, on: dt.date, offers: list[Offer]) -> str:
    """The one code that an answer means; empty, after a word of advice, if it isn't one."""
    if text.isdigit() and 0 < int(text) <= len(offers):
        return offers[int(text) - 1].answer
    sowings = Sowings(at.loaded.kept, on)
    found = sowings.fits(text) if text else ()
    if len(found) == 1:
        return found[0]
    near = found or sowings.near(text)
    click.echo(
        f"  {'several fit' if found else 'no sowing is called so'}"
        + (f": {', '.join(near)}" if near else "; a code, or a crop and its number, will do")
    )
    return ""


def _done(folder: Path, as_of: dt.date, on: dt.date, asked: Asked, dry: bool) -> bool:
    """Show the line and write it; False to be asked again."""
    shown = plan(folder, as_of, on, asked)
    while True:
        if not shown.ok:
            refuse(shown)
            return False
        show(shown, "would be written to" if dry else "to be written to")
        if dry:
            return True
        click.echo("")
        _confirm()
        tried = write(folder, lambda seen=shown: _same(seen, plan(folder, as_of, on, asked)), dry)
        if tried.ok:
            click.echo(f"written to {tried.where}")
            return True
        click.echo("something was written meanwhile; look again")
        shown = plan(folder, as_of, on, asked)


def _confirm() -> None:
    answer = click.prompt("Enter writes it, < goes back, n stops", default="", show_default=False)
    if answer.strip().lower() in _BACK:
        raise _BackError
    if answer.strip():
        click.echo("nothing written")
        raise SystemExit(1)


def _same(seen: Tried, now: Tried) -> Tried:
    """The plan made anew, stopped where it isn't what was shown."""
    if (seen.lines, seen.path, seen.read_as) == (now.lines, now.path, now.read_as):
        return now
    return replace(now, problem="changed")
