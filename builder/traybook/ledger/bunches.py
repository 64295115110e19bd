"""How many stems make a bunch, from which day on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from traybook.records.book import Entry
from traybook.records.settings import Farm
from traybook.text.names import fold


class BunchSizes:
    """Bunch sizes in time: a crop's own first, then the farm's."""

    def __init__(self, entries: Iterable[Entry], farm: Farm) -> None:
        """Gather the `bunch` lines, which stand in the order of days."""
        self.farm = farm
        self.dated: dict[str, list[tuple[dt.date, int]]] = {}
        for e in entries:
            said = e.event.one("size") if e.used and e.event.verb == "bunch" else None
            n = said.n.whole if said and said.n else None
            if n and e.event.on:
                self.dated.setdefault(fold(e.ref.crop), []).append((e.event.on, n))

    def on(self, crop: str, day: dt.date) -> int | None:
        """The size in force that day: the crop's latest, crops.yaml's, the farm's latest, farm.yaml's."""
        facts = self.farm.crops.get(fold(crop))
        own = self._latest(fold(crop), day) if crop else None
        return own or (facts.bunch if facts else None) or self._latest("", day) or self.farm.bunch

    def _latest(self, key: str, day: dt.date) -> int | None:
        return next((n for on, n in reversed(self.dated.get(key, [])) if on <= day), None)
