"""Which sowing the words of a command mean, so that its code can be written."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from traybook.ledger.keep import Kept
from traybook.ledger.model import Account
from traybook.ledger.naming import CODE, Crops, free_code, narrowed
from traybook.records.containers import bare
from traybook.records.writer import crop_clause
from traybook.text.names import fold, near, slug

_MOST_WORDS = 6
# After the number of a sowing comes what is said of it: `stock 2 31 up`, `stock 2 none up`.
_SAID_NEXT = re.compile(
    r"[~\d½¼¾]|(?:none|nothing|no|all|half|first|about|the|rest)$", re.IGNORECASE
)
_NUMBER = re.compile(r"(?:no |nr |number |#)?(\d+)")
_MIX = ("mix", "mixed", "mixed bunches", "bouquets")


@dataclass(frozen=True, slots=True)
class Meant:
    """What words came to: a `subject` to write and the `value` after it.

    `offers` are the codes that fit when more than one does, or names that are near when none
    does; `problem` says which, and then nothing can be written.
    """

    subject: str = ""
    value: str = ""
    offers: tuple[str, ...] = ()
    problem: str = ""


class Sowings:
    """The sowings of a farm as they stood on a day."""

    def __init__(self, kept: Kept, on: dt.date) -> None:
        """`on` is the day that the entry is written for."""
        self.kept, self.on = kept, on
        self.crops = Crops(kept.book)
        self.by_code = {fold(code): a for code, a in kept.accounts.items()}
        self.living = [a for a in kept.accounts.values() if self._lives(a)]

    def _lives(self, a: Account) -> bool:
        ended = a.finished_on is not None and a.finished_on < self.on
        return a.sowing.sown_on <= self.on and not ended

    def fits(self, words: str) -> tuple[str, ...]:
        """Codes that words can mean: a code, a crop with a number or variety, a variety, or the
        beginning of codes."""
        flat = fold(slug(words) or words)
        if flat in self.by_code:
            return (self.by_code[flat].code,)
        was = [a.code for a in self.kept.accounts.values() if fold(a.sowing.was) == flat]
        if was:
            return tuple(was[:1])
        found = self._by_crop(words) or self._by_variety(words)
        if not found and len(flat) > 1:
            found = [a for a in self.living if fold(a.code).startswith(flat)]
        return tuple(a.code for a in found)

    def _by_crop(self, words: str) -> list[Account]:
        crop, rest = self.crops.split(words)
        ours = [a for a in self.living if crop and fold(a.sowing.crop) == fold(crop)]
        return narrowed(ours, rest, lambda a: (a.code, a.sowing.variety))

    def _by_variety(self, words: str) -> list[Account]:
        return [
            a for a in self.living if a.sowing.variety and fold(a.sowing.variety) == fold(words)
        ]

    def near(self, words: str) -> tuple[str, ...]:
        """Crops and codes spelt nearly so."""
        names = [*self.crops.names, *(a.code for a in self.living)]
        first = words.split(",", maxsplit=1)[0].split()
        tries = (" ".join(first[:many]) for many in (2, 1) if len(first) >= many)
        return next((found for t in tries if (found := near(t, names))), ())


def split_words(words: str, sowings: Sowings, bare_end: bool) -> Meant:
    """Words without or with a colon as a subject and a value, the subject as its one code.

    The longest beginning that fits a sowing is the subject; a number at its end belongs to it
    only when another follows. `bare_end` says that nothing need follow the subject, so that a
    number that ends the words is the sowing's.
    """
    before, colon, after = words.partition(": ")
    if colon or bare_end:
        several = _several(before, after, sowings)
        if several:
            return several
    tokens = words.split()
    for many in range(min(_MOST_WORDS, len(tokens)), 0, -1):
        head, rest = tokens[:many], tokens[many:]
        if any(t.endswith((",", ";")) for t in head[:-1]) or _is_said(head, rest, bare_end):
            continue
        found = sowings.fits(" ".join(head).rstrip(",;:"))
        if found and bare_end and re.fullmatch(r"\d+", " ".join(rest)):
            break  # `finish stock 7`, and there is no such number
        if found:
            return _one(" ".join(head).rstrip(",;:"), " ".join(rest), found)
    return _none(words, sowings)


def _several(before: str, after: str, sowings: Sowings) -> Meant | None:
    """One subject or more before a colon; None when any of them is no sowing."""
    parts = [p for p in re.split(r"\s*,\s*|\s+(?:and|&)\s+", before.strip(" ,")) if p]
    fits = [sowings.fits(p) for p in parts]
    if not parts or not all(fits):
        return None
    for part, found in zip(parts, fits, strict=True):
        if len(found) > 1:
            return _one(part, after, found)
    return Meant(", ".join(found[0] for found in fits), after.strip())


def _is_said(head: list[str], rest: list[str], bare_end: bool) -> bool:
    """True when the number that ends `head` is no part of a name but something said."""
    if not re.fullmatch(r"\d+,?", head[-1]):
        return False
    if head[-1].endswith(","):
        return not bare_end
    return not _SAID_NEXT.match(rest[0]) if rest else not bare_end


def _one(words: str, value: str, found: tuple[str, ...]) -> Meant:
    if len(found) == 1:
        return Meant(found[0], value.strip())
    return Meant(offers=found, problem=f"`{words}` fits {len(found)} sowings that are living")


def _none(words: str, sowings: Sowings) -> Meant:
    first = words.split(":", maxsplit=1)[0].split(",", maxsplit=1)[0]
    crop, _ = sowings.crops.split(first)
    crop = crop or next((c for n in (3, 2, 1) if (c := sowings.crops.name(_first(first, n)))), "")
    if crop:
        all_ = [a for a in sowings.kept.accounts.values() if fold(a.sowing.crop) == fold(crop)]
        last = tuple(_with_end(a) for a in all_[-4:])
        return Meant(
            offers=last, problem=f"no sowing of {crop} that fits was living on {sowings.on}"
        )
    said = _first(first, 3)
    return Meant(
        offers=sowings.near(first), problem=f"`{said}` is no sowing or crop that is known here"
    )


def _with_end(a: Account) -> str:
    return f"{a.code} (finished {a.finished_on})" if a.finished_on else a.code


def _first(words: str, many: int) -> str:
    return " ".join(words.split()[:many])


def cut_words(words: str, sowings: Sowings) -> Meant:
    """A harvest: its sowing's code when just one planted one can be meant, else crop, bed or mix."""
    before, colon, after = words.partition(": ")
    tokens = before.split() if colon else words.split()
    for many in range(min(_MOST_WORDS, len(tokens)), 0, -1):
        head = " ".join(tokens[:many]).rstrip(",;:")
        rest = after if colon else " ".join(tokens[many:])
        if colon and many < len(tokens):
            break
        if re.search(r"\s\d+$", head) and not colon and not _bed(head, sowings):
            following = tokens[many : many + 1]
            if not (following and re.match(r"[~\d½¼¾]", following[0])):
                continue
        named = _cut_subject(head, sowings)
        if named:
            return Meant(named, rest.strip())
    return _none(words, sowings)


