"""The schemas for editors, by a validator that knows nothing of us."""

from __future__ import annotations

import datetime as dt
import json
import re

import pytest
import yaml
from jsonschema import Draft202012Validator

from conftest import ROOT
from traybook.exports.schema import ANY_LINE, schemas, spelling
from traybook.records.settings import CROP_KEYS, FARM_KEYS
from traybook.records.verbs import VERBS, field_for, verb_at

SCHEMAS = {name: json.loads(text) for name, text in schemas().items()}
CHECK = {name: Draft202012Validator(schema) for name, schema in SCHEMAS.items()}


def plain(value):
    """YAML as an editor sees it: days are text, keys are text."""
    if isinstance(value, dict):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list):
        return [plain(v) for v in value]
    return value.isoformat() if isinstance(value, dt.date) else value


def fits(name: str, text: str) -> bool:
    return CHECK[name].is_valid(plain(yaml.safe_load(text)))


def kind_of(path) -> str:
    if path.parent.name == "plans":
        return "plan.json"
    return {"farm.yaml": "farm.json", "crops.yaml": "crops.json"}.get(path.name, "day.json")


@pytest.mark.parametrize("name", SCHEMAS)
def test_each_is_a_schema(name):
    Draft202012Validator.check_schema(SCHEMAS[name])
    assert SCHEMAS[name]["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_every_yaml_file_of_the_demo_fits():
    files = sorted((ROOT / "entries").rglob("*.yaml"))
    seen = 0
    for path in files:
        try:
            value = plain(yaml.safe_load(path.read_text("utf-8")))
        except yaml.YAMLError:
            continue  # the reader takes more than YAML; an editor marks such a line by itself
        seen += 1
        assert [e.message for e in CHECK[kind_of(path)].iter_errors(value)] == [], path
    assert seen > 8


def test_every_block_of_the_demo_that_is_yaml_fits():
    seen = 0
    for path in sorted((ROOT / "entries").rglob("*.md")):
        for block in re.findall(
            r"^---\n(.*?)^---$", path.read_text("utf-8"), re.DOTALL | re.MULTILINE
        ):
            try:
                value = plain(yaml.safe_load(block))
            except yaml.YAMLError:
                continue
            if isinstance(value, dict):
                seen += 1
                assert [e.message for e in CHECK["day.json"].iter_errors(value)] == [], path
    assert seen > 300


GOOD = """\
date: 2026-03-14
by: jo
checked stock-26-1: 31 up, 2 lost to mice
Checked Stock-26-2: 31
chk stock 1: none up
checked:
  snapdragon-26-1: 90 up
  statice-26-1: {up: 44, lost: 2, note: thin}
  tray-26-1:
    tray 1: 88 of 128
hardening off: [stock-26-1, stock-26-2]
sown larkspur-26-2:
  variety: Mist Tower
  in: 2 x 72-cell tray
  per cell: 2
  Per_Cell: 2
  photo: a.jpg
  private: yes
planted out: {stock-26-1: 40 to bed 4}
set out stock-26-2: 40 to bed 5
private noted: hush
noted:
  anything: goes
fed stock-26-1: seaweed
mulched bed 1:
  with: straw
"""


def test_what_is_right_fits():
    assert fits("day.json", GOOD)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("variety: Mist Tower", "varity: Mist Tower"),
        ("per cell: 2", "percell: 2"),
        ("in: 2 x 72", "inn: 2 x 72"),
        ("{up: 44, lost: 2, note: thin}", "{up: 44, losst: 2}"),
        ("{up: 44, lost: 2, note: thin}", "{up: {some: 44}}"),
        ("90 up", "[[90]]"),
        ("by: jo", "by: [jo]"),
        ("date: 2026-03-14", "date: {y: 2026}"),
        ("[stock-26-1, stock-26-2]", "[[stock-26-1]]"),
        ("tray 1: 88 of 128", "tray: 88 of 128"),
    ],
)
def test_a_slip_is_marked(old, new):
    assert old in GOOD
    assert not fits("day.json", GOOD.replace(old, new, 1))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("farm.json", "naem: x"), ("farm.json", "units: acres"), ("farm.json", "dates: year first"),
        ("farm.json", "latitude: north"), ("farm.json", "- a"), ("farm.json", "people: {a: [b]}"),
        ("crops.json", "stock: {days: 7}"), ("crops.json", "stock: {days to sprout: soon}"), ("crops.json", "stock: 7"),
    ],
)  # fmt: skip
def test_wrong_settings_are_marked(name, text):
    assert not fits(name, text)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("farm.json", "Name: x\nbunch_size: 10\nunits: Metric\nlatitude: 52.3 N\nbeds: a, b"), ("farm.json", ""),
        ("farm.json", "places: [a, b]\npeople: jo"), ("crops.json", "stock:\nlarkspur: {days to sprout: 14-28}"),
    ],
)  # fmt: skip
def test_right_settings_fit(name, text):
    assert fits(name, text)


@pytest.mark.parametrize("verb", VERBS, ids=lambda v: v.name)
def test_a_verb_and_its_fields_are_in_it_as_the_reader_has_them(verb):
    defs = SCHEMAS["day.json"]["$defs"][verb.name.replace(" ", "-")]
    fields = defs["anyOf"][2]
    for name in (verb.name, *verb.also):
        found = verb_at(f"{name} stock-26-1")
        refs = {
            r["$ref"]
            for p, r in SCHEMAS["day.json"]["patternProperties"].items()
            if re.search(p, f"{name} stock-26-1")
        }
        assert found
        assert refs == {f"#/$defs/{found[0].name.replace(' ', '-')}"}
    for key in fields.get("properties", {}):
        assert key in ANY_LINE or field_for(verb, key) is not None, key


def test_settings_keys_are_those_that_are_read():
    assert tuple(SCHEMAS["farm.json"]["properties"]) == FARM_KEYS
    assert tuple(SCHEMAS["crops.json"]["additionalProperties"]["properties"]) == CROP_KEYS


def test_a_spelling_fits_whole_words_in_any_case():
    pattern = f"^{spelling('per cell')}$"
    assert all(re.search(pattern, x) for x in ("per cell", "Per_Cell", "PER-CELL", "per  cell"))
    assert not any(re.search(pattern, x) for x in ("percell", "per cells", "xper cell"))


def test_they_are_on_the_site(demo_site):
    for name, text in schemas().items():
        assert (demo_site[0] / "schema" / name).read_text("utf-8") == text
