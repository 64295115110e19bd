"""How figures are said. A share never stands without its counts, and an unknown is never nought."""

from __future__ import annotations

from collections.abc import Sequence

from traybook.rollup.emergence import Emergence
from traybook.rollup.kind import KindSeason
from traybook.rollup.sowing import SowingFigures
from traybook.stats.proportions import Share
from traybook.stats.speed import Reached
from traybook.text import days

day, weekday = days.day, days.weekday

NOT_COUNTED = "not counted"
#: Under this many seeds a share says nothing, and counts stand alone.
FEWEST = 5
#: What came up is called by the measure; the measures are never mixed.
VERBS = {
    "up": "up",
    "sprouted": "sprouted on paper",
    "stand": "standing in the row",
    "bought in": "bought in",
    "corm": "shooting",
}
#: The same as the name of a column or a figure; plants bought in have none.
NAMES = {
    "up": "Came up",
    "sprouted": "Sprouted on paper",
    "stand": "Standing in the row",
    "bought in": "",
    "corm": "Shooting",
}
MEASURES = {
    "up": "sown in trays, counted when up",
    "sprouted": "begun on damp paper, counted when sprouted",
    "stand": "sown direct, counted in the row",
    "bought in": "bought in as plants",
    "corm": "corms and tubers",
}


def percent(share: float) -> str:
    """A whole percent; 0 % and 100 % only where it is exactly so.

    >>> percent(0.996), percent(1.0), percent(0.004)
    ('over 99 %', '100 %', 'under 1 %')
    """
    whole = round(share * 100)
    if whole == 100 and share < 1:
        return "over 99 %"
    if whole == 0 and share > 0:
        return "under 1 %"
    return f"{whole} %"


def share_words(k: int, n: int, share: Share | None) -> str:
    """`58 of 72 (81 %, 70-88)`; under 5 seeds the counts alone.

    >>> from traybook.stats.proportions import wilson
    >>> share_words(58, 72, wilson(58, 72)), share_words(2, 4, wilson(2, 4))
    ('58 of 72 (81 %, 70-88)', '2 of 4')
    """
    counts = f"{k:,} of {n:,}"
    if share is None or n < FEWEST:
        return counts
    return f"{counts} ({percent(share.value)}, {limits(share)})"


def limits(share: Share) -> str:
    """The two ends of an interval in percent; they too are 0 or 100 only where exactly so.

    >>> from traybook.stats.proportions import wilson
    >>> limits(wilson(58, 72)), limits(wilson(20, 20)), limits(wilson(1999, 2000))
    ('70-88', '84-100', '99.7-99.9')
    """
    if round(share.low * 100) < 99:
        return f"{_end(share.low)}-{_end(share.high)}"
    return f"{_tenth(share.low)}-{_tenth(share.high)}"


def _end(share: float) -> str:
    whole = round(share * 100)
    lies = whole in (0, 100) and share not in (0, 1)
    return _tenth(share) if lies else f"{whole}"


def _tenth(share: float) -> str:
    """To a tenth of a percent, short of 0 and 100 unless it is exactly that."""
    return f"{share * 100:.0f}" if share in (0, 1) else f"{min(99.9, max(0.1, share * 100)):.1f}"


def germination(s: SowingFigures) -> str:
    """What came up of this sowing."""
    up, seeds = s.up, s.sowing.seeds
    if s.sowing.measure == "bought in":
        return ""
    if up.emerged is None:
        return NOT_COUNTED
    least = "at least " if up.at_least else ""
    if seeds is None:
        cells = s.sowing.cells
        if cells is not None and up.cells_up is not None:
            return f"{least}{share_words(up.cells_up, cells, up.cell_share)} cells"
        return f"{least}{up.emerged:,} {VERBS[s.sowing.measure]}"
    if up.estimated:
        return _from_cells(s)
    about = "about " if s.sowing.about else ""
    share = up.share if up.value_known else None
    if not up.value_known and up.share is not None:
        return f"{least}{up.emerged:,}; {seeds:,} seeds were sown, give or take"
    return least + share_words(up.emerged, seeds, share).replace(" of ", f" of {about}", 1)


def _from_cells(s: SowingFigures) -> str:
    """An estimate from cells with several seeds, said to be one."""
    up, seeds = s.up, s.sowing.seeds or 0
    if up.share is None:
        return f"{up.cells_up} of {s.sowing.cells} cells"
    if not up.value_known:
        return f"at least {percent(up.share.low)}: every one of {s.sowing.cells} cells has a plant"
    share = f"{percent(up.share.value)}, {limits(up.share)}"
    return f"about {up.emerged:,} of {seeds:,} ({share}), estimated from cells"


def kind_share(k: KindSeason) -> str:
    """What a kind did in a season, with the interval of the kind: `58 of 72 (81 %, 55-93)`; from cells of
    several seeds said to be estimated."""
    t = k.tally
    if k.share is None:
        return ""
    if k.germination is None:
        if t.estimated:
            return f"at least {percent(k.share.low)}: every cell counted has a plant"
        return f"{t.emerged:,}; {t.seeds:,} seeds were sown, give or take"
    if not t.estimated:
        return share_words(t.emerged, t.seeds, k.share)
    about = f"about {t.emerged:,} of {t.seeds:,}"
    if t.seeds < FEWEST:
        return about
    return f"{about} ({percent(k.share.value)}, {limits(k.share)}), estimated from cells"


def short_germination(s: SowingFigures) -> str:
    """The same for a table in which sowings of several measures may stand together."""
    measure = s.sowing.measure
    if measure == "bought in":
        return VERBS[measure]
    said = germination(s)
    told = measure == "up" or s.up.emerged is None or VERBS[measure] in said
    return said if told else f"{said}, {VERBS[measure]}"


def reached(r: Reached | None) -> str:
    """`day 8.6 (between the looks on day 7 and day 9)`."""
    if r is None:
        return NOT_COUNTED
    if r.point is None:
        return f"by day {r.by:g}, the first look"
    return f"day {r.point:.1f} (between the looks on day {r.after:g} and day {r.by:g})"


def evenness(up: Emergence) -> str:
    """Days from 10 % to 90 %; where the looks were too far apart to tell, only that it was within."""
    if up.even is not None:
        return f"{up.even:.1f} days"
    if up.tenth is None or up.ninetieth is None or up.count is None or up.count.emerged < FEWEST:
        return ""
    return f"within {up.ninetieth.by - up.tenth.after:g} days"


def first_up(up: Emergence) -> str:
    """When the first was up, as the gap between two looks."""
    if up.first_by is None:
        if up.emerged:
            return "on a day nobody kept"
        return "none up yet" if up.checks else NOT_COUNTED
    after = f"after day {up.first_after:g}, " if up.first_after else ""
    return f"{after}by day {up.first_by:g}"


def left_out(n: int) -> str:
    """What a figure says of lines it lost."""
    return "" if not n else f"{n} {'entry' if n == 1 else 'entries'} left out"


def many(n: int, one: str, more: str) -> str:
    """`1 sowing`, `3 sowings`."""
    return f"{n:,} {one if n == 1 else more}"


def listed(names: Sequence[str]) -> str:
    """Names in a sentence.

    >>> listed(["bed 4"]), listed(["bed 1", "bed 4", "lean-to"])
    ('bed 4', 'bed 1, bed 4 and lean-to')
    """
    return " and ".join(x for x in (", ".join(names[:-1]), *names[-1:]) if x)
