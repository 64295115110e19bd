"""Every verb as a command: what it writes, where, and when it refuses."""

from __future__ import annotations

import datetime as dt

import click
import pytest

from farm_kit import AS_OF, day, loaded, made, run, snapshot
from traybook.cli.entry import SHORT, read_on, verb_called, verb_names
from traybook.cli.group import Commands
from traybook.cli.main import main
from traybook.records.verbs import VERBS

TODAY = f"{AS_OF}"


@pytest.fixture
def folder(tmp_path):
    return made(tmp_path)


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ("check sweet pea 31 up, 2 lost to mice", "checked sweet-pea-26-1: 31 up, 2 lost to mice"),
        ("check sweet-pea-26-1: 31 up", "checked sweet-pea-26-1: 31 up"),
        ("check statice 44 of 72", "checked statice-26-1: 44 of 72"),
        ("check stock 1 52 up", "checked stock-26-1: 52 up"),
        ("check stock 2 none up", "checked stock-26-2: none up"),
        ("check stock iron rose 52", "checked stock-26-1: 52"),
        ("check Iron Rose 52", "checked stock-26-1: 52"),
        ("check sta 44", "checked statice-26-1: 44"),
        ("check stock tray 1: 30 of 36", None),
        ("move statice to cold frame", "moved statice-26-1: to cold frame"),
        ("pot statice 38 into 9 cm pots", "potted on statice-26-1: 38 into 9 cm pots"),
        ("prick-out stock-26-1 48 into 72s", "pricked out stock-26-1: 48 into 72s"),
        ("plant statice 38 to bed 4 at 20 cm", "planted out statice-26-1: 38 to bed 4 at 20 cm"),
        ("harden-off statice", "hardening off statice-26-1:"),
        ("harden-off statice, stock 1", "hardening off statice-26-1, stock-26-1:"),
        ("finish stock 2", "finished stock-26-2:"),
        ("finish statice damped off", "finished statice-26-1: damped off"),
        ("note the swallows are back", "noted: the swallows are back"),
        ("note statice-26-1 looks thin", "noted statice-26-1: looks thin"),
        ("note stock 1: looks thin", "noted stock-26-1: looks thin"),
        ("lesson stock: keep it cool", "lesson stock: keep it cool"),
        ("cut stock 4 bunches of 10", "harvested stock: 4 bunches of 10"),
        ("cut mix 3 bunches", "harvested mix: 3 bunches"),
        ("cut bed 4 12 stems", "harvested bed 4: 12 stems"),
        ("sow larkspur 72-cell tray, 1 per cell", "sown larkspur-26-1: 72-cell tray, 1 per cell"),
        ("sow sweet pea Linnet Blush in 36s", "sown sweet-pea-26-2: Linnet Blush in 36s"),
        ("sow Iron Rose stock, 72 seeds", "sown stock-26-3: Iron Rose, 72 seeds"),
        ("sow stock: Iron Rose, 72 seeds", "sown stock-26-3: Iron Rose, 72 seeds"),
        ("sow orlaya White Lace 200 seeds", "sown orlaya-26-1: White Lace, 200 seeds"),
        ("sow statcie: 72 seeds", "sown statcie-26-1: 72 seeds"),
        ("sow stock-26-8 72 seeds", "sown stock-26-8: 72 seeds"),
        (
            "sow Queen Anne's lace, 50 seeds",
            "sown queen-anne-s-lace-26-1: crop Queen Anne's lace, 50 seeds",
        ),
    ],
)
def test_words_become_one_line_with_the_code(folder, words, line):
    got = run(folder, *words.split())
    if line is None:
        assert got.exit_code == 1 and "stock-26-1\n" in got.stderr and not day(folder, TODAY)
        return
    assert got.exit_code == 0, got.stderr
    assert day(folder, TODAY) == f"---\n{line}\n---\n"
    assert got.stdout.splitlines()[:2] == [line, f"  written to entries/2026/{TODAY}.md:2"]


