"""Charts as plain figures for the chart script; each stands over the table it draws."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

from traybook.pages import words
from traybook.pages.model import Chart, cell, table
from traybook.rollup.kind import Season
from traybook.rollup.pooled import counted_sown, fit_of
from traybook.rollup.sowing import SowingFigures

_FEWEST_LOOKS = 2


def sprouting(s: SowingFigures) -> Chart | None:
    """How a sowing came up, look by look, with the gap before each rise drawn as a line to the left.

    None with fewer than two looks that counted something, or nothing up, or days that nobody kept.
    """
    count = s.up.count
    if count is None or not count.emerged or len(count.points) < _FEWEST_LOOKS:
        return None
    if not all(p.dated for p in count.points):
        return None
    sown = s.sowing.sown_on
    days = [(p.day - sown).days for p in count.points]
    up = [p.emerged for p in count.points]
    gaps = [
        b - a if n > m else 0 for a, b, m, n in zip([0, *days], days, [0, *up], up, strict=False)
    ]
    smooth = _smooth(s, days)
    figure = {
        "data": [
            *smooth,
            {
                "type": "scatter",
                "mode": "lines+markers",
                "name": "counted",
                "x": days,
                "y": up,
                "line": {"shape": "linear", "dash": "dot"},
                "error_x": {
                    "type": "data",
                    "symmetric": False,
                    "array": [0] * len(days),
                    "arrayminus": gaps,
                },
                "hovertemplate": "day %{x}: %{y}<extra></extra>",
            },
        ],
        "layout": {
            "xaxis": {"title": {"text": "days from sowing"}, "rangemode": "tozero"},
            "yaxis": {"title": {"text": f"{count.unit} so far"}, "rangemode": "tozero"},
            "legend": {"orientation": "h", "x": 0, "y": 1, "yanchor": "bottom"},
            "margin": {"l": 56, "r": 8, "t": 40 if smooth else 8, "b": 48},
        },
    }
    rows = tuple(
        (
            cell(f"day {d}"),
            cell(words.day(p.day)),
            cell(f"{p.emerged:,}"),
            cell("counted" if p.census else "by what was taken"),
        )
        for d, p in zip(days, count.points, strict=True)
    )
    body = table("Look by look", ("Day", "On", "#So far", "How it is known"), rows)
    return Chart("sprouting", "How it came up", _text(figure), body)


def _smooth(s: SowingFigures, days: list[int]) -> list[dict[str, Any]]:
    """The fitted curve from sowing to the last look, where there is one; it forecasts nothing."""
    got = fit_of(s)
    if got is None or isinstance(got, str) or not s.sowing.seeds:
        return []
    start = (s.account.began - s.sowing.sown_on).days
    last = days[-1] - start
    xs = [last * i / 40 for i in range(41)]
    n = counted_sown(s)
    return [
        {
            "type": "scatter",
            "mode": "lines",
            "name": "curve fitted to the counts",
            "x": [round(start + x, 2) for x in xs],
            "y": [round(n * got.at(x), 2) for x in xs],
            "line": {"dash": "solid"},
            "hoverinfo": "skip",
        }
    ]


def timeline(season: Season) -> Chart | None:
    """From sowing to the last cut, a bar a sowing; None for a season of fewer than two sowings."""
    sowings = sorted(
        (s for k in season.kinds for s in k.sowings),
        key=lambda s: (s.sowing.sown_on, s.code),
        reverse=True,
    )
    if len(sowings) < _FEWEST_LOOKS:
        return None
    bars = [
        _bars(
            "sown to planted out", [(s, s.sowing.sown_on, _planted(s) or _last(s)) for s in sowings]
        ),
        _bars("planted out to first cut", [(s, _planted(s), s.cut.first) for s in sowings]),
        _bars("cut", [(s, s.cut.first, s.cut.last) for s in sowings]),
    ]
    figure = {
        "data": [b for b in bars if b["y"]],
        "layout": {
            "barmode": "overlay",
            "xaxis": {"type": "date"},
            "yaxis": {
                "automargin": True,
                "type": "category",
                "categoryarray": [s.code for s in sowings],
            },
            "height": 120 + 22 * len(sowings),
            "legend": {"orientation": "h", "x": 0, "y": 1, "yanchor": "bottom"},
            "margin": {"l": 56, "r": 8, "t": 72, "b": 48},
        },
    }
    rows = tuple(
        (
            cell(s.code),
            cell(words.day(s.sowing.sown_on)),
            cell(words.day(_planted(s))),
            cell(words.day(s.cut.first)),
            cell(words.day(s.cut.last)),
        )
        for s in reversed(sowings)
    )
    body = table(
        "The season's dates", ("Sowing", "Sown", "Planted out", "First cut", "Last cut"), rows
    )
    return Chart("timeline", "The season in bars", _text(figure), body)


def _planted(s: SowingFigures) -> dt.date | None:
    return min((p.on for p in s.account.plantings), default=None)


def _last(s: SowingFigures) -> dt.date | None:
    """Where a bar ends that led to no bed: the last entry about it."""
    return s.account.finished_on or max((e.on for e in s.account.events if e.on), default=None)


def _bars(
    name: str, spans: list[tuple[SowingFigures, dt.date | None, dt.date | None]]
) -> dict[str, Any]:
    found = [(s.code, a, b) for s, a, b in spans if a and b]
    return {
        "type": "bar",
        "orientation": "h",
        "name": name,
        "y": [code for code, _, _ in found],
        "base": [a.isoformat() for _, a, _ in found],
        "x": [max(1, (b - a).days) * 86_400_000 for _, a, b in found],
    }


def _text(figure: dict[str, Any]) -> str:
    return json.dumps(figure, separators=(",", ":"), sort_keys=True)
