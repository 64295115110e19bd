"""Cold, soaking and the like: which treatments a sowing had, for how long, and its second clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from .events import Event, Sown, Treated

NAMES = {
    "chilled": "cold",
    "soaked": "soaked",
    "nicked": "nicked",
    "warmed": "warm",
    "frozen": "frozen",
}
IN_DAYS = {"hours": 1 / 24, "days": 1, "weeks": 7}
GRACE = 3  # seed is sown within days of coming out


@dataclass(frozen=True)
class Spell:
    """One treatment from its start to its `out`, if that was written."""

    verb: str
    start: date
    said: float | None
    out: date | None


def spells(events: list[Event], subject: str, as_of: date) -> list[Spell]:
    """The treatments of a lot or a sowing, in order."""
    mine = [
        e
        for e in events
        if isinstance(e, Treated) and (e.lot or e.code) == subject and e.day <= as_of
    ]
    out: list[Spell] = []
    for e in mine:
        if e.out:
            continue
        ends = [x.day for x in mine if x.out and x.verb == e.verb and x.day >= e.day]
        said = e.length[0] * IN_DAYS[e.length[1]] if e.length else None
        out.append(Spell(e.verb, e.day, said, min(ends, default=None)))
    return sorted(out, key=lambda s: s.start)


def of_lot(sown: Sown, events: list[Event], as_of: date) -> list[tuple[str, float | None]]:
    """Treatments of the lot that the seed was taken from within, or just after."""
    out = []
    for s in spells(events, sown.lot, as_of) if sown.lot else []:
        taken = (sown.day - s.start).days
        over = (s.out - s.start).days if s.out else s.said
        if taken < 0 or (over is not None and taken > over + GRACE):
            continue
        days = min(taken, over) if over is not None else taken
        out.append((s.verb, None if s.verb == "nicked" else days))
    return out


def of_sowing(sown: Sown, events: list[Event], as_of: date) -> list[tuple[str, float | None]]:
    out = []
    for s in spells(events, sown.code, as_of):
        days = (s.out - s.start).days if s.out else s.said
        out.append((s.verb, None if s.verb == "nicked" else days))
    return out


def treatment(sown: Sown, events: list[Event], as_of: date) -> tuple[str, float | None]:
    """The kinds in order and the days of those that have any."""
    found = of_lot(sown, events, as_of) + of_sowing(sown, events, as_of)
    days = [d for _, d in found if d is not None]
    return " + ".join(NAMES[v] for v, _ in found), sum(days) if days else None


def out_of_cold(sown: Sown, events: list[Event], first_up: int | None, as_of: date) -> int | None:
    """Day (from sowing) on which the sowing came out of the cold, if it was before the first up."""
    days = [
        (s.out - sown.day).days
        for s in spells(events, sown.code, as_of)
        if s.verb in ("chilled", "frozen") and s.out
    ]
    fit = [d for d in days if d > 0 and (first_up is None or d < first_up)]
    return max(fit, default=None)
