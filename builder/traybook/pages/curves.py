"""The sprouting curves of a kind's years, one over another."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from traybook.pages.addresses import figure_anchor
from traybook.pages.learnt import anchored, named
from traybook.pages.model import Block, Cell, Chart, cell, table
from traybook.rollup.kind import KindSeason
from traybook.rollup.pooled import Pooled, pooled, reached_between

#: More years over one another can't be told apart.
_MOST = 4
_SHARES = (0.1, 0.25, 0.5, 0.75, 0.9)
# Years are told by dash and mark as well as by colour.
_DASHES = ("solid", "dash", "dot", "dashdot")
_MARKS = ("circle", "square", "diamond", "x")


def curves_block(kinds: Sequence[KindSeason], only: bool = True) -> list[Block]:
    """The latest years of one kind and measure; nothing where none has looks with days."""
    found = [(k, p) for k in reversed(kinds) if (p := pooled(k.sowings))][:_MOST]
    if not found:
        return []
    measure = kinds[0].measure
    figure = {
        "data": [_trace(k, p, i) for i, (k, p) in enumerate(found)],
        "layout": {
            "xaxis": {"title": {"text": "days"}, "rangemode": "tozero"},
            "yaxis": {"title": {"text": "up, of 100 sown"}, "range": [0, 100]},
            "legend": {"orientation": "h", "x": 0, "y": 1, "yanchor": "bottom"},
            "margin": {"l": 56, "r": 8, "t": 48, "b": 48},
        },
    }
    columns = (
        "Season",
        "#Sowings",
        *(f"{round(s * 100)} of 100 up" for s in _SHARES),
        "In the end",
    )
    body = table(
        "The day by which so many of 100 were up", columns, tuple(_row(k, p) for k, p in found)
    )
    heading = named("How it came up, year over year", measure, only)
    anchor = anchored("curves", measure)
    text = json.dumps(figure, separators=(",", ":"), sort_keys=True)
    lead = (
        "All settled sowings of a season put together. A slanting line is a gap between looks: it came up "
        "somewhere in it. A curve ends where fewer than half of the sowings were still looked at."
    )
    return [
        Block(heading, anchor, (lead,), chart=Chart(anchor, heading, text, body), how=figure_anchor("pooled-curve"))
    ]  # fmt: skip


def _trace(k: KindSeason, p: Pooled, i: int) -> dict[str, Any]:
    """Flat where nothing came, slanting through each gap."""
    x, y = [0.0], [0.0]
    for c in p.corners:
        x += [c.after, c.by]
        y += [round(100 * c.share_before, 2), round(100 * c.share_after, 2)]
    x.append(p.until)
    y.append(y[-1])
    return {
        "type": "scatter",
        "mode": "lines+markers",
        "name": f"{k.season}, {p.sowings} {'sowing' if p.sowings == 1 else 'sowings'}",
        "x": x,
        "y": y,
        "line": {"shape": "linear", "dash": _DASHES[i]},
        "marker": {"symbol": _MARKS[i], "size": 6},
        "hovertemplate": "day %{x}: %{y:.0f} of 100<extra></extra>",
    }


def _row(k: KindSeason, p: Pooled) -> tuple[Cell, ...]:
    unit = "" if p.unit == "seeds" else "counted in cells"
    return (
        cell(str(k.season), more=unit),
        cell(f"{p.sowings}"),
        *(cell(_when(reached_between(p, s))) for s in _SHARES),
        cell(f"{100 * p.corners[-1].share_after:.0f} of 100, looked at to day {p.until:g}"),
    )


def _when(gap: tuple[float, float] | None) -> str:
    if gap is None:
        return ""
    after, by = gap
    return f"by day {by:g}" if after <= 0 else f"day {after:g} to {by:g}"
