"""All figures of a farm in one place."""

from __future__ import annotations

from dataclasses import dataclass

from traybook.ledger.keep import Kept
from traybook.rollup.kind import KindSeason, Season, kind_seasons, seasons
from traybook.rollup.sowing import SowingFigures, figures
from traybook.rollup.spreads import Spreads, spreads_of


@dataclass(frozen=True)
class FarmFigures:
    """The ledger and what it adds up to: by sowing (in the order sown), kind and season; and how far
    sowings lie apart."""

    kept: Kept
    sowings: dict[str, SowingFigures]
    kinds: tuple[KindSeason, ...]
    seasons: tuple[Season, ...]
    spreads: Spreads


def farm_figures(kept: Kept) -> FarmFigures:
    """Work out every figure from a ledger."""
    sowings = figures(kept)
    spreads = spreads_of(kept, sowings)
    kinds = kind_seasons(sowings, spreads)
    return FarmFigures(kept, sowings, kinds, seasons(kinds), spreads)
