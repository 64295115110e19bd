"""Shares from cells by scipy: likelihood and score, apart from the package's own."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import stats
from scipy.optimize import brentq

from traybook.stats.proportions import Group

Groups = Sequence[Group]


def nothing(k: int, p: float, rho: float) -> float:
    """Chance that none of k seeds of a sowing comes up."""
    if rho == 0:
        return float(stats.binom.pmf(0, k, p))
    a, b = p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho
    return float(stats.betabinom.pmf(0, k, a, b))


def empty(g: Group, p: float, rho: float = 0.0) -> float:
    """Chance of an empty cell."""
    return float(np.mean([nothing(k, p, rho) for k in {g.low, g.high}]))


def both_empty(g: Group, p: float, rho: float) -> float:
    """Chance that two cells of one sowing are empty."""
    ks = {g.low, g.high}
    return float(np.mean([nothing(a + b, p, rho) for a in ks for b in ks]))


def likelihood(groups: Groups, p: float) -> float:
    """Logarithm of the chance of what was seen, at a germination of p, seeds on their own."""
    return sum(stats.binom.logpmf(g.y, g.n, 1 - empty(g, p)) for g in groups)


def score(groups: Groups, p: float, rho: float = 0.0) -> float:
    """The score over its standard error, at a germination of p; slopes by differences."""
    u = v = 0.0
    h = 1e-4 * min(p, 1 - p)
    for g in groups:
        e = empty(g, p, rho)
        near, far = (empty(g, p - s * h, rho) - empty(g, p + s * h, rho) for s in (1, 2))
        slope = (8 * near - far) / (12 * h)
        icc = (both_empty(g, p, rho) - e * e) / (e * (1 - e))
        u += (g.y - g.n * (1 - e)) * slope / (e * (1 - e))
        v += g.n * slope**2 / (e * (1 - e)) * (1 + (g.n - 1) * icc)
    return u / np.sqrt(v)


def solved(groups: Groups, rho: float, at: float) -> float:
    """The germination at which the score is `at`: 0 for the estimate, z and -z for the limits."""
    return brentq(lambda p: score(groups, p, rho) - at, 1e-5, 1 - 1e-5, xtol=1e-13)
