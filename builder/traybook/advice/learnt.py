"""What a farm's own entries teach, each part worked out once when it is first asked for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from traybook.advice.expecting import Expected, Outlooks, all_expected
from traybook.advice.track import Track, track
from traybook.rollup.compare import YearPair, year_pairs
from traybook.rollup.farm import FarmFigures
from traybook.rollup.kind import KindSeason
from traybook.rollup.recipe import Recipe, recipe_of


@dataclass(frozen=True)
class Learnt:
    """Everything learnt from a farm's figures as of the day of its book."""

    figures: FarmFigures

    @property
    def as_of(self) -> dt.date:
        """The day it is seen from."""
        return self.figures.kept.book.as_of

    @cached_property
    def recipes(self) -> dict[str, Recipe]:
        """How each sowing was made, by code."""
        kept = self.figures.kept
        return {code: recipe_of(s, kept) for code, s in self.figures.sowings.items()}

    @cached_property
    def pairs(self) -> tuple[YearPair, ...]:
        """Every kind's season beside the one before it."""
        return year_pairs(self.figures.kinds, self.recipes)

    @cached_property
    def outlooks(self) -> Outlooks:
        """What each kind is expected to do."""
        return Outlooks(self.figures)

    @cached_property
    def expected(self) -> dict[str, Expected]:
        """What is expected of every sowing that isn't settled, by code."""
        return all_expected(self.figures, self.outlooks, self.as_of)

    @cached_property
    def track(self) -> Track:
        """How far the tool's own words held."""
        return track(self.figures)

    def pairs_of(self, kinds: Iterable[KindSeason]) -> tuple[YearPair, ...]:
        """The pairs whose later season is among these."""
        wanted = {(k.key, k.season) for k in kinds}
        return tuple(p for p in self.pairs if (p.now.key, p.now.season) in wanted)
