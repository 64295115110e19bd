"""What each word of an entry can say, straight from the one table of verbs."""

from __future__ import annotations

from traybook.pages.addresses import VERBS_PAGE, WRITING
from traybook.pages.model import Block, Link, Page, cell, table
from traybook.records.field import Field, Verb
from traybook.records.verbs import VERBS
from traybook.text.names import slug


def verbs_page() -> Page:
    """Every verb with its other spellings, and every field with an example of both forms."""
    return Page(
        template="list",
        address=VERBS_PAGE,
        title="Words of an entry",
        lead=("Every verb, what may stand behind it, and the name it has in a block.",),
        blocks=tuple(_block(v) for v in VERBS),
        links=(Link("How to write entries", WRITING),),
        nav="Words",
    )


def _block(verb: Verb) -> Block:
    words = [verb.help.capitalize() + "."]
    if verb.also:
        words.append(f"Also accepted: {', '.join(verb.also)}.")
    if verb.words:
        words.append("What stands behind the colon is plain text.")
    rows = tuple(
        (cell(f.example), cell(f.help), cell(", ".join(names(f))))
        for f in verb.fields
        if f.patterns
    )
    body = (
        table(f"What {verb.name} can say", ("Write", "It says", "In a block"), rows)
        if rows
        else None
    )
    return Block(verb.name.capitalize(), slug(verb.name), tuple(words), body)


def names(field: Field) -> tuple[str, ...]:
    """The keys a field has in a mapping."""
    return tuple(dict.fromkeys((field.name.replace("_", " "), *field.keys)))
