"""What worked: one way against another over all crops, the surest recipe of each, and how far to trust it."""

from __future__ import annotations

from collections import defaultdict

from traybook.advice.learnt import Learnt
from traybook.advice.track import Track
from traybook.ledger.sowings import MEASURES
from traybook.pages import words
from traybook.pages.addresses import HOLDING, WORKED, crop_address, figure_anchor
from traybook.pages.handled import handled_block, winter_block
from traybook.pages.learnt import anchored, good_words, named, ranked_recipes, recipe_words
from traybook.pages.model import Block, Cell, Link, Page, cell, table
from traybook.pages.pests import pests_block
from traybook.pages.verdicts import comparisons_table, luck
from traybook.rollup.compare import Comparison, comparisons
from traybook.rollup.habits import Key
from traybook.rollup.kind import KindSeason
from traybook.rollup.ranking import Ranked

# What a grower can change from one sowing to the next, over all crops alike.
_PARTS = ("treatment", "cover", "light", "place", "heat", "container", "mix", "age of the seed")


def worked_page(learnt: Learnt) -> Page:
    """The page; with too little to compare it says what would be needed."""
    figures = learnt.figures
    fields = [*handled_block(figures), *winter_block(figures), *pests_block(figures)]
    blocks = [*_compared(learnt), *_surest(learnt), *fields, *_trust(learnt.track)]
    lead = (
        "How you did it, set beside how else you did it: like with like, within one crop, season and variety. "
        "It can show what went together, not why."
    )
    if not blocks:
        lead = (
            "Nothing can be compared yet. Sow one kind in two ways in one season, "
            "write down both, and their difference stands here."
        )
    return Page(
        template="list",
        address=WORKED,
        title="What worked",
        lead=(lead,),
        blocks=tuple(blocks),
        links=(
            *(Link(b.heading, f"{WORKED}#{b.anchor}") for b in fields if b.table),
            Link("How well the figures hold", HOLDING),
        ),
        rests_on=figures.kept.book.last_day,
        nav="What worked",
    )


def _compared(learnt: Learnt) -> list[Block]:
    """A block a measure; the measures count different things."""
    out = []
    for measure in (m for m in MEASURES if m != "bought in"):
        heading = named("One way against another", measure, only=False)
        kinds = [k for k in learnt.figures.kinds if k.measure == measure]
        found = sorted(comparisons(kinds, learnt.recipes, _PARTS), key=_order)
        if not found:
            continue
        out.append(
            Block(
                heading, anchored("compared", measure),
                ("More and fewer came up are said of the way that is named first. " + luck(len(found)),),
                comparisons_table(heading, found, crops=True), how=figure_anchor("comparisons"),
            )
        )  # fmt: skip
    return out


def _order(c: Comparison) -> tuple[int, str, str]:
    return _PARTS.index(c.part), c.one.word, c.other.word


def _surest(learnt: Learnt) -> list[Block]:
    """For each crop and measure its surest recipe, with what stands behind it."""
    kinds: dict[Key, list[KindSeason]] = defaultdict(list)
    for k in learnt.figures.kinds:
        kinds[k.key].append(k)
    rows = []
    for found in kinds.values():
        first = ranked_recipes(found, learnt)[0]
        if first.share is not None and first.good:
            rows.append(_surest_row(found[0], first))
    if not rows:
        return []
    columns = ("Crop", "Counted", "Surest recipe so far", "Good plants", "#Sowings")
    body = table("The surest recipe of each crop", columns, tuple(rows))
    return [
        Block("The surest recipe of each crop", "surest", (), body, how=figure_anchor("recipes"))
    ]


def _surest_row(k: KindSeason, r: Ranked) -> tuple[Cell, ...]:
    return (
        cell(k.crop.capitalize(), f"{crop_address(k.crop)}#{anchored('recipes', k.measure)}"),
        cell("" if k.measure == "up" else words.VERBS[k.measure]),
        cell(recipe_words(r.parts)),
        cell(good_words(r)),
        cell(f"{len(r.sowings) - r.waiting}"),
    )


def _trust(t: Track) -> list[Block]:
    """How far what these pages said came true on this farm."""
    rows = []
    for name, p in (("before half was up", t.early), ("after half was up", t.late)):
        if p.given:
            rows.append(
                (
                    cell(f"Ranges for a tray, {name}"),
                    cell(f"{p.held:,} of {p.given:,}"),
                    cell("9 in 10"),
                )
            )
    if t.sowings:
        rows.append(
            (
                cell("Sowings that gave what their number of seeds was good for"),
                cell(f"{t.enough:,} of {t.sowings:,}"),
                cell("9 in 10"),
            )
        )
    if not rows:
        return []
    lead = (
        "Your latest sowings, up to 500 of them, each with what had settled before it was sown: what these "
        "pages would have said at its looks, and whether it held. Where fewer held than meant, leave more room than the pages do."
    )
    body = table(
        "How far it came true here", ("What was said", "Held", "Meant to hold"), tuple(rows)
    )
    return [
        Block(
            "How far it came true here", "track", (lead,), body, how=figure_anchor("track-record")
        )
    ]
