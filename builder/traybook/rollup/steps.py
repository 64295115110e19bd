"""From seed to cut, step by step: where the plants went."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from traybook.rollup.sowing import SowingFigures
from traybook.rollup.spreads import survival_of
from traybook.stats.proportions import Group, Share, germination

_Count = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Step:
    """One step over the sowings that know both its counts: `y` of `n` came through, with an interval
    that holds the spread between sowings. `loss` is False where those missing are not lost: good
    plants that went elsewhere than to a bed."""

    name: str
    y: int
    n: int
    share: Share
    sowings: int
    loss: bool = True

    @property
    def lost(self) -> float:
        """The share that did not come through."""
        return 1 - self.share.value


def _up(s: SowingFigures) -> _Count | None:
    g = s.group
    return (g.y, g.n) if g and g.low == g.high == 1 else None


def _planted(s: SowingFigures) -> _Count | None:
    """Good plants that went into a bed, of sowings that are all accounted for."""
    if s.good_share is None or not s.good:
        return None
    return (s.planted, s.good) if s.planted <= s.good else None


def _alive(s: SowingFigures) -> _Count | None:
    """Plants alive in their beds at their last word, of those planted and counted since."""
    beds = [x for x in s.account.stands if x.bed]
    if not s.planted or not beds or any(x.counted is None for x in beds):
        return None
    n, y = sum(x.entered for x in beds), sum(x.entered - x.lost - x.missing for x in beds)
    return (max(0, y), n) if n else None


_STEPS: tuple[tuple[str, Callable[[SowingFigures], _Count | None], bool], ...] = (
    ("came up", _up, True),
    ("good plants", survival_of, True),
    ("planted out", _planted, False),
    ("alive in the bed", _alive, True),
)


def steps_of(
    sowings: Iterable[SowingFigures], rho: float, rho_on: float | None = None
) -> tuple[Step, ...]:
    """The steps that any of the sowings know, each over those that do; of one kind and measure. `rho` is
    the spread of coming up, `rho_on` that of what follows."""
    found = list(sowings)
    out = []
    for name, of, loss in _STEPS:
        counts = [c for s in found if (c := of(s)) and c[1] > 0]
        if not counts:
            continue
        y, n = sum(c[0] for c in counts), sum(c[1] for c in counts)
        spread = rho if of is _up or rho_on is None else rho_on
        share = germination([Group(of_, came) for came, of_ in counts], spread)
        assert share is not None
        out.append(Step(name, y, n, share, len(counts), loss))
    return tuple(out)


def largest_drop(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Where most were lost: one step if its interval lies clear of the next one's estimate, else both;
    none where nothing was lost, or only one step is known."""
    losing = sorted((s for s in steps if s.loss), key=lambda s: -s.lost)
    if len(losing) < 2 or losing[0].lost == 0:
        return ()
    first, second = losing[:2]
    clear = 1 - first.share.high > second.lost
    return (first,) if clear else (first, second)
