"""Every finding's case file: prose, an example and the exact message, run through the real road.

TRAYBOOK_GOLDEN=write writes the messages anew.
"""

from __future__ import annotations

import ast
import datetime as dt
import os
import re
import shutil
from pathlib import Path

import pytest

from conftest import ROOT
from kit import tables
from traybook.files import tree
from traybook.files.cases import read_case
from traybook.findings.catalogue import WEIGHTS
from traybook.findings.explain import explanation
from traybook.findings.printers import full
from traybook.pipeline import load

AS_OF = dt.date(2026, 11, 1)
CASES = ROOT / "builder/traybook/findings/cases"
NAMES = sorted(WEIGHTS)
FENCE = re.compile(r"```(\w+)(?: ([^\n]*))?\n(.*?)```", re.DOTALL)


def parts(name: str) -> list[tuple[str, str, str]]:
    return FENCE.findall((CASES / f"{name}.md").read_text("utf-8"))


def put(folder: Path, kind: str, path: str, text: str) -> None:
    target = folder / path
    target.parent.mkdir(parents=True, exist_ok=True)
    if kind == "bytes":
        target.write_bytes(ast.literal_eval(text.strip()))
    elif kind == "repeat":
        times, line = text.split(" ", 1)
        target.write_text(line * int(times), encoding="utf-8")
    else:
        target.write_text(text if text.strip() else "", encoding="utf-8")


def run(name: str, folder: Path, kinds: tuple[str, ...], monkeypatch) -> list:
    (folder / "entries").mkdir(parents=True, exist_ok=True)
    closed = {path for kind, path, _ in parts(name) if kind == "unreadable" and kind in kinds}
    for kind, path, text in parts(name):
        if kind in kinds:
            put(folder, kind, path, text)
    read = tree._bytes

    def refuse(path: Path) -> bytes:
        if path.relative_to(folder).as_posix() in closed:
            raise PermissionError(13, "Permission denied", str(path))
        return read(path)

    monkeypatch.setattr(tree, "_bytes", refuse)
    return list(load(folder, AS_OF).findings)


GIVEN = ("file", "bytes", "repeat", "unreadable")


@pytest.mark.parametrize("name", NAMES)
def test_a_case_finds_what_it_says(name, tmp_path, monkeypatch):
    found = run(name, tmp_path, GIVEN, monkeypatch)
    assert found, "the case provokes its finding"
    text = "\n\n".join(full(f) for f in found if f.name == name)
    if os.environ.get("TRAYBOOK_GOLDEN") == "write":
        path = CASES / f"{name}.md"
        old = path.read_text("utf-8")
        path.write_text(
            re.sub(
                r"```finding\n.*?```", lambda _: f"```finding\n{text}\n```", old, flags=re.DOTALL
            ),
            "utf-8",
        )
    assert {f.name for f in found} - COMPANIONS.get(name, set()) == {name}
    assert text == next(body for kind, _, body in parts(name) if kind == "finding").rstrip("\n")


# What stands beside a finding by its nature.
COMPANIONS = {"merge-conflict": {"merge-marker"}}


@pytest.mark.parametrize("name", [n for n in NAMES if any(k == "silent" for k, _, _ in parts(n))])
def test_where_nothing_is_asked_nothing_is_asked(name, tmp_path, monkeypatch):
    assert run(name, tmp_path, ("silent",), monkeypatch) == []


def test_every_finding_has_a_case_and_every_case_a_finding():
    assert {p.stem for p in CASES.glob("*.md")} == set(WEIGHTS)


@pytest.mark.parametrize("name", NAMES)
def test_the_prose_is_plain_short_and_kind(name):
    case = read_case(name)
    assert case.startswith(f"# {name}\n")
    prose = case.split("```")[0].split("\n", 1)[1].strip()
    assert 2 <= len(re.findall(r"[.!?](?:\s|$)", prose)) <= 6
    for word in (
        "illegal",
        "invalid",
        "syntax",
        "parse",
        "error",
        "bad ",
        "exception",
        "token",
        "string",
    ):
        assert word not in prose.lower(), word
    assert prose.split(".")[0].replace("`", "") in explanation(case)


@pytest.mark.parametrize(
    "name", [n for n in NAMES if n not in ("unsure-date", "unread-setting", "unknown-initials")]
)
def test_a_case_in_a_sound_season_changes_no_other_line(name, tmp_path, monkeypatch, sound):
    """Dropped into a season of other crops it adds its own findings and nothing else."""
    folder, rows, before = sound
    mine = tmp_path / "farm"
    shutil.copytree(folder, mine)
    found = run(name, mine, GIVEN, monkeypatch)
    after = tables(load(mine, AS_OF))["events.csv"]
    kept = {(r["file"], r["line"], r["code"]): r for r in after}
    for row in rows:
        now = kept[row["file"], row["line"], row["code"]]
        assert {k: v for k, v in now.items() if k != "n"} == {
            k: v for k, v in row.items() if k != "n"
        }
    new = [f for f in found if full(f) not in before]
    assert {f.name for f in new} - COMPANIONS.get(name, set()) == {name}
    assert not [b for b in before if b not in {full(f) for f in found}]


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """A season of the demo in a folder of its own: over 300 lines about other codes."""
    folder = tmp_path_factory.mktemp("sound")
    shutil.copytree(ROOT / "entries/2024", folder / "entries/wrenfold")
    for setting in ("crops.yaml",):
        shutil.copy(ROOT / "entries" / setting, folder / "entries")
    loaded = load(folder, AS_OF)
    rows = tables(loaded)["events.csv"]
    assert len(rows) > 300
    return folder, rows, {full(f) for f in loaded.findings}
