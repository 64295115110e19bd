"""Shares from cells by scipy's binomial: likelihood and score, apart from the package's own."""

from __future__ import annotations

import numpy as np
from scipy import stats

from traybook.stats.proportions import CellGroup

Groups = tuple[CellGroup, ...]


def chances(g: CellGroup, p: float) -> tuple[float, float]:
    """Chance of an empty cell, and the slope of that of a filled one."""
    ks = np.unique([g.low, g.high])
    return float(stats.binom.pmf(0, ks, p).mean()), float(stats.binom.pmf(1, ks, p).mean() / p)


def likelihood(groups: Groups, p: float) -> float:
    """Logarithm of the chance of what was seen, at a germination of p."""
    return sum(stats.binom.logpmf(g.filled, g.cells, 1 - chances(g, p)[0]) for g in groups)


def score(groups: Groups, p: float) -> float:
    """The score over its standard error, at a germination of p."""
    u = v = 0.0
    for g in groups:
        empty, slope = chances(g, p)
        weight = slope / (empty * (1 - empty))
        u += (g.filled - g.cells * (1 - empty)) * weight
        v += g.cells * slope * weight
    return u / np.sqrt(v)
