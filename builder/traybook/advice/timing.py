"""How long each step of a kind takes: by its own sowings, else by the handbook, else by the trade."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from statistics import median

from traybook.advice.frosts import Frosts, frost_of
from traybook.advice.learnt import Learnt
from traybook.handbook.facts import Fact
from traybook.rollup.habits import Key
from traybook.rollup.sowing import SowingFigures
from traybook.stats.response import Response, response
from traybook.text.names import fold

OWN, SAID, PUBLISHED, COMMON = "own", "crops.yaml", "published", "common practice"
# common practice, no source: plants stand outside by day for ten days before they are planted, a week
# to a fortnight in the handbooks; seedlings are potted on about two weeks after half are up, between
# two and six weeks after sowing
_HARDEN = (7.0, 10.0, 14.0)
_POT_AFTER_HALF = (7.0, 14.0, 28.0)


@dataclass(frozen=True, slots=True)
class Days:
    """How many days a step takes: the middle, the least and the most, and where that comes from:
    `source` is OWN, SAID (the farm's crops.yaml), PUBLISHED or COMMON; `n` own sowings stand behind it, 0 for none."""

    middle: int
    least: int
    most: int
    source: str
    n: int = 0

    @property
    def words(self) -> str:
        """`your own: 40 to 52 days in 4 sowings`."""
        span = f"{self.least}" if self.least == self.most else f"{self.least} to {self.most}"
        days = f"{span} {'day' if span == '1' else 'days'}"
        if self.source == OWN:
            return f"your own: {days} in {self.n} {'sowing' if self.n == 1 else 'sowings'}"
        return f"{self.source}: {days}"


def whole(x: float) -> int:
    """The nearest whole number, halves upwards: 2.5 weeks of 7 days are 18 days."""
    return math.floor(x + 0.5)


def _own(days: list[int]) -> Days | None:
    if not days:
        return None
    return Days(whole(median(days)), min(days), max(days), OWN, len(days))


def _middle(ends: tuple[float, float] | None, source: str, each: float) -> Days | None:
    """The middle of a range that is told, and its ends."""
    if ends is None:
        return None
    low, high = (x * each for x in ends)
    return Days(whole((low + high) / 2), whole(low), whole(high), source)


@dataclass(frozen=True)
class Timing:
    """The times of one kind, of one measure and of sowings that winter or don't: each is its own
    sowings', where there are any. Days may be None where nothing is known. Only sowings of seasons
    `before` a year tell, where one is said: a plan must not follow what was made of it."""

    learnt: Learnt
    crop: str
    measure: str
    winters: bool
    at: Frosts
    before: int | None = None

    @property
    def key(self) -> Key:
        """As habits and spreads are kept by."""
        return fold(self.crop), self.measure

    @cached_property
    def fact(self) -> Fact | None:
        """The farm's own facts before the handbook's."""
        return self.learnt.figures.kept.book.fact(self.crop)

    @cached_property
    def sowings(self) -> tuple[SowingFigures, ...]:
        """Its sowings in the order sown; those that filled gaps in another's tray left out."""
        found = [
            s for s in self.learnt.figures.sowings.values()
            if (fold(s.sowing.crop), s.sowing.measure) == self.key
            and not s.sowing.shares and wintered(s) == self.winters
            and (self.before is None or s.sowing.season < self.before)
        ]  # fmt: skip
        return tuple(sorted(found, key=lambda s: (s.sowing.sown_on, s.code)))

    def _between(
        self,
        first: Callable[[SowingFigures], dt.date | None],
        last: Callable[[SowingFigures], dt.date | None],
    ) -> Days | None:
        days = [(b - a).days for s in self.sowings if (a := first(s)) and (b := last(s)) and b >= a]
        return _own(days)

    @cached_property
    def treating(self) -> Days | None:
        """Days of cold, warmth or soaking before sowing; None where none is wanted."""
        own = [
            whole(sum(days)) for s in self.sowings
            if (days := [x for t in s.account.treatments if (x := t.days(None if t.ref.code else s.sowing.sown_on)) and x >= 1])
            and not any(t.ref.code for t in s.account.treatments)
        ]  # fmt: skip
        if own or self.sowings:
            return _own(own)  # where it was never treated it did without
        lasting = self.fact.treatment_days if self.fact and self.fact.pre_treatment else None
        return self._told("treatment_days") if lasting and lasting[1] >= 1 else None

    def _told(self, name: str, each: float = 1.0) -> Days | None:
        """A range of the farm's crops.yaml, else of the handbook; `each` turns it into days."""
        ends = getattr(self.fact, name, None)
        book = self.learnt.figures.kept.book.published(self.crop)
        source = PUBLISHED if book and getattr(book, name) == ends else SAID
        return _middle(ends, source, each)

    @cached_property
    def look(self) -> Days | None:
        """Days from sowing until a look is worth the walk."""
        got = self.learnt.outlooks.of_kind(self.key, self.crop)
        if got.look is None:
            return None
        n = sum(s.up.settled and s.pace is not None for s in self.sowings)
        late = got.late or got.look
        told = self._told("days")
        source = OWN if n else told.source if told else COMMON
        return Days(got.look, got.look, late, source, n)

    @cached_property
    def potting(self) -> Days | None:
        """Days from sowing to potting on or pricking out; None where it isn't done."""
        own = self._between(
            _sown, lambda s: min((p.on for p in s.account.pottings if p.first), default=None)
        )
        if own or any(s.account.plantings for s in self.sowings):
            return own  # planted straight from the tray, as it seems
        habit = self.learnt.outlooks.of_kind(self.key, self.crop).habit
        if habit is None or self.winters or self.measure not in ("up", "sprouted"):
            return None
        half = math.exp(habit.mu)
        least, middle, most = (whole(half + x) for x in _POT_AFTER_HALF)
        return Days(middle, least, most, COMMON)

    @cached_property
    def hardening(self) -> Days:
        """Days outside before planting."""
        own = self._between(
            lambda s: s.account.hardening[0][0] if s.account.hardening else None, _planted
        )
        return own or Days(whole(_HARDEN[1]), whole(_HARDEN[0]), whole(_HARDEN[2]), COMMON)

    @cached_property
    def planting(self) -> Days | None:
        """Days from sowing to planting out. What is published is of spring sowings, here and below."""
        own = self._between(_sown, _planted)
        return own or (None if self.winters else self._told("indoors_weeks", 7.0))

    @cached_property
    def cutting(self) -> Days | None:
        """Days from sowing to the first cut."""
        own = self._between(_sown, lambda s: s.cut.first)
        return own or (None if self.winters else self._told("bloom_days"))

    @cached_property
    def window(self) -> Days | None:
        """Days from the first cut to the last, of sowings that are over."""
        over = [s for s in self.sowings if s.account.finished_on and s.cut.first and s.cut.last]
        return _own([(s.cut.last - s.cut.first).days for s in over])  # type: ignore[operator]

    @cached_property
    def response(self) -> Response | None:
        """How the first cut follows the sowing, in days from the start of the season's year."""
        points = [
            (_of_season(s.sowing.sown_on, s), _of_season(s.cut.first, s)) for s in self.sowings if s.cut.first
        ]  # fmt: skip
        return response(points)

    @cached_property
    def from_frost(self) -> Days | None:
        """Days from the year's last frost to the sowing, negative before it: by its own sowings of
        years whose frost is known (all but those that winter), else as published."""
        own = []
        for s in self.sowings:
            frost = frost_of(self.at, s.sowing.season)
            if frost:
                own.append((s.sowing.sown_on - frost).days)
        if own:
            return _own(own)
        if self.winters or self.fact is None:
            return None
        if self.measure == "stand":
            return self._told("out_weeks", 7.0)
        return self._told("sow_weeks", 7.0)


def wintered(s: SowingFigures) -> bool:
    """Sown in the year before the one it is cut in."""
    return s.sowing.sown_on.year < s.sowing.season


def _sown(s: SowingFigures) -> dt.date:
    return s.sowing.sown_on


def _planted(s: SowingFigures) -> dt.date | None:
    return min((p.on for p in s.account.plantings), default=None)


def _of_season(on: dt.date, s: SowingFigures) -> float:
    return float((on - dt.date(s.sowing.season, 1, 1)).days)
