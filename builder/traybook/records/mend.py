"""What a clause with a number in it may have been meant to say, for the finding that asks."""

from __future__ import annotations

import re
from collections.abc import Iterator

from traybook.text.names import near

# The words that usually ride on a number.
_WORDS = ("up", "lost", "left", "alive", "dead", "died", "seedlings", "seedling", "cells", "cell",
          "plants", "seeds", "stems", "bunches", "spare", "of", "into", "to", "from", "in", "per",
          "tray", "rows", "rejected", "mouldy", "sprouted", "apart", "over", "thrown", "runts",
          "out", "mice", "slugs")  # fmt: skip
_GLUED = re.compile(r"(?<![\w-])(\d+)(?!(?:st|nd|rd|th|b|s)\b)([a-z]{2,})\b", re.IGNORECASE)
_FIGURES = re.compile(r"\b(?=[lIoO]*\d)[\dlIoO]{2,}(?=s?\b)")
_JOINT = re.compile(r"(?<=[a-z])\s+(?=~?\d)", re.IGNORECASE)
_LETTERS = str.maketrans({"l": "1", "I": "1", "o": "0", "O": "0"})


def unglued(text: str) -> str:
    """A number and the word that it ran into, apart.

    >>> unglued("41up, 2lost"), unglued("72s, 3rd cut")
    ('41 up, 2 lost', '72s, 3rd cut')
    """
    return _GLUED.sub(r"\1 \2", text)


def candidates(text: str) -> Iterator[str]:
    """Likelier wordings of a clause, the smallest change first.

    >>> list(candidates("4l pu"))
    ['41 up']
    """
    seen = {text}
    spaced = unglued(_FIGURES.sub(lambda m: m.group().translate(_LETTERS), text))
    spaced = re.sub(r"(?<=\bto )b\w{1,3}(?= \d)", "bed", spaced)
    spelt = re.sub(r"\b[^\W\d_]{2,}\b", _spelt, spaced)
    for one in (spaced, spelt, _JOINT.sub(", ", spelt)):
        if one not in seen:
            seen.add(one)
            yield one


def _spelt(found: re.Match[str]) -> str:
    word = found.group()
    if word.lower() in _WORDS:
        return word
    close = near(word, _WORDS, 3)
    alike = [c for c in close if c[-1] == word[-1].lower()]
    return next(iter((*alike, *close)), word)
