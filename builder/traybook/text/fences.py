"""Which lines of a file are entries and which are prose."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from traybook.text.source import Source, Span

_DASHES = re.compile(r"\s*-{2,}\s*$")
_MARK = re.compile(r"(<{7}|>{7}|\|{7})( .*)?$|={7}\s*$")


@dataclass(frozen=True, slots=True)
class Row:
    """One entry line: its number, and for a merge conflict its number and side (1 or 2)."""

    line: int
    conflict: int = 0
    side: int = 0


@dataclass(frozen=True, slots=True)
class Layout:
    """How a file divides.

    `blocks` are runs of entry lines, `prose` runs of line numbers (first, last), `unclosed` the
    opening fence of a block that nothing closes, `marks` the lines a merge left behind, `fences`
    the lines that open and close each fenced block (0 for none).
    """

    blocks: tuple[tuple[Row, ...], ...]
    prose: tuple[tuple[int, int], ...]
    unclosed: Span | None
    marks: tuple[Span, ...]
    fences: tuple[tuple[int, int], ...] = ()


def is_fence(raw: str, flat: str) -> bool:
    """Three dashes or more, or what a phone makes of three (an en or em dash among two)."""
    if not _DASHES.match(flat):
        return False
    return len(flat.strip()) > 2 or raw.strip() != "--"


@dataclass(frozen=True, slots=True)
class Tests:
    """What tells entries from prose: `begins` whether a line begins with a verb, `surely` that it
    does with one that begins few sentences, `heads` whether a line is a day alone, which in a
    notebook stands over its entries (None elsewhere)."""

    begins: Callable[[str], bool]
    surely: Callable[[str], bool] | None = None
    heads: Callable[[str], bool] | None = None


def _never(_: str) -> bool:
    return False


class _Splitter:
    def __init__(self, source: Source, tests: Tests) -> None:
        self.source, self.begins, self.surely = source, tests.begins, tests.surely or tests.begins
        self.heads = tests.heads or _never
        self.blocks: list[tuple[Row, ...]] = []
        self.prose: list[int] = []
        self.marks: list[Span] = []
        self.fences: list[tuple[int, int]] = []
        self.rows: list[Row] = []
        self.conflict = self.side = 0
        spans = [source.line_span(n) for n in range(1, source.lines + 1)]
        self.flat = ["", *(source.plain[s.start : s.end] for s in spans)]
        self.raw = ["", *(s.text for s in spans)]

    def mark(self, n: int, inside: bool) -> bool:
        """True for a merge marker, which is noted and changes the side."""
        text = self.flat[n]
        if not _MARK.match(text) or (text[0] == "=" and not (self.side or inside)):
            return False
        self.marks.append(self.source.line_span(n))
        if text[0] == "<":
            self.conflict, self.side = self.conflict + 1, 1
        elif text[0] == ">":
            self.side = 0
        else:
            self.side = 2 if text[0] == "=" and self.side else self.side
        return True

    def fence(self, n: int) -> bool:
        return is_fence(self.raw[n], self.flat[n])

    def take(self, n: int) -> None:
        self.rows.append(Row(n, self.conflict if self.side else 0, self.side))

    def close(self) -> None:
        if self.rows:
            self.blocks.append(tuple(self.rows))
        self.rows = []

    def opens(self, n: int) -> bool:
        """A fence further down opens a block when the next line begins with a verb."""
        after = n + 1
        while after < len(self.flat) and _MARK.match(self.flat[after]):
            after += 1
        return self.fence(n) and after < len(self.flat) and self.begins(self.flat[after])

    def markdown(self) -> Span | None:
        """Walk the lines; returns the opening fence if its block is never closed."""
        state, opened, started = "prose", 0, False
        for n in range(1, len(self.flat)):
            text = self.flat[n].strip()
            if self.mark(n, state != "prose") or (not started and not text):
                continue
            first, started = not started, True
            if state == "fenced":
                if self.fence(n):
                    self.close()
                    self.fences.append((opened, n))
                    state = "prose"
                else:
                    self.take(n)
            elif state == "bare" and text and not self.fence(n):
                self.take(n)
            elif state == "bare" and not text and self.goes_on(n):
                continue
            elif state == "bare":
                self.close()
                state = "prose"
            elif (first and self.fence(n)) or self.opens(n):
                state, opened = "fenced", n
            elif first and (self.begins(self.flat[n]) or (self.heads(text) and self.goes_on(n))):
                state = "bare"
                self.take(n)
            else:
                self.prose.append(n)
        if state == "fenced":
            self.fences.append((opened, 0))
            self.give_back()
            self.close()
            return self.source.line_span(opened)
        self.close()
        return None

    def goes_on(self, n: int) -> bool:
        """In a notebook more entries, or another day, may follow an empty line or a day."""
        after = next((x for x in self.flat[n + 1 :] if x.strip()), "")
        return self.heads(after.strip()) or (self.heads is not _never and self.surely(after))

    def give_back(self) -> None:
        """Of a block with no end, what follows the last paragraph with an entry is prose."""
        last = max(
            (i for i, r in enumerate(self.rows) if self.surely(self.flat[r.line])),
            default=len(self.rows) - 1,
        )
        while last + 1 < len(self.rows) and self.flat[self.rows[last + 1].line].strip():
            last += 1
        self.prose += [r.line for r in self.rows[last + 1 :]]
        self.rows = self.rows[: last + 1]

    def yaml(self) -> None:
        """Every line is an entry line, but for document marks."""
        for n in range(1, len(self.flat)):
            if self.mark(n, True) or self.fence(n) or self.flat[n].strip() == "...":
                continue
            self.take(n)
        self.close()

    def runs(self) -> tuple[tuple[int, int], ...]:
        out: list[tuple[int, int]] = []
        for n in sorted(self.prose):
            if out and out[-1][1] == n - 1:
                out[-1] = (out[-1][0], n)
            else:
                out.append((n, n))
        return tuple(out)


def split(source: Source, prose: bool, tests: Tests) -> Layout:
    """Divide a file into entry blocks and prose; `prose` is False for a YAML file, which is entries
    throughout."""
    walk = _Splitter(source, tests)
    unclosed = None
    if prose:
        unclosed = walk.markdown()
    else:
        walk.yaml()
    return Layout(tuple(walk.blocks), walk.runs(), unclosed, tuple(walk.marks), tuple(walk.fences))
