"""events.csv read back: the same lines make the same table again, but for file and line."""

from __future__ import annotations

import csv
import datetime as dt
import io

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from conftest import ROOT
from kit import files_of, load_texts
from oracle.farm import generate
from oracle.write import write
from traybook.cli.main import main
from traybook.exports.tables import own_tables
from traybook.files.tree import Files, read_entries
from traybook.intake.events import read_events
from traybook.intake.homes import placed
from traybook.intake.restore import file_text
from traybook.pipeline import Loaded, load_files
from traybook.rollup.farm import farm_figures
from traybook.text.source import Source

AS_OF = dt.date(2026, 11, 25)


def events(loaded: Loaded) -> str:
    return own_tables(farm_figures(loaded.kept), loaded.findings)["events.csv"]


def without(text: str, *columns: str) -> str:
    """The table as it would be without some columns."""
    rows = list(csv.DictReader(io.StringIO(text)))
    names = [n for n in rows[0] if n not in columns]
    out = io.StringIO()
    writer = csv.DictWriter(out, names, extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def again(text: str, files: Files, as_of: dt.date = AS_OF) -> str:
    """Import a table into an empty farm with the same settings, and export that."""
    farm = load_files(files, as_of).book.farm
    lines, troubles = read_events(text)
    assert troubles == []
    days = [
        Source(p, file_text(p, ls, farm, as_of)) for p, ls in placed(lines, farm, as_of).items()
    ]
    return events(load_files(Files(files.farm, files.crops, days), as_of))


def same_again(files: Files, as_of: dt.date = AS_OF) -> None:
    first = events(load_files(files, as_of))
    wanted = without(first, "file", "line")
    assert without(again(first, files, as_of), "file", "line") == wanted
    assert without(again(wanted, files, as_of), "file", "line") == wanted


def test_the_demo_farm():
    same_again(read_entries(ROOT))


@pytest.mark.parametrize("seed", range(12))
def test_farms_in_random_spellings(tmp_path, seed):
    write(generate(seed), tmp_path, seed)
    same_again(read_entries(tmp_path))


SOWN = "---\nsown x-26-1: 72 seeds\nsown y-26-2: 72 seeds\n---\n"
ODD = {
    "two people, one without initials": {
        "2026-03-14-jo.md": "checked x-26-1: 4 up\n", "2026-03-14.md": "checked y-26-2: 9 up; by mt\n"},
    "a head that signs and keeps private": {
        "2026-03-14.md": "---\nby: jo\nprivate: true\nchecked x-26-1: 4 up\nnoted: at home\n---\n"},
    "private before a block and before a line": {
        "2026-03-14.yaml": "private checked:\n  x-26-1: 4 up\nprivate noted: hush\nchecked y-26-2: 2 up\n"},
    "days in the line": {
        "2026-03-16.md": "checked x-26-1: 4 up yesterday\nchecked y-26-2: 3 up on sat\n"
                         "checked y-26-2: 5 up, on 10 Mar\nchecked x-26-1 yesterday: 3 up\n"},
    "a day to come, in the name and in the line": {
        "2027-03-14.md": "checked x-26-1: 4 up\n", "2026-03-20.md": "checked x-26-1: 6 up, on 2026-12-24\n"},
    "no day": {"notes.md": "checked x-26-1: 4 up\nnoted: when was that?\n"},
    "a day inside only": {"notes.md": "---\ndate: 2026-03-14\nchecked x-26-1: 4 up\n---\n"},
    "no real day": {"2026-02-30.md": "checked x-26-1: 4 up\n"},
    "a day that is none": {"2026-03-14.md": "checked x-26-1: 4 up, on 2026-02-30\n"},
    "blocks, lists, several subjects": {
        "2026-03-14.md": "---\nchecked:\n  x-26-1: 4 up\n  y-26-2:\n    up: 3\n    note: thin\n"
                         "hardening off: [x-26-1, y-26-2]\nchecked x-26-1, y-26-2: 5 up\n"
                         "moved:\n  - x-26-1: to frame\n---\n"},
    "a value over several lines": {
        "2026-03-14.md": "---\nnoted: |\n  first\n    second\n  third\nsown z-26-3:\n  seeds: 30\n"
                         "  in:   open tray\n---\n"},
    "tabs and blanks": {"2026-03-14.yaml": "checked:\n\tx-26-1: 4 up\n    y-26-2: 3 up\n"},
    "what looks like a formula": {
        "2026-03-14.yaml": "- checked x-26-1: 4 up\n'=1+1' is no verb\n@home: x\n+1: y\n"},
    "set aside": {
        "2026-03-14.md": "---\nchecked q-26-9: 4 up\nchecked x-26-1: 90 up\nchecked x-26-1: {up: 3\n"
                         "31 up\nchecked y-26-2: 4 of 99\n---\n"},
    "one line in two files": {
        "2026-03-14-jo.md": "harvested x-26-1: 9 stems\n", "2026-03-14.md": "harvested x-26-1: 9 stems; by jo\n",
        "2026-03-14-mt.md": "harvested x-26-1: 9 stems\n"},
    "what a merge left": {
        "2026-03-14.md": "---\n<<<<<<< ours\nchecked x-26-1: 4 up\nchecked y-26-2: 3 up\n=======\n"
                         "checked x-26-1: 5 up\nchecked y-26-2: 4 up\nnoted: hm\n>>>>>>> theirs\nnoted: after\n---\n"},
    "old line ends and a mark": {"2026-03-14.md": "---\r\nchecked x-26-1: 4 up\r\n---\r\n"},
}  # fmt: skip


@pytest.mark.parametrize("people", ["", "people: [jo, mt]\n"], ids=["nobody", "people"])
@pytest.mark.parametrize("case", ODD, ids=lambda c: c)
def test_what_is_odd_comes_back(case, people):
    texts = {f"entries/{name}": text for name, text in ODD[case].items()}
    files = files_of(
        {"entries/2026-03-01.md": SOWN, "entries/farm.yaml": f"dates: day first\n{people}"} | texts
    )
    first = events(load_files(files, AS_OF))
    wanted = without(first, "file", "line")
    assert wanted.count("\n") > 3
    assert without(again(first, files), "file", "line") == wanted


LINES = st.sampled_from(
    ["checked x-26-1: 4 up", "checked y-26-2: 3 up; by jo", "private noted: hush", "noted: day\n  over two lines",
     "checked:\n  x-26-1: 9 up\n  y-26-2: none up", "hardening off: [x-26-1, y-26-2]", "fed x-26-1: seaweed",
     "checked x-26-1: 3 up yesterday", "checked x-26-1:\n  up: 4\n  note: so", "harvested x: 3b of 10", "31 up",
     "sown z: 30 seeds", "checked x-26-1: 4 up, on sat", "finished y-26-2: =over", "lesson: 'quoted", "cut x 9 stems"]
)  # fmt: skip
NAMES = st.sampled_from(
    [
        "2026-03-14.md",
        "2026-03-14-jo.md",
        "2026-03-15.yaml",
        "2026/2026-03-15.txt",
        "2027-01-01.md",
        "notes.md",
    ]
)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(NAMES, st.lists(LINES, min_size=1, max_size=8), min_size=1, max_size=4))
def test_any_lines_come_back(days):
    texts = {
        f"entries/{n}": "---\n" * n.endswith("md") + "\n".join(lines) + "\n"
        for n, lines in days.items()
    }
    files = files_of({"entries/2026-03-01.md": SOWN, "entries/farm.yaml": "people: [jo]\n"} | texts)
    first = events(load_files(files, AS_OF))
    assert without(again(first, files), "file", "line") == without(first, "file", "line")


