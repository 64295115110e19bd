"""Sowings of one kind that follow one another in a season: did each give a flush of its own, and how
far apart to sow next time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from statistics import fmean, median

from traybook.rollup.cutting import Window, window_of
from traybook.rollup.recipe import WEEKS_APART
from traybook.rollup.sowing import SowingFigures

# Sowings further apart than this meet another season: autumn's and spring's are no one series.
# common practice, no source
_ONE_SERIES_DAYS = 90
# How many sowings a response has to rest on, and the least one that anything can be read from.
_FEWEST = 3
_LEAST_RESPONSE = 0.1
# What is whole but for the last digits of a division stays whole.
_ROUNDING = 1e-9
RESPONSE, WINDOW = "response", "window"


@dataclass(frozen=True, slots=True)
class Succession:
    """What was sown of a kind on one day and has been cut: one sowing, or several together."""

    sown_on: dt.date
    sowings: tuple[SowingFigures, ...]
    window: Window


@dataclass(frozen=True, slots=True)
class Following:
    """One succession after the one before: days between the sowings and between the first cuts,
    days on which both were being cut (first to last, both counted), and those as a share of the
    shorter window."""

    before: Succession
    now: Succession
    sown_apart: int
    cut_apart: int
    overlap: int
    share: float

    @property
    def at_least(self) -> bool:
        """Windows that may have been longer may have overlapped more."""
        ends = (self.before.window, self.now.window)
        return any(w.at_least or w.so_far for w in ends)


@dataclass(frozen=True, slots=True)
class Interval:
    """Days between sowings that would make each begin as the one before ends.

    `window` is the middle of `windows` of them in days; `response` by how many days the first cut came
    later for a day's later sowing, None where too few stand to tell; `of` how many successions,
    sown over `span` days; `ground` says which of the two it goes by; `at_least`: a window it rests
    on may have been longer.
    """

    days: int
    window: float
    windows: int
    response: float | None
    of: int
    span: int
    ground: str
    at_least: bool


def successions(sowings: Iterable[SowingFigures], as_of: dt.date) -> tuple[Succession, ...]:
    """Of one kind and season, in the order sown; sowings without a cut are not among them."""
    found = [(s, w) for s in sowings if (w := window_of(s, as_of))]
    found.sort(key=lambda x: (x[0].sowing.sown_on, x[0].code))
    out = []
    for day, group in groupby(found, key=lambda x: x[0].sowing.sown_on):
        same = list(group)
        out.append(Succession(day, tuple(s for s, _ in same), _joined([w for _, w in same])))
    return tuple(out)


def _joined(windows: Sequence[Window]) -> Window:
    """The window of several sowings taken together."""
    if len(windows) == 1:
        return windows[0]
    peaks = {w.peak for w in windows}
    return Window(
        min(w.first for w in windows),
        max(w.last for w in windows),
        peaks.pop() if len(peaks) == 1 else None,
        any(w.at_least for w in windows),
        any(w.so_far for w in windows),
    )


def followings(found: Sequence[Succession]) -> tuple[Following, ...]:
    """Each beside the one before it."""
    return tuple(_following(a, b) for a, b in pairwise(found))


def _following(a: Succession, b: Succession) -> Following:
    one, two = a.window, b.window
    both = (min(one.last, two.last) - max(one.first, two.first)).days + 1
    overlap = max(0, both)
    return Following(
        a, b,
        (b.sown_on - a.sown_on).days,
        (two.first - one.first).days,
        overlap,
        overlap / min(one.days, two.days),
    )  # fmt: skip


def response(found: Sequence[Succession]) -> float | None:
    """Days by which the first cut moves for a day by which the sowing moves: least squares over all of
    them. None unless three stand that were each sown three weeks or more after the one before:
    closer ones meet the same days, and one late cut would decide."""
    if _apart(found) < _FEWEST:
        return None
    xs = [f.sown_on.toordinal() for f in found]
    ys = [f.window.first.toordinal() for f in found]
    x, y = fmean(xs), fmean(ys)
    over = sum((a - x) * (b - y) for a, b in zip(xs, ys, strict=True))
    return over / sum((a - x) ** 2 for a in xs)


def _apart(found: Sequence[Succession]) -> int:
    """How many of them can be picked so that each is three weeks or more after the one before."""
    last: dt.date | None = None
    n = 0
    for f in found:
        if last is None or (f.sown_on - last).days >= WEEKS_APART * 7:
            last, n = f.sown_on, n + 1
    return n


def series(found: Sequence[Succession]) -> tuple[Succession, ...]:
    """The longest run of them in which none is more than 90 days after the one before, the later of
    two as long."""
    runs: list[list[Succession]] = []
    for f in found:
        if runs and (f.sown_on - runs[-1][-1].sown_on).days <= _ONE_SERIES_DAYS:
            runs[-1].append(f)
        else:
            runs.append([f])
    return tuple(max(reversed(runs), key=len, default=[]))


def interval(found: Sequence[Succession]) -> Interval | None:
    """How far apart to sow next time, by one season's successions of a kind.

    The middle of the windows, by the response where it can be told: a kind whose cut comes half a
    day later for each day sown later has to be sown twice as far apart. Else the window itself, as
    if the cut moved with the sowing. Whole days, rounded down, so that no gap comes of rounding.
    Windows that are still open tell nothing, nor does a single day's cut; those that may have been
    longer only where there are no others. None without any, or with one sowing alone.
    """
    run = series(found)
    closed = [f.window for f in run if not f.window.so_far and f.window.days > 1]
    closed = [w for w in closed if not w.at_least] or closed
    if len(run) < 2 or not closed:
        return None
    days = median(w.days for w in closed)
    moved = response(run)
    told = moved is not None and moved >= _LEAST_RESPONSE
    return Interval(
        days=max(1, int((days / moved if moved and told else days) + _ROUNDING)),
        window=days,
        windows=len(closed),
        response=moved,
        of=len(run),
        span=(run[-1].sown_on - run[0].sown_on).days,
        ground=RESPONSE if told else WINDOW,
        at_least=any(w.at_least for w in closed),
    )
