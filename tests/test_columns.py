"""The data dictionary: every column has a meaning, and real tables are as it says."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re

import pytest

from conftest import ROOT
from oracle.farm import generate
from oracle.write import write
from traybook.exports.dictionary import columns_json
from traybook.exports.tables import own_tables, shared_tables
from traybook.pages.columns import columns_page
from traybook.pipeline import load
from traybook.rollup.columns import COLUMNS, ROWS
from traybook.rollup.farm import farm_figures

AS_OF = dt.date(2026, 11, 25)
TABLES = {t["path"]: t for t in json.loads(columns_json())["tables"]}
TYPES = {"string", "date", "year", "boolean", "integer", "number"}


def wrong(field: dict, value: str) -> str:
    """What in a cell isn't as its field says."""
    limits = field.get("constraints", {})
    if not value:
        return "empty" if limits.get("required") else ""
    kind = field["type"]
    if kind == "date":
        ok = re.fullmatch(r"\d{4}-\d{2}-\d{2}", value) and is_day(value)
    elif kind == "year":
        ok = re.fullmatch(r"\d{4}", value)
    elif kind == "boolean":
        ok = value in (*field["trueValues"], *field["falseValues"])
    elif kind == "integer":
        ok = re.fullmatch(r"-?\d+", value)
    elif kind == "number":
        ok = re.fullmatch(r"-?\d+(?:\.\d+)?", value)
    else:
        ok = value in limits.get("enum", [value])
    if not ok:
        return f"no {kind}"
    number = float(value) if kind in ("integer", "number") else 0.0
    inside = limits.get("minimum", number) <= number <= limits.get("maximum", number)
    return "" if inside else "out of bounds"


def is_day(value: str) -> bool:
    try:
        dt.date.fromisoformat(value)
    except ValueError:
        return False
    return True


def troubles(tables: dict[str, str]) -> list[tuple[str, str, str, str]]:
    out = []
    for name, text in tables.items():
        fields = {f["name"]: f for f in TABLES[name]["schema"]["fields"]}
        for row in csv.DictReader(io.StringIO(text)):
            assert list(row) == list(fields)
            out += [(name, k, v, bad) for k, v in row.items() if (bad := wrong(fields[k], v))]
    return out


def test_the_demo_farms_tables_are_as_they_say():
    loaded = load(ROOT, AS_OF)
    tables = own_tables(farm_figures(loaded.kept), loaded.findings)
    assert set(tables) == set(TABLES)
    assert sum(text.count("\n") for text in tables.values()) > 3000
    assert troubles(tables) == []


@pytest.mark.parametrize("seed", range(8))
def test_random_farms_tables_are_as_they_say(tmp_path, seed):
    write(generate(seed), tmp_path, seed)
    loaded = load(tmp_path, AS_OF)
    assert troubles(own_tables(farm_figures(loaded.kept), loaded.findings)) == []


@pytest.mark.parametrize(
    ("name", "value"),
    [("sown_on", "14.3.26"), ("sown_on", "2026-02-30"), ("germination", "1.2"), ("germination", ""), ("settled", "True"),
     ("emerged", "-1"), ("seeds", "many"), ("code", ""), ("measure", "plugs"), ("season", "26")],
)  # fmt: skip
def test_a_cell_that_is_not_so_is_seen(name, value):
    field = next(f for f in TABLES["sowings.csv"]["schema"]["fields"] if f["name"] == name)
    assert bool(wrong(field, value)) is (name != "germination" or bool(value))


@pytest.mark.parametrize("name", COLUMNS)
def test_every_column_has_a_meaning_and_a_type(name):
    columns = COLUMNS[name]
    assert ROWS[name]
    assert len({c.name for c in columns}) == len(columns)
    for column, field in zip(columns, TABLES[name]["schema"]["fields"], strict=True):
        assert field["name"] == column.name
        assert field["description"] == column.meaning
        assert len(column.meaning) > 3
        assert field["type"] in TYPES


def test_the_page_has_them_all_and_the_shared_one_no_findings():
    own, shared = columns_page(own=True), columns_page(own=False)
    assert [b.heading for b in own.blocks] == list(COLUMNS)
    assert [b.heading for b in shared.blocks] == [n for n in COLUMNS if n != "findings.csv"]
    for block in own.blocks:
        assert [row[0].text for row in block.table.rows] == [c.name for c in COLUMNS[block.heading]]


def test_the_site_has_the_page_and_the_file(demo_site):
    out, _ = demo_site
    page = (out / "data" / "columns.html").read_text("utf-8")
    loaded = load(ROOT, AS_OF, own=False)
    for name in shared_tables(farm_figures(loaded.kept)):
        assert name in page
        assert (out / "data" / name).exists()
    assert json.loads((out / "data" / "columns.json").read_text("utf-8"))["tables"]
    assert "columns.html" in (out / "sowings.html").read_text("utf-8")
