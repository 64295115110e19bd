"""A finding's case file as the answer of `traybook why`."""

from __future__ import annotations

import re


def explanation(case: str) -> str:
    """The prose of a case, its first example and what is said of it, as plain text."""
    out: list[str] = []
    fence = ""
    for line in case.splitlines():
        opened = re.match(r"```(\w*)\s*(.*)$", line)
        if opened and not fence:
            fence = opened[1] or "text"
            out.append(
                f"In {opened[2]}:" if fence == "file" else "It says:" if fence == "finding" else ""
            )
        elif line.strip() == "```":
            fence = ""
            out.append("")
        elif fence:
            out.append("    " + line)
        else:
            out.append(line.removeprefix("# ").replace("`", ""))
    text = re.sub(r"\n{3,}", "\n\n", "\n".join(out))
    return text.strip() + "\n"
