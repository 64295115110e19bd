"""`traybook take`: a text from a phone filed into its days."""

from __future__ import annotations

import datetime as dt

import pytest

from farm_kit import AS_OF, day, loaded, made, run, snapshot
from traybook.cli import take as take_module
from traybook.intake.message import items
from traybook.records.settings import Farm

TODAY = f"{AS_OF}"
FARM = Farm(day_first=True, people=("jo", "mw"))


@pytest.fixture
def folder(tmp_path):
    return made(tmp_path)


def take(folder, text, *options):
    return run(folder, "take", "-", *options, text=text)


def read(text, farm=FARM):
    return [(f"{i.on:%m-%d}", i.text, i.by) for i in items(text, farm, AS_OF)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("checked a: 1", [("04-10", "checked a: 1", "")]),
        ("2026-03-14\nchecked a: 1", [("03-14", "checked a: 1", "")]),
        ("14 Mar\n- checked a: 1\n* checked b: 2", [("03-14", "checked a: 1", ""), ("03-14", "checked b: 2", "")]),
        ("## Saturday\nchecked a: 1", [("04-04", "checked a: 1", "")]),
        ("Sat 14 March:\nchecked a: 1\nyesterday\nchecked b: 2",
         [("03-14", "checked a: 1", ""), ("04-09", "checked b: 2", "")]),
        ("14/3 checked a: 1\nchecked b: 2", [("03-14", "checked a: 1", ""), ("04-10", "checked b: 2", "")]),
        ("yesterday: checked a: 1", [("04-09", "checked a: 1", "")]),
        ("[14/03/2026, 09:12] Jo: checked a: 1\n[15/03/2026, 9:12:33] Sam Smith: checked b: 2",
         [("03-14", "checked a: 1", "jo"), ("03-15", "checked b: 2", "")]),
        ("14/03/2026, 09:12 - mw: checked a: 1\nchecked b: 2",
         [("03-14", "checked a: 1", "mw"), ("03-14", "checked b: 2", "mw")]),
        ("\u200e[14.03.26, 09:12] jo: checked a: 1", [("03-14", "checked a: 1", "jo")]),
        ("---\ndate: 2026-03-14\nby: mw\nchecked:\n  a: 1\n  b: 2\n---\nRain.",
         [("03-14", "checked a: 1", "mw"), ("03-14", "checked b: 2", "mw"), ("03-14", "Rain.", "mw")]),
        ("private: true\nchecked a: 1", [("04-10", "private checked a: 1", "")]),
        ("sown x:\n  seeds: 72\n  in: open tray", [("04-10", "sown x:\n  seeds: 72\n  in: open tray", "")]),
        ("checked a: 1\r\n\r\nchecked b: 2\r", [("04-10", "checked a: 1", ""), ("04-10", "checked b: 2", "")]),
    ],
)  # fmt: skip
def test_every_line_has_its_day(text, expected):
    assert read(text) == expected


def test_a_day_still_to_come_is_no_heading():
    assert read("2026-05-01\nchecked a: 1")[-1] == ("04-10", "checked a: 1", "")


MESSAGE = """[08/04/2026, 09:12] jo: checked statice: 44 up
[08/04/2026, 09:13] jo: Rain all day, nothing moving
[09/04/2026, 09:12] Sam: moved stock 1: to cold frame
2026-04-06
sown stock Grey Heron: 72 seeds, 72-cell tray
checked stock-26-2: none up on 4 Apr
finished marigold: all eaten
"""


def test_it_shows_and_writes_nothing_when_it_cannot_ask(folder):
    before = snapshot(folder)
    got = take(folder, MESSAGE)
    assert got.exit_code == 1 and "--yes" in got.stderr
    assert snapshot(folder) == before
    for shown in (
        "Wednesday 2026-04-08",
        "checked statice-26-1: 44 up",
        "sown stock-26-3: Grey Heron, 72 seeds, 72-cell tray",
        "Rain all day, nothing moving",
        "error[unknown-subject]",
    ):
        assert shown in got.stdout


def test_yes_files_the_lines_into_their_days_with_codes(folder):
    got = take(folder, MESSAGE, "--yes")
    assert got.exit_code == 0 and "4 entries written" in got.stdout
    assert day(folder, "2026-04-08") == "---\nchecked statice-26-1: 44 up; by jo\n---\n"
    assert day(folder, "2026-04-09") == "---\nmoved stock-26-1: to cold frame\n---\n"
    assert day(folder, "2026-04-06") == (
        "---\nsown stock-26-3: Grey Heron, 72 seeds, 72-cell tray\n---\n"
    )
    assert day(folder, "2026-04-04") == "---\nchecked stock-26-2: none up\n---\n"
    assert "marigold" not in "".join(str(x) for x in snapshot(folder).values())


