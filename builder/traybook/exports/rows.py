"""Rows of the tables of figures, column by column."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from traybook.exports.text import count, day, days, share, yes
from traybook.ledger.model import Check
from traybook.ledger.running import Running, rests_on
from traybook.rollup.columns import header
from traybook.rollup.emergence import Emergence
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures
from traybook.text.cells import cell

SOWINGS = header("sowings.csv")


def sowing_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of sowings.csv, in the order sown."""
    for s in figures.sowings.values():
        values = _facts(s) | _came_up(s) | _speed(s.up) | _treated(s) | _after(s)
        yield [values.get(name, "") for name in SOWINGS]


def _facts(s: SowingFigures) -> dict[str, str]:
    w = s.sowing
    per = "" if w.low is None else str(w.low) if w.low == w.high else f"{w.low}-{w.high}"
    return {
        "code": cell(w.code), "crop": cell(w.crop), "variety": cell(w.variety), "season": str(w.season),
        "lot": cell(w.lot), "sown_on": day(w.sown_on), "container": cell(w.container.name if w.container else ""),
        "seeds": count(w.seeds), "cells": count(w.cells), "seeds_per_cell": per, "measure": w.measure,
        "place": cell(s.place), "light": cell(s.light), "cover_mm": count(w.cover_mm),
    }  # fmt: skip


def _came_up(s: SowingFigures) -> dict[str, str]:
    up, tally = s.up, rests_on(s.account.main, s.account.cells)
    value = up.share.value if up.share and up.value_known else None
    return {
        "cells_up": count(up.cells_up), "counted_in": counted_in(s), "checks": str(up.checks),
        "emerged": count(up.emerged), "emerged_at_least": yes(up.at_least),
        "lost": str(s.account.main.lost), "taken": str(tally.taken),
        "missing": str(tally.missing), "settled": yes(up.settled),
        "in_germination": yes(up.in_germination), "germination": share(value),
        "germination_low": share(up.share.low if up.share else None),
        "germination_high": share(up.share.high if up.share else None),
        "germination_estimated": yes(up.estimated),
        "cell_stand": share(up.cell_share.value if up.cell_share else None),
    }  # fmt: skip


def counted_in(s: SowingFigures) -> str:
    """The tally that emerged rests on; plants that were bought in are counted as plants."""
    return "plants" if s.sowing.measure == "bought in" else s.up.counted_in


def _treated(s: SowingFigures) -> dict[str, str]:
    """What was done to the seed, and from when its days are counted."""
    a = s.account
    lengths = [t.days(s.sowing.sown_on if not t.ref.code else None) for t in a.treatments]
    told = [x for x in lengths if x is not None]
    clock = (
        "arrival"
        if s.sowing.event.verb == "arrived"
        else "out of cold"
        if a.out_of_cold
        else "sown"
    )
    return {
        "treatment": cell(" + ".join(t.kind for t in a.treatments)),
        "treatment_days": days(sum(told) if told else None), "clock": clock,
    }  # fmt: skip


def _speed(up: Emergence) -> dict[str, str]:
    return {
        "first_up_after": days(up.first_after), "first_up_by": days(up.first_by),
        "half_day": days(up.half.point if up.half else None),
        "half_after": days(up.half.after if up.half else None), "half_by": days(up.half.by if up.half else None),
        "tenth_day": days(up.tenth.point if up.tenth else None),
        "ninetieth_day": days(up.ninetieth.point if up.ninetieth else None),
        "mean_days": days(up.mean), "evenness_days": days(up.even),
    }  # fmt: skip


def _after(s: SowingFigures) -> dict[str, str]:
    a, cut = s.account, s.cut
    first = (cut.first - s.sowing.sown_on).days if cut.first else None
    return {
        "potted_on": str(s.potted), "good": count(s.good), "good_so_far": yes(s.good_so_far),
        "good_share": share(s.good_share), "planted_out": str(s.planted), "sold": str(a.sold),
        "given": str(a.given), "spare": str(a.spare), "alive": count(s.alive), "stems": count(cut.stems),
        "stems_at_least": yes(cut.at_least), "stems_rejected": count(cut.rejected),
        "stems_per_plant": days(s.stems_per_plant), "first_cut_on": day(cut.first), "last_cut_on": day(cut.last),
        "days_to_first_cut": days(first), "finished_on": day(a.finished_on), "outcome": s.outcome,
        "left_out": str(s.left_out),
    }  # fmt: skip


