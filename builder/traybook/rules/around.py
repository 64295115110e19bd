"""What rules go by besides the ledger: the photos at hand, recent sowings, temperatures."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass

from traybook.ledger.keep import Kept
from traybook.ledger.model import Account
from traybook.records.settings import Farm
from traybook.text.names import fold

# Prompts are for what can still be changed: seasons long past are not asked about.
_RECENT = dt.timedelta(days=365)


@dataclass(frozen=True)
class Around:
    """`photos` are the paths of pictures under entries/, and `away` those of them that are links
    out of it; None where nobody looked."""

    photos: Collection[str] | None = None
    away: Collection[str] = ()


def recent(kept: Kept) -> Iterator[Account]:
    """Accounts of what was sown in the twelve months before the book's day."""
    day = kept.book.as_of
    return (a for a in kept.accounts.values() if day - _RECENT <= a.sowing.sown_on <= day)


def degrees_in(place: str, farm: Farm) -> float | None:
    """The temperature that farm.yaml gives a place, in Celsius."""
    facts = next((v for k, v in farm.places.items() if fold(k) == fold(place)), {})
    return degrees(next((v for k, v in facts.items() if fold(k) in ("temperature", "temp")), ""))


def degrees(text: str) -> float | None:
    """A temperature in Celsius; above 45 a bare number can only be Fahrenheit.

    >>> degrees("21 C"), degrees("70 F"), degrees("warm")
    (21.0, 21.11111111111111, None)
    """
    found = re.match(
        r"\s*(-?\d+(?:\.\d+)?)(?:\s*(?:-|to)\s*(\d+(?:\.\d+)?))?\s*°?\s*(f\b)?", text, re.IGNORECASE
    )
    if not found:
        return None
    number = float(found[2] or found[1])
    return (number - 32) / 1.8 if found[3] or number > 45 else number
