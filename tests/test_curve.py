"""The fitted curve against published values, an optimiser by others, and what must hold."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.optimize import minimize

from traybook.stats.curve import (
    ALL_AT_FIRST,
    NOTHING_UP,
    TOO_FEW_CHECKS,
    fitted,
    fitted_gaps,
)

# source: chickweed, 200 seeds, Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6 (drc, chickweed):
# hours between inspections and what came up in them; the last inspection at 281.5 h
CHICKWEED = [
    (133, 143, 2), (176.5, 182.5, 3), (182.5, 192.5, 10), (192.5, 200.5, 11), (200.5, 206.5, 6),
    (206.5, 216.5, 5), (216.5, 224.5, 2), (266.5, 276.5, 1),
]  # fmt: skip


def test_chickweed_as_printed():
    got = fitted_gaps(200, CHICKWEED, 281.5)
    # source: d = .20011, slope -20.77 (of the other sign), t50 = 196, as printed beside their figure
    assert (round(got.d, 5), round(got.b, 2), round(got.e)) == (0.20011, 20.77, 196)
    # source: standard errors and log likelihood worked out with scipy's BFGS and differences
    assert (got.se_d, got.se_b, got.se_e) == pytest.approx((0.0283000, 2.9442, 2.50569), rel=1e-4)
    assert got.log_likelihood == pytest.approx(-188.171856, abs=1e-6)
    days = [got.day_of(s) for s in (0.1, 0.5, 0.9)]
    assert days == pytest.approx([176.36987, 196.05299, 217.93278], abs=1e-4)
    # least squares on the running counts, which the paper warns of, would claim .00115
    assert got.se_d > 20 * 0.001251


def drawn(seed: int, n: int = 100) -> list[tuple[float, int]]:
    """Counts at uneven looks of seeds with log-logistic days."""
    rng = random.Random(seed)
    d, b, e = rng.uniform(0.4, 0.95), rng.uniform(3, 12), rng.uniform(6, 25)
    days = sorted(e * (u / (1 - u)) ** (1 / b) if rng.random() < d else math.inf
                  for u in (rng.random() for _ in range(n)))  # fmt: skip
    looks, day = [], 0.0
    while day < 2.2 * e:
        day += rng.choice([1, 2, 3, 4])
        looks.append((day, sum(x <= day for x in days)))
    return looks


def kernel(x, n, looks):
    """Minus the log likelihood, from d, ln b and ln e, by scipy's own arithmetic."""
    d, b, e = 1 / (1 + math.exp(-x[0])), math.exp(x[1]), math.exp(x[2])
    days = np.array([0.0] + [t for t, _ in looks])
    with np.errstate(divide="ignore", over="ignore"):
        up = d / (1 + (e / np.where(days > 0, days, np.nan)) ** b)
    up = np.nan_to_num(up)
    new = np.diff([0] + [c for _, c in looks])
    seen = new > 0
    steps = np.maximum(np.diff(up)[seen], 1e-300)
    return -(np.sum(new[seen] * np.log(steps)) + (n - looks[-1][1]) * math.log(1 - up[-1]))


@pytest.mark.parametrize("seed", range(25))
def test_no_optimiser_finds_a_better_one(seed):
    looks = drawn(seed)
    got = fitted(100, looks)
    assert not isinstance(got, str)
    start = [math.log(0.7 / 0.3), math.log(6), math.log(looks[len(looks) // 2][0])]
    other = minimize(kernel, start, (100, looks), method="Nelder-Mead",
                     options={"xatol": 1e-9, "fatol": 1e-10, "maxiter": 5000})  # fmt: skip
    assert got.log_likelihood >= -other.fun - 1e-6
    assert got.e == pytest.approx(math.exp(other.x[2]), rel=1e-3)
    assert got.b == pytest.approx(math.exp(other.x[1]), rel=1e-2)


@pytest.mark.parametrize("seed", [1, 4, 9])
def test_in_other_units_and_many_times_over(seed):
    looks = drawn(seed)
    got = fitted(100, looks)
    hours = fitted(100, [(24 * t, c) for t, c in looks])
    assert (hours.d, hours.b, hours.e) == pytest.approx((got.d, got.b, 24 * got.e), rel=1e-5)
    nine = fitted(900, [(t, 9 * c) for t, c in looks])
    assert (nine.d, nine.b, nine.e) == pytest.approx((got.d, got.b, got.e), rel=1e-5)
    assert 3 * nine.se_e == pytest.approx(got.se_e, rel=1e-3)


def test_the_truth_lies_within_its_errors():
    """Of many drawn sowings about 95 in 100 hold their own half day within 1.96 errors."""
    held, drawn_at_all = 0, 0
    for seed in range(100, 300):
        rng = random.Random(seed)
        rng.uniform(0.4, 0.95), rng.uniform(3, 12)
        e = rng.uniform(6, 25)
        got = fitted(100, drawn(seed))
        if isinstance(got, str):
            assert got == TOO_FEW_CHECKS, "too steep for looks so far apart"
            continue
        drawn_at_all += 1
        held += abs(got.e - e) < 1.96 * got.se_e
    assert drawn_at_all > 180
    # 95 in 100 of 180 to 200, with three standard errors to either side
    assert 0.90 <= held / drawn_at_all <= 0.995


def test_what_cannot_be_drawn_says_why():
    assert fitted(72, []) == fitted(72, [(5, 0), (9, 0)]) == NOTHING_UP
    assert fitted(72, [(9, 40), (12, 40)]) == ALL_AT_FIRST
    assert fitted(72, [(5, 0), (9, 40), (12, 44)]) == TOO_FEW_CHECKS
    with pytest.raises(ValueError, match="80 up of 72"):
        fitted(72, [(5, 10), (9, 40), (12, 80)])


def test_all_up_has_a_share_of_one_without_an_error():
    got = fitted(60, [(5, 10), (7, 30), (9, 55), (12, 60)])
    assert got.d == pytest.approx(1.0) and got.se_d is None and got.se_e > 0
    assert got.at(0) == 0 and got.at(100) <= 1
