"""A grower's own story as HTML: paragraphs, headings, lists, emphasis; every other mark stays words.

Everything is escaped first, and no tag of what is made has an attribute that holds what was typed.
"""

from __future__ import annotations

import re
from itertools import groupby

from markupsafe import Markup, escape

_HEADING = re.compile(r"#{1,6} +(\S.*?)[ #]*$")
_BULLET = re.compile(r" *[-*+] +(\S.*)$")
_NUMBERED = re.compile(r" *(\d{1,3})[.)] +(\S.*)$")
# No part holds a tag, so tags never cross.
_STRONG = re.compile(r"\*\*(?=\S)([^<]+?)(?<=\S)\*\*")
_EMPHASIS = re.compile(r"(?<![\w*])\*(?=[^\s*])([^*<]+?)(?<=\S)\*(?![\w*])|(?<!\w)_(?=\S)([^_<]+?)(?<=\S)_(?!\w)")  # fmt: skip

#: A line's kind, its words, and the number a numbered line began with.
_Line = tuple[str, str, str]


def prose(text: str) -> Markup:
    """One block of prose, as it was typed.

    >>> str(prose("# Mice\\nAgain, *all* of it."))
    '<p class="tb-heading" role="heading" aria-level="3">Mice</p><p>Again, <em>all</em> of it.</p>'
    """
    lines: list[_Line] = []
    for raw in text.splitlines():
        if raw.strip():
            _add(lines, raw.rstrip())
    return Markup("").join(_block(kind, list(run)) for kind, run in groupby(lines, lambda x: x[0]))


def _add(lines: list[_Line], raw: str) -> None:
    """Read a line; one that only goes on joins the item or the paragraph before it."""
    last = lines[-1][0] if lines else ""
    if found := _HEADING.match(raw):
        lines.append(("heading", found[1], ""))
    elif found := _BULLET.match(raw):
        lines.append(("ul", found[1], ""))
    # a date may stand first in a line: only 1 begins a list in the middle of a paragraph
    elif (found := _NUMBERED.match(raw)) and (last != "p" or found[1] == "1"):
        lines.append(("ol", found[2], found[1]))
    elif last in ("ul", "ol", "p"):
        kind, words, number = lines[-1]
        lines[-1] = (kind, f"{words} {raw.strip()}", number)
    else:
        lines.append(("p", raw.strip(), ""))


def _block(kind: str, run: list[_Line]) -> Markup:
    if kind == "heading":
        made = (f'<p class="tb-heading" role="heading" aria-level="3">{_inline(w)}</p>' for _, w, _ in run)  # fmt: skip
        return Markup("".join(made))  # noqa: S704 - escaped in _inline
    if kind == "p":
        return Markup("".join(f"<p>{_inline(w)}</p>" for _, w, _ in run))  # noqa: S704
    items = "".join(f"<li>{_inline(w)}</li>" for _, w, _ in run)
    start = f' start="{int(run[0][2])}"' if kind == "ol" else ""
    return Markup(f"<{kind}{start}>{items}</{kind}>")  # noqa: S704


def _inline(words: str) -> str:
    """Emphasis in words that are escaped first."""
    safe = _STRONG.sub(r"<strong>\1</strong>", str(escape(" ".join(words.split()))))
    return _EMPHASIS.sub(lambda m: f"<em>{m[1] or m[2]}</em>", safe)
