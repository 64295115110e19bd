"""Adding lines to a grower's file, and small changes in it, on its own bytes.

Nothing here writes: old bytes in, new bytes out. All old bytes stay, in order, but for the
stretches that a change names.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from traybook.text.decode import Decoded, decode
from traybook.text.fences import Layout, Row, split
from traybook.text.lines import Line, tree
from traybook.text.source import Source

Begins = Callable[[str], bool]
_MOST_PLACES = 400


@dataclass(frozen=True, slots=True)
class Added:
    """`data` is the whole new file, `line` where the first added line stands in it (from 1).

    With a `problem` nothing could be added, and `data` is empty.
    """

    data: bytes = b""
    line: int = 0
    problem: str = ""


@dataclass(frozen=True, slots=True)
class _Try:
    """One way to add: `text` before line `at`, the first entry on line `first` of the new file."""

    at: int
    text: str
    first: int


def add_lines(data: bytes | None, lines: Sequence[str], prose: bool, begins: Begins) -> Added:
    """Add entry lines to a file's bytes (None: there is no file yet).

    An entry's own indented lines follow its first one. `prose` is False for a YAML file; `begins`
    tells whether a line begins with a verb. Each place is tried out first: all that was an entry,
    prose or a mark before is so afterwards, and the added lines are entries of their own.
    """
    if data is None:
        return Added("".join(x + "\n" for x in _fenced(lines, prose)).encode(), 2 if prose else 1)
    got = decode(data)
    if got.binary:
        return Added(problem="it holds no text")
    old = Source("", got.text)
    layout = split(old, prose, begins)
    before = _shape(old, layout)
    for one in _tries(old, layout, lines, prose):
        text = _joined(old, one)
        if not _holds(before, Source("", text), one, lines, prose, begins):
            continue
        new = _bytes(data, got, old, one)
        if new is not None and decode(new).text == text:
            return Added(new, one.first)
    return Added(problem="no line can be added to it as it stands")


def _fenced(lines: Sequence[str], fence: bool) -> list[str]:
    return ["---", *lines, "---"] if fence else list(lines)


# -- where


def _tries(old: Source, layout: Layout, lines: Sequence[str], prose: bool) -> Iterator[_Try]:
    """Ways to add, the likeliest first."""
    eol = _line_end(old.text)
    plain = "".join(x + eol for x in lines)
    block = "".join(x + eol for x in _fenced(lines, True))
    end = old.lines + 1
    if not prose:
        yield _Try(end, plain, end)
    elif layout.fences and layout.fences[0][1]:
        yield _Try(layout.fences[0][1], plain, layout.fences[0][1])
    elif layout.blocks:
        at = layout.blocks[0][-1].line + 1
        yield _Try(at, plain, at)
    elif layout.fences:
        yield _Try(layout.fences[0][0] + 1, plain, layout.fences[0][0] + 1)
    if prose:
        yield _Try(1, block, 2)
    if layout.blocks or not prose:
        for at in range(end, max(0, end - _MOST_PLACES), -1):
            yield _Try(at, plain, at)
    if prose:
        yield _Try(end, eol + block, end + 2)
        yield _Try(end, block, end + 1)


def _line_end(text: str) -> str:
    found = re.search(r"\r\n|\n|\r", text)
    return found.group() if found else "\n"


def _joined(old: Source, one: _Try) -> str:
    at = old.line_span(one.at).start if one.at <= old.lines else len(old.text)
    return old.text[:at] + _insert(old, one) + old.text[at:]


def _insert(old: Source, one: _Try) -> str:
    """The text to put in, a line end first where the last line has none."""
    unended = one.at > old.lines and old.text and old.text[-1] not in "\r\n"
    return (_line_end(old.text) if unended else "") + one.text


# -- is all else as it was?

_Shape = tuple[tuple[tuple[int, int, int], ...], tuple[int, ...], bool]


def _shape(source: Source, layout: Layout) -> _Shape:
    """Entry lines with the line they stand under and their side of a merge; lines of prose."""
    rows = [row for block in layout.blocks for row in _rows(source, block)]
    prose = tuple(
        n
        for first, last in layout.prose
        for n in range(first, last + 1)
        if source.line_span(n).text.strip()
    )
    return tuple(sorted(rows)), prose, layout.unclosed is None


def _rows(source: Source, block: Iterable[Row]) -> list[tuple[int, int, int]]:
    rows: list[tuple[int, int, int]] = []

    def walk(line: Line, parent: int) -> None:
        rows.append((line.row.line, parent, line.row.side))
        for child in line.below:
            walk(child, line.row.line)

    for line in tree(source, block):
        walk(line, 0)
    return rows


def _holds(
    before: _Shape, new: Source, one: _Try, lines: Sequence[str], prose: bool, begins: Begins
) -> bool:  # fmt: skip
    """True when the old lines mean what they meant, and the new ones stand by themselves."""
    grown = len(re.findall(r"\r\n|\n|\r", one.text))

    def moved(n: int) -> int:
        return n if n < one.at else n + grown

    rows, words, closed = before
    alone = _rows(Source("", "\n".join(lines)), [Row(i) for i in range(1, len(lines) + 1)])
    shift = one.first - 1
    ours = {(n + shift, under + shift if under else 0, side) for n, under, side in alone}
    expected = {(moved(n), moved(under) if under else 0, side) for n, under, side in rows} | ours
    after = _shape(new, split(new, prose, begins))
    return after == (tuple(sorted(expected)), tuple(moved(n) for n in words), closed)


# -- on bytes


def _bytes(data: bytes, got: Decoded, old: Source, one: _Try) -> bytes | None:
    """The same insertion in the file's bytes; None when its letters can't be written there."""
    try:
        starts = _line_starts(data, got)
        insert = _insert(old, one).encode(got.coding)
    except UnicodeError:
        return None
    # Zero bytes that a sync left at the end stay at the end.
    end = len(data) if got.mark else len(data.rstrip(b"\0"))
    at = starts[one.at - 1] if one.at <= old.lines else end
    return data[:at] + insert + data[at:]


def _line_starts(data: bytes, got: Decoded) -> list[int]:
    """Offsets of lines in the bytes; raises UnicodeError where they can't be told."""
    if got.coding.startswith("utf-16"):
        text = data[got.mark :].decode(got.coding, "surrogatepass")
        ends = [x.end() for x in re.finditer("\r\n|\n|\r", text)]
        return [got.mark + len(text[:n].encode(got.coding, "surrogatepass")) for n in (0, *ends)]
    # Zero bytes were taken out before lines were told, except after a mark.
    pattern = rb"\r\n|\n|\r" if got.mark else rb"\r\0*\n|\n|\r"
    return [got.mark, *(x.end() for x in re.finditer(pattern, data))]


@dataclass(frozen=True, slots=True)
class Change:
    """Characters `start` to `end` of a file's text become `new`."""

    start: int
    end: int
    new: str


def change(data: bytes, changes: Sequence[Change]) -> bytes | None:
    """Make changes in a file's bytes; None when they overlap or the file's letters forbid it.

    >>> change("çheckd a: 1".encode(), [Change(0, 6, "checked")])
    b'checked a: 1'
    """
    got = decode(data)
    offset = _offsets(data, got)
    if got.binary or offset is None:
        return None
    out, at = [], 0
    try:
        for one in sorted(changes, key=lambda c: (c.start, c.end)):
            start, end = offset(one.start), offset(one.end)
            if start < at:
                return None
            out += [data[at:start], one.new.encode(got.coding)]
            at = end
    except UnicodeError:
        return None
    return b"".join([*out, data[at:]])


def _offsets(data: bytes, got: Decoded) -> Callable[[int], int] | None:
    """From a place in the text to one in the bytes; None when the two don't correspond."""
    if got.text.encode(got.coding, "replace") == data[got.mark :]:
        return lambda n: got.mark + len(got.text[:n].encode(got.coding))
    if got.coding == "cp1252" and len(got.text) == len(data):
        return lambda n: n
    return None
