"""Standing now, By place and Beds."""

from __future__ import annotations

from traybook.advice.standing import NO_PLACE, InBed, Standing, beds, by_place, standing
from traybook.pages import words
from traybook.pages.addresses import BEDS, BY_PLACE, STANDING, crop_address, sowing_address
from traybook.pages.model import Block, Cell, Page, cell, table
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
    return _page(
        STANDING,
        "Standing now",
        lead if found else "Nothing stands in trays or pots.",
        blocks,
        figures,
    )


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
    lead = "Shelf by shelf, in the order sown." if blocks else "Nothing stands anywhere yet."
    return _page(BY_PLACE, "By place", lead, blocks, figures)


def beds_page(figures: FarmFigures) -> Page:
    """Bed by bed what is in it, since when, and what was there before."""
    blocks = []
    for bed, found in beds(figures).items():
        now = [x for x in found if x.until is None]
        before = [x for x in found if x.until is not None]
        said = () if now else ("Empty now.",)
        rows = tuple(_in_bed(x) for x in [*now, *before])
        columns = ("Sowing", "What", "#Planted", "#Alive", "Rows", "Spacing", "From", "To")
        body = table(f"In {bed}, the latest first", columns, rows) if rows else None
        blocks.append(Block(bed.capitalize(), slug(bed) or "bed", said, body))
    full = sum(any(x.until is None for x in found) for found in beds(figures).values())
    lead = (
        f"{full} of {words.many(len(blocks), 'bed', 'beds')} planted." if blocks else "No beds yet."
    )
    return _page(BEDS, "Beds", lead, blocks, figures)


def _in_bed(x: InBed) -> tuple[Cell, ...]:
    return (
        cell(x.code, sowing_address(x.code)),
        cell(f"{x.crop} {x.variety}".strip()),
        cell(f"{x.plants:,}" if x.plants is not None else "sown here"),
        cell(f"{x.alive:,} on {words.day(x.counted)}" if x.counted else ""),
        cell(f"{x.rows}" if x.rows else ""),
        cell(f"{x.spacing_mm / 10:g} cm" if x.spacing_mm else ""),
        cell(words.day(x.since)),
        cell(words.day(x.until) if x.until else "still there"),
    )


def _page(address: str, title: str, lead: str, blocks: list[Block], figures: FarmFigures) -> Page:
    return Page(
        template="list",
        address=address,
        title=title,
        lead=(lead,),
        blocks=tuple(blocks),
        rests_on=figures.kept.book.last_day,
        nav=title,
    )
