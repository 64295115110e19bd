"""How something was sown, part by part, in words that can be set side by side.

A part that was not written is empty; empty is not known, and never counts as a difference.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from traybook.ledger.keep import Kept
from traybook.ledger.seed import Treatment
from traybook.rollup.sowing import SowingFigures
from traybook.text.days import MONTHS
from traybook.text.names import fold

#: The parts in the order they are told; the time of sowing is set beside others by weeks.
PARTS = (
    "seed lot",
    "age of the seed",
    "treatment",
    "container",
    "seeds a cell",
    "mix",
    "cover",
    "light",
    "place",
    "heat",
)
UNTREATED = "none written"
TIME = "time of sowing"
# common practice, no source: sowings three weeks apart or more meet other days
WEEKS_APART = 3


@dataclass(frozen=True, slots=True)
class Recipe:
    """The parts of one sowing by their names in `PARTS`, its day of the year and its day, and its weeks from the last frost
    (negative before it), None where farm.yaml names no frost."""

    parts: Mapping[str, str]
    day: int
    sown_on: dt.date
    weeks: float | None

    def of(self, part: str) -> str:
        """One part in words; empty where it was not written."""
        return self.parts[part]


@dataclass(frozen=True, slots=True)
class Changed:
    """A part that differs between two sets of sowings: what it was now, and then."""

    part: str
    now: str
    then: str


def recipe_of(s: SowingFigures, kept: Kept) -> Recipe:
    """How one sowing was made."""
    w, event = s.sowing, s.sowing.event
    medium, heat = event.one("medium"), event.one("heat")
    frost = kept.book.farm.last_frost_of(w.sown_on.year)
    parts = {
        "seed lot": w.lot,
        "age of the seed": _age(s, kept),
        "treatment": _treated(s.account.treatments, w.sown_on),
        "container": _held(s),
        "seeds a cell": _per_cell(s),
        "mix": fold(medium.text) if medium and fold(medium.text) != fold(w.variety) else "",
        "cover": _cover(s),
        "light": s.light.lower(),
        "place": _place(s),
        "heat": _heat(heat.text if heat else _setting(s, kept, "heat")),
    }
    weeks = (w.sown_on - frost).days / 7 if frost else None
    return Recipe(parts, w.sown_on.timetuple().tm_yday, w.sown_on, weeks)


def _age(s: SowingFigures, kept: Kept) -> str:
    lot = kept.seed.lots.get(fold(s.sowing.lot)) if s.sowing.lot else None
    if lot is None or lot.packed_for is None:
        return ""
    years = max(0, s.sowing.sown_on.year - lot.packed_for)
    return "fresh" if not years else "1 year" if years == 1 else f"{years} years"


def _treated(treatments: Iterable[Treatment], sown_on: dt.date) -> str:
    """`cold 4 weeks, soaked`; that none was written is something to go by, since writing it is the rule."""
    return ", ".join(_treatment(t, sown_on) for t in treatments) or UNTREATED


def _treatment(t: Treatment, sown_on: dt.date) -> str:
    length = t.days(sown_on if not t.ref.code else None)
    if length is None or length < 1.5:
        return t.kind
    weeks = round(length / 7)
    if length < 6:
        return f"{t.kind} {length:.0f} days"
    return f"{t.kind} a week" if weeks <= 1 else f"{t.kind} {weeks} weeks"


def _held(s: SowingFigures) -> str:
    """What it was sown in, without how many of it: two 72-cell trays are sown as one is."""
    held = s.sowing.container
    if held is None:
        return ""
    if held.kind == "cells":
        return f"{held.size}-cell tray" if held.size else "cells"
    names = {"paper": "damp paper", "bed": "a bed", "open": "open tray"}
    return names.get(held.kind, held.kind)


def _per_cell(s: SowingFigures) -> str:
    w = s.sowing
    if w.low is None or not w.cells:
        return ""
    return f"{w.low}" if w.low == w.high else f"{w.low} to {w.high}"


def _cover(s: SowingFigures) -> str:
    said, depth = s.sowing.event.one("cover"), s.sowing.cover_mm
    if depth is None:
        return "covered" if said and "cover" in said.text.lower() else ""
    return "surface" if depth == 0 else f"{depth:g} mm"


def _place(s: SowingFigures) -> str:
    """Where it stood until half was up; a bed is told by what it was sown in."""
    return "" if s.sowing.measure == "stand" else s.place.lower()


def _setting(s: SowingFigures, kept: Kept, key: str) -> str:
    """What farm.yaml says of its place."""
    facts = next((v for k, v in kept.book.farm.places.items() if fold(k) == fold(s.place)), {})
    return next((v for k, v in facts.items() if fold(k) == key), "")


def _heat(words: str) -> str:
    flat = fold(words)
    if not flat:
        return ""
    return "no heat" if flat in ("none", "no", "unheated", "no heat") else "heated"


def differing(now: Iterable[Recipe], then: Iterable[Recipe]) -> tuple[Changed, ...]:
    """Every part in which two sets of sowings differ, the sowing day last.

    A part differs where less than three quarters of the sowings that tell it can be matched with a
    like one on the other side; where either side tells nothing it is not known.
    """
    a, b = list(now), list(then)
    out = []
    for part in PARTS:
        now_, then_ = [r.parts[part] for r in a], [r.parts[part] for r in b]
        if len({*now_, *then_}) == 1:
            continue  # as good as always
        one, two = [w for w in now_ if w], [w for w in then_ if w]
        if one and two and _overlap(one, two) < _ALIKE:
            out.append(Changed(part, _told(one), _told(two)))
    return (*out, *_days(a, b))


def apart_from(part: str, changed: Iterable[Changed]) -> list[Changed]:
    """The changes that are besides one part: what a place brings with it is no second change, and
    neither is another lot when its age is asked about."""
    return [c for c in changed if c.part != part and c.part not in _GOES_WITH.get(part, ())]


def separate(changed: Iterable[Changed]) -> list[Changed]:
    """The changes, each with what goes with it counted once: credit is for one alone."""
    out = list(changed)
    for part in ("place", "seed lot"):
        if any(c.part == part for c in out):
            out = [c for c in out if c.part not in _GOES_WITH[part]]
    return out


# What a place or a lot brings with it.
_GOES_WITH = {
    "place": ("light", "heat"),
    "seed lot": ("age of the seed",),
    "age of the seed": ("seed lot",),
}
_ALIKE = 0.75


def _told(words: list[str]) -> str:
    """The words for one part, the commonest first."""
    return " or ".join(sorted(set(words), key=lambda w: (-words.count(w), w)))


def _overlap(one: list[str], two: list[str]) -> float:
    """How much of the one is also in the other, between 0 and 1."""
    both = set(one).intersection(two)
    return sum(min(one.count(w) / len(one), two.count(w) / len(two)) for w in both)


def _days(a: list[Recipe], b: list[Recipe]) -> list[Changed]:
    """The time of sowing by the calendar: the same where three quarters of either side have one within
    three weeks on the other."""
    if not a or not b:
        return []
    alike = min(_near(a, b), _near(b, a))
    return [] if alike >= _ALIKE else [Changed(TIME, _when(a), _when(b))]


def _near(some: list[Recipe], others: list[Recipe]) -> float:
    """How many of some have one of the others within three weeks, whatever the year."""
    days, found, most = {r.day for r in others}, 0, WEEKS_APART * 7
    for r in some:
        found += any(not most < abs(r.day - day) < 365 - most for day in days)
    return found / len(some)


def _when(recipes: list[Recipe]) -> str:
    """`22 Jan and 1 Nov`; of more than two the first and the last of the year."""
    days = sorted({(r.sown_on.month, r.sown_on.day) for r in recipes})
    told = [f"{d} {MONTHS[m - 1]}" for m, d in days]
    return " and ".join(told) if len(told) < 3 else f"{told[0]} to {told[-1]}"
