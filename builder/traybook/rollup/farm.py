"""All figures of a farm in one place."""

from __future__ import annotations

from dataclasses import dataclass

from traybook.ledger.keep import Kept
from traybook.rollup.kind import KindSeason, Season, kind_seasons, seasons
from traybook.rollup.sowing import SowingFigures, figures


@dataclass(frozen=True)
class FarmFigures:
    """The ledger and what it adds up to: by sowing (in the order sown), kind and season."""

    kept: Kept
    sowings: dict[str, SowingFigures]
    kinds: tuple[KindSeason, ...]
    seasons: tuple[Season, ...]


def farm_figures(kept: Kept) -> FarmFigures:
    """Work out every figure from a ledger."""
    sowings = figures(kept)
    kinds = kind_seasons(sowings)
    return FarmFigures(kept, sowings, kinds, seasons(kinds))
