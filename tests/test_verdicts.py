"""What is said of two seasons: an adviser's word on two dozen pairs, and no false news."""

from __future__ import annotations

import numpy as np
import pytest

from outside.verdicts import ROWS, Side
from traybook.stats.difference import CLEAR, difference, verdict
from traybook.stats.proportions import Group, Share, germination


def share(side: Side, rho: float) -> Share:
    sowings, k = side
    return germination([Group(n, up, k, k) for up, n in sowings], rho)


@pytest.mark.parametrize("name", ROWS)
def test_the_word_of_an_honest_adviser(name):
    now, then, rho, words = ROWS[name]
    assert verdict(difference(share(now, rho), share(then, rho))) == words
    assert verdict(difference(share(then, rho), share(now, rho))) == words, "from either side"


RHO, KINDS, FARMS = 0.05, 20, 60


def clear_ones(sowings: int, cells: int, rho: float, seed: int) -> float:
    """Of twenty kinds without a true difference, how many are called clear; averaged over farms.

    Kinds of .4 to .95; sowings of 72 seeds, or cells of `cells` seeds, with luck of their own.
    """
    rng = np.random.default_rng(seed)
    clear = 0
    for p in np.tile(np.linspace(0.4, 0.95, KINDS), FARMS):
        luck = rng.beta(p * (1 - RHO) / RHO, (1 - p) * (1 - RHO) / RHO, (2, sowings))
        up = rng.binomial(72, 1 - (1 - luck) ** cells)
        now, then = ([Group(72, int(y), cells, cells) for y in side] for side in up)
        clear += verdict(difference(germination(now, rho), germination(then, rho))) == CLEAR
    return clear / FARMS


@pytest.mark.parametrize(("sowings", "cells"), [(1, 1), (2, 1), (3, 1), (4, 1), (2, 2)])
def test_of_twenty_kinds_at_most_one_is_called_clear_by_luck(sowings, cells):
    assert clear_ones(sowings, cells, RHO, seed=100 * cells + sowings) <= 1.0


def test_without_the_spread_seven_or_eight_would_be():
    """What the test above can see: intervals of each tray alone cry wolf."""
    assert clear_ones(2, 1, 0.0, seed=102) > 5
