"""`traybook proof --mend`: what it puts right, and that all else stays."""

from __future__ import annotations

import datetime as dt
import re
import shutil

import pytest

from conftest import ROOT
from farm_kit import loaded, made, run, snapshot
from kit import tables
from traybook.cli import mending

SOWN = "---\nsown stock-26-1: Iron Rose, 72 seeds, open tray\n---\n"


def farm(tmp_path, **days: str):
    """Only these day files, named by month and day: d0314 or d0314_jo."""
    texts = {"entries/farm.yaml": "people: [jo, mw]\n"}
    for name, text in days.items():
        date, _, who = name[1:].partition("_")
        texts[f"entries/2026-{date[:2]}-{date[2:]}{'-' + who if who else ''}.md"] = text
    for path, text in texts.items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes(text.encode())
    return tmp_path


def text(folder, name):
    return (folder / f"entries/2026-{name}.md").read_bytes().decode()


def mend(folder, *options):
    return run(folder, "proof", "--mend", *options)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("checked stock: 31 up\n", "checked stock-26-1: 31 up\n"),
        ("chk stock 31 up\r\n", "chk stock-26-1: 31 up\r\n"),
        ("checked:\n  stock: 31 up # twice\n", "checked:\n  stock-26-1: 31 up # twice\n"),
        ("hardening off: [stock]\n", "hardening off: [stock-26-1]\n"),
        ("checked stock: {up: 31, lost: 2}\n", "checked stock-26-1: {up: 31, lost: 2}\n"),
        ("---\nchekced stock: 31 up\n---\n", "---\nchecked stock-26-1: 31 up\n---\n"),
        ("---\nchecked stock: 31 up\n\nRain.\n", "---\nchecked stock-26-1: 31 up\n---\n\nRain.\n"),
        ("—-\nnoted: a\n–-\nRain.\n", "---\nnoted: a\n---\nRain.\n"),
        ("sown aster: 20 seeds\n", "sown aster-26-1: 20 seeds\n"),
        ("sown aster Blue Mere: 20 seeds\n", "sown aster-26-1: Blue Mere, 20 seeds\n"),
        ("sown Bishop's flower: 20 seeds\n",
         "sown bishop-s-flower-26-1: crop Bishop's flower, 20 seeds\n"),
        ("sown:\n  crop: aster\n  seeds: 20\n", "sown aster-26-1:\n  crop: aster\n  seeds: 20\n"),
        ("private checked stock: 31 up\n", "private checked stock-26-1: 31 up\n"),
    ],
)  # fmt: skip
def test_what_is_mended(tmp_path, old, new):
    folder = farm(tmp_path, d0301=SOWN, d0314=old)
    got = mend(folder, "--yes")
    assert text(folder, "03-14") == new, got.output
    assert text(folder, "03-01") == SOWN


@pytest.mark.parametrize(
    "old",
    [
        "checked stock-26-1: 31 up\n",
        "noted: nothing here\n",
        "lost stock: 3\n",
        "fed stock: seaweed\n",
        "checked aster: 3 up\n",
        "checked stock-26-7: 3 up\n",
    ],
)
def test_what_is_left_alone(tmp_path, old):
    folder = farm(tmp_path, d0301=SOWN, d0314=old)
    got = mend(folder, "--yes")
    assert text(folder, "03-14") == old
    assert "nothing that can be mended" in got.stdout


def test_a_line_that_fits_several_is_left(tmp_path):
    two = SOWN.replace("---\n", "---\nsown stock-26-2: 40 seeds\n", 1)
    folder = farm(tmp_path, d0301=two, d0314="checked stock: 31 up\n")
    mend(folder, "--yes")
    assert text(folder, "03-14") == "checked stock: 31 up\n"


