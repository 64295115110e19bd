"""The page Seed: lots with what is left of them and how they came up, what lies in a treatment, what to order."""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable

from traybook.advice.bought import bought
from traybook.advice.learnt import Learnt
from traybook.advice.lots import LotNow, Result, in_hand, lots_now, under_way
from traybook.ledger.seed import Treatment
from traybook.pages import words
from traybook.pages.addresses import (
    SEED,
    crop_address,
    figure_anchor,
    lot_address,
    lot_anchor,
    sowing_address,
)
from traybook.pages.model import Block, Cell, Link, Page, cell, table
from traybook.pages.ordering import order_blocks
from traybook.records.book import Book
from traybook.rollup.farm import FarmFigures
from traybook.text.names import fold, slug

_COST = re.compile(r"\bcosts?\b\s*:?\s*((?:[^,;\n]|,(?=\d))+)", re.IGNORECASE)
_HOW = {"cold": "in the cold", "frozen": "frozen", "warm": "kept warm", "soaked": "soaking", "nicked": "nicked"}  # fmt: skip


def seed_page(learnt: Learnt) -> Page:
    """The page; without any seed written down it says how to begin."""
    figures = learnt.figures
    lots = lots_now(learnt)
    kinds = _lots(lots, figures)
    blocks = [
        *order_blocks(learnt),
        *_test_first(lots),
        *_treatments(figures),
        *kinds,
        *_results(lots, figures),
        *_earlier_orders(figures),
    ]
    return Page(
        template="list",
        address=SEED,
        title="Seed",
        lead=_lead(lots),
        blocks=tuple(blocks),
        links=tuple(Link(b.heading, f"{SEED}#{b.anchor}") for b in blocks),
        rests_on=figures.kept.book.last_day,
        nav="Seed",
    )


def _lead(lots: tuple[LotNow, ...]) -> tuple[str, ...]:
    if not lots:
        return (
            "No seed is written down yet. Write what came:",
            "received LAR-26: larkspur Mist Tower, 500 seeds, packed 2026",
            "Then write lot LAR-26 on the line that sows it, and what is left stands here.",
        )
    counted = sum(x.left is not None and x.left > 0 for x in lots)
    first = f"{words.many(len(lots), 'lot', 'lots')} of seed, {counted} of them with a known number left."
    return first, _STILL_YOURS


_STILL_YOURS = (
    "Seed in a treatment is still yours, so it counts as left. Where nothing is said of a lot, "
    "the packet's own words on handling it still hold."
)


# -- lots


def _lots(lots: Iterable[LotNow], figures: FarmFigures) -> list[Block]:
    """A block a kind; lots that are used up are folded away."""
    kinds: dict[str, list[LotNow]] = defaultdict(list)
    for x in lots:
        kinds[x.lot.crop].append(x)
    costs = _costs(figures.kept.book)
    return [_kind(crop, found, figures, costs) for crop, found in kinds.items()]


def _kind(crop: str, found: list[LotNow], figures: FarmFigures, costs: dict[str, str]) -> Block:
    columns = ("Lot", "Variety", "From", "#Packed", "#Seeds left", "To plan by", "Last result", "To mind",
               "In treatment", "Cost")  # fmt: skip
    as_of = figures.kept.book.as_of
    now = [_row(x, figures, costs) for x in found if in_hand(x, as_of)]
    gone = [_row(x, figures, costs) for x in found if not in_hand(x, as_of)]
    name = crop.capitalize() or "Kind not known"
    earlier = f"{words.many(len(gone), 'lot', 'lots')} of {crop or 'this'} used up or not seen for two years"
    return Block(
        name,
        f"seed-{slug(crop) or 'kind'}",
        () if now else ("None in hand.",),
        table(f"Lots of {crop}", columns, tuple(now)) if now else None,
        table(earlier, columns, tuple(gone)) if gone else None,
        how=figure_anchor("seeds-left"),
    )


def _row(x: LotNow, figures: FarmFigures, costs: dict[str, str]) -> tuple[Cell, ...]:
    lot = x.lot
    last = x.last
    age = "" if x.age is None else "this year's" if x.age <= 0 else words.many(x.age, "year", "years") + " old"  # fmt: skip
    return (
        Cell(lot.lot, anchor=lot_anchor(lot.lot)),
        cell(lot.variety),
        cell(lot.supplier),
        cell(str(lot.packed_for or ""), more=age),
        cell(left_words(x.left)),
        _present(x),
        cell(_result(last, figures), *_where(last)) if last else cell(""),
        cell("; ".join(f.words for f in x.flags), more=x.to_do) if x.flags else cell(x.to_do),
        cell(_lies(x.treatment)),
        cell(costs.get(fold(lot.lot), "")),
    )


def left_words(left: int | None) -> str:
    """An unknown is never nought.

    >>> left_words(None), left_words(0), left_words(1200)
    ('not known', 'none', '1,200')
    """
    return "not known" if left is None else f"{left:,}" if left else "none"


def _present(x: LotNow) -> Cell:
    share = x.present.share
    if share is None:
        return cell("not known")
    return cell(words.percent(share.value), f"{figure_anchor('present-germination')}", x.present.why)  # fmt: skip


