"""How names are compared, spelt in addresses, and offered when nearly right."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache


@lru_cache(maxsize=8192)
def fold(name: str) -> str:
    """A name without what doesn't matter: case, accents, `_ - space`, doubled spaces.

    >>> fold("Sweet_Pea") == fold("swéet  pea")
    True
    """
    flat = unicodedata.normalize("NFKD", name)
    flat = "".join(c for c in flat if not unicodedata.combining(c)).casefold()
    return " ".join(re.sub(r"[\s_\-]+", " ", flat).split())


@lru_cache(maxsize=8192)
def slug(name: str) -> str:
    """A name as codes and addresses spell it: lower case, accents off, other runs one `-`.

    >>> slug("Queen Anne's lace")
    'queen-anne-s-lace'
    """
    flat = unicodedata.normalize("NFKD", name)
    flat = "".join(c for c in flat if not unicodedata.combining(c)).casefold()
    return re.sub(r"[^\w]+|_+", "-", flat).strip("-")


def _distance(a: str, b: str, most: int) -> int:
    """Edits (insert, delete, replace, swap of neighbours) between two words, `most` + 1 if more."""
    if abs(len(a) - len(b)) > most:
        return most + 1
    start = 0
    while start < min(len(a), len(b)) and a[start] == b[start]:
        start += 1
    a, b = a[start:], b[start:]
    while a and b and a[-1] == b[-1]:
        a, b = a[:-1], b[:-1]
    before: list[int] = []
    row = list(range(len(b) + 1))
    for i, ca in enumerate(a, 1):
        last, row, earlier = row, [i] + [0] * len(b), before
        before = last
        for j, cb in enumerate(b, 1):
            row[j] = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (ca != cb))
            if i > 1 and j > 1 and ca == b[j - 2] and a[i - 2] == cb:
                row[j] = min(row[j], earlier[j - 2] + 1)
        if min(row) > most:
            return most + 1
    return row[-1]


@lru_cache(maxsize=16384)
def _pairs(flat: str) -> frozenset[str]:
    """Neighbouring letters: near words share most of them."""
    return frozenset(flat[i : i + 2] for i in range(len(flat) - 1))


def near(word: str, known: Iterable[str], most: int = 3, slack: int = 0) -> tuple[str, ...]:
    """The known names nearest to a word, best first, at most `most`; none if nothing is near.

    Near is at most one edit in three letters and two in all, or `slack` edits if that is more. An
    edit changes at most three pairs of neighbouring letters, so most names are passed over unread.
    """
    flat = fold(word)
    allowed = max(1, slack, min(2, len(flat) // 3))
    ours = _pairs(flat)
    scored = []
    for name in dict.fromkeys(known):
        theirs = fold(name)
        fewest = min(len(ours), len(_pairs(theirs))) - 3 * allowed
        if abs(len(flat) - len(theirs)) > allowed or len(ours & _pairs(theirs)) < fewest:
            continue
        d = _distance(flat, theirs, allowed)
        if d <= allowed:
            scored.append((d, name))
    return tuple(name for _, name in sorted(scored)[:most])


def one_slip(a: str, b: str) -> bool:
    """True when two names differ by one slip of the pen, two in long ones, in letters alone.

    Names that differ in their figures, or in a last letter that tells them apart (shelf A, shelf
    B), are two names.

    >>> one_slip("Night Ferry", "Nigth Ferry"), one_slip("bed 1", "bed 2"), one_slip("Rose", "Rise")
    (True, False, False)
    """
    one, two = fold(a), fold(b)
    if one == two or re.findall(r"\d+", one) != re.findall(r"\d+", two):
        return False
    labels = [re.findall(r"\b\w\b", x) for x in (one, two)]
    if labels[0] != labels[1] or min(len(one), len(two)) < 5:
        return False
    most = 2 if min(len(one), len(two)) > 11 else 1
    return _distance(one, two, most) <= most
