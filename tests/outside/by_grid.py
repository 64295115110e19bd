"""What to expect of a sowing, worked out point by point by scipy, apart from the package's own."""

from __future__ import annotations

import numpy as np
from scipy import special, stats

from traybook.stats.habit import Habit
from traybook.stats.seeds import Chance

FAILED = 0.04


class Slow:
    """Every share, shift and shape is held against the checks, and every binomial drawn in full."""

    def __init__(self, habit: Habit, chance: Chance, shares: int = 105) -> None:
        a, b = (x * (1 - chance.rho) / chance.rho for x in (chance.mean, 1 - chance.mean))
        angles = (np.arange(shares) + 0.5) * np.pi / 2 / shares
        p = np.sin(angles) ** 2  # midpoints on the arcsine scale, density times slope
        of_p = stats.beta.pdf(p, a, b) * np.sin(2 * angles)
        z = np.linspace(-3, 3, 25)
        f = 1.6 if habit.histories < 3 else 1.25
        grid = np.meshgrid(p, z, habit.b * f ** np.array([-1.0, 0.0, 1.0]), indexing="ij")
        weight = np.einsum(
            "i,j,k->ijk", of_p / of_p.sum(), stats.norm.pdf(z) / stats.norm.pdf(z).sum(),
            [0.25, 0.5, 0.25],
        )  # fmt: skip
        self.sound = weight.ravel()
        self.p = np.append(grid[0].ravel(), 0.0)
        self.half = np.append(np.exp(habit.mu + grid[1].ravel() * habit.s), 1.0)
        self.b = np.append(grid[2].ravel(), 1.0)
        self.weight = np.append((1 - FAILED) * self.sound, FAILED)

    def up(self, day: float) -> np.ndarray:
        return stats.fisk.cdf(day, self.b, scale=self.half)

    def posterior(self, n: int, checks: list[tuple[float, int]]) -> np.ndarray:
        before, had, logs = 0.0, 0, np.log(self.weight)
        for day, count in checks:
            share = self.p * (self.up(day) - self.up(before))
            logs = logs + special.xlogy(count - had, share)
            before, had = day, count
        logs = logs + special.xlog1py(n - had, -self.p * self.up(before))
        weights = np.exp(logs - logs.max())
        return weights / weights.sum()

    def by(self, n: int, checks: list[tuple[float, int]], day: float) -> tuple[int, ...]:
        last, emerged = checks[-1] if checks else (0.0, 0)
        up = self.up(last)
        rate = self.p * (self.up(day) - up) / (1 - self.p * up)
        return self._points(emerged, n - emerged, rate, self.posterior(n, checks))

    def final(self, n: int, checks: list[tuple[float, int]]) -> tuple[int, ...]:
        return self.by(n, checks, np.inf)

    def line(self, n: int, day: float) -> int:
        rate = (self.p * self.up(day))[:-1]
        return self._points(0, n, rate, self.sound, (0.05,))[0]

    @staticmethod
    def _points(emerged, left, rate, weights, points=(0.05, 0.5, 0.95)):
        kept = weights > 1e-12
        k = np.arange(left + 1)
        pmf = weights[kept] @ stats.binom.pmf(k, left, np.clip(rate[kept], 0, 1)[:, None])
        return tuple(emerged + int(x) for x in np.searchsorted(np.cumsum(pmf / pmf.sum()), points))
