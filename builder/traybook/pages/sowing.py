"""A sowing's page, and the list of all."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from traybook.advice.learnt import Learnt
from traybook.ledger.keep import Kept
from traybook.pages import words
from traybook.pages.addresses import (
    COLUMNS_PAGE,
    SOWINGS,
    SOWINGS_TABLE,
    crop_address,
    figure_anchor,
    lot_address,
    season_address,
    sowing_address,
)
from traybook.pages.ahead import ahead_facts
from traybook.pages.charts import sprouting
from traybook.pages.closing import losses, sums
from traybook.pages.lines import written
from traybook.pages.model import Block, Fact, Link, Page, Table, cell, table
from traybook.pages.stages import stages
from traybook.records.book import Entry
from traybook.rollup.farm import FarmFigures
from traybook.rollup.pooled import fit_of
from traybook.rollup.recipe import UNTREATED
from traybook.rollup.sowing import SowingFigures
from traybook.stats.proportions import z_of
from traybook.text.names import fold

#: The codes of the sowings of one crop before and after a sowing, empty where there is none.
Near = tuple[str, str]


def neighbours(figures: FarmFigures) -> dict[str, Near]:
    """Every sowing's neighbours, worked out in one go: asked one by one it costs the square."""
    crops: dict[str, list[str]] = defaultdict(list)
    for s in figures.sowings.values():
        crops[fold(s.sowing.crop)].append(s.code)
    return {
        code: (codes[i - 1] if i else "", codes[i + 1] if i + 1 < len(codes) else "")
        for codes in crops.values()
        for i, code in enumerate(codes)
    }


def sowing_page(s: SowingFigures, learnt: Learnt, near: Near) -> Page:
    """Everything about one sowing; `near` are the ones of its crop before and after it."""
    figures = learnt.figures
    sowing, book = s.sowing, figures.kept.book
    shown = [e for e in book.of(s.code) if not e.aside or book.own]
    days = [e.event.on for e in shown if e.event.on]
    return Page(
        template="sowing",
        address=sowing_address(s.code),
        title=f"{sowing.crop.capitalize()} {sowing.variety}".strip() + f", {s.code}",
        lead=_lead(s),
        facts=tuple(_resting(f, shown, figures.kept) for f in _figures(s) if f.value),
        ahead=tuple(ahead_facts(learnt.expected.get(s.code), s, book.as_of)),
        recipe=tuple(f for f in _recipe(s, learnt) if f.value),
        blocks=stages(s),
        sums=sums(s),
        lines=written(shown, figures.kept),
        chart=sprouting(s),
        links=_links(s, near),
        rests_on=max(days, default=None),
        search=(sowing.crop, sowing.variety, s.code),
    )


_TAKING = ("planted out", "sold", "gave", "spare")
_COUNTING = ("sown", "checked", "pricked out", "potted on", "thinned", "finished", *_TAKING)
# Which lines a figure rests on, by the paragraph that says how it is worked out.
_RESTS_ON = {
    "good": ("sown", *_TAKING),
    "stems": ("harvested", "planted out"),
}


def _resting(fact: Fact, shown: list[Entry], kept: Kept) -> Fact:
    """A figure with the lines it rests on, those left out of it among them."""
    if not fact.how:
        return fact
    verbs = _RESTS_ON.get(fact.how.partition("#")[2], _COUNTING)
    return replace(fact, lines=written([e for e in shown if e.event.verb in verbs], kept))


def _lead(s: SowingFigures) -> tuple[str, ...]:
    sowing = s.sowing
    first = f"Sown {words.day(sowing.sown_on)}; {_stage(s)}."
    out = [first]
    if sowing.unwritten:
        out.append(
            f"The code {s.code} is not yet written in the entries; it is the one they would get."
        )
    if s.left_out:
        out.append(f"{words.left_out(s.left_out).capitalize()} of these figures.")
    return tuple(out)


def _stage(s: SowingFigures) -> str:
    end = s.account.finished_on
    if end is None:
        return f"now {s.stage}"
    return f"{s.outcome} {words.day(end)}" if s.outcome != "growing" else "growing"


