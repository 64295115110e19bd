"""How each line was read, in words."""

from __future__ import annotations

from traybook.records.event import Event


class Echo:
    """Collects, by event, the words that say what it counted as."""

    def __init__(self) -> None:
        """Empty."""
        self.words: dict[tuple[str, int], list[str]] = {}

    def say(self, event: Event, words: str) -> None:
        """Add words to an event's echo, once."""
        said = self.words.setdefault(event.key, [])
        if words not in said:
            said.append(words)


def many(n: int, unit: str) -> str:
    """`1 seedling`, `31 seedlings`, `1 sprouted seed`, `0 cells`.

    >>> many(1, "sprouted seeds"), many(31, "cells")
    ('1 sprouted seed', '31 cells')
    """
    return f"{n:,} {unit.removesuffix('s') if n == 1 else unit}"
