"""Clauses: how a value splits, and how one clause is read by the table of verbs."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from traybook.findings.model import Finding, offer
from traybook.records.containers import bare, container, is_spot
from traybook.records.event import Said
from traybook.records.field import Field, Verb
from traybook.records.meaning import (
    cause_and_place,
    counted_as,
    end_of_name,
    meant_otherwise,
    said_by,
)
from traybook.records.mend import candidates, unglued
from traybook.records.settings import Farm
from traybook.records.verbs import VERBS, field_for, keyed, patterns
from traybook.text.names import fold
from traybook.text.scalars import NUMBER, Amount
from traybook.text.source import Piece

_SPLIT = re.compile(
    r",(?!\d{3}(?!\d))|(?<!\d),"
    rf"|(?<!hundred)\s+(?:and|&|\+)\s+(?={NUMBER})|\s+\+\s+(?=[a-z])|\s+w/\s*"
    r"|(?<![\d-])\s+-\s+|\s+-\s+(?![\d-])|(?<!approx)(?<!\bca)(?<!\bc)(?<!\bno)[.!]\s+",
    re.IGNORECASE,
)
_LEAD = re.compile(
    r"(?:only|now|still|just|well|already|counted|count|total(?: of)?|in total|so|ok|good|good:|"
    r"there (?:are|is)|got|have|with|plus|then|also|and|but|at least)\s+",
    re.IGNORECASE,
)
_BRACKETS = re.compile(r"\(([^()]*)\)")
_DIGIT = re.compile(r"\d|[½¼¾⅓⅔]")
# Figures that count nothing: which cut it was, the day of a month, the number in a place's name.
_NO_COUNT = re.compile(
    r"\b\d+(?:st|nd|rd|th)\b|\b(?:bed|tray|block|row|shelf|plot)\s+\d+\w?\b", re.IGNORECASE
)


@dataclass(slots=True)
class Clauses:
    """What a value came to: clauses read, words left over, findings."""

    said: list[Said] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def word(self, text: str) -> None:
        """Words left over join the loss before them if nothing says its cause, else the note."""
        text = text.strip(" .,;:-")
        if not text:
            return
        last = self.said[-1] if self.said else None
        if last and last.field == "lost" and not last.cause and not self.words:
            self.said[-1] = replace(last, cause=text)
        else:
            self.words.append(text)

    def unlike_container(self, said: Said, piece: Piece, spots: frozenset[str]) -> None:
        """A container that isn't one, but would be with one letter changed: `5os`."""
        if is_spot(said.into, spots):
            return
        meant = next((t for t in candidates(said.into) if container(t)), "")
        if meant:
            at = piece.text.rfind(said.into)
            self.findings.append(
                Finding("unread-number", f"`{said.into}` was not read as a tray or pots",
                        piece.part(at, at + len(said.into)).at, offer([meant]))
            )  # fmt: skip

    def number_left(self, piece: Piece, verb: Verb, farm: Farm) -> None:
        """A number that no field took is a doubt: it may be a count."""
        found = _DIGIT.search(_NO_COUNT.sub(lambda m: " " * len(m.group()), piece.text))
        if found:
            end = re.compile(r"[\d,.]*").match(piece.text, found.start()).end()  # type: ignore[union-attr]
            at = piece.part(found.start(), max(end, found.end()))
            self.findings.append(
                Finding(
                    "unread-number",
                    f"`{at.text}` in `{piece.text[:80]}` was not read as a count",
                    at.at,
                    _meant(verb, piece, farm) or counted_as(verb),
                )
            )


def split(piece: Piece) -> tuple[list[Piece], list[Piece]]:
    """The clauses before the first `;`, and the parts after it."""
    head, *tails = _semicolons(piece)
    out, at = [], 0
    for found in _SPLIT.finditer(head.text):
        out.append(head.part(at, found.start()))
        at = found.end()
    out.append(head.part(at, len(head.text)))
    return [c for c in out if c.text], [t for t in tails if t.text]


