"""Pests and diseases over the years: when, where, and on which kinds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from traybook.pages import words
from traybook.pages.addresses import WORKED, crop_address, sowing_address
from traybook.pages.causes import added_up, is_pest, one_name, plain
from traybook.pages.cutting import week
from traybook.pages.model import Block, Cell, cell, table
from traybook.rollup.cutting import monday
from traybook.rollup.farm import FarmFigures
from traybook.rollup.pests import Sign, signs

# So many names in a cell, then how many more.
_NAMES = 4
_LINES = "pests-lines"


def pests_block(figures: FarmFigures) -> list[Block]:
    """A row a year and pest, the latest year first and in it the commonest; every line folded up below.
    Nothing where none was written."""
    found = [s for s in signs(figures) if is_pest(s.what)]
    if not found:
        return []
    names = _called(found)
    years: dict[tuple[int, str], list[Sign]] = defaultdict(list)
    for s in found:
        years[s.on.isocalendar().year, names[s.what]].append(s)
    order = sorted(years.items(), key=lambda x: (-x[0][0], -len(x[1]), x[0][1]))
    lead = (
        "What was lost to a pest or a disease, and what was seen. Weather and mishaps are told on each "
        "season's page."
    )
    latest = order[0][0][0]
    now = tuple(_row(*key, mine) for key, mine in order if key[0] == latest)
    before = tuple(_row(*key, mine) for key, mine in order if key[0] != latest)
    columns = ("What", "Year", "Times", "Weeks", "Kinds", "Where")
    return [
        Block(
            "Pests and diseases: when and where", "pests", (lead,),
            table(f"Pests and diseases in {latest}, the commonest first", columns, now),
            table("Earlier years", columns, before) if before else None,
        ),
        _line_by_line(found, names),
    ]  # fmt: skip


def _line_by_line(found: Sequence[Sign], names: dict[str, str]) -> Block:
    rows = tuple(_line(s, names[s.what]) for s in found)
    caption = f"{words.many(len(rows), 'line', 'lines')}, the latest first"
    body = table(caption, ("On", "What", "Kind", "Where", "How many"), rows)
    return Block("Pests and diseases, line by line", _LINES, before=body)


def _called(found: Sequence[Sign]) -> dict[str, str]:
    """Each spelling with the name that stands for all spellings of the same."""
    spelt: dict[str, list[str]] = defaultdict(list)
    for s in found:
        spelt[one_name(s.what)].append(s.what)
    names = {one: plain(added_up((1, x) for x in mine)[0][1]) for one, mine in spelt.items()}
    return {s.what: names[one_name(s.what)] for s in found}


def _row(year: int, what: str, found: list[Sign]) -> tuple[Cell, ...]:
    lost = sum(s.lost for s in found)
    seen = sum(s.seen for s in found)
    more = [f"{lost:,} lost"] if lost else []
    more += [f"{words.many(seen, 'time', 'times')} seen"] if seen and lost else []
    first, last = min(s.on for s in found), max(s.on for s in found)
    when = [week(monday(d), year).removeprefix("week ") for d in (first, last)]
    return (
        cell(what.capitalize()),
        cell(str(year)),
        cell(words.many(len(found), "time", "times"), f"{WORKED}#{_LINES}", ", ".join(more)),
        cell(when[0] if when[0] == when[1] else f"{when[0]} to {when[1]}"),
        cell(_most([s.crop for s in found])),
        cell(_most([s.where for s in found])),
    )


def _most(names: list[str]) -> str:
    """The commonest first; of many the first few."""
    told = [n for n in names if n]
    order = sorted(dict.fromkeys(told), key=lambda n: (-told.count(n), n))
    kept = order[:_NAMES]
    if len(order) > _NAMES:
        return ", ".join(kept) + f" and {len(order) - _NAMES} more"
    return words.listed(kept)


def _line(s: Sign, what: str) -> tuple[Cell, ...]:
    return (
        cell(words.day(s.on), more=week(monday(s.on), s.on.isocalendar().year)),
        cell(what, sowing_address(s.code) if s.code else ""),
        cell(s.crop, crop_address(s.crop) if s.crop else ""),
        cell(s.where),
        cell(_many(s)),
    )


def _many(s: Sign) -> str:
    if s.lost:
        return f"{s.lost:,} lost"
    if s.n is None:
        return "seen, " + words.NOT_COUNTED
    return f"{s.n:g} of {s.of:g}" if s.of else f"{s.n:g} had it"