def _bed(head: str, sowings: Sowings) -> bool:
    known = fold(bare(head)) in sowings.kept.book.farm.bed_names()
    return known or bool(re.fullmatch(r"(?:the\s+)?bed\s+\w+", head, re.IGNORECASE))


def _cut_subject(head: str, sowings: Sowings) -> str:
    if fold(slug(head)) in sowings.by_code:
        return sowings.by_code[fold(slug(head))].code
    if fold(head) in _MIX:
        return head
    if _bed(head, sowings):
        return bare(head) if bare(head) != head else head
    fits = sowings.fits(head)
    planted = [c for c in fits if _planted(sowings.kept.accounts[c], sowings.on)]
    if len(planted) == 1:
        return planted[0]
    crop, rest = sowings.crops.split(head)
    known = not rest or bool(_NUMBER.fullmatch(fold(rest))) or _variety_of(crop, rest, sowings)
    return head if crop and known else (fits[0] if len(fits) == 1 else "")


def _variety_of(crop: str, rest: str, sowings: Sowings) -> bool:
    ours = (a.sowing for a in sowings.kept.accounts.values() if fold(a.sowing.crop) == fold(crop))
    return any(fold(rest) == fold(s.variety) or fold(rest) in fold(s.variety).split() for s in ours)


def _planted(a: Account, on: dt.date) -> bool:
    direct = a.sowing.measure in ("stand", "corm")
    return direct or any(p.on <= on for p in a.plantings)