def _semicolons(piece: Piece) -> list[Piece]:
    cuts = [i for i, c in enumerate(piece.text) if c == ";"]
    starts, ends = [0, *(c + 1 for c in cuts)], [*cuts, len(piece.text)]
    return [piece.part(a, b) for a, b in zip(starts, ends, strict=True)]


def read_clause(verb: Verb, piece: Piece, farm: Farm, out: Clauses) -> None:
    """Read one clause into `out`: by a field if one fits, else as words."""
    for trial in (_whole, _two, _beginning):
        if trial(verb, piece, farm, out):
            return None
    lead = _LEAD.match(piece.text)
    if lead and lead.end() < len(piece.text):
        return read_clause(verb, piece.part(lead.end(), len(piece.text)), farm, out)
    brackets = _BRACKETS.search(piece.text)
    if brackets:
        ends = ((0, brackets.start()), brackets.span(1), (brackets.end(), len(piece.text)))
        for a, b in ends:
            part = piece.part(a, b)
            if part.text:
                read_clause(verb, part, farm, out)
        return None
    if verb.of == "new sowing":
        return _sown_words(piece, farm, out)
    if any(f.name == "packets" for f in verb.fields) and _lot_words(piece, out):
        return None
    apart = Piece(unglued(piece.text), piece.at)
    if apart.text != piece.text and _whole(verb, apart, farm, out):
        return None
    out.number_left(piece, verb, farm)
    return out.word(piece.text)


def _meant(verb: Verb, piece: Piece, farm: Farm) -> str:
    """What an unread clause likely was meant to say, where that can be read."""
    for text in candidates(piece.text):
        trial = Clauses()
        parts, _ = split(Piece(text, piece.at))
        if all(_whole(verb, part, farm, trial) for part in parts):
            return offer([text])
    return ""


def _whole(verb: Verb, piece: Piece, farm: Farm, out: Clauses) -> bool:
    """A field whose pattern fits the whole clause."""
    if verb.name == "sown" and _spot_sown_in(piece, farm, out):
        return True
    text = piece.text.rstrip(" .!?")
    text = text[1:-1] if len(text) > 2 and text[0] == text[-1] == '"' else text
    for fld, tests in patterns(verb):
        for test in tests:
            found = test.fullmatch(text)
            if found and _accept(fld, found, piece, farm, out):
                return True
    return verb.name == "arrived" and _spot_sown_in(piece, farm, out)


def _spot_sown_in(piece: Piece, farm: Farm, out: Clauses) -> bool:
    """A clause that is one of the farm's places, or a container."""
    if fold(bare(piece.text)) in {fold(p) for p in farm.places}:
        out.said.append(Said("place", where=bare(piece.text), at=piece.at))
        return True
    if container(piece.text, farm.bed_names()):
        out.said.append(Said("container", into=piece.text, at=piece.at))
        return True
    return False


_PLACES = re.compile(r"\s+(?=@|(?:from|at|in|of which|grade|bed)\b)")
_SPLIT_AT = {
    "harvested": _PLACES,
    "planted out": _PLACES,
    "weather": re.compile(r"\s+(?=(?:min|max|low|high|rain|\w*\s?frost)\b)", re.IGNORECASE),
    "temperature": re.compile(r"\s+(?=(?:min|max|low|high)\b)", re.IGNORECASE),
}


def _two(verb: Verb, piece: Piece, farm: Farm, out: Clauses) -> bool:
    """Two clauses with no comma between: `7b from bed 4`, `90 to bed 4 in 4 rows at 9 in`."""
    if verb.of == "new sowing":
        return _sown_in(verb, piece, farm, out)
    if verb.name not in _SPLIT_AT:
        return False
    for cut in _SPLIT_AT[verb.name].finditer(piece.text):
        left, right = piece.part(0, cut.start()), piece.part(cut.end(), len(piece.text))
        trial = Clauses()
        if _whole(verb, left, farm, trial) and (
            _whole(verb, right, farm, trial) or _two(verb, right, farm, trial)
        ):
            out.said += trial.said
            out.words += trial.words
            return True
    return False


