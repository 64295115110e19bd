"""What the words of a command are about where it isn't one sowing: seed lots, places, days."""

from __future__ import annotations

import re

from traybook.intake.subject import Meant, Sowings, split_words
from traybook.ledger.naming import CODE
from traybook.records.containers import bare
from traybook.records.verbs import Verb
from traybook.text.names import fold, slug
from traybook.text.scalars import DAY

_MOST_WORDS = 6
_LOT = re.compile(r"(?=[^\s]*\d)[A-Za-z][\w/.-]*[-/]?\d[\w/.-]*", re.UNICODE)
_DAY = re.compile(rf"(?:on\s+)?{DAY}(?=\s)", re.IGNORECASE)
_AT_END = re.compile(r"^(?P<said>.+?)\s+(?:on|in|at)\s+(?:the\s+)?(?P<where>.+)$", re.IGNORECASE)
# What is said of a crop at the season's end.
_OF_CROPS = ("keep", "drop", "more", "less")


def other_words(verb: Verb, words: str, sowings: Sowings) -> Meant:
    """Subject and value for a verb whose subject need not be a sowing."""
    if verb.of == "correction":
        return _correction(verb, words, sowings)
    before, colon, after = words.partition(": ")
    if colon:
        found = sowings.fits(before) if "lot" not in verb.of or CODE.fullmatch(before) else ()
        return Meant(found[0] if len(found) == 1 else before, after.strip())
    if verb.name == "weather":
        return Meant("", words)
    return _prefix(verb, words, sowings)


def _prefix(verb: Verb, words: str, sowings: Sowings) -> Meant:
    """The longest beginning that names what the verb is about."""
    tokens = words.split()
    for many in range(min(_MOST_WORDS, len(tokens)), 0, -1):
        head, rest = " ".join(tokens[:many]).rstrip(",;"), " ".join(tokens[many:])
        if any(t.endswith((",", ";")) for t in tokens[: many - 1]):
            continue
        named = _named(verb, head, sowings)
        if named:
            return Meant(named, rest)
    first, _, rest = words.partition(" ")
    return Meant("", words) if verb.of == "farm" else Meant(first.rstrip(","), rest)


def _named(verb: Verb, head: str, sowings: Sowings) -> str:
    farm = sowings.kept.book.farm
    if verb.of == "place":
        return head if fold(bare(head)) in farm.spots() else ""
    if CODE.fullmatch(head) and fold(slug(head)) in sowings.by_code:
        return sowings.by_code[fold(slug(head))].code
    if "lot" in verb.of and " " not in head and _LOT.fullmatch(head):
        return head
    crop, rest = sowings.crops.split(head)
    return head if crop and not rest else ""


def _correction(verb: Verb, words: str, sowings: Sowings) -> Meant:
    """The day that is meant stays where it was written, the sowing becomes its code."""
    if verb.name == "swapped":
        return Meant("", words)
    led = _DAY.match(words)
    day, rest = (words[: led.end()], words[led.end() :].strip()) if led else ("", words)
    if verb.name == "renamed" and ": " not in rest:
        return _renamed(rest, sowings)
    got = split_words(rest, sowings, bare_end=verb.name == "dropped")
    if got.problem:
        return got
    return Meant(f"{day} {got.subject}".strip(), got.value)


def _renamed(words: str, sowings: Sowings) -> Meant:
    """The sowing by code, or by its crop and number; a variety after it is the new name."""
    tokens = words.split()
    for many in range(min(_MOST_WORDS, len(tokens) - 1), 0, -1):
        head, rest = " ".join(tokens[:many]), " ".join(tokens[many:])
        _, more = sowings.crops.split(head)
        found = sowings.fits(head) if not more or more.isdigit() else ()
        if len(found) == 1:
            return Meant(found[0], rest)
    return split_words(words, sowings, bare_end=False)


def loose_words(verb: Verb, words: str, sowings: Sowings) -> Meant:
    """`seen aphids on stock 1`, `netted bed 4 against pigeons`, `keep cosmos colour`."""
    farm = sowings.kept.book.farm
    tokens = words.split()
    for many in range(min(_MOST_WORDS, len(tokens)), 0, -1):
        head, rest = " ".join(tokens[:many]).rstrip(",;"), " ".join(tokens[many:])
        named = _about(head, sowings)
        if named and (rest or verb.name not in _OF_CROPS):
            return Meant(named, rest)
    end = _AT_END.match(words) if verb.name not in _OF_CROPS else None
    named = _about(end["where"], sowings) if end else ""
    if end and named:
        return Meant(named, end["said"])
    if end and fold(bare(end["where"])) in farm.spots():
        return Meant(end["where"], end["said"])
    return Meant("", words)


def _about(head: str, sowings: Sowings) -> str:
    """A code, a bed, or a crop; with a number or variety the crop's one sowing."""
    code = sowings.by_code.get(fold(slug(head)))
    if code:
        return code.code
    if fold(bare(head)) in sowings.kept.book.farm.bed_names():
        return bare(head)
    crop, rest = sowings.crops.split(head)
    if crop and not rest:
        return head
    found = sowings.fits(head) if crop else ()
    return found[0] if len(found) == 1 else ""
