"""Entry lines as a tree: `key: value` by lines and indents, values raw to the end of the line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from traybook.text.fences import Row
from traybook.text.source import Piece, Source, Span

_COLON = re.compile(r":(?=\s|$)")
_TIGHT = re.compile(r"(?<!\d):|:(?!\d)")
_DASH = re.compile(r"-(\s+|$)")


@dataclass(slots=True)
class Line:
    """One line: the words before the colon, the raw value after it (None without a colon).

    `dash` tells a list item; `below` the lines indented under it; `text` all of it as typed.
    """

    row: Row
    indent: int
    head: Piece
    value: Piece | None
    dash: bool
    whole: Piece
    below: list[Line] = field(default_factory=list)

    @property
    def source(self) -> Source:
        """The file."""
        return self.head.at.source

    def walk(self) -> Iterator[Line]:
        """This line and every one under it, in order."""
        yield self
        for line in self.below:
            yield from line.walk()

    @property
    def span(self) -> Span:
        """From the first word of this line to the end of the last line under it."""
        return Span(self.source, self.whole.at.start, max(x.whole.at.end for x in self.walk()))

    @property
    def text(self) -> str:
        """As typed, lines joined by line feeds, the first line's indent taken off each."""
        spans = [self.source.line_span(x.row.line).text for x in self.walk()]
        cut = len(spans[0]) - len(spans[0].lstrip())
        return "\n".join((s[cut:] if not s[:cut].strip() else s.lstrip()).rstrip() for s in spans)


def split_colon(piece: Piece) -> tuple[Piece, Piece | None]:
    """Head and value at the first colon before a space, else at one not between digits."""
    quoted = piece.text.find(piece.text[0], 1) if piece.text[:1] in ("'", '"') else -1
    found = _COLON.search(piece.text, quoted + 1) or _TIGHT.search(piece.text, quoted + 1)
    if not found:
        return piece, None
    return piece.part(0, found.start()), piece.part(found.end(), len(piece.text))


def _line(source: Source, row: Row) -> Line | None:
    """One line as a node; None for an empty line or a comment."""
    span = source.line_span(row.line)
    flat = source.plain[span.start : span.end]
    body = flat.lstrip()
    if not body or body[0] == "#":
        return None
    indent = len(source.text[span.start : span.end][: len(flat) - len(body)].expandtabs(8))
    whole = Piece.of(source, span.start, span.end)
    rest, dash = whole, _DASH.match(whole.text)
    if dash:
        rest = whole.part(dash.end(), len(whole.text))
        indent += 1
    head, value = split_colon(rest)
    return Line(row, indent, head, value, bool(dash), whole)


def tree(source: Source, rows: Iterable[Row]) -> list[Line]:
    """The lines of a block, each under the line it is indented below."""
    top: list[Line] = []
    open_: list[Line] = []
    for row in rows:
        line = _line(source, row)
        if line is None:
            continue
        while open_ and open_[-1].indent >= line.indent:
            open_.pop()
        (open_[-1].below if open_ else top).append(line)
        open_.append(line)
    return top
