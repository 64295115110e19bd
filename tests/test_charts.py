"""Chart figures against the plotly package, and their tables against their figures."""

from __future__ import annotations

import datetime as dt
import json

import plotly.graph_objects as go
import pytest

from conftest import ROOT
from kit import one_sowing
from traybook.pages.build import build_pages
from traybook.pages.charts import sprouting
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures


@pytest.fixture(scope="module")
def charts():
    loaded = load(ROOT, dt.date(2026, 11, 25), own=False)
    pages = build_pages(farm_figures(loaded.kept))
    return {f"{p.address}#{c.anchor}": c for p in pages for c in p.charts}


def test_every_figure_is_one_that_plotly_knows(charts):
    assert len(charts) > 100
    for address, chart in charts.items():
        go.Figure(json.loads(chart.figure)), address


def test_a_wrong_figure_would_be_caught(charts):
    figure = json.loads(next(iter(charts.values())).figure)
    figure["data"][0]["no_such_thing"] = 1
    with pytest.raises(ValueError, match="no_such_thing"):
        go.Figure(figure)


def test_the_curve_draws_the_gaps_between_looks():
    _, s = one_sowing("72 seeds", (4, "checked x: none up"), (8, "checked x: 31 up"), (9, "checked x: 31"),
                      (12, "checked x: 44 up"))  # fmt: skip
    (trace,) = json.loads(sprouting(s).figure)["data"]
    assert (trace["x"], trace["y"]) == ([4, 8, 9, 12], [0, 31, 31, 44])
    assert trace["error_x"]["arrayminus"] == [0, 4, 0, 3]
    rows = [[c.text for c in row] for row in sprouting(s).table.rows]
    assert [r[0] for r in rows] == ["day 4", "day 8", "day 9", "day 12"]
    assert [r[2] for r in rows] == ["0", "31", "31", "44"]


def test_one_look_makes_no_curve():
    _, s = one_sowing("72 seeds", (8, "checked x: 31 up"))
    assert sprouting(s) is None


def test_every_bar_of_a_season_is_in_its_table(charts):
    chart = charts["seasons/2026.html#timeline"]
    bars = json.loads(chart.figure)["data"]
    codes = {row[0].text for row in chart.table.rows}
    assert {code for b in bars for code in b["y"]} <= codes
    assert [b["name"] for b in bars] == ["sown to planted out", "planted out to first cut", "cut"]


def test_a_kinds_years_are_told_by_dash_and_mark_and_stand_in_their_table(charts):
    chart = charts["crops/larkspur.html#curves-up"]
    traces = json.loads(chart.figure)["data"]
    assert len({t["line"]["dash"] for t in traces}) == len(traces) == len(chart.table.rows) > 1
    assert [t["name"][:4] for t in traces] == [row[0].text for row in chart.table.rows]
    for t in traces:
        assert t["x"] == sorted(t["x"]) and t["y"] == sorted(t["y"]), "a share so far never falls"


def test_the_fitted_curve_is_drawn_beside_the_counts(charts):
    smooth, counted = json.loads(charts["sowings/larkspur-26-2.html#sprouting"].figure)["data"]
    assert (smooth["name"], counted["name"]) == ("curve fitted to the counts", "counted")
    assert smooth["x"][-1] == counted["x"][-1], "it says nothing of later days"
