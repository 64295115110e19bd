"""The tables from structured events, the slow way: `expected(farm, as_of)`.

A key that a row lacks is a column this oracle does not work out.
"""

from __future__ import annotations

from datetime import date
from statistics import median

from .book import (
    Book,
    cells_up,
    counted_in,
    cut_figures,
    germination,
    good,
    good_base,
    outcome,
    unaccounted,
    whereabouts,
)
from .drill import about
from .events import Event, Farm, Harvested
from .kinds import Count, limits, measure
from .lots import lot_rows
from .numbers import (
    crossing,
    evenness,
    mean_day,
)
from .running import History
from .treated import treatment

Row = dict[str, str]
Where = dict[Event, tuple[str, int]]
SPEED = (
    "first_up_after",
    "first_up_by",
    "half_day",
    "half_after",
    "half_by",
    "tenth_day",
    "ninetieth_day",
    "mean_days",
    "evenness_days",
)
ASSUMED_SPREAD = 0.08  # what a farm in its first season borrows


def show(x: object, places: int | None = None) -> str:
    """A value as the exports write it: unknown is empty, yes and no are words."""
    if x is None:
        return ""
    if isinstance(x, bool):
        return "true" if x else "false"
    if isinstance(x, date):
        return x.isoformat()
    return str(x) if places is None else f"{x:.{places}f}"


def same(ours: str, theirs: str, zero_is_empty: bool = False) -> bool:
    """Do two exported values say the same?  8 and 8.00 do; 0 and nothing only when asked."""
    if zero_is_empty:
        ours, theirs = ours or "0", theirs or "0"
    if ours == theirs:
        return True
    try:
        return abs(float(ours) - float(theirs)) < 1.01e-4
    except ValueError:
        return ours.casefold() == theirs.casefold()


def expected(farm: Farm, as_of: date, where: Where | None = None) -> dict[str, list[Row]]:
    """Every table in scope; with `where` (from `write`) checks and harvests carry file and line."""
    book = Book(farm, as_of)
    return {
        "sowings.csv": [sowing_row(book, h) for h in book.histories],
        "checks.csv": [r for h in book.histories for r in check_rows(h, where)],
        "pottings.csv": [r for h in book.histories for r in potting_rows(h)],
        "plantings.csv": [r for h in book.histories for r in planting_rows(h)],
        "harvests.csv": [harvest_row(book, e, where) for e in book.cuts],
        "crops.csv": crop_rows(book),
        "lots.csv": [{k: show(v) for k, v in row.items()} for row in lot_rows(book.events, as_of)],
    }


def sowing_row(book: Book, h: History) -> Row:
    s, t, sown, g = h.state, h.tally, h.sown, germination(h)
    cut = cut_figures(book, h)
    kinds, days = treatment(sown, book.events, book.as_of)
    up, base, place = cells_up(h), good_base(book, h), whereabouts(h)
    light = sown.light or next((p.light for p in book.farm.places if p.name == place), None)
    later_counted = [st for st in s.stands if st.counted]
    per_plant = cut["stems"] / s.planted if cut["stems"] is not None and s.planted else None
    values = {
        "code": sown.code,
        "crop": sown.crop,
        "variety": sown.variety,
        "season": book.season(sown),
        "lot": sown.lot,
        "sown_on": sown.day,
        "container": sown.container,
        "seeds": sown.seeds,
        "cells": sown.cells,
        "cells_up": up,
        "seeds_per_cell": sown.per_cell_said or sown.each,
        "counted_in": counted_in(h),
        "measure": measure(sown),
        "checks": h.coming.census,
        "emerged": g["emerged"],
        "emerged_at_least": g["at_least"],
        "lost": s.lost,
        "taken": s.taken,
        "missing": t.missing,
        "settled": book.settled(h),
        "in_germination": book.in_germination(h),
        "germination": show(g["p"], 4),
        "germination_low": show(g["low"], 4),
        "germination_high": show(g["high"], 4),
        "germination_estimated": g["estimated"],
        "cell_stand": show(None if up is None else up / sown.cells, 4),
        **speed(book, h),
        "clock": clock(book, h),
        "potted_on": s.potted,
        "good": good(h),
        "good_so_far": unaccounted(h),
        "good_share": show(good(h) / base if base else None, 4),
        "planted_out": s.planted,
        "sold": s.parted["sold"],
        "given": s.parted["given"],
        "spare": s.parted["spare"],
        "alive": sum(st.alive for st in s.stands) if later_counted else about(sown, book.events),
        "stems": cut["stems"],
        "stems_at_least": cut["at_least"],
        "stems_rejected": cut["rejected"],
        "stems_per_plant": show(None if cut["at_least"] else per_plant, 2),
        "first_cut_on": cut["first"],
        "last_cut_on": cut["last"],
        "days_to_first_cut": show((cut["first"] - sown.day).days if cut["first"] else None, 2),
        "place": place,
        "light": light,
        "cover_mm": sown.cover_mm,
        "treatment": kinds,
        "treatment_days": show(days, 2),
        "finished_on": h.finished.day if h.finished else None,
        "outcome": outcome(h),
        "left_out": h.left_out,
    }
    if sown.parent:  # it shares the tray: what came of it can't be told apart
        values = {k: v for k, v in values.items() if k in OF_A_CHILD}
    return {k: show(v) for k, v in values.items()}


