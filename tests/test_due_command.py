"""`traybook due`: what it prints, in which order, and how wide."""

from __future__ import annotations

import datetime as dt
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import ROOT, make
from farm_kit import made, run
from oracle.extras import enriched
from oracle.write import write
from traybook.advice.due import DAYS, TO_DO, Due, coming
from traybook.advice.learnt import Learnt
from traybook.cli.due import _text
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures

ON = dt.date(2026, 4, 1)
TEXTS = {
    "entries/crops.yaml": "stock:\n  days to sprout: 7-14\n",
    "entries/2026-03-01.md": "---\nreceived LAR-26: larkspur Mist Tower, 500 seeds\n"
    "sown stock-26-1: Iron Rose, 72 seeds, shelf A\nsown zinnia-26-1: 50 seeds\n"
    "private sown stock-26-2: 40 seeds\n---\n",
    "entries/2026-03-20.md": "---\nchilled LAR-26: 200 seeds, moist, in the fridge, 2 weeks\n---\n",
    "entries/2026-03-28.md": "---\nchecked zinnia-26-1: 40 up\nhardening off zinnia-26-1: out\n---\n",
    "entries/2026-03-30.md": "---\nchecked stock-26-1: none up\nchecked stock-26-2: 20 up\n---\n",
}


@pytest.fixture
def folder(tmp_path):
    return make(tmp_path, TEXTS)


def test_what_it_prints_by_hand(folder):
    got = run(folder, "due", as_of=ON)
    assert got.exit_code == 0
    # by hand, as in test_day_one.py: 27 days after 1 March it is given up; three days after the last
    # look; two weeks from 20 March; ten days of hardening off from 28 March
    assert (
        got.stdout
        == """\
Late on Wednesday 1 Apr 2026
  stock-26-1: give up?
    since 28 Mar 2026; nothing came in twice the usual time;
      keep it or finish it
    at: shelf A

Thursday 2 Apr 2026
  stock-26-1: look at it
    three days after the last look
    at: shelf A
  stock-26-2: look at it
    three days after the last look

Friday 3 Apr 2026
  larkspur LAR-26: take it out
    cold since 20 Mar, for 14 days
    at: fridge

Tuesday 7 Apr 2026
  zinnia-26-1: ready to plant out
    ten days of hardening off

5 things due up to 14 Apr 2026, 1 late.
"""
    )


def test_days_bounds_how_far_it_looks(folder):
    one = run(folder, "due", "--days", "1", as_of=ON).stdout
    assert one.splitlines()[-1] == "1 thing due up to 1 Apr 2026, 1 late."
    two = run(folder, "due", "--days", "2", as_of=ON).stdout
    assert "2 Apr" in two and "3 Apr" not in two
    for wrong in ("0", "-1", "x"):
        assert run(folder, "due", "--days", wrong).exit_code == 2


def test_json_says_the_same(folder):
    rows = json.loads(run(folder, "due", "--as", "json", as_of=ON).stdout)
    assert len(rows) == 5
    assert rows[0] == {
        "on": "2026-04-01", "kind": "give up", "what": "Give up?", "code": "stock-26-1", "seed": "",
        "why": "nothing came in twice the usual time; keep it or finish it", "where": "shelf A",
        "since": "2026-03-28",
    }  # fmt: skip
    assert rows[3]["seed"] == "larkspur LAR-26" and rows[3]["code"] == ""
    assert [r["on"] for r in rows] == sorted(r["on"] for r in rows)
    assert (
        json.loads(run(make(folder / "new", {"entries/x.txt": ""}), "due", "--as", "json").stdout)
        == []
    )


def test_the_folder_may_be_named_without_a_word_before_it(folder, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    assert (
        run(elsewhere, "due", str(folder), as_of=ON).stdout == run(folder, "due", as_of=ON).stdout
    )
    got = run(elsewhere, "due", as_of=ON)
    assert got.exit_code == 2 and got.stderr.count("\n") == 1


def test_an_empty_farm_and_a_quiet_one_are_told_kindly(tmp_path):
    empty = make(tmp_path / "empty", {"entries/farm.yaml": "name: Mill\n"})
    got = run(empty, "due", as_of=ON)
    assert got.exit_code == 0
    assert got.stdout == (
        "Nothing has been sown here yet, so nothing is due.\n`traybook sow` writes down your first sowing.\n"
    )
    over = TEXTS["entries/2026-03-01.md"].split("\n")[2]
    quiet = make(
        tmp_path / "quiet", {"entries/2026-03-01.md": f"{over}\nfinished stock-26-1: mice\n"}
    )
    got = run(quiet, "due", as_of=ON)
    assert (got.exit_code, got.stdout) == (0, "Nothing is due from 1 Apr 2026 to 14 Apr 2026.\n")
    assert run(quiet, "due", "--days", "1", as_of=ON).stdout == "Nothing is due on 1 Apr 2026.\n"


def test_a_broken_line_does_not_stop_it(tmp_path):
    folder = made(tmp_path, **{"entries/2026/2026-04-01.md": "checked statice-26-1: {up: 3\n"})
    got = run(folder, "due")
    assert got.exit_code == 0 and "sweet-pea-26-1: late: look at it" in got.stdout


WORDS = st.text(st.characters(exclude_categories=("C", "Z"), include_characters=" -"), max_size=90)
DUES = st.builds(
    Due, on=st.dates(ON, ON + dt.timedelta(days=13)), kind=st.sampled_from(sorted(TO_DO)), code=WORDS,
    why=WORDS, since=st.none() | st.dates(dt.date(2020, 1, 1), ON), seed=WORDS, where=WORDS,
)  # fmt: skip


@given(st.lists(DUES, max_size=8))
def test_no_line_is_wider_than_a_phone(found):
    printed = "\n".join(_text(tuple(sorted(found, key=lambda d: d.on)), ON, DAYS)).splitlines()
    assert printed and max(map(len, printed)) <= 60


@pytest.mark.parametrize("as_of", ["2024-05-01", "2025-03-20", "2026-04-01", "2026-11-25"])
def test_everything_due_on_the_demo_farm_is_printed_once_late_first(as_of):
    got = run(ROOT, "due", as_of=dt.date.fromisoformat(as_of))
    found = coming(Learnt(farm_figures(load(ROOT, dt.date.fromisoformat(as_of)).kept)))
    heads = [x.strip() for x in got.stdout.splitlines() if x.startswith("  ") and x[2] != " "]
    assert sorted(heads) == sorted(f"{d.about}: {d.what[0].lower()}{d.what[1:]}" for d in found)
    late = sum(1 for d in found if d.since)
    first = got.stdout.split("\n\n")[0].splitlines()
    assert sum(1 for x in first if x.startswith("    since")) == late > 0


@pytest.mark.parametrize("seed", range(4))
def test_fewer_days_show_the_beginning_of_more(tmp_path, seed):
    write(enriched(seed), tmp_path, seed)
    learnt = Learnt(farm_figures(load(tmp_path, dt.date(2025, 4, 10)).kept))
    whole = coming(learnt, None)
    assert whole
    for n in (1, 14, 60):
        end = learnt.as_of + dt.timedelta(days=n)
        assert coming(learnt, n) == tuple(d for d in whole if d.on < end)
