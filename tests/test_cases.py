"""Every finding's case file: prose, an example and the exact message, run through the real road.

TRAYBOOK_GOLDEN=write writes the messages anew.
"""

from __future__ import annotations

import ast
import datetime as dt
import os
import re
from collections import Counter
from pathlib import Path
from types import SimpleNamespace

import pytest

from conftest import ROOT
from traybook.exports.events import EVENTS, event_rows
from traybook.files import tree
from traybook.files.cases import read_case
from traybook.files.tree import Files, read_entries
from traybook.findings.catalogue import WEIGHTS
from traybook.findings.explain import explanation
from traybook.findings.printers import full
from traybook.pipeline import Loaded, load_files

AS_OF = dt.date(2026, 11, 1)
CASES = ROOT / "builder/traybook/findings/cases"
NAMES = sorted(WEIGHTS)
FENCE = re.compile(r"```(\w+)(?: ([^\n]*))?\n(.*?)```", re.DOTALL)
GIVEN = ("file", "bytes", "repeat", "unreadable")
# Doubts about a file or a setting, or about `allow` itself: no entry's `allow` can answer them.
NOT_ALLOWED = {
    "odd-characters",
    "empty-file",
    "two-dates",
    "unknown-initials",
    "unclosed-fence",
    "entry-in-prose",
    "unread-setting",
    "unread-temperature",
    "unused-allow",
}
UNKIND = ("illegal", "invalid", "wrong format", "bad ", "you must", "you failed", "mistake")
CODE_TALK = (
    "syntax",
    "parse",
    "error",
    "exception",
    "token",
    "string",
    "null",
    "regex",
    "delimiter",
    "character set",
)


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


def files(name: str, folder: Path, kinds: tuple[str, ...], monkeypatch) -> Files:
    """The case's files, written down and read back; some can't be read."""
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
    return read_entries(folder)


@pytest.mark.parametrize("name", NAMES)
def test_a_case_finds_what_it_says_and_nothing_else(name, tmp_path, monkeypatch):
    found = load_files(files(name, tmp_path, GIVEN, monkeypatch), AS_OF).findings
    assert name in {f.name for f in found}, "the case provokes its finding"
    text = "\n\n".join(full(f) for f in found)
    if os.environ.get("TRAYBOOK_GOLDEN") == "write":
        path = CASES / f"{name}.md"
        old = path.read_text("utf-8")
        new = re.sub(r"```finding\n.*?```", lambda _: f"```finding\n{text}\n```", old, flags=re.S)
        path.write_text(new, "utf-8")
    assert {f.name for f in found} == {name}
    (said,) = [body for kind, _, body in parts(name) if kind == "finding"]
    assert text == said.rstrip("\n")


@pytest.mark.parametrize("name", [n for n in NAMES if any(k == "silent" for k, _, _ in parts(n))])
def test_where_nothing_is_asked_nothing_is_asked(name, tmp_path, monkeypatch):
    given = files(name, tmp_path, ("silent",), monkeypatch)
    assert [full(f) for f in load_files(given, AS_OF).findings] == []


def test_every_finding_has_a_case_and_every_case_a_finding():
    assert {p.stem for p in CASES.glob("*.md")} == set(WEIGHTS)


def test_every_doubt_that_can_be_allowed_shows_how():
    doubts = {n for n, weight in WEIGHTS.items() if weight == "doubt"}
    showing = {
        n
        for n in NAMES
        if any(k == "silent" and re.search(rf"allow:? {n}\b", text) for k, _, text in parts(n))
    }
    assert showing == doubts - NOT_ALLOWED


@pytest.mark.parametrize("name", NAMES)
def test_the_prose_is_plain_short_and_kind(name):
    case = read_case(name)
    assert case.startswith(f"# {name}\n")
    prose = case.split("```")[0].split("\n", 1)[1].strip()
    assert "\n\n" not in prose, "one paragraph, which stands alone"
    assert 2 <= len(re.findall(r"[.!?](?:\s|$)", prose)) <= 5
    assert all(len(s.split()) <= 38 for s in re.split(r"(?<=[.!?])\s", prose))
    for word in (*UNKIND, *CODE_TALK):
        assert word not in prose.lower(), word
    assert prose.replace("`", "") in explanation(case)


@pytest.mark.parametrize("name", NAMES)
def test_a_message_is_kind(name):
    (said,) = [body for kind, _, body in parts(name) if kind == "finding"]
    words = "\n".join(x for x in said.split("\n") if re.match(r"\w+\[|   = ", x)).lower()
    words = re.sub(r"^\w+\[", "", words, flags=re.M)
    for word in (*UNKIND, *CODE_TALK):
        assert word not in words, word


@pytest.mark.parametrize("name", NAMES)
def test_a_case_in_a_sound_season_changes_no_other_line(name, tmp_path, monkeypatch, sound):
    """Dropped into a season of other crops it adds its own findings and nothing else."""
    season, rows, before = sound
    case = files(name, tmp_path, GIVEN, monkeypatch)
    alone = load_files(case, AS_OF).findings
    both = Files(case.farm or season.farm, season.crops, [*season.days, *case.days], case.findings)
    both.photos, both.away, both.temperatures = case.photos, case.away, case.temperatures
    loaded = load_files(both, AS_OF)
    mine = {s.path for s in case.days}
    assert [r for r in table(loaded) if r["file"] not in mine] == rows
    found = Counter(full(f) for f in loaded.findings)
    assert not before - found
    new = [f.name for f in loaded.findings if full(f) not in before]
    assert Counter(new) == Counter(f.name for f in alone)


def table(loaded: Loaded) -> list[dict[str, str]]:
    """events.csv but for a line's number in its day, which lines of other files share."""
    figures = SimpleNamespace(kept=loaded.kept)
    rows = [dict(zip(EVENTS, r, strict=True)) for r in event_rows(figures, loaded.findings)]
    return [{k: v for k, v in row.items() if k != "n"} for row in rows]


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """The demo's first season in a folder of its own: over 300 lines about other codes."""
    folder = tmp_path_factory.mktemp("sound")
    for path in (ROOT / "entries/2024").iterdir():
        put(folder, "file", f"entries/wrenfold/{path.name}", path.read_text("utf-8"))
    season = read_entries(folder)
    loaded = load_files(season, AS_OF)
    rows = table(loaded)
    assert len(rows) > 300
    return season, rows, Counter(full(f) for f in loaded.findings)
