"""Spread between sowings against published data, slow ways, and what must hold."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import minimize

from outside.data import orobanche
from traybook.stats.spread import Moment, beta_binomial, beta_binomial_common, moment, shrunk

CROWDER: dict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
for _seed, _root, _y, _n in orobanche():
    CROWDER[_seed, _root].append((_y, _n))
CELLS = [("O75", "BEAN"), ("O75", "CUCUMBER"), ("O73", "BEAN"), ("O73", "CUCUMBER")]

# source: Crowder 1978, Appl. Statist. 27, 34-37, table 3: totals of the four cells. Pearson's
# homogeneity and the separate beta-binomial fits (mean, rho) were computed by ourselves with scipy.
TOTALS = dict(zip(CELLS, [(99, 272), (201, 295), (49, 123), (75, 141)], strict=True))
PEARSON = dict(zip(CELLS, [9.759542, 8.028288, 7.736727, 6.126587], strict=True))
FITS = {
    CELLS[0]: (0.368673, 0.017324),
    CELLS[1]: (0.684741, 0.009792),
    CELLS[2]: (0.389006, 0.016266),
    CELLS[3]: (0.529543, 0.001923),
}


@pytest.mark.parametrize("cell", CELLS)
def test_crowder_cells(cell):
    counts = CROWDER[cell]
    assert (sum(y for y, _ in counts), sum(n for _, n in counts)) == TOTALS[cell]
    got = moment(counts)
    assert got.df == len(counts) - 1
    assert got.a + got.df == pytest.approx(PEARSON[cell], abs=1e-6)
    mean, rho, _ = beta_binomial(counts)
    assert (round(mean, 6), round(rho, 6)) == FITS[cell]


def slow(counts):
    """A and B in fractions."""
    up, of = sum(x for x, _ in counts), sum(n for _, n in counts)
    p = Fraction(up, of)
    a = sum((x - n * p) ** 2 / (n * p * (1 - p)) for x, n in counts) - len(counts) + 1
    b = sum(n - 1 - Fraction(n * (n - 1), of) for _, n in counts)
    return a, b


def test_crowder_spread_by_moments():
    """All four cells, each with a mean of its own, in fractions and by the totals of the table."""
    total = sum((moment(c) for c in CROWDER.values()), Moment())
    a, b = (sum(part) for part in zip(*(slow(c) for c in CROWDER.values()), strict=True))
    assert (total.a, total.b, total.df) == (pytest.approx(float(a)), pytest.approx(float(b)), 17)
    assert total.rho == pytest.approx(float(a / b))
    # source: Pearson's X^2 over all, computed by ourselves with statsmodels 0.15.0
    assert total.a + 17 == pytest.approx(31.651145, abs=1e-6)


def test_crowder_fits_with_means_in_common():
    """Source: beta-binomial fits of Crowder's data, computed by ourselves with scipy's BFGS."""
    means, rho, loglik = beta_binomial_common([CROWDER[c] for c in CELLS])
    assert round(rho, 6) == 0.012361 and round(loglik, 6) == -53.766763
    bean75, cucumber75, bean73, cucumber73 = np.log(means) - np.log1p(-np.array(means))
    roots = (
        bean75,
        bean73 - bean75,
        cucumber75 - bean75,
        cucumber73 - cucumber75 - bean73 + bean75,
    )
    assert roots == pytest.approx((-0.541951, 0.097391, 1.320069, -0.797926), abs=2e-5)
    mean, rho, loglik = beta_binomial([c for cell in CELLS for c in CROWDER[cell]])
    assert (round(mean, 6), round(rho, 6)) == (0.493572, 0.081572)
    assert round(loglik, 6) == -64.516283


COUNTS = st.lists(
    st.integers(1, 80).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    min_size=1, max_size=6,
)  # fmt: skip
SAYS = COUNTS.filter(
    lambda c: (
        len(c) > 1 and 0 < sum(x for x, _ in c) < sum(n for _, n in c) and max(n for _, n in c) > 1
    )
)


@given(SAYS)
def test_moment_in_fractions(counts):
    a, b = slow(counts)
    got = moment(counts)
    assert (got.a, got.b) == (pytest.approx(float(a)), pytest.approx(float(b)))
    assert got.df == len(counts) - 1
    other = moment([(n - x, n) for x, n in reversed(counts)])
    assert (other.a, other.b) == (pytest.approx(got.a, abs=1e-9), pytest.approx(got.b))
    assert moment(counts, 1.0) == got and 0 <= got.rho <= 1


def test_what_says_nothing_of_spread():
    nothing = Moment()
    for counts in (
        [],
        [(5, 9)],
        [(0, 9), (0, 7)],
        [(9, 9), (7, 7)],
        [(0, 0), (5, 9)],
        [(0, 1), (1, 1)],
    ):
        assert moment(counts) == nothing, counts
    assert nothing.rho == 0 and moment([(5, 10), (5, 10)]).rho == 0, "as even as can be"
    # by hand: 0 and 10 of 10 at p = 1/2: (25/2.5) x 2 - 1 = 19 over 9, held to 1
    assert moment([(0, 10), (10, 10)]) == Moment(19.0, 9.0, 1)
    assert moment([(0, 10), (10, 10)]).rho == 1


def test_moments_add():
    one, two = moment([(3, 10), (7, 10)]), moment([(30, 50), (41, 60), (20, 50)])
    both = one + two
    assert (both.a, both.b, both.df) == (one.a + two.a, one.b + two.b, 3)
    assert sum([one, two], Moment()) == both


def test_shrunk_by_hand():
    none = Moment()
    assert shrunk(none, none, none) == 0.08 and shrunk(none, none, none, 0.01) == 0.01
    # farm (24 x .05 + 6 x .08)/30 = .056; pool (10 x .10 + 10 x .056)/20 = .078;
    # kind (2 x .20 + 8 x .078)/10 = .1024
    kind, pool, farm = Moment(2, 10, 2), Moment(10, 100, 10), Moment(5, 100, 24)
    assert shrunk(none, none, farm) == pytest.approx(0.056)
    assert shrunk(none, pool, farm) == pytest.approx(0.078)
    assert shrunk(kind, pool, farm) == pytest.approx(0.1024)
    # less than nothing counts as none: 8 x .08/10
    assert shrunk(Moment(-5, 10, 2), none, none) == pytest.approx(0.064)


SPREADS = st.builds(Moment, st.floats(-5, 50), st.floats(0, 300), st.integers(0, 40))


@given(SPREADS, SPREADS, SPREADS, st.floats(0, 1))
def test_shrunk_stays_among_what_it_is_made_of(kind, pool, farm, assumed):
    got = shrunk(kind, pool, farm, assumed)
    parts = (kind.rho, pool.rho, farm.rho, assumed)
    assert min(parts) - 1e-12 <= got <= max(parts) + 1e-12
    more = Moment(kind.a + 1, kind.b, kind.df)
    assert shrunk(more, pool, farm, assumed) >= got - 1e-12


def made(rng, p, rho, sizes, groups, cells=1):
    """Groups of beta-binomial sowings of the given sizes; with cells: of filled ones."""
    luck = rng.beta(p * (1 - rho) / rho, (1 - p) * (1 - rho) / rho, (groups, len(sizes)))
    return rng.binomial(sizes, 1 - (1 - luck) ** cells)


@pytest.mark.parametrize(("p", "rho"), [(0.5, 0.05), (0.7, 0.05), (0.8, 0.1), (0.7, 0.02)])
def test_a_is_rho_b_in_the_long_run(p, rho):
    """A summed over B summed, 20,000 groups of three uneven sowings, against five errors of it."""
    rng = np.random.default_rng(7)
    sizes = (72, 40, 100)
    moments = [
        moment([(int(x), n) for x, n in zip(row, sizes, strict=True)])
        for row in made(rng, p, rho, sizes, 20_000)
    ]
    a, b = np.array([m.a for m in moments]), np.array([m.b for m in moments])
    estimate = a.sum() / b.sum()
    error = (a - estimate * b).std() / b.mean() / np.sqrt(len(a))
    assert error < 0.02 * rho, "the check is sharp enough to mean something"
    # the pooled p in place of the true one costs some hundredths of it
    assert estimate == pytest.approx(rho, abs=0.03 * rho + 3 * error)


@pytest.mark.parametrize(("cells", "low", "high"), [(2, -0.18, 0.0), (3, -0.36, -0.02)])
@pytest.mark.parametrize("p", [0.3, 0.5, 0.7, 0.8])
def test_spread_of_seeds_from_cells(cells, low, high, p):
    """To a fifth for two a cell and a third for three up to .8, never too large; .05 is true."""
    rng = np.random.default_rng(70 + cells)
    sizes = (72, 72, 72)
    rows = made(rng, p, 0.05, sizes, 8000, cells)
    total = sum((moment([(int(x), 72) for x in row], cells) for row in rows), Moment())
    assert low <= total.rho / 0.05 - 1 <= high


def test_no_more_than_chance_is_no_spread():
    """As even as can be: the likelihood falls from 0 on, and 0 is what is said, not nearly 0."""
    mean, rho, loglik = beta_binomial([(5, 10), (10, 20), (20, 40)])
    assert (mean, rho) == (pytest.approx(0.5), 0)
    x, n = np.array([5, 10, 20]), np.array([10, 20, 40])
    assert loglik == pytest.approx(stats.binom.logpmf(x, n, 0.5).sum())


def test_factor_of_cells_by_hand():
    # 3/4 filled with two a cell: p = 1/2, c = 4 x .5 x .5/.75 = 4/3
    plain, cells = moment([(30, 40), (24, 32)]), moment([(30, 40), (24, 32)], 2)
    assert cells.b == pytest.approx(plain.b * 4 / 3) and cells.a == plain.a


@given(SAYS)
def test_beta_binomial_by_scipy(counts):
    """No point of scipy's beta-binomial near or far is likelier, and the likelihood is the same."""
    mean, rho, loglik = beta_binomial(counts)
    assert 0 <= rho < 1

    def likelihood(mean, rho):
        x, n = np.array(counts).T
        if rho < 1e-9:
            return stats.binom.logpmf(x, n, mean).sum()
        a, b = mean * (1 - rho) / rho, (1 - mean) * (1 - rho) / rho
        return stats.betabinom.logpmf(x, n, a, b).sum()

    assert loglik == pytest.approx(likelihood(mean, rho), abs=1e-4)
    for m in (mean, 0.9 * mean, 0.9 * mean + 0.1, 0.3, 0.5, 0.7):
        for r in (0, 0.9 * rho, 1.1 * rho, 0.01, 0.05, 0.2, 0.5, 0.9):
            if r <= 0.97:
                assert likelihood(m, r) <= loglik + 1e-6


@pytest.mark.parametrize("cell", CELLS)
def test_beta_binomial_by_a_search_in_two(cell):
    x, n = np.array(CROWDER[cell]).T
    found = minimize(
        lambda t: -stats.betabinom.logpmf(x, n, np.exp(t[0]), np.exp(t[1])).sum(),
        [2.0, 2.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 9999},
    )  # fmt: skip
    a, b = np.exp(found.x)
    mean, rho, loglik = beta_binomial(CROWDER[cell])
    assert (mean, rho) == pytest.approx((a / (a + b), 1 / (a + b + 1)), abs=1e-5)
    assert loglik == pytest.approx(-found.fun, abs=1e-6)