def _result(r: Result, figures: FarmFigures) -> str:
    """`7 of 10 (70 %, 40-89)`: a small test shows its wide range."""
    if r.code:
        return words.short_germination(figures.sowings[r.code])
    said = words.share_words(r.group.y, r.group.n, r.share)
    said += "" if r.measure == "up" else " on paper"
    return said if r.done else f"{said}, so far"


def _where(r: Result) -> tuple[str, str]:
    """Where it leads, and what it was."""
    if r.code:
        return sowing_address(r.code), f"sown {words.day(r.on)}"
    return "", f"tested, {words.day(r.on)}"


def _costs(book: Book) -> dict[str, str]:
    """What the lines of each lot say it cost; nothing of it on the shared site."""
    found: dict[str, list[str]] = defaultdict(list)
    for e in book.entries if book.own else ():
        if e.used and e.ref.lot and e.event.verb in ("received", "have", "ordered"):
            found[fold(e.ref.lot)] += [m.strip() for m in _COST.findall(e.event.text)]
    return {lot: "; ".join(said) for lot, said in found.items() if said}


def _test_first(lots: Iterable[LotNow]) -> list[Block]:
    rows = tuple(
        (
            cell(x.lot.lot, lot_address(x.lot.lot)),
            cell(f"{x.lot.crop} {x.lot.variety}".strip()),
            cell(left_words(x.left)),
            cell("; ".join(f.words for f in x.flags if f.name not in ("dressed", "keeps badly"))),
            cell(x.to_do),
        )
        for x in lots
        if x.to_do
    )
    if not rows:
        return []
    said = "Before you sow these: small tests say little, so each result shows how far it can be trusted."
    body = table("Lots to look at first", ("Lot", "What", "#Left", "Why", "Do"), rows)
    return [Block("Test these first", "test-first", (said,), body, how=figure_anchor("present-germination"))]  # fmt: skip


# -- treatments


def _treatments(figures: FarmFigures) -> list[Block]:
    kept = figures.kept
    rows = tuple(
        (
            _treated(t, figures),
            cell(_HOW.get(t.kind, t.kind)),
            cell(words.day(t.start)),
            cell(_end(t, kept.book.as_of)),
            cell(t.place),
        )
        for t in under_way(kept)
    )
    if not rows:
        return []
    body = table("Treatments under way", ("What", "How", "Since", "Until", "Where"), rows)
    return [Block("In treatment now", "treatments", (), body)]


def _treated(t: Treatment, figures: FarmFigures) -> Cell:
    if t.ref.code in figures.sowings:
        return cell(t.ref.code, sowing_address(t.ref.code))
    named = f"{t.ref.crop} {t.ref.variety}".strip()
    if t.ref.lot:
        return cell(t.ref.lot, lot_address(t.ref.lot), named)
    return cell(named)


def _end(t: Treatment, as_of: dt.date) -> str:
    if t.due is None:
        return "no end written"
    return words.day(t.due) + (", overdue" if t.due < as_of else "")


def _lies(t: Treatment | None) -> str:
    if t is None:
        return ""
    until = f" until {words.day(t.due)}" if t.due else f" since {words.day(t.start)}"
    return f"{_HOW.get(t.kind, t.kind)}{until}" + (f", {t.place}" if t.place else "")


# -- over the years


def _results(lots: Iterable[LotNow], figures: FarmFigures) -> list[Block]:
    """Every result of the lots that were tested; those of the others folded up."""
    tested = [x for x in lots if any(not r.code for r in x.results)]
    others = [x for x in lots if x.results and x not in tested]
    if not tested and not others:
        return []
    columns = ("Lot", "What", "Day", "#Age", "Result")
    shown = tuple(r for x in tested for r in _years(x, figures))
    rest = tuple(r for x in others for r in _years(x, figures))
    return [
        Block(
            "How lots came up over the years", "over-the-years", (_EACH,),
            table("Tests, and sowings of the lots tested", columns, shown) if shown else None,
            table(f"Sowings of {words.many(len(others), 'lot', 'lots')} that had no test", columns, rest) if rest else None,
            how=figure_anchor("present-germination"),
        )
    ]  # fmt: skip


_EACH = (
    "Each with its count and how far it can be trusted; sprouted on paper, up in trays and standing in "
    "a row are not the same."
)


def _years(x: LotNow, figures: FarmFigures) -> Iterable[tuple[Cell, ...]]:
    for r in x.results:
        packed = x.lot.packed_for
        to, what = _where(r)
        yield (
            cell(x.lot.lot, lot_address(x.lot.lot)),
            cell(r.code or "tested", to),
            cell(what.split(" ", 1)[1]),
            cell("" if packed is None else f"{max(0, r.on.year - packed)}"),
            cell(_result(r, figures)),
        )


def _earlier_orders(figures: FarmFigures) -> list[Block]:
    known = {fold(s.sowing.crop) for s in figures.sowings.values()}
    rows = tuple(
        (
            cell(f"{b.crop} {b.variety}".strip(), crop_address(b.crop) if fold(b.crop) in known else ""),
            cell(b.what),
            cell(words.day(b.on)),
            cell(words.day(b.ordered)),
            cell(b.supplier),
            cell(" ".join(b.text.split())),
        )
        for b in reversed(bought(figures.kept))
    )  # fmt: skip
    if not rows:
        return []
    columns = ("What", "How it went", "Day", "Ordered", "From", "As written")
    body = table("Orders that did not come as ordered", columns, rows)
    return [Block("Sold out, late, or something else sent", "earlier-orders", (), body)]