def test_taking_the_same_text_twice_adds_nothing(folder):
    take(folder, MESSAGE, "--yes")
    before = snapshot(folder)
    got = take(folder, MESSAGE, "--yes")
    assert snapshot(folder) == before
    assert "already there" in got.stdout and "sown stock Grey Heron" in got.stdout
    whole = MESSAGE.replace("finished marigold: all eaten\n", "")
    assert take(folder, whole, "--yes").exit_code == 0
    assert snapshot(folder) == before


def test_what_stands_there_already_is_told_line_by_line(folder):
    take(folder, "checked statice: 44 up", "--yes")
    got = take(folder, "checked statice-26-1: 44 up\nchecked stock 1: 51 up", "--yes")
    assert "1 entry written" in got.stdout
    assert day(folder, TODAY).count("\n") == 4


def test_two_like_lines_in_one_text_are_both_taken_and_once(folder):
    text = "sown aster: 20 seeds, open tray\nsown aster: 20 seeds, open tray\n"
    take(folder, text, "--yes")
    take(folder, text, "--yes")
    codes = [c for c in loaded(folder).kept.accounts if c.startswith("aster")]
    assert codes == ["aster-26-1", "aster-26-2"]


def test_a_sowing_and_its_first_check_come_together(folder):
    take(folder, "sown aster: 20 seeds, open tray\nchecked aster: none up\n", "--yes")
    assert day(folder, TODAY) == (
        "---\nsown aster-26-1: 20 seeds, open tray\nchecked aster-26-1: none up\n---\n"
    )


def test_lines_of_a_refused_sowing_are_listed_not_written(folder):
    got = take(folder, "sown statice-26-9: {in: open\nchecked statice-26-9: 4 up\n", "--yes")
    assert got.exit_code == 1 and got.stdout.count("not written,") == 2
    assert not day(folder, TODAY)


def test_a_line_that_fits_several_is_not_written(folder):
    got = take(folder, "checked stock: 40 up", "--yes")
    assert got.exit_code == 1 and "`stock-26-1` or `stock-26-2`" in got.stdout
    assert not day(folder, TODAY)


def test_prose_becomes_notes_only_when_asked(folder):
    take(folder, "The first swallow: at last\nchecked statice: 44", "--yes")
    assert "swallow" not in day(folder, TODAY)
    take(folder, "The first swallow: at last\nchecked statice: 44", "--yes", "--notes")
    assert day(folder, TODAY) == (
        "---\nchecked statice-26-1: 44\nnoted: The first swallow: at last\n---\n"
    )


def test_a_doing_is_an_entry_and_prose_is_not(folder):
    take(folder, "fed stock 1: seaweed\nThe stock smells lovely\n", "--yes")
    assert day(folder, TODAY) == "---\nfed stock 1: seaweed\n---\n"


def test_a_file_is_taken_and_asked_about(folder, monkeypatch):
    monkeypatch.setattr(take_module, "at_terminal", lambda: True)
    file = folder / "message.txt"
    file.write_bytes("checked statice: 44\n".encode("utf-16"))
    got = run(folder, "take", str(file), text="n\n")
    assert got.exit_code == 1 and not day(folder, TODAY)
    got = run(folder, "take", str(file), text="\n")
    assert got.exit_code == 0 and "Write 1 entry?" in got.stdout
    assert "checked statice-26-1: 44" in day(folder, TODAY)


@pytest.mark.parametrize("data", [None, b"\x00\x01\x02" * 90])
def test_a_file_that_cannot_be_taken_is_one_sentence(folder, data):
    file = folder / "message.bin"
    if data:
        file.write_bytes(data)
    got = run(folder, "take", str(file))
    assert got.exit_code == 2 and got.stderr.count("\n") == 1


def test_an_empty_text_has_nothing_to_write(folder):
    got = take(folder, "\n\n", "--yes")
    assert got.exit_code == 1 and "nothing to write" in got.stdout


def test_old_days_are_taken_as_seen_from_then(folder):
    take(folder, "2024-03-20\nchecked foxglove: 4 up", "--yes")
    assert day(folder, "2024-03-20") == "---\nchecked foxglove-24-1: 4 up\n---\n"


def test_a_day_that_could_be_either_way_round_is_said(tmp_path):
    farm = made(tmp_path, **{"entries/farm.yaml": "people: [jo]\n"})
    got = take(farm, "2/3\nchecked statice: none up")
    assert "`2/3` is read as 2026-03-02" in got.stdout
    assert items("2/3\nchecked a: 1", Farm(), AS_OF)[0].on == dt.date(2026, 3, 2)
