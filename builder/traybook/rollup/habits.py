"""How long a kind takes, learnt from its sowings; and the day to give one up."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from traybook.ledger.keep import Kept
from traybook.ledger.model import Account
from traybook.rollup.emergence import Emergence
from traybook.stats.habit import (
    BORROWED_B,
    BORROWED_S,
    Habit,
    days_to_give_up,
    habit,
    habit_from_range,
    half_for_habit,
    shape,
)
from traybook.text.names import fold

# With fewer that came up, a half day says little of the kind.
_FEWEST_UP = 5
# From so many sowings on, the farm's own scatter and shape stand in for the borrowed ones.
_OWN_FROM = 10

#: A kind's one measure: (folded crop, measure). Measures are never pooled.
Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast one sowing was: its half day, and its shape where a tenth and nine tenths are known."""

    half: float
    shape: float | None


def key_of(account: Account) -> Key:
    """The kind and measure of a sowing."""
    return fold(account.sowing.crop), account.sowing.measure


def pace_of(up: Emergence) -> Pace | None:
    """How fast a sowing was; None with fewer than five up, or days that nobody kept."""
    if up.count is None or up.count.emerged < _FEWEST_UP or up.half is None or not up.days_known:
        return None
    half = half_for_habit(up.half.after, up.half.by, up.half.point)
    if half <= 0:
        return None
    ten, ninety = up.tenth, up.ninetieth
    if ten is None or ninety is None or ten.point is None or ninety.point is None:
        return Pace(half, None)
    return Pace(half, shape(ten.point, ninety.point))


@dataclass(frozen=True, slots=True)
class Borrowed:
    """What a kind with little history borrows: the scatter of log half days about their kind, and the
    shape. From ten sowings on the farm's own, else guesses that the pages call so."""

    s: float = BORROWED_S
    b: float = BORROWED_B
    sowings: int = 0


def borrowed_of(paces: Mapping[Key, Iterable[Pace]]) -> Borrowed:
    """The farm's own scatter and shape, pooled over its kinds: each once ten sowings tell it. The first
    sowing of a kind tells nothing of the scatter."""
    squares, df, n, logs = 0.0, 0, 0, []
    for found in paces.values():
        halves = [math.log(p.half) for p in found]
        mean = sum(halves) / len(halves) if halves else 0.0
        squares += sum((x - mean) ** 2 for x in halves)
        df += max(0, len(halves) - 1)
        n += len(halves)
        logs += [math.log(p.shape) for p in found if p.shape]
    own_s = math.sqrt(squares / df) if df >= _OWN_FROM and squares > 0 else BORROWED_S
    own_b = math.exp(sum(logs) / len(logs)) if len(logs) >= _OWN_FROM else BORROWED_B
    return Borrowed(own_s, own_b, n)


def habit_of(
    paces: Iterable[Pace], days: tuple[float, float] | None, borrowed: Borrowed = Borrowed()
) -> Habit | None:
    """A kind's habit from its own sowings, else from published or the farm's days; None with neither."""
    own = list(paces)
    if own:
        shapes = [p.shape for p in own if p.shape is not None]
        return habit([p.half for p in own], shapes, borrowed.s, borrowed.b)
    return habit_from_range(*days, borrowed.s, borrowed.b) if days else None


def give_up_days(kept: Kept, ups: Mapping[str, Emergence]) -> dict[str, int | None]:
    """For each sowing the day to give it up, by its kind's finished sowings of earlier seasons, else by
    the days to sprout of crops.yaml or the handbook; None with none of them."""
    finished: dict[Key, list[tuple[int, Pace]]] = defaultdict(list)
    for code, account in kept.accounts.items():
        pace = pace_of(ups[code]) if account.sown_closed_on is not None else None
        if pace:
            finished[key_of(account)].append((account.sowing.season, pace))
    known: dict[tuple[Key, int], int | None] = {}
    out = {}
    for code, account in kept.accounts.items():
        key, season = key_of(account), account.sowing.season
        if (key, season) not in known:
            earlier = [p for year, p in finished.get(key, ()) if year < season]
            fact = kept.book.fact(account.sowing.crop)
            got = habit_of(earlier, fact.days if fact else None)
            slow = bool(fact and fact.pre_treatment)
            known[key, season] = days_to_give_up(got, slow) if got else None
        out[code] = known[key, season]
    return out
