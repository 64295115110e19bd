"""A crop's page, and the list of crops."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from traybook.advice.learnt import Learnt
from traybook.pages import words
from traybook.pages.addresses import (
    CAUTIONS,
    COLUMNS_PAGE,
    CROPS,
    CROPS_TABLE,
    crop_address,
    figure_anchor,
    season_address,
)
from traybook.pages.ahead import habit_block
from traybook.pages.curves import curves_block
from traybook.pages.handbook import published_blocks
from traybook.pages.learnt import compared_block, recipes_block, steps_block
from traybook.pages.lines import lessons
from traybook.pages.model import Block, Cell, Link, Page, Table, cell, table
from traybook.pages.needs import stems_blocks, to_sow_blocks
from traybook.pages.sowing import sowing_table
from traybook.pages.successions import successions_block
from traybook.pages.verdicts import years_block
from traybook.pages.warmth import warmth_block
from traybook.rollup.emergence import lost_whole
from traybook.rollup.farm import FarmFigures
from traybook.rollup.kind import KindSeason
from traybook.rollup.tally import Tally
from traybook.text.names import fold

_JUMPS = (
    "to-sow",
    "stems-to",
    "successions",
    "habit",
    "warmth",
    "recipes",
    "year-against",
    "lessons",
    "sowings",
    "published",
    "caution",
)


def by_crop(figures: FarmFigures) -> dict[str, list[KindSeason]]:
    """Kinds by crop, each crop's in the order of seasons and measures; two spellings that have one
    address are one crop here."""
    out: dict[str, list[KindSeason]] = defaultdict(list)
    names: dict[str, str] = {}
    for k in figures.kinds:
        out[names.setdefault(crop_address(k.crop), k.crop)].append(k)
    return dict(sorted(out.items(), key=lambda item: fold(item[0])))


def crop_page(crop: str, kinds: list[KindSeason], learnt: Learnt) -> Page:
    """A crop: its seasons beside one another, what they teach, then each season's sowings."""
    figures = learnt.figures
    years = sorted({k.season for k in kinds}, reverse=True)
    ours = [s for k in kinds for s in k.sowings]
    days = [e.on for s in ours for e in s.account.events if e.on]
    blocks = [
        Block(
            "Season by season",
            "seasons",
            (*_measures(kinds), _season_of(crop, figures)),
            season_table(crop, kinds),
            how=figure_anchor("kind"),
        ),
        *_taught(crop, kinds, learnt),
        *_lessons(crop, figures),
        *(_season(year, kinds) for year in years),
        *published_blocks(crop, figures.kept.book, any(k.tally.entered for k in kinds)),
    ]
    return Page(
        template="crop",
        address=crop_address(crop),
        title=crop.capitalize(),
        lead=(
            f"{words.many(len(ours), 'sowing', 'sowings')} in {words.many(len(years), 'season', 'seasons')}.",
        ),
        blocks=tuple(blocks),
        links=(
            *(Link(f"Season {y}", season_address(y)) for y in years),
            *(Link(b.heading, f"{crop_address(crop)}#{b.anchor}") for b in blocks[1:] if _jump(b)),
            Link("Cautions", CAUTIONS),
        ),
        rests_on=max(days, default=None),
        search=(crop,),
    )


def _jump(b: Block) -> bool:
    """What is worth a link at the head of a long page."""
    return b.anchor.startswith(_JUMPS)


def _taught(crop: str, kinds: list[KindSeason], learnt: Learnt) -> Iterator[Block]:
    """What its own history teaches, each measure by itself: they count different things."""
    pairs = learnt.pairs_of(kinds)
    if pairs:
        yield years_block(crop, pairs)
    yield from stems_blocks(crop, learnt)
    yield from successions_block(kinds, learnt.as_of)
    measures = list(dict.fromkeys(k.measure for k in kinds if k.measure != "bought in"))
    only = len(measures) == 1
    for measure in measures:
        ours = [k for k in kinds if k.measure == measure]
        yield from to_sow_blocks(ours[-1], learnt, only)
        yield from habit_block(ours[-1], learnt, only)
        yield from warmth_block(ours[-1], learnt, only)
        yield from curves_block(ours, only)
        yield from recipes_block(ours, learnt, only)
        yield from compared_block(ours, learnt, only)
        yield from steps_block(ours, learnt, only)


def _measures(kinds: list[KindSeason]) -> tuple[str, ...]:
    """What the table adds up; where a crop was begun in several ways, that they are kept apart."""
    found = list(dict.fromkeys(k.measure for k in kinds))
    kind = (
        "What this kind did: its settled sowings added up, a season at a time. "
        "What one tray did stands on that sowing's own page."
    )
    guessed = sorted({k.season for k in kinds if k.share and k.spread.assumed})
    said = (kind, _assumed(guessed)) if guessed else (kind,)
    if len(found) < 2:
        return said
    return (
        *said,
        f"Kept apart, because they count different things: {'; '.join(words.MEASURES[m] for m in found)}.",
    )


def _assumed(years: list[int]) -> str:
    return (
        f"How far like sowings differ is assumed for {words.listed([str(y) for y in years])}, since nothing of "
        "your own stood behind it yet; from then on it is learnt from your earlier seasons."
    )


