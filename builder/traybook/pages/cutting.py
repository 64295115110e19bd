"""A season's cutting weeks: the window, the peak, and the weeks that went without."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from statistics import median

from traybook.pages import words
from traybook.pages.addresses import crop_address, figure_anchor
from traybook.pages.model import Block, Cell, Chart, Table, cell, table
from traybook.rollup.cutting import Cutting, CutWeek, by_crop, cutting, of_year
from traybook.rollup.farm import FarmFigures
from traybook.text.names import fold

# A week with less than this part of the middle week's stems is called thin. A choice of ours.
_THIN = 3
_FEWEST_WEEKS = 3


def week(monday: dt.date, year: int) -> str:
    """`week 31`; with its year where that isn't the one meant.

    >>> week(dt.date(2026, 12, 28), 2026), week(dt.date(2027, 1, 4), 2026)
    ('week 53', 'week 1 of 2027')
    """
    iso = monday.isocalendar()
    return f"week {iso.week}" + (f" of {iso.year}" if iso.year != year else "")


def weeks(mondays: Sequence[dt.date], year: int) -> str:
    """Weeks in a sentence, those that follow one another as one stretch.

    >>> days = [dt.date(2026, 8, 24), dt.date(2026, 8, 31), dt.date(2026, 9, 7), dt.date(2026, 10, 5)]
    >>> weeks(days, 2026), weeks(days[:2], 2026)
    ('35 to 37 and 41', '35 and 36')
    """
    runs: list[list[dt.date]] = []
    for i, m in enumerate(mondays):
        if i and (m - mondays[i - 1]).days == 7:
            runs[-1].append(m)
        else:
            runs.append([m])
    said = []
    for run in runs:
        names = [week(m, year).removeprefix("week ") for m in run]
        said += [f"{names[0]} to {names[-1]}"] if len(names) > 2 else names
    return words.listed(said)


def stems_of(w: CutWeek) -> str:
    """Stems of a week; `at least` where some cuts can't be told in stems."""
    if w.stems is None:
        return words.NOT_COUNTED
    return ("at least " if w.at_least else "") + f"{w.stems:,}"


def thin(c: Cutting) -> int | None:
    """The stems under which a week is thin: a third of the middle week; None with too few weeks."""
    told = [w.stems for w in c.weeks if w.stems and not w.at_least]
    return int(median(told) / _THIN) if len(told) >= _FEWEST_WEEKS else None


def cutting_block(year: int, figures: FarmFigures, wanted: int | None = None) -> list[Block]:
    """All that was cut in a year, week by week; nothing where nothing was. `wanted`: the stems a week
    is meant to give, else a third of the middle week."""
    south = figures.kept.book.farm.south
    found = of_year(figures.kept.harvests, year, south)
    c = cutting(found)
    if c is None:
        return []
    said = (
        " ".join((window_words(c, year), *_short(c, year, wanted))),
        _whose(year, south),
    )
    body = _by_week(c, year)
    drawn = _chart(c, year, body) if len(c.weeks) >= _FEWEST_WEEKS else None
    return [
        Block(
            "Cutting weeks", "cutting-weeks", said, None if drawn else body,
            _by_crop(by_crop(found), year), chart=drawn, how=figure_anchor("cutting"),
        )
    ]  # fmt: skip


def _whose(year: int, south: bool) -> str:
    when = f"from July {year} to June {year + 1}" if south else f"in {year}"
    return f"All that was cut {when}, whichever season it was sown for."


def window_words(c: Cutting, year: int) -> str:
    """`From week 22 to week 41, most in week 31 (1,204 stems).`"""
    peak = c.peak
    most = f", most in {week(peak.monday, year)} ({stems_of(peak)} stems)" if peak else ""
    if c.first == c.last:
        told = f" ({stems_of(peak)} stems)" if peak else ""
        return f"In {week(c.first, year)} alone{told}."
    return f"From {week(c.first, year)} to {week(c.last, year)}{most}."


def _short(c: Cutting, year: int, wanted: int | None) -> list[str]:
    """Weeks with nothing, then those with little."""
    empty = c.empty
    said = [f"Weeks with nothing: {weeks(empty, year)}." if empty else ""]
    if not empty and c.first != c.last:
        said = ["Something was cut in every week between."]
    limit = wanted if wanted is not None else thin(c)
    under = [m for m in c.under(limit) if m not in empty] if limit else []
    if under:
        why = "" if wanted is not None else ", a third of the middle week"
        said.append(f"Weeks with fewer than {limit:,} stems{why}: {weeks(under, year)}.")
    return [x for x in said if x]


def _by_week(c: Cutting, year: int) -> Table:
    """Two columns, so that it stays a table on a phone."""
    cut = {w.monday: w for w in c.weeks}
    rows = tuple(_row(m, cut.get(m), year) for m in c.span)
    return table("Week by week", ("Week", "#Stems"), rows)


def _row(m: dt.date, w: CutWeek | None, year: int) -> tuple[Cell, ...]:
    name = cell(week(m, year).capitalize(), more=f"from {words.day(m)}")
    if w is None:
        return (name, cell("nothing"))
    crops = len({fold(h.ref.crop) for h in w.harvests if h.ref.crop})
    of = [words.many(crops, "crop", "crops")] if crops else []
    if w.bunches:
        of.append(f"{w.bunches:,g} {'bunch' if w.bunches == 1 else 'bunches'}")
    return (name, cell(stems_of(w), more=", ".join(of)))


def _by_crop(crops: dict[str, Cutting], year: int) -> Table | None:
    if not crops:
        return None
    rows = tuple(
        (
            cell(crop.capitalize(), crop_address(crop)),
            cell(week(c.first, year)),
            cell(week(c.last, year)),
            cell(week(c.peak.monday, year), more=f"{stems_of(c.peak)} stems") if c.peak else cell(""),
            cell(weeks(c.empty, year)),
        )
        for crop, c in crops.items()
    )  # fmt: skip
    columns = ("Crop", "First cut", "Last cut", "Most in", "Weeks with nothing between")
    return table("Crop by crop", columns, rows)


def _chart(c: Cutting, year: int, body: Table) -> Chart:
    cut = {w.monday: w for w in c.weeks}
    names = [week(m, year).removeprefix("week ").replace(" of ", "/") for m in c.span]
    stems = [(cut[m].stems or 0) if m in cut else 0 for m in c.span]
    figure = {
        "data": [
            {
                "type": "bar",
                "name": "stems",
                "x": names,
                "y": stems,
                "hovertemplate": "week %{x}: %{y} stems<extra></extra>",
            }
        ],
        "layout": {
            "xaxis": {"type": "category", "title": {"text": "week of the year"}},
            "yaxis": {"rangemode": "tozero", "title": {"text": "stems"}},
            "margin": {"l": 56, "r": 8, "t": 8, "b": 48},
        },
    }
    text = json.dumps(figure, separators=(",", ":"), sort_keys=True)
    return Chart("cutting-weeks-drawn", "Stems cut, week by week", text, body)
