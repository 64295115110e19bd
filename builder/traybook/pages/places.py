"""Standing now, By place and Beds."""

from __future__ import annotations

import datetime as dt

from traybook.advice.room import room_of, shelf_room, standing_stays
from traybook.advice.standing import (
    NO_PLACE,
    InBed,
    Standing,
    beds,
    by_place,
    plants_in_beds,
    standing,
)
from traybook.pages import words
from traybook.pages.addresses import BEDS, BY_PLACE, STANDING, crop_address, sowing_address
from traybook.pages.model import Block, Cell, Link, Page, Table, cell, table
from traybook.pages.needs import room_block
from traybook.rollup.farm import FarmFigures
from traybook.text.names import fold, slug


def standing_page(figures: FarmFigures) -> Page:
    """Plants on hand by kind, and what was put by as spare."""
    found = standing(figures)
    kinds = {fold(x.crop) for x in found}
    rows = [
        (cell(x.crop.capitalize(), crop_address(x.crop)), *_stand(x))
        for x in sorted(found, key=lambda x: (fold(x.crop), x.since, x.code))
    ]
    columns = ("Crop", "Sowing", "#Plants", "In", "Place", "Since")
    spare = _spare(figures)
    blocks = (
        [Block("In trays and pots", "trays", (), table("Plants on hand", columns, tuple(rows)))]
        if rows
        else []
    )
    if spare:
        body = table("Spare plants of sowings not finished", ("Sowing", "#Spare"), spare)
        blocks.append(Block("Put by as spare", "spare", (), body))
    total = sum(x.plants or 0 for x in found)
    lead = f"{words.many(total, 'plant', 'plants')} in trays and pots, of {words.many(len(kinds), 'kind', 'kinds')}."
    told = lead if found else "Nothing stands in trays or pots."
    return _without_beds(STANDING, "Standing now", told, blocks, figures)


def _without_beds(
    address: str, title: str, lead: str, blocks: list[Block], figures: FarmFigures
) -> Page:
    """A page of what stands before any bed, which says so and leads to the beds."""
    now = [held for found in beds(figures).values() if (held := _now(found))]
    if not now:
        return _page(address, title, (lead,), blocks, figures)
    plants = plants_in_beds(figures)
    direct = sum(x.plants is None for held in now for x in held)
    what = [words.many(plants, "plant", "plants")] if plants else []
    what += [words.many(direct, "direct sowing", "direct sowings")] if direct else []
    link = f"{' and '.join(what) or 'Plants'} in {words.many(len(now), 'bed', 'beds')}"
    more = "What is in beds is not on this page; it stands under Beds."
    return _page(address, title, (lead, more), blocks, figures, (Link(link, BEDS),))


def _now(found: list[InBed]) -> list[InBed]:
    return [x for x in found if x.until is None]


def _stand(x: Standing) -> tuple[Cell, ...]:
    plants = (
        "not counted yet" if x.plants is None else "none up yet" if x.seeds else f"{x.plants:,}"
    )
    return (
        cell(x.code, sowing_address(x.code)),
        cell(plants),
        cell(x.stand),
        cell("" if x.place == NO_PLACE else x.place),
        cell(words.day(x.since)),
    )


def _spare(figures: FarmFigures) -> tuple[tuple[Cell, ...], ...]:
    return tuple(
        (cell(s.code, sowing_address(s.code)), cell(f"{s.account.spare:,}"))
        for s in figures.sowings.values()
        if s.account.spare and s.account.finished_on is None
    )


def by_place_page(figures: FarmFigures) -> Page:
    """Shelf by shelf what stands there, in the order sown."""
    blocks = []
    for place, found in by_place(figures).items():
        rows = tuple(
            (x[0], cell(found[i].crop), *x[1:3], x[4])
            for i, x in enumerate(_stand(y) for y in found)
        )
        columns = ("Sowing", "Crop", "#Plants", "In", "Since")
        blocks.append(
            Block(
                place.capitalize(), slug(place) or "place", (), table(f"On {place}", columns, rows)
            )
        )
    book = figures.kept.book
    if any(room_of(book.farm.places, place) for place in book.farm.places):
        blocks += room_block(shelf_room(book, standing_stays(figures)))
    lead = "Shelf by shelf, in the order sown." if blocks else "Nothing stands on a shelf or bench."
    return _without_beds(BY_PLACE, "By place", lead, blocks, figures)


def beds_page(figures: FarmFigures) -> Page:
    """Bed by bed what is in it, since when, and, folded up, what was there before."""
    found = beds(figures)
    blocks = [_bed(bed, held) for bed, held in found.items()]
    full = [bed for bed, held in found.items() if _now(held)]
    lead = f"{len(full)} of {words.many(len(found), 'bed', 'beds')} planted"
    lead += f": {words.listed(full)}." if full else "."
    links = tuple(Link(bed.capitalize(), f"{BEDS}#{_anchor(bed)}") for bed in full)
    return _page(BEDS, "Beds", (lead if found else "No beds yet.",), blocks, figures, links)


def _anchor(bed: str) -> str:
    return slug(bed) or "bed"


def _bed(bed: str, found: list[InBed]) -> Block:
    now, before = _now(found), [x for x in found if x.until is not None]
    said = () if now else (_empty(before),)
    earlier = words.many(len(before), "sowing", "sowings") + f" in {bed} before"
    return Block(
        bed.capitalize(),
        _anchor(bed),
        said,
        _in_beds(f"In {bed} now", now) if now else None,
        _in_beds(earlier, before) if before else None,
    )


def _empty(before: list[InBed]) -> str:
    """Since when, and after what."""
    if not before:
        return "Empty: nothing has been planted here yet."
    last = max(x.until or dt.date.min for x in before)
    what = dict.fromkeys(f"{x.crop} {x.variety}".strip() for x in before if x.until == last)
    return f"Empty since {words.day(last)}, after {words.listed(list(what))}."


def _in_beds(caption: str, found: list[InBed]) -> Table:
    columns = ("Sowing", "What", "#Planted", "Alive", "Rows", "Spacing", "From", "To")
    return table(caption, columns, tuple(_in_bed(x) for x in found))


def _in_bed(x: InBed) -> tuple[Cell, ...]:
    return (
        cell(x.code, sowing_address(x.code)),
        cell(f"{x.crop} {x.variety}".strip()),
        cell(f"{x.plants:,}" if x.plants is not None else "sown here"),
        cell(f"{x.alive:,} on {words.day(x.counted)}" if x.counted else ""),
        cell(f"{x.rows}" if x.rows else ""),
        cell(f"{x.spacing_mm / 10:g} cm" if x.spacing_mm else ""),
        cell(words.day(x.since)),
        cell(words.day(x.until)),
    )


def _page(
    address: str,
    title: str,
    lead: tuple[str, ...],
    blocks: list[Block],
    figures: FarmFigures,
    links: tuple[Link, ...] = (),
) -> Page:
    return Page(
        template="list",
        address=address,
        title=title,
        lead=lead,
        blocks=tuple(blocks),
        links=links,
        rests_on=figures.kept.book.last_day,
        nav=title,
    )