def _sown_in(verb: Verb, piece: Piece, farm: Farm, out: Clauses) -> bool:
    """`72 seeds in damp paper`, `Iron Rose in 72s`: what, and what it was sown in."""
    for cut in re.finditer(r"\s+(?=(?:in|into|on)\s)", piece.text):
        left, right = piece.part(0, cut.start()), piece.part(cut.end(), len(piece.text))
        name = re.sub(r"^(?:in|into|on)\s+", "", right.text)
        held = container(name, farm.bed_names()) or container(re.sub(r"^an?\s+", "1 x ", name))
        if held:
            read_clause(verb, left, farm, out)
            out.said.append(Said("container", into=held.name, at=right.at))
            return True
    return False


def read_odd_key(verb: Verb, key: Piece, value: Piece, farm: Farm, out: Clauses) -> bool:
    """A mapping's key that is the beginning of a clause: `tray 1: 88 of 128`."""
    return _whole(verb, Piece(f"{key.text}: {value.text}", value.at), farm, out)


def _beginning(verb: Verb, piece: Piece, farm: Farm, out: Clauses) -> bool:
    """A field whose pattern fits the beginning, with only words after it."""
    for fld, tests in patterns(verb):
        for test in tests:
            found = test.match(piece.text)
            if (
                not found
                or not found.end()
                or not {"bare", "whole"}.isdisjoint(found.groupdict())
                or not re.match(r"[\s(]", piece.text[found.end() :])
            ):
                continue
            rest = piece.part(found.end(), len(piece.text))
            if _DIGIT.search(rest.text) or not _plain_rest(rest.text, verb):
                continue
            if "alone" in found.groupdict() and not _BESIDE.match(rest.text):
                continue
            if (
                verb.of == "new sowing"
                and rest.text[0].isupper()
                and not _DIGIT.search(found.group())
            ):
                continue
            if _accept(fld, found, piece.part(0, found.end()), farm, out):
                if verb.of in ("new sowing", "lot"):
                    read_clause(verb, rest, farm, out)
                else:
                    out.word(rest.text.strip("()"))
                return True
    return False


# After a number with no word of its own: where or why, never what it counts (`2 trays`).
_BESIDE = re.compile(
    r"(?:at|for|on|by|because|which|who|so|but|though|as|when|after|while|again)\b|\(",
    re.IGNORECASE,
)


def _plain_rest(rest: str, verb: Verb) -> bool:
    """Words that turn a number's meaning (more, fewer, per, of) may not be left over unread."""
    if verb.of in ("new sowing", "lot") and re.match(r"from\s+[^\W\d]", rest):
        return True  # who it came from
    return not re.match(
        r"(?:more|fewer|less|another|extra|per|of|x|%|to|from|new|further|each|apiece)\b",
        rest,
        re.I,
    )


def _accept(fld: Field, found: re.Match[str], piece: Piece, farm: Farm, out: Clauses) -> bool:
    """Turn a match into what was said, unless its words say that another field is meant."""
    said = said_by(fld, found, piece, farm)
    if said is None:
        return False
    spots = farm.spots()
    if meant_otherwise(fld, found, said, spots, out.said):
        return False
    if fld.name == "taken" and not is_spot(said.into, spots):
        if not (out.said and out.said[-1].field == "lost"):
            return False
        said = Said("lost", n=said.n, unit=said.unit, cause=said.into, at=said.at)
    if fld.name == "lost" and said.cause:
        said = cause_and_place(said, spots)
    cells = re.fullmatch(r"(\d+) cells?", said.where)
    if cells and fld.name == "up":
        out.said.append(replace(said, where=""))
        out.said.append(Said("up", n=Amount(float(cells[1])), unit="cells", at=said.at))
        return True
    if (
        said.where
        and fld.name in ("up", "of", "alive", "left", "lost")
        and not is_spot(said.where, spots)
    ):
        if _DIGIT.search(said.where) or said.text == "bare":
            return False
        out.said.append(replace(said, where=""))
        out.words.append(said.where)
        return True
    if fld.name in ("into", "taken") and _DIGIT.search(said.into):
        out.unlike_container(said, piece, spots)
    last = out.said[-1] if out.said else None
    if fld.name == "stems" and "each" in found.group().lower() and last and last.field == "bunches":
        out.said[-1] = replace(last, of=last.of or said.n)
        return True
    end = end_of_name(said.into, farm) if fld.name in ("into", "planted") else None
    if end is None:
        out.said.append(said)
        return True
    at = found.end("into") - len(said.into) + end
    out.said.append(replace(said, into=said.into[:end], at=piece.part(0, at).at))
    rest = piece.part(at, found.end("into"))
    more = re.match(r"(?:and|then|but)\s+", rest.text, re.I)
    verb = next(v for v in VERBS if fld in v.fields)
    read_clause(verb, rest.part(more.end() if more else 0, len(rest.text)), farm, out)
    return True