OF_A_CHILD = {
    "code",
    "crop",
    "variety",
    "season",
    "sown_on",
    "seeds",
    "cells",
    "seeds_per_cell",
    "measure",
    "emerged",
    "germination",
    "germination_low",
    "germination_high",
    "in_germination",
    "half_day",
    "good_share",
}


def clock(book: Book, h: History) -> str:
    if h.bought:
        return "arrival"
    return "out of cold" if book.cold(h) is not None else "sown"


def speed(book: Book, h: History) -> Row:
    """How fast it came up, by its clock; plants bought in were up when they came."""
    if h.bought:
        return dict.fromkeys(SPEED, "")
    s, out = h.coming, book.cold(h) or 0
    by = h.first_up
    after = max((d for d in s.none if d < by), default=0) if by is not None else None
    steps = book.clocked(h)
    half, tenth, ninetieth = (crossing(steps, x) for x in (0.5, 0.1, 0.9))
    values = (
        None if after is None else max(0, after - out),
        None if by is None else by - out,
        half and half[2],
        half and half[0],
        half and half[1],
        tenth and tenth[2],
        ninetieth and ninetieth[2],
        mean_day(steps),
        evenness(steps),
    )
    return {k: show(v, 2) for k, v in zip(SPEED, values, strict=True)}


OF_A_COUNT = ("up", "alive", "unit", "sample_of")


def check_rows(h: History, where: Where | None) -> list[Row]:
    rows = []
    for c in h.state.checks:
        up, unit = c["up"], c["unit"]
        if c["cells"] is not None or c["seedlings"] is not None:
            first, second = ("seedlings", "cells") if h.by_seedlings else ("cells", "seedlings")
            unit = first if c[first] is not None else second
            up = c[unit]
        elif up is not None and unit is None:
            unit = counted_in(h) or ("cells" if h.many else None)
        values = {
            "code": h.sown.code,
            "stand": c["stand"],
            "on": c["day"],
            "day": show(c["d"], 2),
            "up": up,
            "left": c["left"],
            "alive": c["alive"],
            "unit": unit,
            "sample_of": c["of"],
            "lost": c["lost"],
            "seeds_lost": c["seeds_lost"],
            "taken": c["taken"],
            "emerged_so_far": None if h.bought else h.tally.emerged_on(c["d"]),
            "cause": ", ".join(dict.fromkeys(c["causes"])),
            "by": c["by"],
        }
        row = {k: show(v) for k, v in values.items() if not c["drill"] or k not in OF_A_COUNT}
        if c.get("arrival"):
            del row["cause"]
        if where is not None:
            file, line = where[c["event"].written]
            row["file"], row["line"] = file, str(line)
        rows.append(row)
    return rows


def potting_rows(h: History) -> list[Row]:
    return [
        {
            "code": h.sown.code,
            "on": show(x.day),
            "plants": show(x.n),
            "from": x.source,
            "into": x.into,
        }
        for x in h.state.hops
    ]


def planting_rows(h: History) -> list[Row]:
    """Length as said, else plants times spacing over rows when both were said; never a guess."""
    rows = []
    for st in h.state.stands:
        if not st.bed:
            continue
        p = st.part
        length = p.length_m
        if length is None and p.rows and p.in_row_cm:
            length = p.n * p.in_row_cm / 100 / p.rows
        rows.append(
            {
                k: show(v)
                for k, v in {
                    "code": h.sown.code,
                    "on": st.opened,
                    "plants": p.n,
                    "bed": p.bed,
                    "rows": p.rows,
                    "in_row_cm": p.in_row_cm,
                    "between_cm": p.between_cm,
                    "length_m": show(length, 2),
                    "alive": st.alive if st.counted else None,
                }.items()
            }
        )
    return rows