def check_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of checks.csv: a row a stand and day, and one for each sample."""
    for s in figures.sowings.values():
        for check in _one_a_visit(s):
            yield _check_row(s, check)


def _one_a_visit(s: SowingFigures) -> list[Check]:
    """Of two units counted at one visit, the one that `emerged` rests on."""
    rows: dict[tuple[object, ...], list[Check]] = defaultdict(list)
    for i, check in enumerate(s.account.checks):
        apart = i if check.sample_of is not None else -1
        rows[check.on, check.stand, apart].append(check)
    return [_joined(same, s.up.counted_in) for same in rows.values()]


def _joined(same: list[Check], unit: str) -> Check:
    """One check of several units; what was lost or taken is that of all."""
    best = max(same, key=lambda c: (c.unit == unit, c.census))
    return replace(
        best,
        lost=sum(c.lost for c in same),
        seeds_lost=sum(c.seeds_lost for c in same),
        taken=max(c.taken for c in same),
        cause=best.cause or next((c.cause for c in same if c.cause), ""),
    )


def _check_row(s: SowingFigures, c: Check) -> list[str]:
    dated = c.event.one("undated") is None
    after = (c.on - s.sowing.sown_on).days if dated else None
    return [
        cell(s.code), cell(c.stand), day(c.on), days(after), count(c.up),
        count(c.left), count(c.alive), _unit(c), count(c.sample_of), str(c.lost), str(c.seeds_lost),
        str(c.taken), count(_so_far(s.up.count, c)), cell(c.cause), cell(c.by),
        cell(c.event.at.path), str(c.event.at.line),
    ]  # fmt: skip


def _unit(c: Check) -> str:
    """The unit of the count; empty where nothing was counted."""
    return c.unit if (c.up, c.left, c.alive) != (None, None, None) else ""


def _so_far(tally: Running | None, check: Check) -> int | None:
    """Emerged up to and with that day; None before anything was counted."""
    points = [p.emerged for p in tally.points if p.day <= check.on] if tally else []
    return points[-1] if points else None


def potting_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of pottings.csv."""
    for s in figures.sowings.values():
        for p in s.account.pottings:
            yield [cell(s.code), day(p.on), str(p.plants), cell(p.source), cell(p.into)]


def planting_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of plantings.csv; the length is as said, else plants x spacing / rows, else unknown."""
    for s in figures.sowings.values():
        for p in s.account.plantings:
            length = p.length_mm
            if length is None and p.spacing_mm and p.rows:
                length = p.plants * p.spacing_mm / p.rows
            stand = s.account.stands[p.stand]
            yield [
                cell(s.code), day(p.on), str(p.plants), cell(p.bed), count(p.rows),
                days(p.spacing_mm / 10 if p.spacing_mm else None),
                days(p.between_mm / 10 if p.between_mm else None),
                days(length / 1000 if length else None), count(stand.alive if stand.counted else None),
            ]  # fmt: skip


def harvest_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of harvests.csv, in the order of days, files and lines."""
    for h in figures.kept.harvests:
        event = h.event
        yield [
            cell(h.ref.code), cell(h.ref.crop or ("mix" if h.ref.kind == "mix" else "")), cell(h.ref.variety),
            cell(h.bed), day(h.on), count(h.stems), count(h.bunches), count(h.size), count(h.grams),
            count(h.rejected), cell(h.grade), cell(event.by), cell(event.at.path), str(event.at.line),
        ]  # fmt: skip


def crop_rows(figures: FarmFigures) -> Iterator[list[str]]:
    """Rows of crops.csv: a crop, season and measure each."""
    for k in figures.kinds:
        t = k.tally
        yield [
            cell(k.crop), str(k.season), k.measure, str(t.sowings), str(t.seeds), str(t.emerged),
            share(k.germination), share(k.share.low if k.share else None), share(k.share.high if k.share else None),
            share(k.spread.rho if k.share else None), days(t.half_day), str(t.good), share(t.good_share),
            str(t.planted), str(t.stems), days(t.stems_per_plant), day(k.first_cut), day(k.last_cut),
        ]  # fmt: skip