def test_what_is_shown_is_how_the_farm_reads_it(folder):
    got = run(folder, "check", "statice", "44", "up,", "1", "lost")
    kept = loaded(folder).kept
    entry = kept.book.of("statice-26-1")[-1]
    assert entry.event.text == "checked statice-26-1: 44 up, 1 lost"
    assert f"  read as: {kept.echo[entry.event.key, 'statice-26-1']}\n" in got.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("check stock 50", ["stock-26-1", "stock-26-2"]),
        ("check statcie 50", ["statice"]),
        ("check tulip 50", ["no sowing or crop"]),
        ("check foxglove 3", ["no sowing or crop that is known"]),
        ("check statice", ["say what you saw"]),
        ("check statice 44 of 90", ["of-more-than-sown", "nothing written"]),
        ("sow stock-26-1 20 seeds", ["already", "stock-26-3"]),
        ("sow statcie 72 seeds", ["statice", "colon"]),
        ("finish sweet pea 7", ["no sowing of sweet pea"]),
        ("note {broken", ["broken-braces"]),
    ],
)
def test_refused_with_nothing_written(folder, words, said):
    before = snapshot(folder)
    got = run(folder, *words.split())
    assert got.exit_code == 1
    assert all(x in got.stderr for x in said), got.stderr
    assert snapshot(folder) == before


def test_a_line_before_its_sowing_is_refused(folder):
    got = run(folder, "check", "statice-26-1", "4", "up", "--on", "2026-02-01")
    assert got.exit_code == 1 and "before-sowing" in got.stderr
    assert not day(folder, "2026-02-01")


def test_a_doubt_is_shown_and_written(folder):
    got = run(folder, "check", "statice", "30", "up")
    assert got.exit_code == 0 and "doubt[unexplained-fall]" in got.stdout
    assert "checked statice-26-1: 30 up" in day(folder, TODAY)


def test_a_doubt_that_comes_up_elsewhere_is_shown(folder):
    run(folder, "check", "statice", "44")
    got = run(folder, "check", "statice", "50", "--on", "2026-04-01")
    assert got.exit_code == 0 and f"{TODAY}.md:2" in got.stdout and "unexplained-fall" in got.stdout


def test_an_older_sowing_is_found_by_its_code_only(folder):
    assert run(folder, "check", "foxglove", "3").exit_code == 1
    got = run(folder, "check", "foxglove-24-1", "3", "up")
    assert got.exit_code == 0 and "checked foxglove-24-1: 3 up" in day(folder, TODAY)


def test_the_same_line_again_is_written_and_said(folder):
    assert "stood there already" not in run(folder, "sell", "stock-26-1", "10").stdout
    assert "stood there already" in run(folder, "sell", "stock-26-1", "10").stdout
    assert day(folder, TODAY).count("sold stock-26-1: 10") == 2


def test_dry_run_writes_nothing(folder):
    before = snapshot(folder)
    got = run(folder, "check", "statice", "44", "--dry-run")
    assert got.exit_code == 0 and f"would be written to entries/2026/{TODAY}.md:2" in got.stdout
    assert snapshot(folder) == before


def test_note_and_by_go_onto_the_line(folder):
    run(folder, "check", "statice", "44", "--note", "patchy: cold end", "--by", "JO")
    assert "checked statice-26-1: 44; patchy: cold end; by jo" in day(folder, TODAY)
    entry = loaded(folder).book.of("statice-26-1")[-1]
    assert (entry.event.by, entry.event.note) == ("jo", "patchy: cold end")


def test_a_persons_own_file_is_used_and_needs_no_initials_on_the_line(folder):
    run(folder, "check", "statice", "44", "--by", "mw", "--on", "yesterday")
    assert day(folder, "2026-04-09", "-mw") == "---\nnoted: frost\nchecked statice-26-1: 44\n---\n"
    run(folder, "check", "stock-26-1", "51", "--by", "jo", "--on", "yesterday")
    assert day(folder, "2026-04-09") == "---\nchecked stock-26-1: 51; by jo\n---\n"


def test_somebody_unknown_is_refused(folder):
    got = run(folder, "check", "statice", "44", "--by", "xy")
    assert got.exit_code == 2 and "jo, mw" in got.stderr