def _figures(s: SowingFigures) -> list[Fact]:
    up = s.up
    name = words.NAMES[s.sowing.measure]
    counted = up.emerged is not None
    rows = (
        [Fact(name, words.germination(s) + _so_far(s), figure_anchor("germination"))]
        if name
        else []
    )
    if s.sowing.several and up.cells_up is not None and s.sowing.cells:
        stand = words.share_words(up.cells_up, s.sowing.cells, up.cell_share)
        rows.append(Fact("Cells with at least one", stand, figure_anchor("cell-stand")))
    if counted or up.first_by is not None:
        rows.append(Fact("First up", words.first_up(up), figure_anchor("first-up")))
    if up.half:
        half = words.reached(up.half) + _so_far(s)
        rows.append(Fact("Half of them up", half, figure_anchor("days-to-half")))
    if up.mean is not None and up.half and up.half.point is not None:
        rows.append(Fact("Mean days", f"{up.mean:.1f} days", figure_anchor("mean-days")))
    rows.append(Fact("From 10 % to 90 %", words.evenness(up), figure_anchor("evenness")))
    rows.append(Fact("Curve fitted to the counts", _fit(s), figure_anchor("fitted-curve")))
    rows.append(Fact("Lost", losses(s.account)))
    return [*rows, *_afterwards(s), *_cut(s)]


def _fit(s: SowingFigures) -> str:
    """The half day of the fitted curve with its 95 % either way; else why there is none."""
    got = fit_of(s)
    if got is None or isinstance(got, str):
        return got or ""
    return f"half of those that came by day {got.e:.1f}, give or take {z_of(0.95) * got.se_e:.1f}"


def _so_far(s: SowingFigures) -> str:
    """Until a sowing is settled more may come up."""
    return ", so far" if s.up.emerged and not s.up.settled else ""


def _cut(s: SowingFigures) -> list[Fact]:
    cut, rows = s.cut, []
    if cut.stems is not None:
        rows.append(Fact("Stems", _stems(s), figure_anchor("stems")))
    if s.stems_per_plant is not None:
        rows.append(Fact("Stems a plant", f"{s.stems_per_plant:.1f}", figure_anchor("stems")))
    elif cut.stems and cut.at_least and s.planted:
        each = f"at least {cut.stems / s.planted:.1f}"
        rows.append(Fact("Stems a plant", each, figure_anchor("stems")))
    if cut.first:
        last = f" to {words.day(cut.last)}" if cut.last != cut.first else ""
        rows.append(Fact("Cut", words.day(cut.first) + last))
    return rows


def _afterwards(s: SowingFigures) -> list[Fact]:
    """From where it was sown to the bed."""
    a, rows = s.account, []
    if s.potted:
        rows.append(Fact("Potted on", words.many(s.potted, "plant", "plants")))
    if s.planted:
        rows.append(Fact("Planted out", words.many(s.planted, "plant", "plants")))
    for name, n in (("Sold", a.sold), ("Given away", a.given), ("Spare", a.spare)):
        if n:
            rows.append(Fact(name, words.many(n, "plant", "plants")))
    if s.good and s.good_of:
        so_far = "so far " if s.good_so_far else ""
        share = (
            f" ({words.percent(s.good / s.good_of)})"
            if s.good <= s.good_of and s.good_of >= words.FEWEST
            else ""
        )
        rows.append(
            Fact(
                "Good plants", f"{so_far}{s.good:,} of {s.good_of:,}{share}", figure_anchor("good")
            )
        )
    if s.alive is not None:
        rows.append(Fact("Alive at the last count", f"{s.alive:,}"))
    return rows


def _recipe(s: SowingFigures, learnt: Learnt) -> list[Fact]:
    w, recipe = s.sowing, learnt.recipes[s.code]
    per = "" if w.low is None else f"{w.low}" if w.low == w.high else f"{w.low} to {w.high}"
    cover = (
        ""
        if w.cover_mm is None
        else "left on the surface"
        if w.cover_mm == 0
        else f"{w.cover_mm:g} mm"
    )
    return [
        Fact("Lot", w.lot),
        Fact("Age of the seed", recipe.of("age of the seed")),
        Fact("Treatment", "" if recipe.of("treatment") == UNTREATED else recipe.of("treatment")),
        Fact("In", w.container.name if w.container else ""),
        Fact(
            "Seeds",
            f"{'about ' if w.about else ''}{w.seeds:,}" if w.seeds is not None else "not known",
        ),
        Fact("Seeds a cell", per if w.cells else ""),
        Fact("Mix", recipe.of("mix")),
        Fact("Covered", cover),
        Fact("Light", s.light),
        Fact("Place until half were up", s.place),
        Fact("Heat", recipe.of("heat")),
        Fact("From the last frost", _weeks(recipe.weeks)),
        Fact("Season", str(w.season)),
    ]