def any_words(words: str, sowings: Sowings) -> Meant:
    """Words that may be about anything: a subject only where a colon or a code says so."""
    before, colon, after = words.partition(": ")
    if colon and "," not in before and len(before.split()) <= _MOST_WORDS:
        found = sowings.fits(before)
        crop, rest = sowings.crops.split(before)
        if len(found) == 1 and (rest or not crop):
            return Meant(found[0], after.strip())
        return Meant(before, after.strip()) if crop or _bed(before, sowings) else Meant("", words)
    first, _, rest = words.partition(" ")
    code = first.rstrip(",:;")
    if CODE.fullmatch(code) and fold(slug(code)) in sowings.by_code:
        return Meant(sowings.by_code[fold(slug(code))].code, rest.strip())
    return Meant("", words)


def next_code(crop: str, on: dt.date, kept: Kept) -> str:
    """crop-yy-n with the next free number, counting also lines that are set aside."""
    used = {fold(c) for c in kept.accounts}
    used |= {fold(slug(e.event.subject)) for e in kept.book.entries if e.event.subject}
    used |= {fold(e.ref.code) for e in kept.book.entries if e.ref.code}
    return free_code(
        crop, on, lambda c: any(u == fold(c) or u.startswith(fold(c) + " ") for u in used)
    )


def sow_words(words: str, kept: Kept, on: dt.date, sowings: Sowings) -> Meant:
    """A new sowing: the next free code of its crop, or the code that was given if it is free."""
    before, colon, after = words.partition(": ")
    first = words.split(maxsplit=1)[0].rstrip(",;:")
    if CODE.fullmatch(first):
        code = slug(first)
        made = CODE.fullmatch(first)
        if fold(code) in sowings.by_code and made:
            free = next_code(made["crop"], on, kept)
            return Meant(offers=(free,), problem=f"there is a sowing `{code}` already")
        return Meant(code, words[len(first) :].lstrip(" ,;:"))
    name = before if colon else re.split(r"[,;]|\s(?=[~\d½¼¾])", words, maxsplit=1)[0].strip()
    crop, value = _crop_of(name, sowings)
    close = () if colon or sowings.crops.name(crop) else near(crop, sowings.crops.names)
    if close:
        how = f"`{crop}` is no crop here yet; if it is a new one, put a colon after it"
        return Meant(offers=close, problem=how)
    tail = after if colon else words[words.index(name) + len(name) :]
    led = re.search(r"(?:^|\s)(?:in|into|on|at|to|x|lot|about|say)$", value, re.IGNORECASE)
    glue = "" if led or tail[:1] in (",", ";") else ", "
    value = (value + glue + tail).strip(" ,;")
    code = next_code(crop, on, kept)
    clause = crop_clause(crop, code, kept.book.farm)
    return Meant(code, ", ".join(x for x in (clause, value) if x))


def _crop_of(name: str, sowings: Sowings) -> tuple[str, str]:
    """The crop in a new sowing's first words, and the rest of them as written."""
    crop, rest = sowings.crops.split(name)
    if not crop:
        return _new_crop(name)
    words, many = name.split(), len(rest.split())
    if not many:
        return crop, ""
    leads = sowings.crops.name(" ".join(words[: len(words) - many]).replace("'", ""))
    return crop, " ".join(words[-many:] if leads else words[:many])


def _new_crop(name: str) -> tuple[str, str]:
    """Of a name not known yet the words before the first later one with a capital are the crop."""
    words = name.split()
    for i, word in enumerate(words):
        if i and (
            (word[:1].isupper() and words[0][:1].islower()) or re.fullmatch(r"in|into|on", word)
        ):
            return " ".join(words[:i]), " ".join(words[i:])
    return name.strip(), ""