def run(*words: str, **more: str) -> str:
    got = CliRunner().invoke(
        main, [*words, "--as-of", "2026-11-25"], catch_exceptions=False, **more
    )
    assert got.exit_code == 0, got.output
    return got.output


def test_by_command_into_an_empty_farm_and_twice(tmp_path, farm):
    run("export", "--own", "--farm", str(farm), "--to", str(tmp_path / "out"))
    table = tmp_path / "out" / "events.csv"
    empty = tmp_path / "empty"
    empty.mkdir()
    assert "nothing is written yet" in run("import", str(table), "--farm", str(empty))
    assert list(empty.iterdir()) == []
    said = run("import", str(table), "--farm", str(empty), "--write")
    assert "15 new, 0 already there, 0 differ" in said
    run("export", "--own", "--farm", str(empty), "--to", str(tmp_path / "two"))
    assert without((tmp_path / "two" / "events.csv").read_text("utf-8"), "file", "line") == without(
        table.read_text("utf-8"), "file", "line"
    )
    before = {p: p.read_bytes() for p in empty.rglob("*.md")}
    assert "0 new, 15 already there, 0 differ" in run(
        "import", str(table), "--farm", str(empty), "--write"
    )
    assert {p: p.read_bytes() for p in empty.rglob("*.md")} == before