def _weeks(weeks: float | None) -> str:
    if weeks is None:
        return ""
    n = round(abs(weeks))
    if not n:
        return "in the week of it"
    return f"{words.many(n, 'week', 'weeks')} {'before' if weeks < 0 else 'after'}"


def _links(s: SowingFigures, near: Near) -> tuple[Link, ...]:
    before, after = near
    season = s.sowing.season
    out = [
        Link(f"All of {s.sowing.crop}", crop_address(s.sowing.crop)),
        Link(f"Season {season}", season_address(season)),
    ]
    out += [Link(f"Seed lot {s.sowing.lot}", lot_address(s.sowing.lot))] if s.sowing.lot else []
    out += [Link(f"Sown before it, {before}", sowing_address(before))] if before else []
    out += [Link(f"Sown after it, {after}", sowing_address(after))] if after else []
    return tuple(out)


def moved_page(old: str, s: SowingFigures) -> Page:
    """An earlier code's address, for tags that are printed already."""
    return Page(
        template="moved",
        address=sowing_address(old),
        title=old,
        lead=(f"This sowing is now called {s.code}.",),
        links=(Link(s.code, sowing_address(s.code)),),
    )


def sowing_table(caption: str, sowings: list[SowingFigures]) -> Table:
    """A row a sowing."""
    rows = tuple(
        (
            cell(s.code, sowing_address(s.code)),
            cell(s.sowing.variety),
            cell(words.day(s.sowing.sown_on)),
            cell(words.short_germination(s), f"{sowing_address(s.code)}#figures"),
            cell(f"{s.up.half.point:.1f}" if s.up.half and s.up.half.point is not None else ""),
            cell(f"{s.planted:,}" if s.planted else "", f"{sowing_address(s.code)}#figures"),
            cell(_stems(s), f"{sowing_address(s.code)}#figures"),
            cell(s.stage if s.account.finished_on is None else s.outcome),
        )
        for s in sowings
    )
    columns = ("Sowing", "Variety", "Sown", "Came up", "#Half, day", "#Planted", "#Stems", "Now")
    return table(caption, columns, rows)


def _stems(s: SowingFigures) -> str:
    if s.cut.stems is None:
        return ""
    return ("at least " if s.cut.at_least else "") + f"{s.cut.stems:,}"


def sowings_page(figures: FarmFigures) -> Page:
    """Every sowing, the latest first."""
    latest = list(reversed(figures.sowings.values()))
    lead = f"{words.many(len(latest), 'sowing', 'sowings')}, the latest first."
    if not latest:
        lead = "Nothing has been sown yet."
    blocks = _by_season(latest)
    return Page(
        template="list",
        address=SOWINGS,
        title="Sowings",
        lead=(lead,),
        blocks=blocks,
        links=_jumps(blocks) if latest else (),
        rests_on=figures.kept.book.last_day,
        nav="Sowings",
    )


def _jumps(blocks: tuple[Block, ...]) -> tuple[Link, ...]:
    """To each season on the page, since the list is long."""
    within = tuple(Link(b.heading, f"{SOWINGS}#{b.anchor}") for b in blocks)
    return (
        *within,
        Link("As a table for a spreadsheet", SOWINGS_TABLE),
        Link("What the columns mean", COLUMNS_PAGE),
    )


def _by_season(latest: list[SowingFigures]) -> tuple[Block, ...]:
    years = sorted({s.sowing.season for s in latest}, reverse=True)
    return tuple(
        Block(
            f"Season {y}",
            f"season-{y}",
            table=sowing_table(
                f"Sowings of season {y}", [s for s in latest if s.sowing.season == y]
            ),
        )
        for y in years
    )
