"""Every address of the site; they are flat and never change.

| page | address |
|---|---|
| Today | `index.html` |
| Standing now, By place, Beds | `standing-now.html`, `by-place.html`, `beds.html` |
| Crops, Sowings, Seasons, Diary | `crops.html`, `sowings.html`, `seasons.html`, `diary.html` |
| Seed, and a lot on it | `seed.html`, `seed.html#lot-<lot>` |
| Put right (own build) | `put-right.html` |
| What worked | `what-worked.html` |
| Before sowing | `before-sowing.html` |
| the plan of a year | `plan-<year>.html` |
| Cautions | `cautions.html` |
| Frost and light | `frost-and-light.html` |
| a month of the diary | `diary/<year>-<month>.html` |
| words of an entry | `words-of-an-entry.html` |
| a crop | `crops/<crop>.html` |
| a sowing | `sowings/<code>.html` |
| a season | `seasons/<year>.html` |
| a table | `data/<name>.csv` |
| what its columns mean | `data/columns.html`, `data/columns.json` |
| what is due, for calendar programs | `calendar.ics` |
| a schema for editors | `schema/<name>.json` |
"""

from __future__ import annotations

from traybook.text.names import slug

START = "index.html"
CALENDAR = "calendar.ics"
STANDING = "standing-now.html"
BY_PLACE = "by-place.html"
BEDS = "beds.html"
SEED = "seed.html"
DIARY = "diary.html"
PUT_RIGHT = "put-right.html"
CROPS = "crops.html"
SOWINGS = "sowings.html"
SEASONS = "seasons.html"
SOWINGS_TABLE = "data/sowings.csv"
CROPS_TABLE = "data/crops.csv"
COLUMNS_PAGE = "data/columns.html"
COLUMNS_FILE = "data/columns.json"
FIGURES = "how-figures-are-worked-out.html"
VERBS_PAGE = "words-of-an-entry.html"
WRITING = "how-to-write-entries.html"
WORKED = "what-worked.html"
BEFORE = "before-sowing.html"
CAUTIONS = "cautions.html"
FROST_AND_LIGHT = "frost-and-light.html"
HOLDING = "how-well-the-figures-hold.html"


def crop_address(crop: str) -> str:
    """A crop's page.

    >>> crop_address("Sweet pea")
    'crops/sweet-pea.html'
    """
    return f"crops/{slug(crop) or 'crop'}.html"


def sowing_address(code: str) -> str:
    """A sowing's page, also under an earlier code."""
    return f"sowings/{slug(code) or 'sowing'}.html"


def plan_address(year: int) -> str:
    """The plan of a year."""
    return f"plan-{year}.html"


def lot_anchor(lot: str) -> str:
    """A lot's row on the page Seed.

    >>> lot_anchor("LAR-25")
    'lot-lar-25'
    """
    return f"lot-{slug(lot) or 'lot'}"


def lot_address(lot: str) -> str:
    """A lot on the page Seed."""
    return f"{SEED}#{lot_anchor(lot)}"


def season_address(year: int) -> str:
    """A season's page."""
    return f"seasons/{year}.html"


def month_address(year: int, month: int) -> str:
    """A month of the diary.

    >>> month_address(2026, 3)
    'diary/2026-03.html'
    """
    return f"diary/{year}-{month:02d}.html"


def figure_anchor(name: str) -> str:
    """The paragraph that says how a figure is worked out."""
    return f"{FIGURES}#{name}"
