"""An entry as a mapping: each key's value read by the same patterns as a clause."""

from __future__ import annotations

import re

from traybook.findings.model import Finding, Label, offer
from traybook.records.anyline import AnyLine, Draft, allowed
from traybook.records.clauses import read_field, read_odd_key
from traybook.records.heads import clock
from traybook.records.verbs import field_for, keys_of
from traybook.text.flow import Items, Value
from traybook.text.names import fold, near
from traybook.text.scalars import DAY
from traybook.text.source import Piece


def read_pairs(any_line: AnyLine, draft: Draft, pairs: list[tuple[Piece, Value]]) -> None:
    """Read a mapping's pairs into a draft; a key that stands twice sets the entry aside."""
    seen: dict[str, Piece] = {}
    for key, value in pairs:
        name = fold(key.text)
        if name in seen:
            draft.set_aside("repeated-field", f"`{key.text}` stands twice in this entry", key,
                            "keep the right one", (Label(seen[name].at, "first here"),))  # fmt: skip
            continue
        seen[name] = key
        values = list(value.values) if isinstance(value, Items) else [value]
        for held in values:
            if isinstance(held, Piece) and not _anywhere(any_line, draft, name, held):
                _own(any_line, draft, key, held)


def _anywhere(any_line: AnyLine, draft: Draft, name: str, value: Piece) -> bool:
    """Keys that any entry may have; False for one of the verb's own."""
    if name in ("on", "date") and re.fullmatch(DAY, value.text, re.I):
        any_line.day_of(draft, value)
    elif name in ("by", "who"):
        any_line.by_of(draft, value)
    elif name in ("note", "notes", "why"):
        draft.clauses.words.append(value.text)
    elif name == "allow":
        draft.allow |= allowed(value.text)
    elif name == "private":
        draft.private = fold(value.text) not in ("no", "false")
    elif name in ("photo", "photos"):
        any_line.photos(draft, value)
    elif name == "time" and clock(value.text):
        draft.time = clock(value.text)
    else:
        return name == "cost"
    return True


def _own(any_line: AnyLine, draft: Draft, key: Piece, value: Piece) -> None:
    """A key of the verb's own, or one it doesn't know."""
    verb = draft.verb
    assert verb is not None
    if field_for(verb, key.text):
        read_field(verb, key, value, any_line.farm, draft.clauses)
    elif verb.words:
        draft.clauses.words.append(f"{key.text}: {value.text}")
    elif not read_odd_key(verb, key, value, any_line.farm, draft.clauses):
        draft.doubt(Finding("unknown-field", f"`{key.text}` is nothing that `{verb.name}` holds", key.at,
                    offer(near(key.text, keys_of(verb))) or "it is kept as a note"))  # fmt: skip
        draft.clauses.words.append(f"{key.text}: {value.text}")
