"""Small random farms: `generate(seed)` gives the same farm for the same seed.

Histories are mostly sound.  A few visits say more is up than was sown; the rules then keep the
whole visit waiting.  Whatever the rules leave open is avoided here rather than guessed at.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random

from .coming_up import by_whom, life
from .events import (
    Bed,
    CropFact,
    Event,
    Farm,
    Hardening,
    Harvested,
    Place,
    Sown,
)

CROPS = {
    "snapdragon": ("Brick Lantern", "Pale Harbour"),
    "statice": ("Tin Roof",),
    "stock": ("Low Tide", "Ash Lane"),
    "larkspur": ("Mist Tower",),
    "sweet pea": ("Moth Veil", "Plum Ledger"),
    "scabious": ("Ink Button",),
    "cosmos": ("Chalk Lane",),
    "nigella": ("Blue Ditch",),
}
PLACES = (
    Place("shelf A", "lamps"),
    Place("shelf B", "lamps"),
    Place("cellar floor", "dark"),
    Place("cold frame", "sun"),
)
BEDS = (
    Bed("bed 1", 20, "field"),
    Bed("bed 2", 20, "field"),
    Bed("bed 3", 15, "tunnel"),
    Bed("long bed", 30, "field"),
)


def generate(seed: int, sowings: tuple[int, int] = (8, 25), over: tuple[int, ...] = ()) -> Farm:
    """A farm of so many sowings over one or two years, or over the years given."""
    rng = Random(seed)
    crops = _crops(rng)
    people = tuple(rng.sample(["jo", "mt", "ab"], rng.choice([1, 2, 2])))
    years = list(over) or ([2024, 2025] if rng.random() < 0.6 else [2025])
    used: dict[tuple[str, int], int] = {}
    events: list[Event] = []
    for _ in range(rng.randint(*sowings)):
        sown = _sown(rng, crops, rng.choice(years), used, people)
        events += life(rng, sown, people)
    events += _crop_cuts(rng, events, people)
    events += _hardenings(rng, events)
    events.sort(key=lambda e: e.day)
    latitude = -41 if rng.random() < 0.1 else 51
    return Farm(
        f"Oracle {seed}",
        latitude,
        PLACES,
        BEDS,
        people,
        crops,
        rng.choice([5, 10]),
        "stems",
        tuple(_unlike(events)),
    )


def _unlike(events: list[Event]) -> list[Event]:
    """No two events alike: what is written twice has a rule of its own."""
    return list(dict.fromkeys(events))


def _crops(rng: Random) -> tuple[CropFact, ...]:
    names = rng.sample(sorted(CROPS), rng.randint(4, 7))
    late = rng.choice(names)
    # lots of its own, so that the same seeds still make the same farms otherwise
    said = Random(late + "".join(names))
    return tuple(
        CropFact(
            n,
            CROPS[n],
            rng.choice([None, (7, 14), (10, 21), (5, 10)]),
            n == late or said.choice([None, None, False]),
            rng.choice([None, None, 8]),
            pre_treatment=rng.choice(["", "", "", "soak overnight", "cold 4 weeks"]),
        )
        for n in names
    )


def _sown(rng: Random, crops, year: int, used: dict, people) -> Sown:
    crop = rng.choice(crops)
    month = rng.choice([2, 3, 3, 4, 5]) if rng.random() < 0.8 else rng.choice([8, 9, 9])
    day = date(year, month, rng.randint(1, 28))
    used[crop.name, year] = number = used.get((crop.name, year), 0) + 1
    code = f"{crop.name.replace(' ', '-')}-{year % 100}-{number}"
    more = {
        "variety": rng.choice(crop.varieties),
        "place": rng.choice(PLACES).name,
        "by": by_whom(rng, people),
        "cover_mm": rng.choice([None, None, 3, 5]),
        "light": rng.choice([None, None, "dark", "light"]),
    }
    kind = rng.choice(
        ["one", "one", "one", "said", "many", "many", "unsaid", "open", "paper", "direct"]
    )
    if kind in ("open", "paper"):
        more["cover_mm"] = None
        words = "open tray" if kind == "open" else "damp paper"
        return Sown(day, code, crop.name, kind, words, seeds_said=rng.randint(20, 300), **more)
    if kind == "direct":
        more["place"] = None
        return Sown(
            day,
            code,
            crop.name,
            kind,
            rng.choice(BEDS).name,
            seeds_said=rng.randint(40, 400),
            **more,
        )
    size, trays = rng.choice([32, 36, 50, 72, 128]), rng.choice([1, 1, 1, 2])
    cells, words = (
        size * trays,
        f"{size}-cell tray" if trays == 1 else f"{trays} x {size}-cell tray",
    )
    if trays == 1 and rng.random() < 0.15:
        cells = size - rng.randint(2, 12)
        words = f"{cells} cells of a {size}"
    each = {"one": 1, "said": None, "unsaid": None, "many": rng.choice([2, 2, 3])}[kind]
    to = each + 1 if kind == "many" and rng.random() < 0.25 else None
    return Sown(
        day,
        code,
        crop.name,
        "cells",
        words,
        cells=cells,
        per_cell=each,
        per_cell_to=to,
        trays=trays,
        seeds_said=cells if kind == "said" else None,
        **more,
    )


def _crop_cuts(rng: Random, events: list[Event], people) -> list[Event]:
    """Harvests of which only the crop was written, each a day after one by code."""
    chosen = [e for e in events if isinstance(e, Harvested) and rng.random() < 0.15]
    next_day = timedelta(days=1)
    return [
        replace(e, code=None, bed=None, day=e.day + next_day, by=by_whom(rng, people))
        for e in chosen
    ]


def _hardenings(rng: Random, events: list[Event]) -> list[Event]:
    planted = {}
    for e in events:
        if hasattr(e, "parts"):
            planted.setdefault(e.day, []).append(e.code)
    return [
        Hardening(
            day - timedelta(days=1),
            tuple(dict.fromkeys(codes)),
            rng.choice(["", "out", "nights in"]),
        )
        for day, codes in planted.items()
        if rng.random() < 0.3
    ]
