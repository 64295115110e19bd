"""Pinched, netted or covered against not; and what came through winter."""

from __future__ import annotations

from traybook.pages import words
from traybook.pages.addresses import crop_address, figure_anchor, sowing_address
from traybook.pages.model import Block, Cell, cell, table
from traybook.rollup.farm import FarmFigures
from traybook.rollup.handled import Handled, Side, handled
from traybook.rollup.winter import Wintered, wintered


def handled_block(figures: FarmFigures) -> list[Block]:
    """One row a kind, season and way; nothing where no kind was done both ways."""
    found = handled(figures)
    if not found:
        return []
    lead = (
        "Sowings of one kind and season that were, beside those that were not. Like sowings differ anyway, "
        "and no interval stands with these, so no verdict does either: they show where a fair trial would pay, "
        "half of one sowing done and half not."
    )
    columns = (
        "Kind", "Done", "Stems a plant, done", "Stems a plant, not done", "Sown to first cut, done",
        "Sown to first cut, not done", "Note",
    )  # fmt: skip
    body = table("Done beside not done", columns, tuple(_row(h) for h in found))
    return [Block("Pinched, netted or covered", "handled", (lead,), body, how=figure_anchor("handled"))]  # fmt: skip


def _row(h: Handled) -> tuple[Cell, ...]:
    return (
        cell(f"{h.crop.capitalize()} {h.season}", f"{crop_address(h.crop)}#sowings-{h.season}"),
        cell(h.way),
        _stems(h.done),
        _stems(h.not_done),
        _cut(h.done),
        _cut(h.not_done),
        cell(note(h)),
    )


def note(h: Handled) -> str:
    """What has to be borne in mind."""
    said = ["one sowing each: no more than a hint"] if h.one_each else []
    said += ["not the same varieties"] if h.varieties else []
    if h.aside:
        said.append(f"{h.aside} left out: a part only, or after cutting had begun")
    return "; ".join(said)


def _stems(side: Side) -> Cell:
    if side.per_plant is None:
        n = words.many(len(side.sowings), "sowing", "sowings")
        return cell(words.NOT_COUNTED, more=n)
    least = "at least " if side.at_least else ""
    sowings = words.many(side.counted, "sowing", "sowings")
    counts = f"{side.stems:,} stems, {side.plants:,} plants, {sowings}"
    return cell(f"{least}{side.per_plant:.1f}", more=counts)


def _cut(side: Side) -> Cell:
    if side.middle is None:
        return cell(words.NOT_COUNTED)
    of = f"the middle of {len(side.days)}, " if len(side.days) > 1 else ""
    return cell(f"{side.middle:g} days", more=f"{of}from {words.day(side.first_cut)}")


def winter_block(figures: FarmFigures) -> list[Block]:
    """One row a sowing that stood over a winter; nothing where none did."""
    found = wintered(figures)
    if not found:
        return []
    south = figures.kept.book.farm.south
    first = "August" if south else "February"
    lead = (
        f"Plants alive at the first count after 1 {first}, of those planted before winter. Each range is for "
        "that sowing's own counts; winters differ by more."
    )
    columns = ("Sowing", "Kind", "Planted", "Under", "Came through")
    body = table("What came through winter", columns, tuple(_winter_row(w) for w in found))
    return [Block("What came through winter", "winter", (lead,), body, how=figure_anchor("winter"))]


def _winter_row(w: Wintered) -> tuple[Cell, ...]:
    s = w.sowing
    iso = w.planted_on.isocalendar()
    return (
        cell(s.code, sowing_address(s.code)),
        cell(f"{s.sowing.crop.capitalize()} {s.sowing.variety}".strip()),
        cell(
            f"week {iso.week} of {iso.year}",
            more=f"{'about ' if w.about else ''}{w.planted:,} plants",
        ),
        cell(w.cover or "no cover written"),
        _came_through(w),
    )


def _came_through(w: Wintered) -> Cell:
    if w.alive is None:
        ended = w.sowing.account.finished_on
        return cell(words.NOT_COUNTED, more=f"finished {words.day(ended)}" if ended else "")
    when = f"counted {words.day(w.counted)}"
    if w.about:
        return cell(f"about {w.alive:,} of about {w.planted:,}", more=when)
    return cell(words.share_words(w.alive, w.planted, w.share), more=when)