def test_into_a_farm_that_has_some_of_it(tmp_path, farm):
    run("export", "--own", "--farm", str(farm), "--to", str(tmp_path / "out"))
    table = tmp_path / "out" / "events.csv"
    day = farm / "entries" / "2026-03-14.md"
    old = day.read_text("utf-8")
    day.write_text(
        old.replace("60 up", "61 up").replace("checked stock-26-7: 12 up\n", ""), "utf-8"
    )
    kept = day.read_text("utf-8")
    said = run("import", str(table), "--farm", str(farm), "--write")
    assert "1 new, 13 already there, 1 differs" in said
    assert "the entries say: checked stock-26-1: 61 up" in said
    now = day.read_text("utf-8")
    assert now.replace("checked stock-26-7: 12 up\n", "") == kept
    assert "60 up" not in now


@pytest.mark.parametrize(
    "path", ["../x.md", "entries/../x.md", "/etc/x.md", "entries/.x.md", "entries/farm.yaml", "entries/x.py",
             "entries\\x.md", "entries//x.md", "C:/entries/x.md", "entries/plans/2026.yaml"]
)  # fmt: skip
def test_a_path_in_a_table_never_leads_out_of_entries(path):
    text = f'on,n,verb,subject_written,text,by,private,file,line\n2026-03-14,1,noted,,noted: x,,false,"{path}",1\n'
    lines, _ = read_events(text)
    assert list(placed(lines, load_texts({}).book.farm, AS_OF)) == ["entries/2026/2026-03-14.md"]


def test_what_is_no_day_or_no_line_is_told():
    text = (
        "on,n,verb,text\n14th,1,noted,noted: x\n2026-03-14,1,noted,\n2026-03-14,1,noted,noted: y\n"
    )
    lines, troubles = read_events(text)
    assert [k.text for k in lines] == ["noted: y"]
    assert [t.said("e.csv") for t in troubles] == [
        "e.csv:2:1: `14th` is no day; write the day as 2026-03-14",
        "e.csv:3:4: this row has no line in `text`",
    ]


def test_a_private_line_that_cannot_be_placed_keeps_its_file_private():
    text = "on,n,verb,subject_written,text,by,private\n2026-03-14,1,checked,nobody,checked x-26-1: 4 up,jo,true\n"
    lines, _ = read_events(text)
    farm = load_texts({}).book.farm
    ((path, mine),) = placed(lines, farm, AS_OF).items()
    loaded = load_texts({path: file_text(path, mine, farm, AS_OF)}, AS_OF)
    assert [e.event.private for e in loaded.book.entries] == [True]
