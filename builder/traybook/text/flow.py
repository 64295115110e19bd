"""Values that are YAML: `{...}`, `[...]`, quotes and `|`, each event on its own, places kept.

The one door to the yaml library.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import yaml

from traybook.text.lines import Line
from traybook.text.source import Piece, Source, Span

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_QUOTED = re.compile(r""""(?:[^"\\]|\\.)*"|'(?:[^']|'')*'""", re.DOTALL)
_LITERAL = re.compile(r"[|>][+-]?$")


@dataclass(frozen=True, slots=True)
class Items:
    """A list of values."""

    values: tuple[Value, ...]
    at: Span


@dataclass(frozen=True, slots=True)
class Pairs:
    """A mapping as pairs in the order written; a key may stand twice."""

    pairs: tuple[tuple[Piece, Value], ...]
    at: Span


Value = Piece | Items | Pairs


@dataclass(frozen=True, slots=True)
class Broken:
    """What looks like a YAML value and isn't one; `piece` is its raw text."""

    piece: Piece
    quote: bool


def read(value: Piece, below: list[Line]) -> Value | Broken | None:
    """The value as YAML where it is a whole valid `{...}`, `[...]`, quote or a lone `|`.

    None means that it is raw text; Broken that it opens like YAML and doesn't close.
    """
    opening = value.text[:1]
    if not opening or opening not in "{[\"'|>":
        return None
    if opening in "|>":
        return _literal(value, below) if _LITERAL.match(value.text) and below else None
    if opening in "\"'" and _in_words(value):
        return None
    end = max([value.at.end, *(x.span.end for x in below)])
    whole = Piece.of(value.at.source, value.at.start, end)
    closing = {"{": "}", "[": "]"}.get(opening, opening)
    if not whole.text.endswith(closing) or len(whole.text) < 2:
        return Broken(value, opening in "\"'")
    try:
        node = yaml.compose(whole.text, Loader=_LOADER)
        return _value(node, value.at.source, whole.at.start, 0)
    except (yaml.YAMLError, ValueError, RecursionError):
        return Broken(value, opening in "\"'")


def _in_words(value: Piece) -> bool:
    """True where the quotes stand around some of the words only, or are a printer's."""
    own = value.at.source.text[value.at.start : value.at.end]
    closed = _QUOTED.match(own)
    return own[:1] not in ("'", '"') or bool(closed and closed.end() < len(own))


def _value(node: yaml.Node | None, source: Source, base: int, depth: int) -> Value:
    if node is None or depth > 20:
        raise ValueError("nothing to read, or nested too deeply")
    at = Span(source, base + node.start_mark.index, base + node.end_mark.index)
    if isinstance(node, yaml.ScalarNode):
        text = source.plain[at.start : at.end]
        return Piece(text if text == node.value else str(node.value), at)
    if isinstance(node, yaml.SequenceNode):
        return Items(tuple(_value(n, source, base, depth + 1) for n in node.value), at)
    pairs = []
    for key, held in node.value:
        name = _value(key, source, base, depth + 1)
        if not isinstance(name, Piece):
            raise ValueError("a key must be a word")
        pairs.append((name, _value(held, source, base, depth + 1)))
    return Pairs(tuple(pairs), at)


def _literal(value: Piece, below: list[Line]) -> Piece:
    """The indented lines under a lone `|`, as one text."""
    source = value.at.source
    lines = [x.row.line for line in below for x in line.walk()]
    texts = [source.line_span(n).text.strip() for n in range(min(lines), max(lines) + 1)]
    span = Span(source, source.line_span(min(lines)).start, source.line_span(max(lines)).end)
    return Piece("\n".join(texts), span)
