"""The first page."""

from __future__ import annotations

from traybook.pages import words
from traybook.pages.addresses import START, WRITING, season_address
from traybook.pages.lines import written
from traybook.pages.model import Block, Link, Page
from traybook.pages.sowing import sowing_table
from traybook.rollup.farm import FarmFigures

_LATEST = 12


def start_page(figures: FarmFigures) -> Page:
    """What is growing, and the latest entries; on an empty farm, how to begin."""
    book = figures.kept.book
    title = book.farm.name or "Season journal"
    if not figures.sowings:
        return _empty(title, figures)
    growing = [s for s in figures.sowings.values() if s.account.finished_on is None]
    used = [e for e in book.entries if e.used]
    blocks = []
    if growing:
        blocks.append(
            Block("Growing now", "growing", (), sowing_table("Sowings not finished", growing))
        )
    return Page(
        template="start",
        address=START,
        title=title,
        lead=(
            (
                f"{words.many(len(growing), 'sowing', 'sowings')} growing. "
                f"The last entry is of {words.day(book.last_day)}."
            ),
        ),
        blocks=tuple(blocks),
        lines=tuple(reversed(written(used[-_LATEST:], figures.kept, lead=True))),
        links=(*(Link(f"Season {s.year}", season_address(s.year)) for s in figures.seasons[:3]),),
        rests_on=book.last_day,
        nav="Now",
    )


def _empty(title: str, figures: FarmFigures) -> Page:
    lead = (
        (
            "Nothing has been sown here yet. Write your first sowing into a file named by its day, "
            "as entries/2026-03-14.md:"
        ),
    )
    return Page(
        template="empty",
        address=START,
        title=title,
        lead=lead,
        links=(Link("How to write entries", WRITING),),
        rests_on=figures.kept.book.last_day,
        nav="Now",
    )