def test_where_the_farm_writes_yaml_a_new_day_is_yaml(tmp_path):
    days = {f"entries/2026/2026-04-0{n}.yaml": "noted: rain\n" for n in range(1, 6)}
    folder = made(tmp_path, **days)
    (folder / "entries/2026/2026-04-09-mw.md").unlink()
    run(folder, "check", "statice", "44")
    assert (folder / f"entries/2026/{TODAY}.yaml").read_text() == "checked statice-26-1: 44\n"


def test_what_stands_in_the_file_stays(folder):
    old = "---\r\nnoted: one\r\n---\r\n# Prose\r\nwithout an end"
    (folder / f"entries/2026/{TODAY}.md").write_bytes(old.encode())
    run(folder, "note", "two")
    assert (
        day(folder, TODAY) == "---\r\nnoted: one\r\nnoted: two\r\n---\r\n# Prose\r\nwithout an end"
    )


def test_two_sowings_of_one_day_get_two_codes(folder):
    run(folder, "sow", "stock", "20", "seeds")
    run(folder, "sow", "stock", "20", "seeds")
    assert "sown stock-26-3: 20 seeds\nsown stock-26-4: 20 seeds\n" in day(folder, TODAY)


@pytest.mark.parametrize(
    ("text", "day_first", "on"),
    [
        ("yesterday", None, dt.date(2026, 4, 9)),
        ("-2", None, dt.date(2026, 4, 8)),
        ("3/14", False, dt.date(2026, 3, 14)),
        ("14/3", True, dt.date(2026, 3, 14)),
        ("2/3", True, dt.date(2026, 3, 2)),
        ("2/3", False, dt.date(2026, 2, 3)),
        ("14 Mar", None, dt.date(2026, 3, 14)),
        ("sat", None, dt.date(2026, 4, 4)),
        ("2026-03-14", None, dt.date(2026, 3, 14)),
        ("on 2026-03-14", None, dt.date(2026, 3, 14)),
    ],
)
def test_days_of_on(text, day_first, on):
    assert read_on(text, AS_OF, day_first) == on


@pytest.mark.parametrize("text", ["2/3", "2026-02-30", "soon", "2026-04-11", "-x"])
def test_days_that_cannot_be_used_are_wrong_use(text, capsys):
    with pytest.raises(SystemExit) as end:
        read_on(text, AS_OF, None)
    assert end.value.code == 2 and capsys.readouterr().err.startswith("traybook: ")


def test_on_minus_two_is_taken_as_a_day(folder):
    run(folder, "check", "statice", "44", "--on", "-2")
    assert day(folder, "2026-04-08")


def test_a_folder_without_entries_is_one_sentence(tmp_path):
    got = run(tmp_path, "check", "statice", "44")
    assert got.exit_code == 2 and got.stderr.count("\n") == 1


def test_every_verb_is_a_command_by_all_its_spellings():
    names = verb_names()
    assert {v.name for v in names.values()} == {v.name for v in VERBS}
    for spelling, verb in [
        ("pot-on", "potted on"),
        ("potted-on", "potted on"),
        ("plant-out", "planted out"),
        ("prick-out", "pricked out"),
        ("pricked-out", "pricked out"),
        ("harden-off", "hardening off"),
        ("checked", "checked"),
        ("harvest", "harvested"),
        ("bump", "potted on"),
    ]:
        called = verb_called(spelling)
        assert called and called[1].name == verb, spelling


def test_commands_are_listed_once_and_no_verb_hides_one():
    assert isinstance(main, Commands)
    listed = main.list_commands(click.Context(main))
    assert len(listed) == len(set(listed))
    assert set(SHORT.values()) <= set(listed)
    for name in listed:
        command = main.get_command(click.Context(main), name)
        assert command is not None and command.name == name


def test_a_command_nearly_right_is_offered(folder):
    got = run(folder, "chekc", "statice", "44")
    assert got.exit_code == 2 and "`check`" in got.stderr


def test_without_words_and_terminal_it_says_what_to_do(folder):
    got = run(folder, "check")
    assert got.exit_code == 2 and "--help" in got.stderr
