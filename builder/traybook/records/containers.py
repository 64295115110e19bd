"""What seed is sown in and plants are moved to: trays, paper, blocks, pots and beds."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

from traybook.text.names import fold

_TRAYS = r"(?:(?:(?P<trays>\d+|a|one|two|three|four|five|six)\s*(?:x\s*|\s))?)"
_SIZES = "18|24|32|36|40|48|50|54|60|72|77|84|98|100|102|104|105|128|144|162|200|209|210|240|242"
_SIZES += "|264|273|288|338|392|406|512"
_TRAY_WORD = r"(?:(?:plug|module|cell|seed)\s+)?(?:trays?|flats?|plugs?|modules?|packs?)"
_CELLS = (
    rf"(?:(?P<part>\d+)\s+cells?\s+(?:of|in)\s+)?{_TRAYS}"
    rf"(?:(?P<cells>\d+)[ -]?cells?(?:\s+{_TRAY_WORD})?|(?P<short>\d+)s\b(?:\s+{_TRAY_WORD})?"
    rf"|(?P<tray>\d+)[ -]{_TRAY_WORD}|{_TRAY_WORD}\s+of\s+(?P<tray2>\d+)|(?P<bare>{_SIZES})\b)"
)
_FORMS = (
    ("paper", r"(?:(?:on|in)\s+)?(?:damp|wet|moist|kitchen|blotting)?\s*paper(?:\s+towels?)?"),
    ("corms", r"(?:(?P<trays>\d+)\s+)?corms?"),
    ("tubers", r"(?:(?P<trays>\d+)\s+)?(?:tubers?|clumps?|crowns?)"),
    (
        "blocks",
        r"(?:(?P<cells>\d+)\s+(?:x\s*)?)?(?:[\d./½¾¼]+\s*(?:in|inch|cm|mm|\")\s+)?(?:soil\s+)?blocks?",
    ),
    (
        "pots",
        r"(?:(?P<cells>\d+)\s+(?:x\s*)?)?(?:(?:[\d./½¾¼]+|two|three|four|five|six)\s*-?(?:in|inch|cm|mm|L|\")\s+)?"
        r"(?:(?:deep|paper|root|peat|square|round|small|big)\s+)*(?:pots?|trainers?)",
    ),
    (
        "open",
        r"(?:(?P<trays>\d+|an?|one|two|three)\s+(?:x\s*)?)?(?:(?:half|whole|open|seed|community|deep|"
        r"shallow)\s+)*(?:trays?|flats?|boxes|box)(?:\s+of\s+mix)?",
    ),
    ("cells", _CELLS),
    ("cells", r"(?P<part>\d+)\s+cells?"),
)
_PATTERNS = tuple((kind, re.compile(p, re.I)) for kind, p in _FORMS)
_COUNTED = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_BED = re.compile(
    r"(?:(?:direct|straight)\s+)?(?:(?:in|into|to|on)\s+)?(?P<name>(?:the\s+)?"
    r"(?:bed|block|plot|strip|row|tunnel|field|hoop ?house|caterpillar)\b.*)$",
    re.I,
)
# A bench in the tunnel is a place to stand, no bed.
_NO_BED = re.compile(r"\b(?:bench|shelf|frame|floor|table|rack|wanted)\b", re.I)
_SPOT = re.compile(
    r"\b(?:bench|shelf|shelves|frames?|greenhouse|glasshouse|polytunnel|tunnel|house|window|sill|"
    r"windowsill|cellar|basement|floor|fridge|garage|porch|rack|mat|room|shed|barn|table|trays?|"
    r"pots?|cells?|blocks?|beds?|field|outside|outdoors|inside|indoors|cupboard|light|lights|shade|"
    r"corner|yard|kitchen|conservatory|propagator)\b",
    re.I,
)
_ARTICLE = re.compile(
    r"^(?:(?:put|in|on|at|to|into|under|from|onto|out)\s+)*(?:the\s+|a\s+|an\s+)?", re.I
)


@dataclass(frozen=True, slots=True)
class Container:
    """What something was sown in or moved to.

    `kind` is cells, open, paper, blocks, pots, corms, tubers or bed; `cells` how many cells or
    places there are in all, None when that isn't said; `size` cells of one tray; `name` as the
    grower named it.
    """

    kind: str
    name: str
    cells: int | None = None
    size: int | None = None

    def like(self, words: str) -> bool:
        """True when `from 50s` or `the pots` can mean this one."""
        theirs = container(words)
        if theirs and self.size and theirs.size:
            return self.size == theirs.size
        if theirs and theirs.kind == self.kind and not (theirs.size and self.size):
            return True
        return fold(bare(words)) == fold(bare(self.name))


def bare(words: str) -> str:
    """A name without the little words before it: `in the frame` is `frame`."""
    return words[_ARTICLE.match(words).end() :].strip() or words.strip()  # type: ignore[union-attr]


def _count(word: str | None) -> int | None:
    if not word:
        return None
    return _COUNTED.get(word.lower()) or (int(word) if word.isdigit() else None)


def container(words: str, beds: Collection[str] = ()) -> Container | None:
    """Read a container or bed; None if the words name neither.

    `beds` are the farm's beds, folded.
    """
    text = words.strip()
    plain = _ARTICLE.sub("", text) if not re.match(r"an?\s+\d", text, re.I) else text
    if fold(plain) in beds:
        return Container("bed", plain)
    for kind, pattern in _PATTERNS:
        found = pattern.fullmatch(text) or pattern.fullmatch(plain)
        if found and not (found.groupdict().get("bare") and not found["trays"]):
            return _made(kind, plain, found.groupdict())
    bed = None if _NO_BED.search(text) else _BED.match(text)
    return Container("bed", bare(bed["name"])) if bed else None


def _made(kind: str, name: str, got: dict[str, str | None]) -> Container:
    trays = _count(got.get("trays"))
    size = next(
        (int(got[k]) for k in ("cells", "short", "tray", "tray2", "bare") if got.get(k)), None
    )  # type: ignore[arg-type]
    if kind in ("blocks", "pots"):
        return Container(kind, name, size, None)
    if kind in ("corms", "tubers"):
        return Container(kind, name, trays, None)
    if kind != "cells":
        return Container(kind, name)
    part = got.get("part")
    return Container(kind, name, int(part) if part else (size or 0) * (trays or 1) or None, size)


def is_spot(words: str, known: Collection[str]) -> bool:
    """True when words name a place, container or bed; `known` are the farm's own, folded."""
    plain = bare(words)
    return fold(plain) in known or container(words) is not None or bool(_SPOT.search(plain))
