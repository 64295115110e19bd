"""Gentle prompts about seed before it is sown: treatments that are overdue, damp seed in a freezer,
dressed seed among food, old lots."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from traybook.findings.model import Finding
from traybook.ledger.keep import Kept
from traybook.ledger.seed import Treatment
from traybook.records.event import Event
from traybook.rules.around import recent
from traybook.text.names import fold
from traybook.text.source import Span

_RECENT = dt.timedelta(days=365)
_MOIST = re.compile(r"moist|damp|wet", re.IGNORECASE)
_FREEZER = re.compile(r"\bfreezer\b|\bfrozen\b", re.IGNORECASE)
_FRIDGE = re.compile(r"\b(?:fridge|refrigerator|freezer)\b", re.IGNORECASE)
_IN_WORDS = re.compile(r"\bin (?:the |a |our )?((?:\w+ )?(?:fridge|freezer))\b", re.IGNORECASE)
# A fridge for seed alone is no place for food.
_NO_FOOD = re.compile(r"\b(?:seed|shed|barn|packing|flower|cool)\b", re.IGNORECASE)


def _place(event: Event) -> tuple[str, Span]:
    said = next((s for s in event.said if s.field == "place"), None)
    if said and said.at:
        return said.where, said.at
    found = _IN_WORDS.search(event.at.text)
    if not found:
        return "", event.subject_at
    start = event.at.start + found.start()
    return found[1], Span(event.at.source, start, start + len(found.group()))


def _recent(kept: Kept) -> Iterator[Treatment]:
    day = kept.book.as_of
    return (t for t in kept.seed.treatments if t.event.on and day - _RECENT <= t.event.on <= day)


def treatment_overdue(kept: Kept) -> Iterator[Finding]:
    """A treatment whose planned end has passed, with no `out` and nothing sown from it since."""
    sown = {fold(a.sowing.lot): a.sowing.sown_on for a in kept.accounts.values() if a.sowing.lot}
    for t in _recent(kept):
        due = t.due
        if due is None or t.out is not None or due >= kept.book.as_of:
            continue
        taken = sown.get(fold(t.ref.lot)) if t.ref.lot else None
        if taken and t.start and taken >= t.start:
            continue
        days = (kept.book.as_of - due).days
        said = next((s for s in t.event.all("length") if s.at), None)
        yield Finding(
            "treatment-overdue", f"this was to end on {due}, {_ago(days)}, and no line says that it is out",
            said.at if said and said.at else t.event.subject_at, f"look, and write `{t.event.verb} {t.event.subject}: out`",
            about=(t.ref.code,) if t.ref.code else (),
        )  # fmt: skip


def moist_frozen(kept: Kept) -> Iterator[Finding]:
    """Damp seed put into a freezer, where its water turns to ice."""
    # source: University of Washington, EHUF 473: only seed under about 14 % moisture may be frozen
    for t in _recent(kept):
        place, at = _place(t.event)
        if _moist(t.event) and (t.kind == "frozen" or _FREEZER.search(place)):
            said = next((s for s in t.event.all("moisture") if s.at), None)
            yield Finding(
                "moist-frozen", "damp seed in a freezer is mostly killed by the ice",
                at if place else (said.at if said and said.at else at),
                "a fridge is meant for damp seed; only dry, sealed seed goes into a freezer",
            )  # fmt: skip


def _moist(event: Event) -> bool:
    said = event.one("moisture")
    return bool(said and _MOIST.search(said.text))


def dressed_in_fridge(kept: Kept) -> Iterator[Finding]:
    """Seed treated with a pesticide, kept where there is food."""
    for entry in kept.book.entries:
        event, lot = entry.event, kept.seed.lots.get(fold(entry.ref.lot)) if entry.ref.lot else None
        place, at = _place(event)
        if not entry.used or lot is None or not lot.dressed:
            continue
        if _FRIDGE.search(place) and not _NO_FOOD.search(place):
            yield Finding(
                "dressed-in-fridge", f"`{lot.lot}` is dressed with a pesticide, and a {_bare_place(place)} may hold food", at,
                "keep it in a labelled box in a fridge without food, and follow its label",
            )  # fmt: skip


def _bare_place(place: str) -> str:
    """Without its article."""
    return re.sub(r"^(?:the|a|my|our)\s+", "", place.strip(), flags=re.IGNORECASE)


def treated_how(kept: Kept) -> Iterator[Finding]:
    """`treated` may mean a pesticide, or cold: only the one word can't be told."""
    for entry in kept.book.entries:
        for said in entry.event.all("coating") if entry.used else ():
            if said.text.lower() == "treated" and said.at and "with" not in said.at.text.lower():
                yield Finding(
                    "treated-how", "`treated` doesn't say with what", said.at,
                    "write `dressed` for a pesticide, else `pelleted` or `primed`; until then it is handled as undressed",
                )  # fmt: skip


def old_lot(kept: Kept) -> Iterator[Finding]:
    """Sown from seed older than its kind keeps; a test since then answers it."""
    for account in recent(kept):
        sowing = account.sowing
        lot = kept.seed.lots.get(fold(sowing.lot)) if sowing.lot else None
        fact = kept.book.fact(sowing.crop)
        if lot is None or lot.packed_for is None or fact is None or not fact.keeps_years:
            continue
        age = sowing.sown_on.year - lot.packed_for
        if age > fact.keeps_years and lot.test is None:
            said = next((s for s in sowing.event.all("lot") if s.at), None)
            yield Finding(
                "old-lot", f"`{lot.lot}` was packed for {lot.packed_for}; {sowing.crop} keeps about {_years(fact.keeps_years)}",
                said.at if said and said.at else sowing.event.subject_at,
                "test a few seeds first, or sow thicker", about=(account.code,),
            )  # fmt: skip


def _years(n: int) -> str:
    return "a year" if n == 1 else f"{n} years"


def _ago(days: int) -> str:
    return "a day ago" if days == 1 else f"{days} days ago"
