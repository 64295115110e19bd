"""How often what was promised held, and whether that is as often as it should be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

#: Between which shares the average over farms has to lie, by what was promised.
BOUNDS = {"95": (0.93, 0.97), "90": (0.87, 0.96), "sow": (0.85, 0.96)}
#: Where sowings differ by chance alone an interval may be this much too wide.
MOST_ALIKE = 0.99
#: No cell may lie lower.
LEAST = 0.88


@dataclass
class Tally:
    """One promise: what held and how wide it was, in cells of (row, column).

    Rows that `judged` doesn't name are shown and not held against it.
    """

    title: str
    promise: str
    columns: str
    judged: tuple[str, ...]
    cells: dict[tuple[str, int], list[float]] = field(default_factory=dict)

    def note(self, row: str, column: int, held: float, width: float) -> None:
        """One interval: whether (or in which share of futures) it held, and its width."""
        cell = self.cells.setdefault((row, column), [0, 0.0, 0.0])
        for i, x in enumerate((1, float(held), width)):
            cell[i] += x

    def add(self, other: Tally) -> None:
        """Those of other farms too."""
        for (row, column), (n, held, width) in other.cells.items():
            cell = self.cells.setdefault((row, column), [0, 0.0, 0.0])
            for i, x in enumerate((n, held, width)):
                cell[i] += x

    def of(self, row: str | None = None, column: int | None = None) -> tuple[int, float, float]:
        """(how many, share that held, mean width) over all that fit; None fits all judged rows."""
        rows = self.judged if row is None else (row,)
        got = [
            c for (r, k), c in self.cells.items() if r in rows and (column is None or k == column)
        ]
        n, held, width = (math.fsum(c[i] for c in got) for i in range(3))
        return (int(n), held / n, width / n) if n else (0, math.nan, math.nan)

    @property
    def rows(self) -> list[str]:
        """Those that are judged, then the others."""
        found = dict.fromkeys(r for r, _ in self.cells)
        return [r for r in self.judged if r in found] + [r for r in found if r not in self.judged]

    @property
    def heads(self) -> list[int]:
        """The columns there are."""
        return sorted({k for _, k in self.cells})


@dataclass(frozen=True, slots=True)
class Criterion:
    """One thing that has to be so: `got` between `low` and `high`."""

    words: str
    got: float
    low: float
    high: float

    @property
    def met(self) -> bool:
        return self.low <= self.got <= self.high


def criteria(tallies: Mapping[str, Tally]) -> Iterator[Criterion]:
    """Every criterion: each average over farms, and the lowest cell of each table."""
    for t in tallies.values():
        low, high = BOUNDS[t.promise]
        for row in t.judged:
            most = MOST_ALIKE if row == "0" else high
            yield Criterion(f"{t.title}, spread {row}", t.of(row)[1], low, most)
        (row, column), least = min(
            ((at, t.of(*at)[1]) for at in t.cells if at[0] in t.judged), key=lambda c: c[1]
        )
        words = f"{t.title}, lowest cell (spread {row}, {column} {t.columns})"
        yield Criterion(words, least, LEAST, 1.0)