def test_a_line_written_by_two_people_is_taken_out_of_the_second_file(tmp_path):
    folder = farm(
        tmp_path,
        d0301=SOWN,
        d0310="checked stock-26-1: 60 up\n",
        d0314_jo="sold stock-26-1: 10\n",
        d0314_mw="noted: a\r\nsold stock-26-1: 10\r\nnoted: b",
    )
    got = mend(folder, "--yes")
    assert "sold stock-26-1: 10" in got.stdout
    assert text(folder, "03-14-jo") == "sold stock-26-1: 10\n"
    assert text(folder, "03-14-mw") == "noted: a\r\nnoted: b"
    assert not loaded(folder).findings


def test_two_sowings_of_one_code_get_two_and_their_lines_follow(tmp_path):
    folder = farm(
        tmp_path,
        d0301=SOWN,
        d0302_jo="sown stock-26-1: 30 seeds\n",
        d0320_jo="checked stock-26-1: 9 up\n",
        d0320_mw="checked stock-26-1: 50 up\n",
    )
    before = tables(loaded(folder))["sowings.csv"]
    mend(folder, "--yes")
    assert text(folder, "03-02-jo") == "sown stock-26-1-jo: 30 seeds\n"
    assert text(folder, "03-20-jo") == "checked stock-26-1-jo: 9 up\n"
    assert text(folder, "03-20-mw") == "checked stock-26-1: 50 up\n"
    assert tables(loaded(folder))["sowings.csv"] == before


def test_it_shows_first_and_asks(tmp_path, monkeypatch):
    folder = farm(tmp_path, d0301=SOWN, d0314="checked stock: 31 up\n")
    before = snapshot(folder)
    got = mend(folder)
    assert got.exit_code == 1 and "--yes" in got.stderr
    assert "    1 - checked stock: 31 up\n      + checked stock-26-1: 31 up\n" in got.stdout
    assert snapshot(folder) == before
    monkeypatch.setattr(mending, "at_terminal", lambda: True)
    got = run(folder, "proof", "--mend", text="n\n")
    assert got.exit_code == 1 and snapshot(folder) == before
    got = run(folder, "proof", "--mend", text="\n")
    assert got.exit_code == 0 and text(folder, "03-14") == "checked stock-26-1: 31 up\n"


def test_letters_of_old_editors_stay_byte_for_byte(tmp_path):
    folder = farm(tmp_path, d0301=SOWN)
    path = folder / "entries/2026-03-14.md"
    path.write_bytes(b"noted: caf\xe9\nchecked stock: 31 up\n")
    mend(folder, "--yes")
    assert path.read_bytes() == b"noted: caf\xe9\nchecked stock-26-1: 31 up\n"


def test_mending_twice_changes_nothing_more(tmp_path):
    folder = made(tmp_path)
    (folder / "entries/2026/2026-04-01.md").write_text(
        "chekced statice 44 up\nsown aster: 9 seeds\n"
    )
    mend(folder, "--yes")
    before = snapshot(folder)
    assert "nothing that can be mended" in mend(folder, "--yes").stdout
    assert snapshot(folder) == before


def test_the_demos_figures_are_the_same_with_codes_put_in(tmp_path):
    shutil.copytree(ROOT / "entries", tmp_path / "entries")
    as_of = dt.date(2026, 11, 25)
    before = tables(loaded(tmp_path, as_of))
    got = run(tmp_path, "proof", "--mend", "--yes", as_of=as_of)
    assert " mended" in got.stdout
    after = tables(loaded(tmp_path, as_of))
    for name, rows in before.items():
        assert [told(r) for r in after[name]] == [told(r) for r in rows], name
    changed = [r for r, s in zip(before["events.csv"], after["events.csv"], strict=True) if r != s]
    assert len(changed) > 50
    assert all(r["code"] for r in changed)


def told(row):
    """A row but for the words as typed."""
    kept = {k: v for k, v in row.items() if k not in ("text", "subject_written")}
    return {k: re.sub(r" \(code \S+, not yet written\)", "", v) for k, v in kept.items()}