def harvest_row(book: Book, e: Harvested, where: Where | None) -> Row:
    h = book.owner(e)
    row = {
        k: show(v)
        for k, v in {
            "code": h.sown.code if h else None,
            "crop": e.crop,
            "variety": h.sown.variety if h else None,
            "bed": e.bed,
            "on": e.day,
            "stems": book.stems(e),
            "bunches": e.bunches,
            "bunch_size": book.size(e),
            "grams": None,
            "rejected": e.rejected,
            "grade": e.grade,
            "by": e.by,
        }.items()
    }
    if where is not None:
        file, line = where[e.written]
        row["file"], row["line"] = file, str(line)
    return row


def crop_rows(book: Book) -> list[Row]:
    """One row a crop, season and measure."""
    groups: dict[tuple, list[History]] = {}
    for h in book.histories:
        groups.setdefault((h.sown.crop, book.season(h.sown), measure(h.sown)), []).append(h)
    return [crop_row(book, key, groups[key]) for key in sorted(groups)]


def score_group(h: History, g: dict) -> Count:
    """A sowing as (n, seeds each, n up): in cells where emerged is estimated, else in seeds."""
    if g["estimated"]:
        return h.sown.cells, h.sown.each, h.coming.cells.emerged
    return h.sown.seeds, 1, g["emerged"]


def kind_share(book: Book, key: tuple, kept: list[History], found: list[dict]) -> Row:
    """What the kind did: its share with an interval that holds the spread of earlier seasons."""
    groups = [score_group(h, g) for h, g in zip(kept, found, strict=True)]
    groups = [(n, k, min(y, n)) for n, k, y in groups]
    if not groups:
        return {"germination": None}
    rho = book.kinds(score_of).spread(*key)
    value, low, high = limits(groups, rho)
    unknown = value == 1 and any(g["estimated"] for g in found)
    return {
        "germination": None if unknown else show(value, 4),
        "germination_low": show(low, 4),
        "germination_high": show(high, 4),
        "spread": show(rho, 4),
    }


def score_of(book: Book, h: History) -> tuple[tuple, tuple[Count, str]]:
    """A sowing's key and its count as its kind adds it up."""
    n, k, y = score_group(h, germination(h))
    return (h.sown.crop, book.season(h.sown), measure(h.sown)), (
        (n, k, min(y, n)),
        h.sown.variety or "",
    )


def crop_row(book: Book, key: tuple, all_of_it: list[History]) -> Row:
    kept = [h for h in all_of_it if book.in_germination(h)]
    found = [germination(h) for h in kept]
    seeds = sum(h.sown.seeds for h in kept) if kept else None
    emerged = sum(g["emerged"] for g in found) if kept else None
    found_half = [crossing(book.clocked(h), 0.5) for h in kept]
    halves = [x[2] for x in found_half if x and x[2] is not None]
    shares = [(good(h), b) for h in all_of_it if (b := good_base(book, h))]
    cuts = [cut_figures(book, h) for h in all_of_it]
    stems = [c["stems"] for c in cuts if c["stems"] is not None]
    planted = sum(h.state.planted for h in all_of_it)
    per = (
        sum(stems) / planted if stems and planted and not any(c["at_least"] for c in cuts) else None
    )
    values = {
        "crop": key[0],
        "season": key[1],
        "measure": key[2],
        "sowings": len(all_of_it),
        "seeds": seeds,
        "emerged": emerged,
        **kind_share(book, key, kept, found),
        "half_day": show(median(halves) if halves else None, 2),
        "good": sum(map(good, all_of_it)),
        "good_share": show(
            sum(g for g, _ in shares) / sum(b for _, b in shares) if shares else None, 4
        ),
        "planted_out": planted,
        "stems": sum(stems) if stems else None,
        "stems_per_plant": show(per, 2),
        "first_cut_on": min((c["first"] for c in cuts if c["first"]), default=None),
        "last_cut_on": max((c["last"] for c in cuts if c["last"]), default=None),
    }
    return {k: show(v) for k, v in values.items()}
