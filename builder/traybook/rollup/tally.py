"""Sums over sowings, with the sowings they rest on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from itertools import chain
from statistics import median

from traybook.rollup.sowing import SowingFigures


@dataclass(frozen=True, slots=True)
class Tally:
    """Counts that add up; `of` holds the codes they rest on, `lines` the entries (file, line).

    `seeds` and `emerged` are summed over the sowings that enter germination, the rest over all;
    `good_in` and `good_of` over those with a good share.
    """

    sowings: int = 0
    seeds: int = 0
    emerged: int = 0
    entered: int = 0
    estimated: int = 0
    good: int = 0
    good_in: int = 0
    good_of: int = 0
    planted: int = 0
    stems: int = 0
    stems_told: int = 0
    at_least: int = 0
    left_out: int = 0
    halves: tuple[float, ...] = ()
    of: tuple[str, ...] = ()
    lines: tuple[tuple[str, int], ...] = ()

    def __add__(self, other: Tally) -> Tally:
        """The sum of two; codes and half days are kept sorted, so the order of adding is nothing."""
        out = {}
        for f in fields(Tally):
            a, b = getattr(self, f.name), getattr(other, f.name)
            out[f.name] = tuple(sorted(a + b)) if isinstance(a, tuple) else a + b
        return Tally(**out)

    def __radd__(self, other: int) -> Tally:
        """Lets sum() start from 0."""
        return self if other == 0 else NotImplemented

    @property
    def half_day(self) -> float | None:
        """Median of the half days."""
        return median(self.halves) if self.halves else None

    @property
    def good_share(self) -> float | None:
        """Good plants by what they were each a share of."""
        return self.good_in / self.good_of if self.good_of else None

    @property
    def stems_per_plant(self) -> float | None:
        """Stems by plants planted; None where any sowing's stems are "at least" or none were told."""
        if self.at_least or not self.stems_told or not self.planted:
            return None
        return self.stems / self.planted


def tally_of(s: SowingFigures) -> Tally:
    """One sowing as a tally."""
    enters = s.up.in_germination
    half = s.up.half.point if s.up.half else None
    shared = s.good_share is not None
    return Tally(
        sowings=1,
        seeds=(s.sowing.seeds or 0) if enters else 0,
        emerged=(s.up.emerged or 0) if enters else 0,
        entered=int(enters),
        estimated=int(enters and s.up.estimated),
        good=s.good or 0,
        good_in=(s.good or 0) if shared else 0,
        good_of=(s.good_of or 0) if shared else 0,
        planted=s.planted,
        stems=s.cut.stems or 0,
        stems_told=int(s.cut.stems is not None),
        at_least=int(s.cut.at_least),
        left_out=s.left_out,
        halves=(half,) if enters and half is not None else (),
        of=(s.code,),
        lines=tuple(sorted((e.at.path, e.at.line) for e in s.account.events if not e.fault)),
    )


def total(sowings: Iterable[SowingFigures]) -> Tally:
    """The tally of many sowings, each field added in one go."""
    tallies = [tally_of(s) for s in sowings]
    out = {}
    for f in fields(Tally):
        values = [getattr(t, f.name) for t in tallies]
        plain = isinstance(f.default, int)
        out[f.name] = sum(values) if plain else tuple(sorted(chain.from_iterable(values)))
    return Tally(**out)
