"""What a crop's own history teaches, block by block: for its page, and together for What worked."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from traybook.advice.learnt import Learnt
from traybook.pages import words
from traybook.pages.addresses import figure_anchor, sowing_address
from traybook.pages.model import Block, Cell, cell, table
from traybook.pages.verdicts import comparisons_table, luck
from traybook.rollup.compare import comparisons
from traybook.rollup.kind import KindSeason
from traybook.rollup.ranking import Ranked, ranked
from traybook.rollup.steps import Step, largest_drop, steps_of

_WHERE = {"up": "in trays", "sprouted": "on paper", "stand": "sown direct", "corm": "corms"}


def named(name: str, measure: str, only: bool) -> str:
    """A heading; where several ways of counting stand on a page it says which this is."""
    return name if only else f"{name}: {_WHERE[measure]}"


def anchored(name: str, measure: str) -> str:
    """The anchor of a block of one measure."""
    return f"{name}-{measure}"


def steps_block(kinds: Sequence[KindSeason], learnt: Learnt, only: bool = True) -> list[Block]:
    """Where plants were lost, step by step, a row a season and step; `kinds` are of one measure."""
    key, rows, told = kinds[0].key, [], []
    spreads = learnt.figures.spreads
    rho_on = spreads.survival(key).rho
    for k in sorted(kinds, key=lambda k: -k.season):
        steps = steps_of(k.sowings, k.spread.rho, rho_on)  # as the season's own row has it
        if len(steps) < 2:
            continue
        rows += [_step_row(s, k.season if i == 0 else None) for i, s in enumerate(steps)]
        told += _drop(largest_drop(steps), k.season)
    if not rows:
        return []
    measure = kinds[0].measure
    columns = ("Season", "Step", "Came through", "#Sowings")
    return [
        Block(
            named("Where they went, step by step", measure, only),
            anchored("steps", measure), tuple(told),
            table("Steps from seed to bed", columns, tuple(rows)), how=figure_anchor("steps"),
        )
    ]  # fmt: skip


_OF = {
    "came up": "came up, of the seeds",
    "good plants": "made good plants, of those up",
    "planted out": "planted out, of the good",
    "alive in the bed": "alive in the bed, of those planted",
}
_BETWEEN = {
    "came up": "between sowing and coming up",
    "good plants": "between coming up and planting out",
    "alive in the bed": "in the bed",
}


def _step_row(s: Step, season: int | None) -> tuple[Cell, ...]:
    said = words.share_words(s.y, s.n, s.share) if s.loss else f"{s.y:,} of {s.n:,}"
    more = "the rest was sold, given or put by" if not s.loss and s.y < s.n else ""
    return (
        cell("" if season is None else str(season)),
        cell(_OF[s.name]),
        cell(said, more=more),
        cell(f"{s.sowings}"),
    )


def _drop(drops: tuple[Step, ...], season: int) -> list[str]:
    said = [_BETWEEN[d.name] for d in drops]
    if not said:
        return []
    if len(said) == 1:
        return [f"{season}: most were lost {said[0]}."]
    return [f"{season}: most were lost {said[0]} or {said[1]}; too close to say which."]


def recipes_block(kinds: Sequence[KindSeason], learnt: Learnt, only: bool = True) -> list[Block]:
    """Recipes in the order of what may be counted on, failed ones too; `kinds` are of one measure."""
    measure = kinds[0].measure
    found = ranked_recipes(kinds, learnt)
    if not any(r.share for r in found):
        return []
    columns = ("How", "Good plants", "Sowings", "Seasons")
    rows = tuple(_recipe_row(r) for r in found)
    lead = (
        "By the lower end of what may be counted on, so that one lucky tray doesn't lead. "
        "Good plants are planted, sold, given or put by; a sowing that mice or drought took whole counts here too."
    )
    return [
        Block(
            named("Recipes, the surest first", measure, only), anchored("recipes", measure),
            (lead,), table("Recipes, the surest first", columns, rows), how=figure_anchor("recipes"),
        )
    ]  # fmt: skip


def ranked_recipes(kinds: Sequence[KindSeason], learnt: Learnt) -> tuple[Ranked, ...]:
    """The recipes of one kind and measure over its seasons, the surest first."""
    rho = learnt.figures.spreads.planning(kinds[0].key).rho
    return ranked((s for k in kinds for s in k.sowings), learnt.recipes, rho)


def good_words(r: Ranked) -> str:
    """`67 of 108 cells (62 %, 36-82)`; nothing while none is accounted for."""
    said = words.share_words(r.good, r.of, r.share) if r.of else ""
    return said.replace(f" of {r.of:,}", f" of {r.of:,} cells", 1) if r.unit == "cells" else said


def recipe_words(parts: Iterable[tuple[str, str]]) -> str:
    """`cold 4 weeks; 72-cell tray, 1 seed a cell; surface; dark; cellar floor`."""
    said = dict(parts)
    per = said.pop("seeds a cell", "")
    if per:
        each = f"{per} {'seed' if per == '1' else 'seeds'} a cell"
        said["container"] = f"{said.get('container', 'cells')}, {each}"
    if "cover" in said:
        said["cover"] = "surface" if said["cover"] == "surface" else f"cover {said['cover']}"
    return "; ".join(said.values()) or "nothing written of how"


def _recipe_row(r: Ranked) -> tuple[Cell, ...]:
    waiting = (
        f"{words.many(r.waiting, 'sowing', 'sowings')} not yet accounted for" if r.waiting else ""
    )
    seasons = sorted({s.sowing.season for s in r.sowings})
    latest = r.sowings[-1]
    return (
        cell(recipe_words(r.parts), sowing_address(latest.code)),
        cell(good_words(r), more=waiting) if r.of else cell(waiting),
        cell(words.many(len(r.sowings), "sowing", "sowings")),
        cell(words.listed([str(y) for y in seasons])),
    )


def compared_block(kinds: Sequence[KindSeason], learnt: Learnt, only: bool = True) -> list[Block]:
    """One way against another within like seasons and varieties; `kinds` are one crop's, of one measure."""
    found = comparisons(kinds, learnt.recipes)
    if not found:
        return []
    measure = kinds[0].measure
    lead = (
        "Like against like: each row sets sowings of one season and variety beside one another. "
        "More and fewer are said of the way named first. Where something else was done otherwise too, "
        "neither is credited. " + luck(len(found))
    )
    return [
        Block(
            named("One way against another", measure, only), anchored("compared", measure),
            (lead,), comparisons_table("One way against another", found), how=figure_anchor("comparisons"),
        )
    ]  # fmt: skip
