"""A finding's case file as the answer of `traybook why`."""

from __future__ import annotations

import re

_FENCE = re.compile(r"```(\w*)[ \t]*([^\n]*)\n(.*?)```[ \t]*(?:\n|$)", re.DOTALL)


def explanation(case: str) -> str:
    """The prose of a case, its example, what is said of it and how to write it, as plain text."""
    given = {path: text for kind, path, text in _FENCE.findall(case) if kind == "file"}
    first = _FENCE.search(case)
    head = case[: first.start()] if first else case
    out = [head.strip().removeprefix("# ").replace("`", "")]
    asked = True
    for kind, path, text in _FENCE.findall(case):
        if kind == "finding":
            out.append("It says:\n" + _indented(text))
        elif kind == "silent" and given.get(path) != text:
            if asked:
                out.append("Nothing is asked here:")
            asked = False
            out.append(f"In {path}:\n" + _indented(_entries(text)))
        elif kind in ("file", "bytes", "repeat", "unreadable"):
            out.append(_given(kind, path, text))
    return "\n\n".join(out) + "\n"


def _given(kind: str, path: str, text: str) -> str:
    """One file of the example, as a person would tell of it."""
    if kind == "bytes":
        return f"In {path}, which an old program or a broken sync left behind."
    if kind == "unreadable":
        return f"In {path}, which only somebody else may read."
    if kind == "repeat":
        times, line = text.split(" ", 1)
        return f"In {path}, {int(times):,} times:\n" + _indented(line)
    if not text.strip():
        return f"In {path}, with nothing in it."
    return f"In {path}:\n" + _indented(text)


def _entries(text: str) -> str:
    """Lines without the rows of dashes around them, which an example of what to write can do
    without."""
    return "\n".join(x for x in text.splitlines() if x != "---")


def _indented(text: str) -> str:
    return "\n".join(("    " + x).rstrip() for x in text.strip("\n").splitlines())
