"""Seed in packets: what came, what is left, how it tested."""

from __future__ import annotations

from datetime import date

from .events import Event, Lot, SeedTest, Sown


def tests_of(events: list[Event], lot: str) -> list[list[SeedTest]]:
    """The tests of a lot, each with all its lines: one goes on until it is said to be done."""
    out: list[list[SeedTest]] = []
    for e in events:
        if not isinstance(e, SeedTest) or e.lot != lot:
            continue
        if out and not out[-1][-1].done and e.up is not None:
            out[-1].append(e)
        else:
            out.append([e])
    return out


def seeds_left(lot: str, mine: list[Lot], events: list[Event]) -> int:
    """What came, or the last count of it, less what was sown or put to a test since."""
    since, base = date.min, 0
    for e in mine:
        if e.have:
            since, base = e.day, e.seeds
        else:
            base += e.seeds
    used = [(e.day, e.seeds or 0) for e in events if isinstance(e, Sown) and e.lot == lot]
    used += [(t[0].day, t[0].n) for t in tests_of(events, lot)]
    return max(0, base - sum(n for d, n in used if d >= since))


def lot_rows(events: list[Event], as_of: date) -> list[dict[str, object]]:
    events = sorted((e for e in events if e.day <= as_of), key=lambda e: e.day)
    rows = []
    for lot in dict.fromkeys(e.lot for e in events if isinstance(e, Lot)):
        mine = [e for e in events if isinstance(e, Lot) and e.lot == lot]
        came = [e for e in mine if not e.have]
        test = next(reversed(tests_of(events, lot)), None)
        read = [t for t in test if t.up is not None] if test else []
        packed = next((e.packed for e in mine if e.packed), None)
        rows.append(
            {
                "lot": lot,
                "crop": mine[0].crop,
                "variety": mine[0].variety,
                "supplier": next((e.supplier for e in mine if e.supplier), None),
                "packed_for": packed,
                "received_on": came[0].day if came else None,
                "seeds": sum(e.seeds for e in came) if came else None,
                "seeds_left": seeds_left(lot, mine, events),
                "tested_on": test[-1].day if test else None,
                "tested_n": test[0].n if test else None,
                "tested_sprouted": read[-1].up if read else None,
                "dressed": any(e.coating == "dressed" for e in mine),
                "age_years": as_of.year - packed if packed else None,
            }
        )
    return rows
