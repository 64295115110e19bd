"""Rules about names: one thing spelt in two ways, and places that farm.yaml doesn't name."""

from __future__ import annotations

import re
from collections.abc import Iterator

from traybook.findings.model import Finding, Label, offer
from traybook.ledger.keep import Kept
from traybook.records.book import Entry
from traybook.records.containers import bare, container
from traybook.records.event import Said
from traybook.text.names import fold, one_slip
from traybook.text.source import Span


def _sown(kept: Kept) -> Iterator[Entry]:
    return (e for e in kept.book.entries if e.event.verb == "sown" and e.used and e.ref.crop)


def two_spellings(kept: Kept) -> Iterator[Finding]:
    """A variety that is one slip from another of its crop; asked once, at the later spelling."""
    seen: dict[str, dict[str, tuple[str, Span | None]]] = {}
    for crop in kept.book.farm.crops.values():
        seen[fold(crop.name)] = {fold(v): (v, None) for v in crop.varieties}
    for entry in _sown(kept):
        ours = seen.setdefault(fold(entry.ref.crop), {})
        name = entry.ref.variety
        if not name or fold(name) in ours:
            continue
        said = entry.event.one("variety") or entry.event.one("named")
        at = said.at if said and said.at else entry.event.subject_at
        if said and fold(name) not in fold(said.text):
            at = _renamed_at(kept, entry.ref.code) or at
        near = next((x for x in ours.values() if one_slip(x[0], name)), None)
        ours[fold(name)] = (name, at)
        if near:
            other, first = near
            also = (Label(first, "first here"),) if first else ()
            yield Finding(
                "two-spellings", f"`{name}` is nearly `{other}`; they are kept as two varieties", at,
                f"{offer([other])} If they are two, add both to `varieties` in crops.yaml", also, (entry.ref.code,),
            )  # fmt: skip


def _renamed_at(kept: Kept, code: str) -> Span | None:
    """Where a sowing got its name later."""
    later = [e.event for e in kept.book.of(code) if e.event.verb == "renamed"]
    return next((s.at for e in later for s in e.said if s.at), None)


def new_crop_near(kept: Kept) -> Iterator[Finding]:
    """A crop nobody named before that is one slip from a known one; asked once."""
    farm = kept.book.farm
    known = {fold(n): c.name for c in farm.crops.values() for n in (c.name, *c.spellings)}
    varieties = {fold(v): f"{c.name} {v}" for c in farm.crops.values() for v in c.varieties}
    for entry in _sown(kept):
        crop = entry.ref.crop
        if entry.ref.variety:
            varieties.setdefault(fold(entry.ref.variety), f"{crop} {entry.ref.variety}")
        if fold(crop) in known:
            continue
        plain = re.sub(r"[\s-]*\d[\d-]*$", "", crop)
        near = next((own for flat, own in known.items() if one_slip(flat, crop)), "")
        near = near or varieties.get(fold(crop), "") or known.get(fold(plain), "")
        known[fold(crop)] = crop
        if near:
            yield Finding(
                "new-crop-near", f"`{crop}` is a new crop here, and nearly `{near}`", entry.event.subject_at,
                f"{offer([near])} If it is another crop, add it to crops.yaml", about=(entry.ref.code,),
            )  # fmt: skip


def odd_place(kept: Kept) -> Iterator[Finding]:
    """A place or bed that is nearly one of farm.yaml's, or its next number; asked once a name."""
    farm = kept.book.farm
    spots = {fold(n): n for n in (*farm.places, *farm.beds)}
    asked: set[str] = set()
    for entry in kept.book.entries if spots else ():
        for name, at in _places(entry):
            flat = fold(bare(name))
            if flat in spots or flat in asked or not entry.used:
                continue
            near = [own for own in spots.values() if one_slip(own, flat)]
            sisters = [own for own in spots.values() if _sister(fold(own), flat)]
            if not near and not sisters:
                continue
            asked.add(flat)
            named = offer(near) or f"farm.yaml names {_few(sisters)}."
            yield Finding("odd-place", f"`{bare(name)}` is not in farm.yaml", at,
                          f"{named} If it is another one, add it there")  # fmt: skip


def _few(names: list[str]) -> str:
    ticked = [f"`{n}`" for n in names]
    return ", ".join(ticked[:4]) + (" ..." if len(ticked) > 4 else "")


def _sister(own: str, flat: str) -> bool:
    """`bed 7` where the farm names bed 1 and bed 2."""
    one, two = (re.fullmatch(r"(.+?) (\w|\d+)", x) for x in (own, flat))
    return bool(one and two and one[1] == two[1] and one[2].isdigit() == two[2].isdigit())


def _places(entry: Entry) -> Iterator[tuple[str, Span]]:
    """The places and beds that a line names, each with where it stands."""
    event = entry.event
    if entry.ref.kind == "bed" and event.verb != "sown" and entry.ref.bed:
        yield entry.ref.bed, event.subject_at
    for said in event.said:
        name = _name(said, event.verb)
        if name and said.at:
            yield name, _within(said.at, name)


def _name(said: Said, verb: str) -> str:
    """The place or bed that a clause names; empty for a tray or pots."""
    if said.field in ("place", "bed"):
        return said.where
    if said.field == "moved" or (said.field == "planted" and verb == "planted out"):
        return said.into
    held = container(said.into) if said.field == "container" else None
    return held.name if held and held.kind == "bed" else ""


def _within(at: Span, name: str) -> Span:
    """Where the name stands in its clause."""
    found = re.search(re.escape(name), at.text, re.IGNORECASE)
    if not found:
        return at
    return Span(at.source, at.start + found.start(), at.start + found.end())
