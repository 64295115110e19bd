"""Statistics against published values, other libraries, and what must hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar
from statsmodels.stats.proportion import proportion_confint

from traybook.stats.proportions import CellGroup, share_from_cells, wilson
from traybook.stats.speed import evenness, give_up_day, mean_days, reached

# source: Newcombe 1998, Statist. Med. 17, 857-872, the four examples (81/263, 15/148, 0/20, 1/29), the
# Wilson column; the other rows computed with statsmodels 0.15.0 proportion_confint.
WILSON = {
    (81, 263): (0.2553, 0.3662),
    (15, 148): (0.0624, 0.1605),
    (0, 20): (0.0, 0.1611),
    (1, 29): (0.0061, 0.1718),
    (29, 29): (0.8830, 1.0),
    (20, 20): (0.8389, 1.0),
    (70, 72): (0.9043, 0.9923),
    (72, 72): (0.9493, 1.0),
    (56, 72): (0.6691, 0.8583),
    (36, 50): (0.5833, 0.8253),
    (45, 50): (0.7864, 0.9565),
    (18, 24): (0.5510, 0.8800),
    (0, 6): (0.0, 0.3903),
    (6, 6): (0.6097, 1.0),
    (0, 1): (0.0, 0.7935),
}


@pytest.mark.parametrize(("x", "n"), WILSON)
def test_wilson_as_published(x, n):
    got = wilson(x, n)
    assert (round(got.low, 4), round(got.high, 4)) == WILSON[x, n]


@given(st.integers(1, 500).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilson_as_statsmodels(case):
    x, n = case
    got = wilson(x, n)
    low, high = proportion_confint(x, n, method="wilson")
    assert got.low == pytest.approx(max(0.0, low), abs=1e-9)
    assert got.high == pytest.approx(min(1.0, high), abs=1e-9)
    assert 0 <= got.low <= got.value <= got.high <= 1
    mirrored = wilson(n - x, n)
    assert mirrored.low == pytest.approx(1 - got.high) and mirrored.high == pytest.approx(
        1 - got.low
    )


def test_wilson_of_nothing_is_nothing():
    assert wilson(0, 0) is None


# source: group testing, p = 1 - (1 - y/n)^(1/k) with Wilson's limits turned the same way; computed with plain
# Python for the tray sizes in use (Thompson 1962, Biometrics 18, 568-578, for the estimate, from memory).
CELLS = {
    (68, 72, 2): (0.764298, 0.63350, 0.85230),
    (60, 72, 2): (0.591752, 0.48124, 0.68696),
    (40, 50, 2): (0.552786, 0.42522, 0.66468),
    (45, 50, 3): (0.535841, 0.40223, 0.64837),
    (120, 128, 3): (0.603150, 0.50884, 0.68250),
    (72, 72, 2): (1.0, 0.77494, 1.0),
    (0, 72, 2): (0.0, 0.0, 0.02565),
    # source: Ornaghi et al. 1999 via Tebbs & Bilder 2004, JABES 9, 75-90: 3 of 24 plants, 7 vectors each
    (3, 24, 7): (0.018895, 0.00632, 0.05164),
}


@pytest.mark.parametrize(("y", "n", "k"), CELLS)
def test_share_from_cells_of_one_filling(y, n, k):
    got = share_from_cells((CellGroup(n, y, k, k),))
    value, low, high = CELLS[y, n, k]
    assert got.value == pytest.approx(value, abs=1e-6)
    assert (got.low, got.high) == (pytest.approx(low, abs=6e-6), pytest.approx(high, abs=6e-6))


@given(st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_one_seed_a_cell_is_wilson(case):
    y, n = case
    got, want = share_from_cells((CellGroup(n, y, 1, 1),)), wilson(y, n)
    for a, b in ((got.value, want.value), (got.low, want.low), (got.high, want.high)):
        assert a == pytest.approx(b, abs=1e-9)


MIXED = (
    (CellGroup(48, 40, 2, 2), CellGroup(24, 22, 3, 3)),
    (CellGroup(72, 60, 2, 3),),
    (CellGroup(50, 20, 1, 1), CellGroup(36, 30, 4, 4)),
)


@pytest.mark.parametrize("groups", MIXED)
def test_mixed_fillings_by_maximum_likelihood_and_score(groups):
    """An independent way: scipy maximises the likelihood and finds where the score test turns."""

    def theta(g, p):
        ks = {g.low, g.high}
        return np.mean([1 - (1 - p) ** k for k in ks])

    def unlikely(p):
        return -sum(
            g.filled * np.log(theta(g, p)) + (g.cells - g.filled) * np.log(1 - theta(g, p))
            for g in groups
        )

    def score(p, h=1e-6):
        slopes = [(theta(g, p + h) - theta(g, p - h)) / (2 * h) for g in groups]
        u = sum((g.filled - g.cells * theta(g, p)) * s / (theta(g, p) * (1 - theta(g, p)))
                for g, s in zip(groups, slopes, strict=True))  # fmt: skip
        v = sum(
            g.cells * s**2 / (theta(g, p) * (1 - theta(g, p)))
            for g, s in zip(groups, slopes, strict=True)
        )
        return u / np.sqrt(v)

    best = minimize_scalar(
        unlikely, bounds=(1e-6, 1 - 1e-6), method="bounded", options={"xatol": 1e-10}
    ).x
    got = share_from_cells(groups)
    assert got.value == pytest.approx(best, abs=1e-6)
    z = 1.959963984540054
    assert got.low == pytest.approx(brentq(lambda p: score(p) - z, 1e-4, best), abs=1e-6)
    assert got.high == pytest.approx(brentq(lambda p: score(p) + z, best, 1 - 1e-4), abs=1e-6)


# source of the counts: Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6, and the data sets named with it
# (A mungbean, B wheat at 16 C, C chickweed at 5 C in hours); D, F, G made up. The index values are computed in
# plain Python from the formulas of Farooq et al. 2005 (half of S) and mean germination time (sum n t / S).
EXAMPLES = {
    "A": ([(1, 0), (2, 1), (3, 8), (4, 20)], 3.166667, 3.55),
    "B": ([(3, 0), (4, 11), (5, 18), (6, 18), (7, 19)], 3.863636, 4.526316),
    "C": (
        [(133, 0), (143, 2), (176.5, 2), (182.5, 5), (192.5, 15), (200.5, 26), (206.5, 32), (216.5, 37), (224.5, 39),
         (266.5, 39), (276.5, 40)],
        196.136364,
        200.275,
    ),
    "D": ([(4, 6), (6, 21), (9, 38), (13, 41)], 5.933333, 7.463415),
    "F": ([(4, 0), *((d, d - 4) for d in range(5, 13))], 8.0, 8.5),
    "G": ([(4, 0), (5, 10), (6, 20), (7, 30)], 5.5, 6.0),
}  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_half_and_mean_days_of_known_counts(name):
    counts, half, mean = EXAMPLES[name]
    assert reached(counts, 0.5).point == pytest.approx(half, abs=5e-7)
    assert mean_days(counts) == pytest.approx(mean, abs=5e-7)


def test_all_at_the_first_look_has_no_half_day():
    assert reached([(7, 40)], 0.5).point is None
    assert (reached([(7, 40)], 0.5).after, reached([(7, 40)], 0.5).by) == (0.0, 7)


COUNTS = st.lists(st.tuples(st.integers(1, 9), st.integers(0, 30)), min_size=1, max_size=8).map(
    lambda steps: [
        (float(sum(a for a, _ in steps[: i + 1])), sum(n for _, n in steps[: i + 1]))
        for i in range(len(steps))
    ]
)


@given(COUNTS, st.integers(2, 5), st.integers(1, 20))
def test_invariants_of_days(counts, times, later):
    half, mean = reached(counts, 0.5), mean_days(counts)
    if counts[-1][1] == 0:
        assert half is None and mean is None
        return
    assert half.after < half.by
    assert half.point is None or half.after <= half.point <= half.by
    more = [(d, n * times) for d, n in counts]
    assert mean_days(more) == pytest.approx(mean)
    assert reached(more, 0.5).by == half.by
    shifted = [(d + later, n) for d, n in counts]
    assert mean_days(shifted) == pytest.approx(mean + later)
    if half.point is not None:
        assert reached(shifted, 0.5).point == pytest.approx(half.point + later)


def test_evenness_needs_close_looks():
    close = [(4, 0), *((float(d), (d - 4) * 10) for d in range(5, 15))]
    # 10 % of 100 is reached at day 5, 90 % at day 13
    assert evenness(close) == pytest.approx(8.0)
    assert evenness([(4, 0), (9, 50), (14, 100)]) is None
    assert evenness([(4, 0), (14, 100)]) is None
    assert evenness([(4, 40), (14, 100)]) is None


def test_give_up_day_by_hand():
    # sqrt(7 x 14) = 9.899, x 9^(1/8) = 1.3161 -> 13.03, twice is 26.06
    assert give_up_day(7, 14, slow=False) == 27
    assert give_up_day(7, 14, slow=True) == 42
    assert give_up_day(20, 60, slow=True) == 92
