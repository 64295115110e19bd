"""Seed lots, treatments, drills, and what is set right afterwards, in words."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

from .events import (
    Aside,
    Bunch,
    Corrected,
    Density,
    Dropped,
    Event,
    Lot,
    Renamed,
    Resown,
    SeedTest,
    Sown,
    Stretch,
    Swapped,
    Treated,
)

PLAIN = {
    Lot: "received",
    SeedTest: "tested",
    Resown: "resown",
    Density: "checked",
    Stretch: "checked",
    Corrected: "corrected",
    Dropped: "dropped",
    Swapped: "swapped",
    Renamed: "renamed",
    Bunch: "bunch",
}
ASIDES = (
    "weather",
    "temperature",
    "keep",
    "drop",
    "more",
    "less",
    "netted",
    "covered",
    "seen",
    "question",
    "answered",
    "lesson",
)
MORE_VERBS = {
    "received": ("received", "received", "got", "bought"),
    "have": ("have", "in stock"),
    "arrived": ("arrived",),
    "tested": ("tested",),
    "chilled": ("chilled", "stratified"),
    "soaked": ("soaked",),
    "nicked": ("nicked", "scarified"),
    "warmed": ("warmed",),
    "frozen": ("frozen", "froze"),
    "resown": ("resown", "re-sown"),
    "bunch": ("bunch",),
    "corrected": ("corrected",),
    "dropped": ("dropped",),
    "swapped": ("swapped",),
    "renamed": ("renamed",),
    **{v: (v,) for v in ASIDES},
    "pinched": ("pinched", "topped"),
}
AT = ("9:30", "16:05", "photo tray-3.jpg")
MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def day_of(day: date, rng: Random) -> str:
    """A day at the head of a line, in a notebook that is named after its month."""
    return rng.choice([day.isoformat(), f"{day.day} {MONTHS[day.month - 1]}"])


def sown_where(e: Sown) -> str:
    return f"{e.container}, {e.rows} rows x {e.length} {e.unit}" if e.rows else e.container


def more_clauses(e: Event, rng: Random) -> list[str]:
    made = {
        Lot: _lot,
        SeedTest: _tested,
        Treated: _treated,
        Resown: _resown,
        Density: _density,
        Stretch: _stretch,
        Aside: _aside,
        Renamed: _renamed,
        Dropped: _dropped,
        Bunch: _bunch,
    }
    return made[type(e)](e, rng) if type(e) in made else []


def _lot(e: Lot, rng: Random) -> list[str]:
    out = [
        f"{e.crop} {e.variety}",
        f"{e.seeds:,} seeds" if rng.random() < 0.3 else f"{e.seeds} seeds",
    ]
    if e.supplier:
        out.append(f"supplier {e.supplier}")
    if e.packed:
        out.append(f"packed {e.packed}")
    return out + ([e.coating] if e.coating else [])


def _tested(e: SeedTest, rng: Random) -> list[str]:
    out = [f"{e.n} seeds"] if e.up is None else [rng.choice([f"{e.up} of {e.n}", f"{e.up}/{e.n}"])]
    if e.medium:
        out.append(e.medium)
    if e.bad:
        out.append(f"{e.bad} mouldy")
    return out + (["done"] if e.done else [])


def _treated(e: Treated, rng: Random) -> list[str]:
    if e.out:
        out = ["out"]
        if e.sprouted is not None:
            out.append(f"{e.sprouted} sprouted")
        return out + ([f"{e.bad} mouldy"] if e.bad else [])
    out = [f"{e.n} seeds"] if e.n else []
    if e.length:
        out.append(f"{e.length[0]} {e.length[1]}")
    if e.moisture:
        out.append(e.moisture)
    return out + ([e.place] if e.place else [])


def _resown(e: Resown, rng: Random) -> list[str]:
    return [f"{e.cells} cells", f"{e.per_cell} per cell"]


def _density(e: Density, rng: Random) -> list[str]:
    if e.length != 1:
        return [f"{e.n} in {e.length} {e.unit}"]
    return [f"{e.n} per {e.unit}" + (f" in {e.places} places" if e.places else "")]


def _stretch(e: Stretch, rng: Random) -> list[str]:
    return [f"{e.n} of {e.of} {e.unit} alive"]


def _aside(e: Aside, rng: Random) -> list[str]:
    return [e.text]


def _renamed(e: Renamed, rng: Random) -> list[str]:
    return [e.variety]


def _dropped(e: Dropped, rng: Random) -> list[str]:
    return [e.why] if e.why else []


def _bunch(e: Bunch, rng: Random) -> list[str]:
    return [str(e.size)]


def when(target: date, written: date, rng: Random) -> str:
    """Another day, named in a line."""
    if written - target == timedelta(days=1) and rng.random() < 0.5:
        return "yesterday"
    return target.isoformat()


def lone(e: Event, word: str, subject: str, text: str, rng: Random) -> str | None:
    """The line of an event whose form is its own."""
    tail = f": {text}" if text else ""
    if isinstance(e, Swapped):
        return f"{word} {e.one} with {e.other} since {when(e.since, e.day, rng)}{tail}"
    if isinstance(e, (Corrected, Dropped)):
        return f"{word} {when(e.target, e.day, rng)} {subject}{tail}"
    if isinstance(e, Bunch) and not subject and rng.random() < 0.5:
        return f"{word} {text}"
    if not subject:
        return f"{word}{tail}"
    return None