_SOWN_VERB = next(v for v in VERBS if v.name == "sown")
# `F1` and `O75` belong to a variety's name; `rest of the packet` is none.
_IN_NAME = re.compile(r"(?<![\w.])[A-Z]+\d+(?![\w.%])")
_NO_VARIETY = re.compile(
    r"\b(?:seeds?|seeded|sown|packet|overnight|thinly|thickly|scattered|broadcast|soaked|think|"
    r"pelleted|primed|rest|old|fresh|lids?|dome|fleece|net|mesh|film)\b"
)


def _sown_words(piece: Piece, farm: Farm, out: Clauses) -> None:
    """Words of a sowing that no pattern fits: a place, else the variety, else a note."""
    text = piece.text.strip(" .'\"")
    led = re.match(r"(?:on|in|at|under)\s+", text, re.I)
    if (
        fold(bare(text)) in farm.spots()
        or led
        or (is_spot(text, farm.spots()) and not _DIGIT.search(text))
    ):
        out.said.append(Said("place", where=bare(text), at=piece.at))
        return
    known = any(
        fold(text).endswith(fold(v)) for crop in farm.crops.values() for v in crop.varieties
    )
    name = known or (
        not _DIGIT.search(_IN_NAME.sub("", text))
        and not (not re.search(r"\b[A-Z]\w", text) and _NO_VARIETY.search(text))
    )
    if name and not any(s.field in ("variety", "named") for s in out.said):
        out.said.append(Said("named", text=text, at=piece.at))
        return
    out.number_left(piece, _SOWN_VERB, farm)
    out.word(text)


def _lot_words(piece: Piece, out: Clauses) -> bool:
    """Free words about seed: first the crop and variety, then whose seed it is."""
    text = piece.text.strip(" .'\"")
    if _DIGIT.search(_IN_NAME.sub("", text)) or _NO_VARIETY.search(text):
        return False
    if not any(s.field in ("variety", "named") for s in out.said):
        out.said.append(Said("named", text=text.replace('"', ""), at=piece.at))
        return True
    if text[:1].isupper() and not any(s.field == "supplier" for s in out.said):
        out.said.append(Said("supplier", text=text, at=piece.at))
        return True
    return False


def read_field(verb: Verb, key: Piece, value: Piece, farm: Farm, out: Clauses) -> None:
    """Read a mapping's `key: value` by the same patterns as a clause."""
    fld = field_for(verb, key.text)
    if fld is None:
        return
    parts, tails = (
        split(value) if fld.name not in ("variety", "crop", "purpose", "place") else ([value], [])
    )
    for part in parts:
        asked = Piece(fld.form.format(part.text), part.at) if fld.form != "{}" else part
        if not _by_field(verb, fld, asked, farm, out) and not _by_field(verb, fld, part, farm, out):
            read_clause(verb, part if fld.patterns else asked, farm, out)
    out.words += [t.text for t in tails]


def _by_field(verb: Verb, fld: Field, piece: Piece, farm: Farm, out: Clauses) -> bool:
    for test in (*dict(patterns(verb)).get(fld, ()), *keyed(fld)):
        found = test.fullmatch(piece.text.rstrip(" ."))
        if found and _accept(fld, found, piece, farm, out):
            return True
    return False


def reads(verb: Verb, piece: Piece, farm: Farm) -> Clauses | None:
    """A clause that one field reads from end to end; None for any other."""
    trial = Clauses()
    return trial if _whole(verb, piece, farm, trial) else None
