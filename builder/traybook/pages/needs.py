"""How many to sow, seeds in a cell, plants for stems and room on the shelves, as parts of a page."""

from __future__ import annotations

from traybook.advice.learnt import Learnt
from traybook.advice.needs import (
    CellFilling,
    FillingRow,
    Need,
    Way,
    cell_filling,
    plants_for,
    sized,
    way,
)
from traybook.advice.room import RoomWeek, ShelfRoom
from traybook.advice.seeds import AIM, EVEN
from traybook.pages import words
from traybook.pages.addresses import figure_anchor, sowing_address
from traybook.pages.learnt import anchored, named
from traybook.pages.model import Block, Cell, Table, WhatIf, cell, table
from traybook.rollup.kind import KindSeason

#: What a grower asks for: so many good plants, or so many stems.
_PLANTS = (10, 25, 50, 100, 200)
_STEMS = (100, 250, 500, 1000)
#: The numbers of the what-if table, close enough that the next higher one is no great waste.
_STEPS = (1, 2, 3, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 75, 90, 100, 120, 150, 175, 200, 225, 250, 300)  # fmt: skip
_CHANCES = (
    (EVEN, "1 time in 2 (50 %)"),
    (0.80, "4 times in 5 (80 %)"),
    (AIM, "9 times in 10 (90 %)"),
    (0.95, "19 times in 20 (95 %)"),
)
_NONE = "none to rely on"
_NO_NUMBER = (
    "No number can be relied on: whole sowings fail, or hardly a plant comes of them. Sow a little, more "
    "than once, and write down what was done otherwise each time."
)


def to_sow_blocks(k: KindSeason, learnt: Learnt, only: bool = True) -> list[Block]:
    """How many to sow for so many plants, by what this kind did so far, and a table to ask; for what is
    sown in cells also one, two and three seeds a cell. Nothing for corms that none is known of."""
    how = way(learnt, k.crop, measure=k.measure)
    if k.measure == "corm" and not how.own:
        return []
    blocks = [_to_sow(k, how, learnt, only)]
    if k.measure == "up":
        blocks.append(_filling_block(cell_filling(learnt, k.crop), k.measure, only))
    return blocks


def _to_sow(k: KindSeason, how: Way, learnt: Learnt, only: bool) -> Block:
    found = [n for p in _PLANTS if (n := sized(p, how)).number is not None]
    columns = ("#Good plants", "Sow, for 9 times in 10", "#Would do 1 time in 2", "#Seeds", "Trays")
    said = [_sentence(how.why)] + (["All its recipes are taken together."] if how.own else [])
    if how.own and learnt.figures.spreads.planning(k.key).assumed:
        said.append("How far sowings differ is assumed, since there are too few of them yet.")
    said.append("What mice or drought took whole is not reckoned in.")
    return Block(
        named("How many to sow", k.measure, only), anchored("to-sow", k.measure),
        (" ".join(said),) if found else (said[0], _NO_NUMBER),
        table("How many to sow", columns, tuple(_row(n) for n in found)) if found else None,
        how=figure_anchor("seeds-to-sow"),
        what_if=_what_if(k.measure, how) if found else None,
    )  # fmt: skip


def _sentence(why: str) -> str:
    return f"{why[:1].upper()}{why[1:]}."


def _row(n: Need) -> tuple[Cell, ...]:
    more = f"{(n.number or 0) // n.goes:,} each, in sowings of their own: a whole one may fail"
    return (
        cell(f"{n.plants}"),
        cell(number_words(n), more=more if n.goes > 1 else _each(n)),
        cell("" if n.even is None else f"{n.even:,}"),
        cell(f"{n.seeds:,}" if n.unit == "cells" and n.seeds else ""),
        cell(_trays(n)),
    )


def number_words(n: Need) -> str:
    """`113 cells`, `1 seed`, or `240 seeds in 2 goes`; what to say where there is none."""
    if n.number is None:
        return _NONE
    unit = n.unit.removesuffix("s") if n.number == 1 else n.unit
    return f"{n.number:,} {unit}" + (f" in {n.goes} goes" if n.goes > 1 else "")


def _each(n: Need) -> str:
    return f"{n.per_cell} seeds in each" if n.unit == "cells" else ""


def _trays(n: Need) -> str:
    return f"{words.many(n.trays, 'tray', 'trays')} of {n.tray}" if n.trays else ""


