"""How long a kind takes to come up: its habit, and the days to look, to worry and to give up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

# By how much (in the log) one sowing's half day lies from the kind's, before the kind shows it
# itself, and the shape. common practice, no source
BORROWED_S = 0.22
BORROWED_B = 8.0
# What the two borrowed values weigh: the spread as four sowings, the shape as two.
WEIGHT_S = 4
WEIGHT_B = 2
# Nine in ten lie within this many standard deviations on one side; 3.29 from side to side.
ONE_SIDE = 1.28
BOTH_SIDES = 3.29
# A kind that wants a treatment first is never given up before this many days.
SLOW_DAYS = 42
# Nothing comes up sooner than this many days, so a logarithm can always be taken.
SOONEST = 0.5


@dataclass(frozen=True, slots=True)
class Habit:
    """When a kind comes up. Of those that come, G(t) = 1/(1 + exp(-b (ln t - l))) are up by day t.

    `mu` is the middle of l, the log of a sowing's half day, and `s` how far the next sowing's may
    lie from it (standard deviation, what isn't known included); `b` the shape. `histories` is the
    number of sowings it rests on; 0: a range of days out of a book.
    """

    mu: float
    s: float
    b: float
    histories: int


def habit(
    halves: Sequence[float],
    shapes: Sequence[float],
    borrowed_s: float = BORROWED_S,
    borrowed_b: float = BORROWED_B,
) -> Habit:
    """The habit shown by earlier sowings: their half days, and their shapes where there are any.

    mu is the mean of the logs; s^2 = (SS + 4 borrowed_s^2)/(n - 1 + 4), times 1 + 1/n for the next
    sowing; b the geometric mean of the shapes and two borrowed ones. Assumes half days that are
    log-normal from sowing to sowing. Without half days it raises ValueError: then there is no habit
    but a range.

    Source: the usual prediction from a normal sample, its variance shrunk towards a borrowed one
    as by a scaled inverse chi-square prior (from memory).
    """
    logs = [math.log(max(day, SOONEST)) for day in halves]
    if not logs:
        raise ValueError("a habit needs at least one half day")
    n = len(logs)
    mu = math.fsum(logs) / n
    squares = math.fsum((x - mu) ** 2 for x in logs)
    variance = (squares + WEIGHT_S * borrowed_s**2) / (n - 1 + WEIGHT_S)
    of_shapes = math.fsum(math.log(b) for b in shapes) + WEIGHT_B * math.log(borrowed_b)
    b = math.exp(of_shapes / (len(shapes) + WEIGHT_B))
    return Habit(mu, math.sqrt(variance * (1 + 1 / n)), b, n)


def habit_from_range(
    low: float, high: float, borrowed_s: float = BORROWED_S, borrowed_b: float = BORROWED_B
) -> Habit:
    """The habit of a kind said to take `low` to `high` days: a wide one.

    mu is halfway on the log scale, s^2 = borrowed_s^2 + (ln(high/low)/3.29)^2: nine in ten half
    days are taken to lie in the range. common practice, no source
    """
    low, high = sorted((max(low, SOONEST), max(high, SOONEST)))
    mu = (math.log(low) + math.log(high)) / 2
    return Habit(mu, math.hypot(borrowed_s, math.log(high / low) / BOTH_SIDES), borrowed_b, 0)


def half_for_habit(after: float, by: float, point: float | None) -> float:
    """The half day of a sowing for its kind's habit, from the gap in which half was reached.

    The straight-line `point` in the gap from `after` to `by`; where the first visit had already
    half of them there is none, and nine tenths of that visit's day stand in.
    common practice, no source

    >>> half_for_habit(5, 8, 6.6), half_for_habit(0, 10, None)
    (6.6, 9.0)
    """
    return max(after, 0.9 * by) if point is None else point


def shape(ten: float, ninety: float) -> float | None:
    """The shape b = ln 81/ln(t90/t10) of a sowing; None where the two days don't differ.

    Source: the quantiles of the log-logistic distribution, t_q = e^l (q/(1 - q))^(1/b).

    >>> round(shape(10, 30), 6)
    4.0
    """
    return math.log(81) / math.log(ninety / ten) if ninety > ten > 0 else None


def days_to_look(h: Habit) -> int:
    """The day from which a look is worth the walk: when about one in fifty would be up.

    e^mu 49^(-1/b); of a habit out of a book a sowing that is early among them: less 1.28 s in the
    log. Never under 1.

    >>> days_to_look(Habit(math.log(10), 0.3, 8.0, 3))
    7
    """
    wide = ONE_SIDE * h.s if h.histories == 0 else 0.0
    return max(1, _whole(math.exp(h.mu - wide - math.log(49) / h.b)))


def days_to_late(h: Habit) -> int:
    """The day by which a sowing should show; with nothing up by then it is late.

    t90 = e^mu 9^(1/b), when nine in ten of those that come are up, of a sowing that is slow among
    its kind: plus 1.28 s in the log, and never after twice t90, when it is given up.

    >>> days_to_late(Habit(math.log(10), 0.3, 8.0, 3))
    20
    """
    ninety = h.mu + math.log(9) / h.b
    return max(1, _whole(math.exp(ninety + min(ONE_SIDE * h.s, math.log(2)))))


def days_to_give_up(h: Habit, slow: bool) -> int:
    """The day after which a sowing is given up: twice t90 = e^mu 9^(1/b).

    Never under 42 days for a kind that is `slow`: one that wants a treatment first.

    >>> days_to_give_up(Habit(math.log(10), 0.3, 8.0, 3), slow=False)
    27
    """
    days = max(1, _whole(2 * math.exp(h.mu + math.log(9) / h.b)))
    return max(SLOW_DAYS, days) if slow else days


def _whole(days: float) -> int:
    """Rounded up to whole days, but for the last digits."""
    return math.ceil(days - 1e-9)
