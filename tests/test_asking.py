"""Commands without words: what they ask, offer and write."""

from __future__ import annotations

import pytest

from farm_kit import AS_OF, day, made, run, snapshot
from traybook.cli import entry

TODAY = f"{AS_OF}"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setattr(entry, "at_terminal", lambda: True)
    return made(tmp_path)


def test_enter_takes_what_is_due_first_and_the_last_value(folder):
    for words in ("sweet pea 3 up", "stock-26-2 4 up"):
        run(folder, "check", *words.split(), "--on", "2026-03-20")
    got = run(folder, "check", text="\n\n\n")
    assert got.exit_code == 0
    first = next(x for x in got.stdout.splitlines() if x.startswith("  1 "))
    code = first.split()[1]
    assert "due today" in first and f"Which sowing? [{code}]" in got.stdout
    last = {
        "sweet-pea-26-1": "3 up",
        "statice-26-1": "40 up",
        "stock-26-1": "50 up",
        "stock-26-2": "4 up",
    }
    assert day(folder, TODAY) == f"---\nchecked {code}: {last[code]}\n---\n"


def test_late_sowings_come_first(folder):
    got = run(folder, "check", text="\n1 up\n\n")
    assert "  1  sweet-pea-26-1" in got.stdout and "[none up]" in got.stdout
    assert "checked sweet-pea-26-1: 1 up" in day(folder, TODAY)


def test_a_name_or_a_number_answers_and_several_are_listed(folder):
    got = run(folder, "check", text="stock\nstock 1\n44 up\n\n")
    assert "several fit: stock-26-1, stock-26-2" in got.stdout
    assert "checked stock-26-1: 44 up" in day(folder, TODAY)
    got = run(folder, "check", text="statcie\nstatice\n45 up\n\n")
    assert "no sowing is called so: statice" in got.stdout
    assert "checked statice-26-1: 45 up" in day(folder, TODAY)


def test_back_goes_one_question_back(folder):
    run(folder, "check", text="statice\n<\nstock 1\nback\nstock 2\n7 up\n<\n8 up\n\n")
    assert day(folder, TODAY) == "---\nchecked stock-26-2: 8 up\n---\n"


def test_n_stops_and_nothing_is_written(folder):
    before = snapshot(folder)
    got = run(folder, "check", text="statice\n44 up\nn\n")
    assert got.exit_code == 1 and "nothing written" in got.stdout
    assert snapshot(folder) == before


def test_the_end_of_the_input_stops_too(folder):
    before = snapshot(folder)
    got = run(folder, "check", text="statice\n")
    assert got.exit_code == 1 and snapshot(folder) == before


def test_what_would_be_an_error_is_asked_again(folder):
    got = run(folder, "check", text="statice\n44 of 90\n44 of 72\n\n")
    assert "of-more-than-sown" in got.stderr
    assert day(folder, TODAY) == "---\nchecked statice-26-1: 44 of 72\n---\n"


def test_a_sowing_is_offered_as_the_last_of_its_crop(folder):
    got = run(folder, "sow", text="statice\n\n\n\n-\ncover 5 mm\n\n")
    assert got.exit_code == 0
    assert day(folder, TODAY) == (
        "---\nsown statice-26-2: Harbour Violet, 72-cell tray, 1 per cell, cover 5 mm\n---\n"
    )


@pytest.mark.parametrize(
    ("verb", "text", "line"),
    [
        ("move", "statice\nto cold frame\n\n", "moved statice-26-1: to cold frame"),
        ("cut", "stock\n3 bunches\n\n", "harvested stock: 3 bunches"),
        ("note", "\nfrost on the glass\n\n", "noted: frost on the glass"),
        ("note", "stock 1\nlooks thin\n\n", "noted stock-26-1: looks thin"),
        ("finish", "statice\n\n\n", "finished statice-26-1:"),
        ("weather", "min -2, max 8\n\n", "weather: min -2, max 8"),
    ],
)
def test_other_verbs_ask_what_they_need(folder, verb, text, line):
    got = run(folder, verb, text=text)
    assert got.exit_code == 0, got.output
    assert day(folder, TODAY) == f"---\n{line}\n---\n"


def test_dry_run_asks_and_writes_nothing(folder):
    before = snapshot(folder)
    got = run(folder, "check", "--dry-run", text="statice\n44 up\n")
    assert got.exit_code == 0 and "would be written" in got.stdout
    assert snapshot(folder) == before


def test_what_is_written_meanwhile_is_shown_before_anything_is_written(folder, monkeypatch):
    from traybook.cli import asking

    confirm, turns = asking._confirm, []

    def other_hand():
        if not turns:
            run(folder, "check", "statice", "60")
        turns.append(1)
        confirm()

    monkeypatch.setattr(asking, "_confirm", other_hand)
    got = run(folder, "check", text="statice\n52 up\n\n\n")
    assert "look again" in got.stdout and len(turns) == 2
    assert "checked statice-26-1: 60\nchecked statice-26-1: 52 up\n" in day(folder, TODAY)
