"""What is to be expected, in words: of a kind before it is sown, of a sowing under way."""

from __future__ import annotations

import datetime as dt
import math

from traybook.advice.expecting import Expected, Outlook
from traybook.advice.learnt import Learnt
from traybook.pages import words
from traybook.pages.addresses import figure_anchor
from traybook.pages.learnt import anchored, named
from traybook.pages.model import Block, Fact, cell, table
from traybook.rollup.kind import KindSeason
from traybook.rollup.sowing import SowingFigures
from traybook.text.names import fold

# 5 and 95 % of a normal curve, in standard deviations.
_NINE_IN_TEN = 1.645


def habit_block(k: KindSeason, learnt: Learnt, only: bool = True) -> list[Block]:
    """How long this kind takes, and when to look, worry and give up; nothing if nothing is known."""
    got = learnt.outlooks.of_kind(k.key, k.crop)
    if got.habit is None:
        return []
    low, half, high = (
        math.exp(got.habit.mu + x * got.habit.s) for x in (-_NINE_IN_TEN, 0, _NINE_IN_TEN)
    )
    rows = (
        (cell("Look from"), cell(f"day {got.look}")),
        (cell("Half are up about"), cell(f"day {half:.0f}", more=f"9 in 10 sowings: day {low:.0f} to {high:.0f}")),
        (cell("Late, if nothing is up by"), cell(f"day {got.late}")),
        (cell("Give up after"), cell(f"day {got.give_up}")),
    )  # fmt: skip
    body = table("When to look for it", ("What", "Day"), rows)
    return [
        Block(
            named("When to look for it", k.measure, only), anchored("habit", k.measure),
            (_rests(got, learnt, k.crop),), body, how=figure_anchor("what-to-expect"),
        )
    ]  # fmt: skip


def _rests(got: Outlook, learnt: Learnt, crop: str) -> str:
    habit = got.habit
    assert habit is not None
    if habit.histories:
        return (
            f"By {words.many(habit.histories, 'settled sowing', 'settled sowings')} of your own. "
            "Days are counted from sowing, or from the day it came out of its cold."
        )
    fact = learnt.figures.kept.book.fact(crop)
    days = fact.days if fact else None
    own = learnt.figures.kept.book.farm.crops.get(fold(crop))
    said = "crops.yaml" if own and own.sprout_days else "the handbook"
    of = f"{days[0]:g} to {days[1]:g} days" if days else "a range of days"
    return f"None of your own has settled yet, so this goes by {of}, as {said} has it, and is wide."


def ahead_facts(e: Expected | None, s: SowingFigures, as_of: dt.date) -> list[Fact]:
    """What is expected next of a sowing that isn't settled."""
    if e is None:
        return []
    how = figure_anchor("what-to-expect")
    out = []
    if e.final is not None:
        out.append(Fact("In the end", _range(e.final, e.of, e.unit), how))
    looked = s.up.points[-1][0] if s.up.points else 0.0
    open_ = e.by_now is not None and e.by_now[0] < e.by_now[2]
    if open_ and e.by_now is not None and looked < (as_of - s.account.began).days:
        out.append(Fact(f"By now, {words.day(as_of)}", _range(e.by_now, e.of, e.unit), how))
    if e.behind:
        said = "behind: at the last two looks fewer were up than in 19 of 20 sound trays"
        out.append(Fact("How it goes", said, how))
    if s.up.first_by is None and e.look_on:
        out.append(Fact("Look from", words.day(e.look_on), how))
        out.append(Fact("Late, if nothing is up by", words.day(e.late_on), how))
    if e.give_up_on:
        over = ", which is over" if e.give_up_on < as_of else ""
        out.append(Fact("Hardly any more after", words.day(e.give_up_on) + over, how))
    return out


def _range(three: tuple[int, int, int], of: int, unit: str) -> str:
    """`about 58 of 72 seeds; 9 in 10 such trays come to 41 to 69`."""
    low, middle, high = three
    if low == high:
        return f"{middle:,} of {of:,} {unit}, as good as sure"
    return f"about {middle:,} of {of:,} {unit}; 9 in 10 such trays come to {low:,} to {high:,}"
