"""What a verb and its clauses are made of: a Field, a Verb, and the pieces that patterns share.

A pattern is a regular expression in which `<n>` is a number, `<of>` one it is out of, `<u>` a unit
word, `<len>`-like names a length. Named groups become the parts of a `Said`. In a mapping, the
value of a field's key is read by the same patterns, alone or put into `form`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from traybook.text.scalars import DAY, LENGTH, NUMBER

UNIT = r"cells?|seedlings?|plants?|clumps?|seeds?|corms?|tubers?|plugs?|sprouts?|sprouted|babies|little ones"
# `2 dead leaves` and `5 gone to seed` lose no plant.
_DEAD = r"dead(?!\s+(?:leaf|leaves|tips?|stems?|heads?|flowers?|wood|looking)\b)"
_GONE = r"gone(?=$|\W*$|[.,!(]|\s+(?:to|from|by|with|in|on|at|because)\b)(?!\s+to\s+seed)"
_NAMES = {
    "n": rf"(?P<n>{NUMBER})",
    "of": rf"(?P<of>{NUMBER})",
    "u": rf"(?:\s+(?P<unit>{UNIT}))?",
    "uof": rf"(?:\s+(?:{UNIT}))?",
    "where": r"(?:,?\s+(?:in|on|at)\s+(?P<where>(?!total|all\b)\S.*?))?",
    "s": rf"(?P<spacing>{LENGTH})(?:\s*(?:x|by)\s*(?P<between>{LENGTH}))?(?:\s+apart)?",
    "length": rf"(?P<length>{LENGTH})",
    "depth": rf"(?P<depth>{LENGTH})",
    "time": r"(?P<n>"
    + NUMBER
    + r"|an?)\s*-?(?P<unit>weeks?|wks?|wk|w|days?|d|hours?|hrs?|hr|h|months?|nights?)\b",
    "deg": r"(?P<n>-?\d+(?:\.\d+)?)\s*(?:°\s*)?(?P<unit>[CF])?\b(?:\s*degrees)?",
    "day": rf"(?P<day>{DAY})",
    "up": r"(?:up|(?:still )?standing|(?:still )?there|sprouted|germinated|popped|showing|emerged|through|chitted|out|have come|come up|came up|visible)",
    "lost": r"(?:(?:have |has |had )?(?:been |were |was |are |got )?)(?:lost|"
    + _DEAD
    + r"|died|damped off|"
    + _GONE
    + r"|eaten|killed|keeled over|wilted|failed|thrown(?: out| away)?|chucked|binned)",
    "bad": r"(?:mouldy|moldy|rotten|rotted|gone mouldy|gone off)",
}
_NAMED = re.compile(r"(?<!\?P)<(\w+)>")


@dataclass(frozen=True, slots=True)
class Field:
    """One thing a verb can say: how it is written in a line, and under which keys in a mapping."""

    name: str
    patterns: tuple[str, ...]
    example: str
    help: str
    keys: tuple[str, ...] = ()
    form: str = "{}"
    keyed: tuple[str, ...] = ()

    def compiled(self, keyed: bool = False) -> tuple[re.Pattern[str], ...]:
        """Its patterns as regular expressions; `keyed` ones read a mapping's value only."""
        out = []
        for pattern in self.keyed if keyed else self.patterns:
            long = _NAMED.sub(lambda m: _NAMES[m[1]], pattern)
            out.append(re.compile(long, re.IGNORECASE))
        return tuple(out)


@dataclass(frozen=True, slots=True)
class Verb:
    """One verb.

    `of` says what its subject is: sowing, new sowing, cut, lot, lot or sowing, correction (a day
    and a sowing), place, farm or any; `words` marks the verbs whose value is plain text; `common`
    those that begin many a sentence, so that only a colon makes them an entry outside a fence.
    """

    name: str
    also: tuple[str, ...]
    of: str
    fields: tuple[Field, ...]
    help: str
    words: bool = False
    common: bool = False
