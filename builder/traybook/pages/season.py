"""A season's page with the one before beside it, and the list of seasons."""

from __future__ import annotations

from collections import Counter

from traybook.advice.learnt import Learnt
from traybook.pages import words
from traybook.pages.addresses import SEASONS, crop_address, figure_anchor, season_address
from traybook.pages.charts import timeline
from traybook.pages.crop import by_sowing, germination_words, stems_words
from traybook.pages.cutting import cutting_block
from traybook.pages.earned import earned_block
from traybook.pages.lines import lessons
from traybook.pages.model import Block, Cell, Fact, Link, Page, cell, table
from traybook.pages.verdicts import apart, luck, sentence, verdict_words
from traybook.pages.went_wrong import went_wrong
from traybook.rollup.compare import YearPair
from traybook.rollup.farm import FarmFigures
from traybook.rollup.kind import KindSeason, Season
from traybook.rollup.tally import Tally
from traybook.stats.difference import CLEAR, NOT_CLEAR, SAME, TOO_FEW
from traybook.text.names import fold


def season_page(season: Season, before: Season | None, learnt: Learnt) -> Page:
    """One year; each measure by itself."""
    figures = learnt.figures
    blocks = [
        *_better_or_worse(season, learnt),
        *(_measure(m, season, before, learnt) for m in season.measures),
        *cutting_block(season.year, figures),
        *earned_block(season, figures.kept.book.farm.units == "imperial"),
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
        chart=timeline(season),
        links=_links(season, before, blocks),
        rests_on=figures.kept.book.last_day,
        search=(str(season.year),),
    )


def _better_or_worse(season: Season, learnt: Learnt) -> list[Block]:
    """What came up better or worse than before, in words, the clear ones and the largest first."""
    pairs = sorted(learnt.pairs_of(season.kinds), key=lambda p: -abs(p.difference.value))
    if not pairs:
        return []
    clear = tuple(sentence(p) for p in pairs if p.verdict == CLEAR)
    counts = Counter(p.verdict for p in pairs)
    rest = [f"{counts[v]} {v}" for v in (SAME, NOT_CLEAR, TOO_FEW) if counts[v]]
    last = f"Of the others: {'; '.join(rest)}." if rest else ""
    if not clear:
        clear = ("Nothing came up clearly better or worse than the season before.",)
    rows = tuple(_pair_row(p) for p in pairs if p.verdict != CLEAR)
    columns = ("Crop", "Counted", "Difference", "So", "Against")
    body = table("The others, the largest difference first", columns, rows) if rows else None
    said = (*clear, " ".join(x for x in (last, luck(len(pairs))) if x))
    return [
        Block("Better or worse than before", "better-or-worse", said, before=body,
              how=figure_anchor("year-against-year"))
    ]  # fmt: skip


def _pair_row(p: YearPair) -> tuple[Cell, ...]:
    return (
        cell(p.now.crop.capitalize(), f"{crop_address(p.now.crop)}#year-against-year"),
        cell("" if p.now.measure == "up" else words.VERBS[p.now.measure]),
        cell(apart(p.difference)),
        cell(verdict_words(p.difference, p.verdict, p.now.measure)),
        cell(str(p.then.season)),
    )


def _links(season: Season, before: Season | None, blocks: list[Block]) -> tuple[Link, ...]:
    """To the year before, and down this long page to what is told in words."""
    here = season_address(season.year)
    down = [
        Link(b.heading, f"{here}#{b.anchor}")
        for b in blocks
        if b.anchor in ("cutting-weeks", "earned", "went-wrong", "lessons")
    ]
    back = [Link(f"Season {before.year}", season_address(before.year))] if before else []
    return (*back, *down)


def _crops(season: Season) -> int:
    return len({fold(k.crop) for k in season.kinds})


def _facts(season: Season) -> tuple[Fact, ...]:
    t = season.tally()
    out = [Fact("Planted out", words.many(t.planted, "plant", "plants"))] if t.planted else []
    if t.stems_told:
        out.append(Fact("Stems told by sowing", stems_words(t)))
    return tuple(out)


def _measure(measure: str, season: Season, before: Season | None, learnt: Learnt) -> Block:
    earlier = {fold(k.crop): k for k in before.kinds if k.measure == measure} if before else {}
    kinds = [k for k in season.kinds if k.measure == measure]
    pairs = {p.now.key: p for p in learnt.pairs_of(kinds)}
    rows = [_row(k, earlier.get(fold(k.crop)), before is not None, pairs.get(k.key)) for k in kinds]
    name = words.NAMES[measure] or "Counted"
    year = f"In {before.year}" if before else ""
    columns = ("Crop", "#Sowings", name, year, "So", "#Half, day", "#Planted", "#Stems")
    body = table(f"Season {season.year}: {words.MEASURES[measure]}", columns, tuple(rows))
    heading = words.MEASURES[measure].capitalize()
    sums, anchor = _sums(season.tally(measure), measure), measure.replace(" ", "-")
    return Block(heading, anchor, sums, body, how=figure_anchor("kind"))


def _row(
    k: KindSeason, old: KindSeason | None, beside: bool, pair: YearPair | None
) -> tuple[Cell, ...]:
    t = k.tally
    return (
        cell(k.crop.capitalize(), crop_address(k.crop)),
        cell(f"{t.sowings}"),
        cell(germination_words(k), f"{crop_address(k.crop)}#sowings-{k.season}", by_sowing(k)),
        cell(_beside(k, old) if beside else "", more=by_sowing(old) if old else ""),
        cell(verdict_words(pair.difference, pair.verdict, k.measure), more=apart(pair.difference))
        if pair and old and pair.then is old
        else cell(""),
        cell(f"{t.half_day:.1f}" if t.half_day is not None else ""),
        cell(f"{t.planted:,}" if t.planted else ""),
        cell(stems_words(t)),
    )  # fmt: skip


def _beside(k: KindSeason, old: KindSeason | None) -> str:
    """The same kind the year before, where both years can be said in the same words."""
    if old is None:
        return "not sown"
    return germination_words(old) or words.VERBS[k.measure]


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
