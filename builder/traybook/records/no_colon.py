"""Lines whose colon is missing, or stands somewhere else, and verbs that are nearly one."""

from __future__ import annotations

import re

from traybook.findings.model import Finding, Fix
from traybook.records.field import Verb
from traybook.records.heads import day_before
from traybook.records.settings import Farm
from traybook.text.names import fold, near, one_slip
from traybook.text.source import Piece, Span

BARE_NUMBER = re.compile(r"\s(?=[~\d½¼¾]|(?:none|nothing|all|half|first)\b)", re.IGNORECASE)
AND = re.compile(r"\s*,\s*|\s+(?:and|&)\s+")
CODE = re.compile(r"[^\W_][^\s,;:&]*-\d{2}-\d+(?:-\w+)?(?![\w-])", re.UNICODE)
# `stock 1, 31 up`: the first number is the sowing's own.
_OWN_NUMBER = re.compile(
    r"\d+\s+(?=[~\d])|\d+\s*[,;-]\s*(?=~?\d+\s*(?:up|of|/|left|alive|stems?|b)\b)"
)
_GOING = ("moved", "pricked out", "potted on", "planted out", "sold", "gave")
_TO_WORD = re.compile(r"\s(?=(?:(?:in|on)?to|from|in)\s)", re.IGNORECASE)
#: The lot behind a crop: `received larkspur seed, lot LAR-25`.
LOT = re.compile(r"(?:seed\s+)?lot\s+\S+$", re.IGNORECASE)
#: What the subject of a verb must be for its colon to be taken as early.
EARLY = ("sowing", "new sowing", "cut")
# What was typed where the colon belongs.
_TYPED = " :,=.-"


def end_of_subject(verb: Verb, rest: Piece) -> int:
    """Where the subject of a line without a colon ends."""
    start = day_before(rest.text) if verb.of == "correction" else 0
    code, number = CODE.match(rest.text, start), BARE_NUMBER.search(rest.text, start)
    if code:
        more = AND.match(rest.text, code.end())
        listed = more and CODE.match(rest.text, more.end())
        return len(rest.text) if listed else code.end()
    to = _TO_WORD.search(rest.text) if verb.name in _GOING else None
    if to and (not number or to.start() < number.start()):
        return to.start()
    if number:
        own = _OWN_NUMBER.match(rest.text[number.end() :])
        return number.end() + own.end() if own else number.start()
    comma = rest.text.find(",") if verb.name == "checked" else -1
    return comma if comma > 0 else len(rest.text)


def no_colon(verb: Verb, subject: Piece, value: Piece, early: bool) -> list[Finding]:
    """Asks about a line without a colon when a number in it may belong elsewhere; `early` is a
    colon right after the verb."""
    if not verb.fields or not re.search(r"\d", value.text) or _TO_WORD.match(f" {value.text}"):
        return []
    source = subject.at.source
    if not early and ":" in source.plain[subject.at.end : value.at.start]:
        return []  # `stock-26-1:41 up`
    shown = f"{verb.name} {subject.text}: {value.text[:60]}"
    return [Finding("no-colon", f"there is no colon after `{subject.text}`; the rest is read as `{value.text[:60]}`",
                   subject.at, f"write `{shown}`", fix=None if early else _colon(subject, value))]  # fmt: skip


def subject_first(value: Piece, farm: Farm) -> bool:
    """True when the words after the verb's colon begin with a code or a crop of the farm."""
    known = {fold(n) for c in farm.crops.values() for n in (c.name, *c.spellings)}
    first = fold(re.split(r"[,;]|\s[~\d]", value.text)[0])
    return bool(CODE.match(value.text)) or any(f"{first} ".startswith(f"{k} ") for k in known)


def trimmed(piece: Piece, start: int, end: int) -> Piece:
    """A part without what was typed in the colon's place; a `;` only before a number."""
    text = piece.text[start:end]
    more = re.match(rf"[{_TYPED}]*(?:;\s*(?=[~\d]))?", text)
    first = more.end() if more else 0
    return piece.part(start + first, start + max(first, len(text.rstrip(_TYPED + ";"))))


def _colon(subject: Piece, value: Piece) -> Fix | None:
    """A colon after the subject, in the place of what was typed for it."""
    gap = Span(subject.at.source, subject.at.end, max(subject.at.end, value.at.start))
    if not subject.text or ":" in gap.text:
        return None
    typed = gap.text.strip()
    end = gap.start + (gap.text.find(typed) + len(typed) if typed else 0)
    return Fix(((Span(gap.source, gap.start, end), ":"),))


def respelt(word: Piece, close: tuple[str, ...]) -> Fix | None:
    """The one verb that a word is a slip of; `lost`, which only suggests one, is no slip."""
    if len(close) != 1 or not near(word.text, close, slack=2):
        return None
    return Fix(((word.at, close[0]),))


def unquoted(words: str) -> str:
    """Words without quotes around all of them."""
    return words[1:-1] if len(words) > 1 and words[0] == words[-1] and words[0] in "'\"" else words


def private_lead(head: Piece) -> tuple[Piece, bool, list[Finding]]:
    """A line's head without `private` before it; a slip in that word keeps the line home too."""
    first = re.match(r"(\w+)[: ]+(?=\w)", head.text)
    if not first or not (fold(first[1]) == "private" or one_slip(first[1], "private")):
        return head, False, []
    return head.part(first.end(), len(head.text)), True, like_private(head.part(0, len(first[1])))


def like_private(word: Piece) -> list[Finding]:
    """Asks about a slip in `private`."""
    if fold(word.text) == "private":
        return []
    message = f"`{word.text}` is read as `private`, so the line is kept off the site"
    return [Finding("unknown-field", message, word.at, "write `private`")]
