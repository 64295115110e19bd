"""A season's page with the one before beside it, and the list of seasons."""

from __future__ import annotations

from traybook.pages import words
from traybook.pages.addresses import SEASONS, crop_address, season_address
from traybook.pages.charts import timeline
from traybook.pages.crop import germination_words, stems_words
from traybook.pages.lines import lessons
from traybook.pages.model import Block, Cell, Fact, Link, Page, cell, table
from traybook.pages.went_wrong import went_wrong
from traybook.rollup.farm import FarmFigures
from traybook.rollup.kind import KindSeason, Season
from traybook.rollup.tally import Tally
from traybook.text.names import fold


def season_page(season: Season, before: Season | None, figures: FarmFigures) -> Page:
    """One year; each measure by itself."""
    blocks = [
        *(_measure(m, season, before) for m in season.measures),
        *went_wrong(season, figures.kept.book.own),
    ]
    told = tuple(
        f"{words.day(e.event.on)}: {note}" for note, e in lessons(figures.kept.book, season.year)
    )
    if told:
        blocks.append(Block("Lessons of the year", "lessons", told))
    total = season.tally()
    lead = [
        f"{words.many(total.sowings, 'sowing', 'sowings')} of {words.many(_crops(season), 'crop', 'crops')}."
    ]
    if before:
        lead.append(
            f"Season {before.year} stands beside it. A difference may be chance, "
            "and nothing here says why a year differed."
        )
    if total.left_out:
        lead.append(f"{words.left_out(total.left_out).capitalize()} of these figures.")
    return Page(
        template="season",
        address=season_address(season.year),
        title=f"Season {season.year}",
        lead=tuple(lead),
        facts=_facts(season),
        blocks=tuple(blocks),
        chart=timeline(season),
        links=(Link(f"Season {before.year}", season_address(before.year)),) if before else (),
        rests_on=figures.kept.book.last_day,
        search=(str(season.year),),
    )


def _crops(season: Season) -> int:
    return len({fold(k.crop) for k in season.kinds})


def _facts(season: Season) -> tuple[Fact, ...]:
    t = season.tally()
    out = [Fact("Planted out", words.many(t.planted, "plant", "plants"))] if t.planted else []
    if t.stems_told:
        out.append(Fact("Stems told by sowing", stems_words(t)))
    return tuple(out)


def _measure(measure: str, season: Season, before: Season | None) -> Block:
    earlier = {fold(k.crop): k for k in before.kinds if k.measure == measure} if before else {}
    kinds = [k for k in season.kinds if k.measure == measure]
    rows = [_row(k, earlier.get(fold(k.crop)), before is not None) for k in kinds]
    name = words.NAMES[measure] or "Counted"
    year = f"In {before.year}" if before else ""
    columns = ("Crop", "#Sowings", name, year, "Difference", "#Half, day", "#Planted", "#Stems")
    body = table(f"Season {season.year}: {words.MEASURES[measure]}", columns, tuple(rows))
    heading = words.MEASURES[measure].capitalize()
    return Block(heading, measure.replace(" ", "-"), _sums(season.tally(measure), measure), body)


def _row(k: KindSeason, old: KindSeason | None, beside: bool) -> tuple[Cell, ...]:
    t = k.tally
    return (
        cell(k.crop.capitalize(), crop_address(k.crop)),
        cell(f"{t.sowings}"),
        cell(germination_words(k), f"{crop_address(k.crop)}#sowings-{k.season}"),
        cell(_beside(k, old) if beside else ""),
        cell(difference(k.tally, old.tally) if old and k.germination is not None
             and old.germination is not None else ""),
        cell(f"{t.half_day:.1f}" if t.half_day is not None else ""),
        cell(f"{t.planted:,}" if t.planted else ""),
        cell(stems_words(t)),
    )  # fmt: skip


def _beside(k: KindSeason, old: KindSeason | None) -> str:
    """The same kind the year before, where both years can be said in the same words."""
    if old is None:
        return "not sown"
    return germination_words(old) or words.VERBS[k.measure]


def difference(now: Tally, then: Tally) -> str:
    """How far two shares lie apart, and no verdict; nothing where either rests on too few seeds.

    >>> difference(Tally(seeds=72, emerged=60), Tally(seeds=72, emerged=40))
    '28 in 100 more'
    >>> difference(Tally(seeds=100, emerged=80), Tally(seeds=1000, emerged=804))
    'less than 1 in 100 apart'
    """
    if min(now.seeds, then.seeds) < words.FEWEST:
        return ""
    apart = now.emerged / now.seeds - then.emerged / then.seeds
    points = round(abs(apart) * 100)
    if not points:
        return "less than 1 in 100 apart" if apart else "the same"
    return f"{points} in 100 {'more' if apart > 0 else 'fewer'}"


def _sums(t: Tally, measure: str) -> tuple[str, ...]:
    """All kinds of one measure together; cells of several seeds can't be added to seeds."""
    said = [words.many(t.sowings, "sowing", "sowings")]
    if t.estimated:
        said.append("what came up isn't added up, as some of it is estimated from cells")
    elif t.seeds:
        said.append(f"{t.entered} settled, {t.emerged:,} of {t.seeds:,} {words.VERBS[measure]}")
    said += [f"{words.many(t.planted, 'plant', 'plants')} planted out"] if t.planted else []
    said += [f"{stems_words(t)} stems"] if t.stems_told else []
    said += [words.left_out(t.left_out)] if t.left_out else []
    return ("In all: " + "; ".join(said) + ".",)


def seasons_page(figures: FarmFigures) -> Page:
    """Every season, the latest first."""
    rows = tuple(
        (
            cell(f"Season {s.year}", season_address(s.year)),
            cell(f"{s.tally().sowings}"),
            cell(f"{_crops(s)}"),
            cell(f"{s.tally().planted:,}" if s.tally().planted else ""),
            cell(stems_words(s.tally())),
        )
        for s in figures.seasons
    )
    body = table("Seasons", ("Season", "#Sowings", "#Crops", "#Planted", "#Stems"), rows)
    return Page(
        template="list",
        address=SEASONS,
        title="Seasons",
        lead=(
            "A season is the year of the first cut, so autumn sowings of some kinds count for the next.",
        ),
        blocks=(Block("", "seasons", (), body),) if rows else (),
        rests_on=figures.kept.book.last_day,
        nav="Seasons",
    )
