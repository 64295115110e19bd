"""What a match of a field's pattern says, and when its words say something else after all."""

from __future__ import annotations

import re
from dataclasses import replace

from traybook.records.containers import bare, container, is_spot
from traybook.records.event import Said
from traybook.records.field import Field, Verb
from traybook.records.settings import Farm
from traybook.text.names import fold
from traybook.text.scalars import Amount, amount, length_mm, whole_number
from traybook.text.source import Piece

_DIGIT = re.compile(r"\d|[½¼¾⅓⅔]")
# What still has to be done takes nothing: `20 to prick out`.
_TO_DO = re.compile(
    r"(?:be|prick|pot (?:on|up)|plant|move|sell|sow|thin|check|go|come|follow)\b", re.IGNORECASE
)
_MORE_SAID = re.compile(r"\s+(?=@|(?:and|on|in|at|then|but|with)\b|\d)", re.IGNORECASE)


def meant_otherwise(
    fld: Field, found: re.Match[str], said: Said, spots: frozenset[str], before: list[Said]
) -> bool:
    """True when the words fit the field's pattern and yet say something else."""
    if fld.name in ("taken", "out"):
        return bool(_TO_DO.match(said.into or said.text))
    if fld.name in ("up", "none", "of"):
        # Of two counts of one thing in a line only one can be its day's.
        return (said.field, said.unit, said.where) in {(s.field, s.unit, s.where) for s in before}
    if fld.name == "moved":
        again = any(s.field == "moved" and s.n is None for s in before)
        return again and said.n is None and not said.where and fold(said.into) not in spots
    if fld.name == "bed":
        return found.group()[:2].lower() == "in" and not is_spot(said.where, spots)
    if fld.name == "planted" and said.into and container(said.into) is None:
        known = fold(said.into) in spots
        return not known and bool(_DIGIT.search(said.into) or not is_spot(said.into, spots))
    return False


def end_of_name(into: str, farm: Farm) -> int | None:
    """Where a container's or bed's name ends and more is said: `72s and binned the rest`."""
    spots = farm.spots()
    whole = container(into, farm.bed_names())
    if fold(into) in spots or (whole and whole.kind != "bed"):
        return None
    for cut in _MORE_SAID.finditer(into):
        left = into[: cut.start()]
        held = container(left)
        if fold(left) in spots or (held and (held.kind != "bed" or _DIGIT.search(left))):
            return cut.start()
    return None


def cause_and_place(said: Said, spots: frozenset[str]) -> Said:
    """`frost in the bed`: the cause, and the place at its end."""
    found = re.match(r"(.+?)\s+(?:in|on|at)\s+(.+)$", said.cause)
    if found and not said.where and is_spot(found[2], spots):
        return replace(said, cause=found[1], where=bare(found[2]))
    return said


def said_by(fld: Field, found: re.Match[str], piece: Piece, farm: Farm) -> Said | None:
    """The parts of a match as a `Said`; None when a length can't be read."""
    got = {k: v for k, v in found.groupdict().items() if v is not None}
    small, long_, depth = ("in", "ft", "in") if farm.units == "imperial" else ("cm", "m", "mm")
    units = {"spacing": small, "between": small, "length": long_, "depth": depth}
    lengths = {}
    for name, unit in units.items():
        if name not in got:
            continue
        bare_unit = "in" if name == "depth" and re.search(r"[/½¼¾]", got[name]) else unit
        other = {"spacing": "between", "between": "spacing"}.get(name, "")
        if other in got and re.fullmatch(r"[\d.]+\s*", got[name]):
            bare_unit = re.sub(r"^[\d./ ½¼¾-]+", "", got[other]).strip() or unit
        lengths[name] = length_mm(got[name], bare_unit)
        if lengths[name] is None:
            return None
    n = amount(got["n"]) if "n" in got else None
    if "cells" in got:
        n = Amount(float(got["cells"]))
    if "kilo" in got and n and n.value is not None:
        n = replace(n, value=n.value * 1000)
    of = amount(got["of"]) if "of" in got else None
    for extra in ("size", "places"):
        if extra in got:
            of = Amount(float(got[extra]))
    name, unit = _field_name(fld.name, got), got.get("unit", "").lower()
    if fld.name == "none" or "none" in got:
        n = Amount(0.0)
    cause = got.get("cause", "").strip()
    if "seeds" in got:
        unit = unit or "bad"
        rot = re.search(r"mou?ld|rot", piece.text, re.I)
        cause = cause or ({"mo": "mould", "ro": "rot"}[rot.group()[:2].lower()] if rot else "")
    low = whole_number(got["low"]) if "low" in got else None
    bare_number = "bare" if "bare" in got else ""
    return Said(
        name,
        n=n,
        of=of,
        unit=unit,
        where=bare(got["where"]) if got.get("where") else "",
        into=bare(got["into"]) if got.get("into") else "",
        cause=cause,
        text=(
            got.get("text") or got.get("whom") or got.get("per") or got.get("day") or bare_number
        ).strip(),
        low=low,
        high=int(got["high"]) if "high" in got else low,
        spacing_mm=lengths.get("spacing"),
        between_mm=lengths.get("between"),
        length_mm=lengths.get("length"),
        depth_mm=lengths.get("depth"),
        rows=whole_number(got["rows"]) if "rows" in got else None,
        at=piece.at,
    )


def _field_name(name: str, got: dict[str, str]) -> str:
    if name == "none":
        return "up"
    if name == "of" and got.get("word", "").lower() in ("alive", "living", "survived", "survive"):
        return "alive"
    return "up" if name == "of" else name


# The clauses of a verb that hold its usual numbers, the likeliest first.
_COUNTS = ("up", "seeds", "stems", "planted", "into", "moved", "out", "lost", "bunches", "per_cell",
           "left", "spare")  # fmt: skip


def counted_as(verb: Verb) -> str:
    """What to do about a number that was not read, with the verb's own clauses."""
    held = {f.name: f.example for f in reversed(verb.fields)}
    said = [held[n] for n in _COUNTS if n in held and re.match(r"\d", held[n])][:2]
    if not said:
        return "put it in the note, after `;`"
    as_ = " or ".join(f"`{x}`" for x in said)
    return f"say what it counts, as {as_}; or put it in the note, after `;`"
