"""The usual cautions of the trade, each with where it was read; a reminder and no full list.

They stand in `cautions.md`: a heading; its anchor and, as a pattern, the words of the handbook's column
`hazard` that it answers to; what it says; its source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

#: Stands wherever a caution does, and wherever one might have been looked for.
NOT_SAFE = "Where a kind or a job has no caution here, that does not mean it is safe."


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: its heading and anchor, what it says in paragraphs, and its source in plain words.
    `flag` is a pattern of the words of a kind's hazard that it answers to; empty where none do."""

    heading: str
    anchor: str
    words: tuple[str, ...]
    source: str
    flag: str = ""

    def meets(self, hazard: str) -> bool:
        """True if a kind with these words on it falls under this caution."""
        return bool(self.flag and re.search(self.flag, hazard, re.IGNORECASE))


def read_cautions(text: str) -> tuple[Caution, ...]:
    """All cautions in their order. Raises ValueError where one has no anchor, words or source."""
    return tuple(_caution(part) for part in re.split(r"^## ", text, flags=re.MULTILINE)[1:])


def _caution(part: str) -> Caution:
    heading, head, *said = [" ".join(p.split("\n")) for p in part.strip().split("\n\n")]
    named = re.fullmatch(r"anchor: (\S+)(?: words: (.+))?", head)
    if named is None or len(said) < 2 or not said[-1].startswith("Source: "):
        raise ValueError(f"the caution {heading} lacks its anchor, words or source")
    source = said[-1].removeprefix("Source: ")
    return Caution(heading, named[1], tuple(said[:-1]), source, named[2] or "")