def _season_of(crop: str, figures: FarmFigures) -> str:
    """Which year a sowing of this crop counts for."""
    book = figures.kept.book
    said, own = book.fact(crop), book.farm.crops.get(fold(crop))
    turn = "February" if book.farm.south else "August"
    if said and said.late_for_next_year:
        own_word = own is not None and own.late_for_next_year is not None
        more = f"{crop.capitalize()} sown after {turn} is cut the next year and counts for it, " + (
            "as crops.yaml says." if own_word else "as is common practice."
        )
    else:
        more = (
            f"Some kinds sown after {turn} count for the next year; "
            f"{crop} counts for the year it is sown."
        )
    return f"A season is the year of the first cut. {more} A sowing's own line may say otherwise."


def germination_words(k: KindSeason) -> str:
    """What the settled sowings of a kind came to, with the interval of the kind."""
    if k.measure == "bought in":
        return ""
    if not k.tally.entered:
        return "not yet settled" if any(not s.up.settled for s in k.sowings) else words.NOT_COUNTED
    return words.kind_share(k)


def by_sowing(k: KindSeason) -> str:
    """How far its settled sowings lie apart, so that a sum of unlike trays doesn't pass for one;
    nothing where there is no sum, or no two sowings with a share."""
    if k.germination is None:
        return ""
    shares = [
        min(1.0, s.up.emerged / s.sowing.seeds)
        for s in k.sowings
        if s.up.in_germination
        and s.up.emerged is not None
        and s.sowing.seeds
        and s.sowing.seeds >= words.FEWEST
    ]
    if len(shares) < 2:
        return ""
    low, high = words.percent(min(shares)), words.percent(max(shares))
    return f"from {low} to {high} by sowing" if low != high else f"{low} in each sowing"


def stems_words(t: Tally) -> str:
    """Stems told, "at least" where some stayed with the crop."""
    return ("at least " if t.at_least else "") + f"{t.stems:,}" if t.stems_told else ""


def season_table(crop: str, kinds: list[KindSeason]) -> Table:
    """A row a season and measure; the measure is named unless all came up in trays."""
    rows = []
    plain = all(k.measure == "up" for k in kinds)
    for k in sorted(kinds, key=lambda k: -k.season):
        t = k.tally
        rows.append(
            (
                cell(str(k.season), season_address(k.season)),
                cell("" if plain else words.VERBS[k.measure]),
                cell(f"{t.sowings}"),
                cell(
                    germination_words(k),
                    f"{crop_address(crop)}#sowings-{k.season}",
                    by_sowing(k),
                ),
                cell(f"{t.half_day:.1f}" if t.half_day is not None else ""),
                cell(f"{t.good:,} of {t.good_of:,}" if t.good_of and t.good == t.good_in else ""),
                cell(f"{t.planted:,}" if t.planted else ""),
                cell(stems_words(t)),
                cell("; ".join(x for x in (_accidents(k), words.left_out(t.left_out)) if x)),
            )
        )
    columns = (
        "Season",
        "Counted",
        "#Sowings",
        "Came up",
        "#Half, day",
        "Good plants",
        "#Planted",
        "#Stems",
        "Note",
    )
    return table(f"{crop.capitalize()} by season", columns, tuple(rows))


def _accidents(k: KindSeason) -> str:
    """Sowings lost whole before anything was up: they say nothing of the seed."""
    n = sum(s.up.settled and lost_whole(s.up, s.account) for s in k.sowings)
    return f"{words.many(n, 'sowing', 'sowings')} lost whole, not in what came up" if n else ""


def _season(year: int, kinds: list[KindSeason]) -> Block:
    sowings = [s for k in kinds if k.season == year for s in k.sowings]
    sowings.sort(key=lambda s: (s.sowing.sown_on, s.code))
    return Block(
        f"Sowings of {year}",
        f"sowings-{year}",
        (),
        sowing_table(f"Sowings of season {year}", sowings),
    )


def _lessons(crop: str, figures: FarmFigures) -> list[Block]:
    told = tuple(
        f"{words.day(e.event.on)}: {note}"
        for note, e in lessons(figures.kept.book)
        if fold(e.ref.crop) == fold(crop)
    )
    return [Block("Lessons", "lessons", told)] if told else []


def _latest(crop: str, k: KindSeason) -> tuple[Cell, ...]:
    return (
        cell(crop.capitalize(), crop_address(crop)),
        cell(str(k.season)),
        cell(f"{k.tally.sowings}"),
        cell(_measured(k), more=by_sowing(k)),
        cell(f"{k.tally.planted:,}" if k.tally.planted else ""),
        cell(stems_words(k.tally)),
    )


def _measured(k: KindSeason) -> str:
    """What came up, with the measure it was counted by."""
    said = germination_words(k)
    return f"{words.VERBS[k.measure]}: {said}" if said else words.VERBS[k.measure]


def crops_page(figures: FarmFigures) -> Page:
    """Every crop with its latest season."""
    rows = []
    for crop, kinds in by_crop(figures).items():
        last = max(k.season for k in kinds)
        rows += [_latest(crop, k) for k in kinds if k.season == last]
    columns = ("Crop", "Latest season", "#Sowings", "Came up", "#Planted", "#Stems")
    body = table("Crops with their latest season", columns, tuple(rows))
    return Page(
        template="list",
        address=CROPS,
        title="Crops",
        lead=(words.many(len(by_crop(figures)), "crop", "crops") + " so far.",),
        blocks=(Block("", "crops", (), body),) if rows else (),
        links=(
            Link("As a table for a spreadsheet", CROPS_TABLE),
            Link("What the columns mean", COLUMNS_PAGE),
        )
        if rows
        else (),
        rests_on=figures.kept.book.last_day,
        nav="Crops",
    )
