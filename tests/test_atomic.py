"""Writing into a grower's file: two at once, killed, or changed meanwhile."""

from __future__ import annotations

import os
import random
import re
import signal
import stat
import subprocess
import sys
import time

import pytest

from traybook.files import atomic
from traybook.files.tree import FolderError, read_entries

WRITER = """
import sys
from pathlib import Path
from traybook.files import atomic
from traybook.records.reader import begins
from traybook.text.edits import add_lines

folder, who, many = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
print("ready", flush=True)
for n in range(many):
    def make(old, n=n):
        return add_lines(old, [f"noted: {who} {n}"], True, begins).data
    with atomic.locked(folder):
        atomic.rewrite(folder / "entries" / "2026-03-14.md", make)
"""


def start(folder, who, many):
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(folder), who, str(many)], stdout=subprocess.PIPE
    )


def farm(tmp_path):
    (tmp_path / "entries").mkdir()
    return tmp_path, tmp_path / "entries" / "2026-03-14.md"


def test_two_programs_writing_two_hundred_lines_each_lose_nothing(tmp_path):
    folder, day = farm(tmp_path)
    both = [start(folder, who, 200) for who in ("jo", "mw")]
    for one in both:
        one.communicate(timeout=120)
        assert one.returncode == 0
    lines = day.read_text().splitlines()
    assert lines[0] == lines[-1] == "---"
    for who in ("jo", "mw"):
        assert [x for x in lines if f" {who} " in x] == [f"noted: {who} {n}" for n in range(200)]
    assert len(lines) == 402
    assert [p.name for p in (folder / "entries").iterdir()] == [day.name]


def test_killed_at_any_moment_it_leaves_the_old_file_or_the_new_one(tmp_path):
    folder, day = farm(tmp_path)
    draw = random.Random(20260314)
    written = 0
    for turn in range(12):
        one = start(folder, f"run{turn}", 100_000)
        assert one.stdout.readline() == b"ready\n"
        time.sleep(draw.uniform(0.005, 0.12))
        one.send_signal(signal.SIGKILL)
        one.communicate()
        if not day.exists():
            continue
        lines = day.read_text().splitlines()
        assert lines[0] == lines[-1] == "---"
        assert all(re.fullmatch(r"noted: run\d+ \d+", x) for x in lines[1:-1])
        mine = [x for x in lines if f" run{turn} " in x]
        assert mine == [f"noted: run{turn} {n}" for n in range(len(mine))]
        assert len(lines) >= written
        written = len(lines)
    assert written > 20
    # The lock went with the program that held it, and what it left behind is never read.
    with atomic.locked(folder):
        assert [s.path for s in read_entries(folder).days] == ["entries/2026-03-14.md"]


def test_a_file_that_changed_meanwhile_is_left_alone(tmp_path):
    _, day = farm(tmp_path)
    day.write_bytes(b"mine")
    with pytest.raises(atomic.ChangedError):
        atomic.put(day, b"as it was read", b"new")
    with pytest.raises(atomic.ChangedError):
        atomic.put(day, None, b"new")
    day.unlink()
    with pytest.raises(atomic.ChangedError):
        atomic.put(day, b"as it was read", b"new")
    assert list(day.parent.iterdir()) == []


def test_on_a_lost_race_it_reads_anew(tmp_path):
    _, day = farm(tmp_path)
    day.write_bytes(b"a")
    seen = []

    def make(old):
        seen.append(old)
        if len(seen) == 1:
            day.write_bytes(b"b")
        return old + b"!"

    assert atomic.rewrite(day, make) == b"b!"
    assert seen == [b"a", b"b"] and day.read_bytes() == b"b!"


def test_who_never_stops_writing_wins_and_nothing_is_lost(tmp_path):
    _, day = farm(tmp_path)
    day.write_bytes(b"")

    def make(old):
        day.write_bytes(old + b"x")
        return b"ours"

    with pytest.raises(atomic.ChangedError):
        atomic.rewrite(day, make)
    assert day.read_bytes() == b"x" * atomic.TRIES


def test_mode_and_links_stay(tmp_path):
    _, day = farm(tmp_path)
    real = tmp_path / "real.md"
    real.write_bytes(b"a")
    real.chmod(0o640)
    day.symlink_to(real)
    atomic.put(day, b"a", b"b")
    assert day.is_symlink() and real.read_bytes() == b"b"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_new_file_has_the_usual_mode_and_its_folders(tmp_path):
    day = tmp_path / "entries" / "2026" / "2026-03-14.md"
    atomic.put(day, None, b"a")
    plain = tmp_path / "plain"
    plain.write_bytes(b"")
    assert day.stat().st_mode == plain.stat().st_mode


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anything")
def test_a_read_only_file_is_refused(tmp_path):
    _, day = farm(tmp_path)
    day.write_bytes(b"a")
    day.chmod(0o444)
    with pytest.raises(FolderError, match="read-only"):
        atomic.put(day, b"a", b"b")


def test_one_waits_for_the_other_and_gives_up_kindly(tmp_path, monkeypatch):
    folder, _ = farm(tmp_path)
    monkeypatch.setattr(atomic, "_PATIENCE_SECONDS", 0.05)
    with (
        atomic.locked(folder),
        pytest.raises(FolderError, match="try again"),
        atomic.locked(folder),
    ):
        raise AssertionError
    with atomic.locked(folder):
        pass


def test_without_the_systems_locks_a_hidden_file_stands_for_one(tmp_path, monkeypatch):
    folder, _ = farm(tmp_path)
    monkeypatch.setattr(atomic, "fcntl", None)
    monkeypatch.setattr(atomic, "_PATIENCE_SECONDS", 0.05)
    lock = folder / "entries" / ".traybook.lock"
    with atomic.locked(folder):
        assert lock.exists()
        with pytest.raises(FolderError, match="try again"), atomic.locked(folder):
            raise AssertionError
    assert not lock.exists()
    lock.touch()
    os.utime(lock, (0, 0))
    with atomic.locked(folder):
        assert lock.stat().st_mtime > 0
