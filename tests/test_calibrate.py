"""The calibration can fail, and the manual holds what it wrote."""

from __future__ import annotations

import numpy as np

import calibrate
from pages import MANUAL, tables

FEW = 0.12


def test_small_farms_hold_and_without_the_spread_they_do_not():
    rng = np.random.default_rng(1)
    sound = calibrate.farms(rng, 2)
    blind = calibrate.farms(np.random.default_rng(1), 2, ignore=True)
    for name in ("kind", "difference"):
        assert sound[name].average(".1") > 0.9 > 0.75 > blind[name].average(".1")
        assert blind[name].average("0") > 0.9, "where sowings are alike nothing is lost"
    missed = [words for words, met in calibrate.judged(blind) if not met]
    assert any(words.startswith("kind, spread .1") for words in missed)


def test_what_is_known_beforehand_is_told_clearly():
    seen = calibrate.power(np.random.default_rng(2), 200)
    assert seen[6][3] > 0.9 > seen[1][0], "80 against 40 with six trays; 80 against 70 with one"
    assert seen[4][4] < 0.12, "no difference is seldom called clear"


def test_the_manual_holds_its_tables():
    results, seen = calibrate.run(scale=0.01)
    text = MANUAL.read_text(encoding="utf-8")
    for name, body in tables(results, seen).items():
        written = text.split(f"<!-- {name} -->")[1].split(f"<!-- /{name} -->")[0].strip()
        assert written.splitlines()[0] == body.splitlines()[0], "the same columns"
        assert [r.split("|")[1] for r in written.splitlines()] == [
            r.split("|")[1] for r in body.splitlines()
        ], "the same rows"
        assert all("|  |" not in r for r in written.splitlines()), "no cell is empty"
