"""A new farm's folder: it can be read, checked and built at once."""

from __future__ import annotations

import datetime as dt
import json

import pytest
from click.testing import CliRunner

from traybook.cli.main import main
from traybook.exports.schema import schemas
from traybook.files.tree import read_entries
from traybook.pipeline import load
from traybook.records.settings import read_crops, read_farm
from traybook.site.build import build_site

DAY = dt.date(2026, 3, 14)


def new(folder, *more: str, answers: str = "", code: int = 0) -> str:
    words = ["new", str(folder), "--as-of", "2026-03-14", *more]
    got = CliRunner().invoke(main, words, input=answers, catch_exceptions=False)
    assert got.exit_code == code, got.output
    return got.output


def farm_of(folder):
    files = read_entries(folder)
    farm, findings = read_farm(files.farm, read_crops(files.crops)[0])
    assert findings == []
    return farm


ALL = ["--name", "Long Acre", "--units", "metric", "--place", "52.3, -2.6", "--last-frost", "8 May",
       "--first-frost", "12 October", "--bunch", "12"]  # fmt: skip


@pytest.mark.parametrize("more", [["--no-questions"], ALL])
def test_it_reads_and_builds_with_nothing_to_put_right(tmp_path, more):
    folder = tmp_path / "farm"
    new(folder, *more)
    loaded = load(folder, DAY)
    assert loaded.findings == ()
    assert [e.event.verb for e in loaded.book.entries] == ["noted"]
    built = build_site(folder, folder / "site", DAY)
    assert built.warnings == ()
    assert (folder / "site" / "index.html").exists()


def test_the_answers_arrive(tmp_path):
    new(tmp_path / "a", answers="Hill: Farm\nimperial\n41.2 S, 174.8 E\n30 Sep\nMay 5\n8\n")
    farm = farm_of(tmp_path / "a")
    assert (farm.name, farm.units, farm.latitude, farm.longitude) == (
        "Hill: Farm",
        "imperial",
        -41.2,
        174.8,
    )
    assert (farm.bunch, farm.day_first) == (8, False)
    said = (tmp_path / "a" / "entries" / "farm.yaml").read_text("utf-8")
    assert "\nlast frost: 30 Sep\n" in said
    assert "\nfirst frost: May 5\n" in said


@pytest.mark.parametrize(
    "name", ["Yes", "1066", "It's: so", '"quoted"', "# 5", "Ferme d'Été", "{a}", "- x", "null"]
)
def test_any_name_comes_back(tmp_path, name):
    new(tmp_path / "a", "--no-questions", "--name", name)
    assert farm_of(tmp_path / "a").name == name


def test_enter_and_the_end_of_the_answers_leave_open(tmp_path):
    new(tmp_path / "a", answers="\n\n\n\n\n\n")
    new(tmp_path / "b", answers="\n")
    for folder in (tmp_path / "a", tmp_path / "b"):
        farm = farm_of(folder)
        assert (farm.name, farm.latitude, farm.bunch, farm.units) == ("", None, None, "metric")


def test_an_answer_that_cannot_be_is_asked_again(tmp_path):
    said = new(
        tmp_path / "a",
        answers="\nacres\nmetric\n99.0 N, 2 W\nLudlow\nsome day\n8 May\n\nmany\n10\n",
    )
    assert said.count("say metric or imperial") == 1
    assert "latitude runs to 90" in said
    assert "say a day, as 8 May" in said
    assert "say how many stems" in said
    text = (tmp_path / "a" / "entries" / "farm.yaml").read_text("utf-8")
    assert "# Near Ludlow." in text
    assert "\nbunch size: 10\n" in text


def test_wrong_options_make_nothing(tmp_path):
    new(tmp_path / "a", "--units", "acres", "--no-questions", code=2)
    assert not (tmp_path / "a").exists()


def test_a_folder_that_holds_something_is_left_alone(tmp_path):
    (tmp_path / "x.txt").write_text("mine", "utf-8")
    assert "isn't empty" in new(tmp_path, "--no-questions", code=2)
    assert [p.name for p in tmp_path.iterdir()] == ["x.txt"]
    new(tmp_path / "x.txt", "--no-questions", code=2)


def test_hidden_files_are_nothing(tmp_path):
    (tmp_path / ".git").mkdir()
    new(tmp_path, "--no-questions")
    assert (tmp_path / "README.md").exists()


def test_the_schemas_that_its_settings_name_are_there(tmp_path):
    new(tmp_path / "a", "--no-questions")
    for name in ("farm", "crops"):
        path = tmp_path / "a" / "entries" / f"{name}.yaml"
        first = path.read_text("utf-8").splitlines()[0]
        schema = path.parent / first.removeprefix("# yaml-language-server: $schema=")
        assert json.loads(schema.read_text("utf-8")) == json.loads(schemas()[f"{name}.json"])


def test_the_lines_to_copy_are_read_without_a_doubt(tmp_path):
    new(tmp_path / "a", "--no-questions")
    day = tmp_path / "a" / "entries" / "2026" / "2026-03-14.md"
    day.write_text(
        day.read_text("utf-8").replace("# sown", "sown").replace("# checked", "checked"), "utf-8"
    )
    loaded = load(tmp_path / "a", DAY)
    assert [f.name for f in loaded.findings] == []
    assert "larkspur-26-1" in loaded.kept.accounts