def _what_if(measure: str, how: Way) -> WhatIf:
    """Every number that may be asked for, worked out beforehand."""
    rows = tuple(
        (cell(f"{p}"), *(_asked(sized(p, how, aim)) for aim, _ in _CHANCES)) for p in _STEPS
    )
    columns = ("#Good plants", *(name for _, name in _CHANCES))
    return WhatIf(anchored("ask", measure), Table("How many to sow, for other numbers and chances", columns, rows))  # fmt: skip


def _asked(n: Need) -> Cell:
    seeds = f"{n.seeds:,} seeds" if n.unit == "cells" and n.seeds else ""
    return cell(number_words(n), more=", ".join(x for x in (seeds, _trays(n)) if x))


def _filling_block(f: CellFilling, measure: str, only: bool) -> Block:
    columns = (
        "#Seeds a cell", "Cells with one or more", "#Seeds for the tray", "#Cells without", "#Thinned out",
    )  # fmt: skip
    body = table(
        f"Seeds in a cell, for a tray of {f.tray}",
        columns,
        tuple(_filled(r, f.tray) for r in f.rows),
    )
    lead = (
        f"{_sentence(f.why)} For a tray of {f.tray} cells, thinned to one in each; "
        "the smaller numbers are the range in which 9 trays in 10 lie."
    )
    return Block(
        named("Seeds in a cell", measure, only), anchored("filling", measure), (lead,), body,
        how=figure_anchor("seeds-a-cell"),
    )  # fmt: skip


def _filled(r: FillingRow, tray: int) -> tuple[Cell, ...]:
    low, high = round(r.low * tray), round(r.high * tray)
    return (
        cell(f"{r.per_cell}"),
        cell(f"about {tray - round(r.empty)} of {tray}", more=f"{low} to {high}"),
        cell(f"{r.seeds}"),
        cell(f"{round(r.empty)}"),
        cell(f"{round(r.thinned)}"),
    )


def stems_blocks(crop: str, learnt: Learnt) -> list[Block]:
    """Plants for so many stems, by the farm's own stems a plant, else by the handbook's; nothing if neither is
    known."""
    found = [(n, plants_for(learnt, crop, n)) for n in _STEMS]
    first = found[0][1]
    if first.plants is None:
        return []
    rows = tuple(
        (cell(f"{n:,}"), cell(f"{p.plants:,}"), cell("" if p.low == p.high else _range(p.low, p.high)))
        for n, p in found
    )  # fmt: skip
    mine = tuple(
        (cell(code, sowing_address(code)), cell(f"{stems:,}"), cell(f"{plants:,}"), cell(f"{stems / plants:.1f}"))
        for code, stems, plants in first.sowings
    )  # fmt: skip
    return [
        Block(
            "Plants for so many stems", "stems-to-plants", (_sentence(first.why),),
            table("Plants for so many stems", ("#Good stems", "#Plants", "From a full year to a lean one"), rows),
            before=table("The sowings this rests on", ("Sowing", "#Stems", "#Planted", "#Stems a plant"), mine)
            if mine else None,
            how=figure_anchor("plants-for-stems"),
        )
    ]  # fmt: skip


def _range(low: int | None, high: int | None) -> str:
    most = "no end: one gave nothing" if high is None else f"{high:,}"
    return f"{low:,} to {most}" if low is not None else ""


def room_block(room: ShelfRoom) -> list[Block]:
    """Weeks by places: trays against the room for them; over-full weeks are named in words above."""
    if not room.weeks:
        return []
    several = len({year for year, _ in room.weeks}) > 1
    rows = tuple(
        (cell(f"{week} of {year}" if several else f"{week}"),
         *(_room_cell(room.at(place, year, week)) for place in room.places))
        for year, week in room.weeks
    )  # fmt: skip
    body = table("Trays by week and place", ("Week", *(p.capitalize() for p in room.places)), rows)
    told = room.told
    lead = (
        ("Too full: " + "; ".join(told) + ".",) if told else ("No place is over-full in any week.",)
    )
    return [Block("Room on the shelves", "room", lead, body, how=figure_anchor("shelf-room"))]


def _room_cell(x: RoomWeek | None) -> Cell:
    if x is None:
        return cell("")
    said = f"{x.trays}" if x.room is None else f"{x.trays} of {x.room}"
    return cell(said + (", too full" if x.over else ""))
