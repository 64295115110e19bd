"""The rows of checks.csv that one day's visit to where it was sown makes."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from traybook.ledger.model import Check
from traybook.records.event import Event


class Rows:
    """One row a unit that was counted, and one a sample."""

    def __init__(self, day: dt.date) -> None:
        """No rows yet."""
        self.day = day
        self.rows: dict[str, Check] = {}

    def add(
        self,
        unit: str,
        event: Event,
        up: int | None = None,
        left: int | None = None,
        lost: int = 0,
        seeds_lost: int = 0,
        cause: str = "",
        census: bool = False,
        bounds: str = "",
        stand: str = "sown",
    ) -> None:
        """Add to a unit's row what a line says; the line with the full count is the row's own."""
        old = self.rows.get(unit) or Check("sown", self.day, event, unit=unit, by=event.by)
        self.rows[unit] = replace(
            old,
            event=event if census else old.event,
            by=event.by if census else old.by,
            up=up if up is not None else old.up,
            left=left if left is not None else old.left,
            lost=old.lost + lost,
            seeds_lost=old.seeds_lost + seeds_lost,
            cause=", ".join(dict.fromkeys(x for x in (*old.cause.split(", "), cause) if x)),
            stand=stand if stand != "sown" else old.stand,
            census=old.census or census,
            bounds=old.bounds or bounds,
        )

    def about(self, unit: str, n: int) -> None:
        """An estimate stands in the row where nothing was counted."""
        if self.rows[unit].up is None:
            self.rows[unit] = replace(self.rows[unit], up=n)

    def sample(self, event: Event, n: int, of: int | None, unit: str) -> None:
        """A sample has a row of its own."""
        self.rows[f"sample {len(self.rows)}"] = Check(
            "sown", self.day, event, up=n, unit=unit, sample_of=of, by=event.by,
            bounds="some" if n else "",
        )  # fmt: skip

    def all(self, unit: str, taken: int) -> list[Check]:
        """The rows, with what was taken that day on the main unit's."""
        if taken and self.rows:
            key = unit if unit in self.rows else next(iter(self.rows))
            self.rows[key] = replace(self.rows[key], taken=taken)
        return list(self.rows.values())
