"""A file's text with places, and pieces of it that remember where they stand."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field

# One character for one, so that every place in the plain text is a place in the grower's own.
_PLAIN = str.maketrans(
    {
        "\u00a0": " ",
        "\u2007": " ",
        "\u202f": " ",
        "\u2009": " ",
        "\t": " ",
        "\u2018": "'",
        "\u2019": "'",
        "\u201a": "'",
        "\u201c": '"',
        "\u201d": '"',
        "\u201e": '"',
        "\u2032": "'",
        "\u2033": '"',
        "\u00d7": "x",
        "\u2010": "-",
        "\u2011": "-",
        "\u2012": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u2212": "-",
        "\u2215": "/",
        "\u2044": "/",
        "\uff0c": ",",
        "\uff1a": ":",
        "\uff1b": ";",
    }
)


def plain(text: str) -> str:
    """`text` with typographic characters as their keyboard ones; length unchanged."""
    return text.translate(_PLAIN)


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """One file as text: its path (with /) and its characters, a byte-order mark taken off."""

    path: str
    text: str
    plain: str = field(init=False, repr=False)
    _starts: tuple[int, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Find the line starts once."""
        object.__setattr__(self, "plain", plain(self.text))
        object.__setattr__(self, "_starts", tuple(_line_starts(self.text)))

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column of a character, both counted from 1."""
        line = bisect_right(self._starts, offset) - 1
        return line + 1, offset - self._starts[line] + 1

    def line_span(self, line: int) -> Span:
        """The whole of a line (from 1), without its line end."""
        start = self._starts[line - 1]
        end = self._starts[line] if line < len(self._starts) else len(self.text)
        return Span(self, start, start + len(self.text[start:end].rstrip("\r\n")))

    @property
    def lines(self) -> int:
        """How many lines there are; a text that ends in a line end has no empty last line."""
        ended = self.text == "" or self.text[-1] in "\r\n"
        return len(self._starts) - (1 if ended else 0)


def _line_starts(text: str) -> list[int]:
    """Offsets of lines, ended by LF, CRLF or CR; other Unicode breaks are plain characters."""
    starts = [0]
    at = 0
    while True:
        feed, ret = text.find("\n", at), text.find("\r", at)
        if feed < 0 and ret < 0:
            return starts
        at = min(x for x in (feed, ret) if x >= 0)
        at += 2 if text[at : at + 2] == "\r\n" else 1
        starts.append(at)


@dataclass(frozen=True, slots=True)
class Span:
    """Characters `start` to `end` (end not included) of a source."""

    source: Source
    start: int
    end: int

    @property
    def text(self) -> str:
        """The grower's own characters."""
        return self.source.text[self.start : self.end]

    @property
    def line(self) -> int:
        """Line of the first character, from 1."""
        return self.source.place(self.start)[0]

    @property
    def column(self) -> int:
        """Column of the first character, from 1."""
        return self.source.place(self.start)[1]

    @property
    def path(self) -> str:
        """Path of the file."""
        return self.source.path

    def order(self) -> tuple[str, int, int]:
        """Sorts by file and place."""
        return self.source.path, self.start, self.end


@dataclass(frozen=True, slots=True)
class Piece:
    """Some text to be read and the span it was written at.

    Where the text is the file's own characters (in plain form) every part of it has its exact
    place; where it was decoded (a quoted value) each part is placed at the whole.
    """

    text: str
    at: Span

    def part(self, start: int, end: int) -> Piece:
        """Characters start to end, white space at both ends taken off."""
        raw = self.text[start:end]
        start += len(raw) - len(raw.lstrip())
        end -= len(raw) - len(raw.rstrip())
        end = max(start, end)
        if len(self.text) != self.at.end - self.at.start:
            return Piece(self.text[start:end], self.at)
        return Piece(
            self.text[start:end], Span(self.at.source, self.at.start + start, self.at.start + end)
        )

    def strip(self) -> Piece:
        """Without white space at both ends."""
        return self.part(0, len(self.text))

    @staticmethod
    def of(source: Source, start: int, end: int) -> Piece:
        """The plain form of a stretch of a source, stripped."""
        return Piece(source.plain[start:end], Span(source, start, end)).strip()
