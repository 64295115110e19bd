"""A crop's successions: did each give a flush of its own, and how far apart to sow next time."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence

from traybook.pages import words
from traybook.pages.addresses import figure_anchor, sowing_address
from traybook.pages.model import Block, Cell, Table, cell, table
from traybook.rollup.kind import KindSeason
from traybook.rollup.sowing import SowingFigures
from traybook.rollup.successions import (
    RESPONSE,
    Following,
    Interval,
    Succession,
    followings,
    interval,
    successions,
)

_COLUMNS = (
    "Sowing", "Sown", "First cut", "Last cut", "Most in week", "#Cut for, days",
    "Overlap with the one before",
)  # fmt: skip

_NOT_YET = "How far apart to sow can't be told yet: it takes a sowing that was cut on more than one day and is over."


def successions_block(kinds: Sequence[KindSeason], as_of: dt.date) -> list[Block]:
    """Season by season, the latest first, over all ways of beginning the crop; nothing where no two
    sowings of one season were cut."""
    by_year: dict[int, list[SowingFigures]] = defaultdict(list)
    for k in kinds:
        by_year[k.season] += k.sowings
    found = {y: successions(by_year[y], as_of) for y in sorted(by_year, reverse=True)}
    found = {y: f for y, f in found.items() if len(f) > 1}
    if not found:
        return []
    latest, *earlier = found
    said = [*advice_words({y: interval(f) for y, f in found.items()}), _flushes(latest, found[latest])]  # fmt: skip
    rows = tuple(r for y in earlier for r in _rows(y, found[y]))
    return [
        Block(
            "Successions", "successions", tuple(x for x in said if x),
            _table(f"Successions of {latest}", _rows(None, found[latest])),
            table("Successions of earlier seasons", ("Sowing", "Season", *_COLUMNS[1:]), rows) if rows else None,
            how=figure_anchor("successions"),
        )
    ]  # fmt: skip


def advice_words(intervals: dict[int, Interval | None]) -> list[str]:
    """How far apart to sow next time, with its ground; by the latest season that can tell how the cut
    follows the sowing, else by the latest. Then what the others say."""
    told = {y: i for y, i in intervals.items() if i}
    if not told:
        return [_NOT_YET]
    year = next((y for y, i in told.items() if i.ground == RESPONSE), next(iter(told)))
    best = told.pop(year)
    said = [f"{_sow(best)}: {_ground(best, year)}"]
    if best.days > best.span:
        said.append(
            f"That is longer than the {words.many(best.span, 'day', 'days')} from first to last sowing "
            f"of {year}, so fewer sowings would do."
        )
    if told:
        others = [f"{i.days} days{' or more' if i.at_least else ''} (by {y})" for y, i in told.items()]  # fmt: skip
        said.append(f"By other seasons it would be {words.listed(others)}.")
    return said


def _sow(i: Interval) -> str:
    every = words.many(i.days, "day", "days")
    return (
        f"Next time sow no closer than every {every}" if i.at_least else f"Next time sow every {every}"
    )  # fmt: skip


def _ground(i: Interval, year: int) -> str:
    of = f"the middle of {i.windows} in {year}" if i.windows > 1 else f"one told in {year}"
    cut = f"a sowing was cut for {'at least ' if i.at_least else ''}{i.window:g} days ({of})"
    less = " Stems of the crop that nobody told apart may have been cut before or after." if i.at_least else ""  # fmt: skip
    if i.ground == RESPONSE and i.response is not None:
        return (
            f"{cut}, and for every 10 days of later sowing the first cut came {i.response * 10:.1f} days "
            f"later ({i.of} sowings over {i.span} days).{less}"
        )
    if i.response is not None:
        return f"{cut}. Sowings {i.span} days apart came to be cut at the same time, so a longer gap may not help.{less}"
    return (
        f"{cut}. That takes the cut to move as far as the sowing does; three sowings three weeks or more "
        f"apart would tell.{less}"
    )


def _flushes(year: int, found: Sequence[Succession]) -> str:
    """How many began when the one before was over."""
    after = followings(found)
    own = sum(not f.overlap for f in after)
    sure = " as far as was told" if any(f.at_least for f in after) else ""
    if own == len(after):
        return f"In {year} each began when the one before was over{sure}."
    rest = [f.share for f in after if f.overlap]
    low, high = words.percent(min(rest)), words.percent(max(rest))
    part = low if low == high else f"{low} to {high}"
    beside = f"cut beside it for {'at least ' if sure else ''}{part} of the shorter of the two"
    if not own:
        return f"In {year} each began while the one before was being cut, and was {beside}."
    return f"In {year}, {own} of {len(after)} began when the one before was over{sure}; the others were {beside}."


def _table(caption: str, rows: tuple[tuple[Cell, ...], ...]) -> Table:
    return table(caption, _COLUMNS, rows)


def _rows(year: int | None, found: Sequence[Succession]) -> tuple[tuple[Cell, ...], ...]:
    after = (None, *followings(found))
    rows = [_row(s, f) for s, f in zip(found, after, strict=True)]
    if year is None:
        return tuple(rows)
    return tuple((r[0], cell(str(year)), *r[1:]) for r in rows)


def _row(s: Succession, f: Following | None) -> tuple[Cell, ...]:
    w, first = s.window, s.sowings[0]
    more = f"with {words.listed([x.code for x in s.sowings[1:]])}" if len(s.sowings) > 1 else ""
    variety = words.listed(list(dict.fromkeys(x.sowing.variety for x in s.sowings if x.sowing.variety)))  # fmt: skip
    so_far = " so far" if w.so_far else ""
    least = "at least " if w.at_least else ""
    return (
        cell(s.sowings[0].code, sowing_address(first.code), "; ".join(x for x in (more, variety) if x)),
        cell(words.day(s.sown_on), more=f"{f.sown_apart} days after" if f else ""),
        cell(words.day(w.first), more=_later(f.cut_apart) if f else ""),
        cell(words.day(w.last), more=so_far.strip()),
        cell(f"{w.peak.isocalendar().week}" if w.peak else ""),
        cell(f"{least}{w.days}{so_far}"),
        cell(_overlap(f) if f else ""),
    )  # fmt: skip


def _later(days: int) -> str:
    if not days:
        return "the same day"
    return f"{words.many(abs(days), 'day', 'days')} {'later' if days > 0 else 'earlier'}"


def _overlap(f: Following) -> str:
    if not f.overlap:
        return "none told" if f.at_least else "none"
    least = "at least " if f.at_least else ""
    return f"{least}{words.many(f.overlap, 'day', 'days')} ({words.percent(f.share)})"
