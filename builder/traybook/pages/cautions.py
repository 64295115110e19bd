"""The page Cautions: the usual ones of the trade, and the kinds of this farm that carry one."""

from __future__ import annotations

from traybook.handbook.cautions import NOT_SAFE, Caution
from traybook.pages.addresses import CAUTIONS, crop_address
from traybook.pages.crop import by_crop
from traybook.pages.model import Block, Page, cell, table
from traybook.rollup.farm import FarmFigures

_FIRST = (
    "What stands on the packet, bag or bottle comes first, and the rules of the place where you work, and the "
    "advice of people licensed for the job: electricians, doctors, vets, those trained to use sprays."
)
# source: the US number: North Carolina Cooperative Extension, K. Shook, 26 November 2020
_HELP = (
    "If someone is hurt or has swallowed something, don't look it up here: ring your emergency number or "
    "poison line (in the USA 1-800-222-1222), for an animal the vet."
)
_USUAL = f"The usual cautions of the trade, as one grower might remind another. They are no full list. {NOT_SAFE}"


def cautions_page(figures: FarmFigures) -> Page:
    """Every caution with its source, after the kinds of this farm that carry one."""
    cautions = figures.kept.book.handbook.cautions
    return Page(
        template="list",
        address=CAUTIONS,
        title="Cautions",
        lead=(_USUAL, _FIRST, _HELP),
        blocks=(_kinds(figures, cautions), *(_block(c) for c in cautions)),
        nav="Cautions",
        search=("safety", "poison", "hazard"),
    )


def _block(c: Caution) -> Block:
    return Block(c.heading, c.anchor, (*c.words, f"Source: {c.source}."))


def _kinds(figures: FarmFigures, cautions: tuple[Caution, ...]) -> Block:
    """The kinds that were sown here and that the handbook says something of."""
    rows = []
    for crop in by_crop(figures):
        fact = figures.kept.book.published(crop)
        if fact and fact.hazard:
            under = ", ".join(c.heading for c in cautions if c.meets(fact.hazard))
            link = f"{crop_address(crop)}#caution"
            rows.append((cell(crop.capitalize(), link), cell(fact.hazard), cell(under)))
    said = (
        "The handbook notes these for kinds you have sown, and where below to read more. "
        + NOT_SAFE
        if rows
        else "The handbook notes none for the kinds you have sown. " + NOT_SAFE
    )
    body = table("Kinds grown here with a caution", ("Kind", "Caution", "Read"), tuple(rows))
    return Block("Kinds grown here", "kinds", (said,), body if rows else None)
