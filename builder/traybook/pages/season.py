"""A season's page with the one before beside it, and the list of seasons."""

from __future__ import annotations

from traybook.pages import words
from traybook.pages.addresses import SEASONS, crop_address, season_address
from traybook.pages.crop import germination_words
from traybook.pages.lines import lessons
from traybook.pages.model import Block, Fact, Link, Page, cell, table
from traybook.rollup.farm import FarmFigures
from traybook.rollup.kind import KindSeason, Season
from traybook.text.names import fold


def season_page(season: Season, before: Season | None, figures: FarmFigures) -> Page:
    """One year; each measure by itself."""
    blocks = [_measure(m, season, before) for m in season.measures]
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
            f"Season {before.year} stands beside it. Nothing here says why a year differed."
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
        least = "at least " if t.at_least else ""
        out.append(Fact("Stems told by sowing", f"{least}{t.stems:,}"))
    return tuple(out)


def _measure(measure: str, season: Season, before: Season | None) -> Block:
    earlier = {fold(k.crop): k for k in before.kinds if k.measure == measure} if before else {}
    rows = []
    for k in [k for k in season.kinds if k.measure == measure]:
        row = [
            cell(k.crop.capitalize(), crop_address(k.crop)),
            cell(f"{k.tally.sowings}"),
            cell(germination_words(k)),
            cell(f"{k.tally.half_day:.1f}" if k.tally.half_day is not None else ""),
            cell(f"{k.tally.planted:,}" if k.tally.planted else ""),
            cell(f"{k.tally.stems:,}" if k.tally.stems_told else ""),
        ]
        if before:
            row.insert(3, cell(_beside(earlier.get(fold(k.crop)))))
        rows.append(tuple(row))
    columns = ["Crop", "#Sowings", "Came up", "#Half, day", "#Planted", "#Stems"]
    if before:
        columns.insert(3, f"In {before.year}")
    body = table(f"Season {season.year}: {words.MEASURES[measure]}", tuple(columns), tuple(rows))
    return Block(words.MEASURES[measure].capitalize(), measure.replace(" ", "-"), (), body)


def _beside(k: KindSeason | None) -> str:
    return germination_words(k) if k else "not sown"


def seasons_page(figures: FarmFigures) -> Page:
    """Every season, the latest first."""
    rows = tuple(
        (
            cell(f"Season {s.year}", season_address(s.year)),
            cell(f"{s.tally().sowings}"),
            cell(f"{_crops(s)}"),
            cell(f"{s.tally().planted:,}" if s.tally().planted else ""),
            cell(f"{s.tally().stems:,}" if s.tally().stems_told else ""),
        )
        for s in figures.seasons
    )
    body = table("Seasons", ("Season", "#Sowings", "#Crops", "#Planted", "#Stems"), rows)
    return Page(
        template="list",
        address=SEASONS,
        title="Seasons",
        lead=("A season is the year meant for the first cut.",),
        blocks=(Block("", "seasons", (), body),) if rows else (),
        rests_on=figures.kept.book.last_day,
        nav="Seasons",
    )
