"""A sowing's page, and the list of all."""

from __future__ import annotations

from traybook.pages import words
from traybook.pages.addresses import (
    SOWINGS,
    crop_address,
    figure_anchor,
    season_address,
    sowing_address,
)
from traybook.pages.lines import written
from traybook.pages.model import Block, Fact, Link, Page, Table, cell, table
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold


def sowing_page(s: SowingFigures, figures: FarmFigures) -> Page:
    """Everything about one sowing."""
    sowing, book = s.sowing, figures.kept.book
    shown = [e for e in book.of(s.code) if e.used or book.own]
    days = [e.event.on for e in shown if e.event.on]
    return Page(
        template="sowing",
        address=sowing_address(s.code),
        title=f"{sowing.crop.capitalize()} {sowing.variety}".strip() + f", {s.code}",
        lead=_lead(s),
        facts=tuple(f for f in _figures(s) if f.value),
        recipe=tuple(f for f in _recipe(s) if f.value),
        sums=_sums(s),
        lines=written(shown, figures.kept),
        links=_links(s, figures),
        rests_on=max(days, default=None),
        search=(sowing.crop, sowing.variety, s.code),
    )


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
    up, cut = s.up, s.cut
    name = {"sprouted": "Sprouted", "stand": "Came up in the row"}.get(s.sowing.measure, "Came up")
    known = up.emerged is not None
    rows = [Fact(name, words.germination(s), figure_anchor("germination"))]
    if up.estimated and up.cells_up is not None and s.sowing.cells:
        stand = words.share_words(up.cells_up, s.sowing.cells, up.cell_share)
        rows.append(Fact("Cells with at least one", stand, figure_anchor("cell-stand")))
    if known or up.first_by is not None:
        rows.append(Fact("First up", words.first_up(up), figure_anchor("first-up")))
    if up.half:
        rows.append(Fact("Half of them up", words.reached(up.half), figure_anchor("days-to-half")))
    if up.mean is not None and up.half and up.half.point is not None:
        rows.append(Fact("Mean days", f"{up.mean:.1f}", figure_anchor("mean-days")))
    if up.even is not None:
        rows.append(Fact("From 10 % to 90 %", f"{up.even:.1f} days", figure_anchor("evenness")))
    rows += _afterwards(s)
    if cut.stems is not None:
        least = "at least " if cut.at_least else ""
        rows.append(Fact("Stems", f"{least}{cut.stems:,}", figure_anchor("stems")))
    if s.stems_per_plant is not None:
        rows.append(Fact("Stems a plant", f"{s.stems_per_plant:.1f}"))
    if cut.first:
        span = words.day(cut.first) + (
            f" to {words.day(cut.last)}" if cut.last != cut.first else ""
        )
        rows.append(Fact("Cut", span))
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
            if s.good <= s.good_of and s.good_of >= 5
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


def _recipe(s: SowingFigures) -> list[Fact]:
    w = s.sowing
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
        Fact("In", w.container.name if w.container else ""),
        Fact(
            "Seeds",
            f"{'about ' if w.about else ''}{w.seeds:,}" if w.seeds is not None else "not known",
        ),
        Fact("Seeds a cell", per if w.cells else ""),
        Fact("Covered", cover),
        Fact("Light", s.light),
        Fact("Place until half were up", s.place),
        Fact("Season", str(w.season)),
    ]


def _sums(s: SowingFigures) -> tuple[str, ...]:
    """The sums that must come out, in words."""
    count = s.up.count
    if count is None or not count.emerged:
        return ()
    parts = [f"{count.standing:,} standing", f"{count.taken:,} taken", f"{count.lost:,} lost there"]
    if count.missing:
        parts.append(f"{count.missing:,} missing")
    out = [f"{count.emerged:,} {count.unit} came up = {' + '.join(parts)}"]
    for stand in s.account.stands:
        rest = [f"{stand.alive:,} alive"]
        rest += [f"{stand.lost:,} lost"] if stand.lost else []
        rest += [f"{stand.out:,} taken on"] if stand.out else []
        rest += [f"{stand.missing:,} missing"] if stand.missing else []
        out.append(f"{stand.name}: {stand.entered:,} went in = {' + '.join(rest)}")
    return tuple(out)


def _links(s: SowingFigures, figures: FarmFigures) -> tuple[Link, ...]:
    crop = s.sowing.crop
    same = [x for x in figures.sowings.values() if fold(x.sowing.crop) == fold(crop)]
    i = next(n for n, x in enumerate(same) if x.code == s.code)
    out = [
        Link(f"All of {crop}", crop_address(crop)),
        Link(f"Season {s.sowing.season}", season_address(s.sowing.season)),
    ]
    if i:
        out.append(Link(f"The one before, {same[i - 1].code}", sowing_address(same[i - 1].code)))
    if i + 1 < len(same):
        out.append(Link(f"The next, {same[i + 1].code}", sowing_address(same[i + 1].code)))
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
            cell(words.short_germination(s)),
            cell(f"{s.up.half.point:.1f}" if s.up.half and s.up.half.point is not None else ""),
            cell(f"{s.planted:,}" if s.planted else ""),
            cell(_stems(s)),
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
    return Page(
        template="list",
        address=SOWINGS,
        title="Sowings",
        lead=(lead,),
        blocks=_by_season(latest),
        rests_on=figures.kept.book.last_day,
        nav="Sowings",
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
