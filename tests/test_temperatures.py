"""Files of temperatures: what is read of them, and that nothing in them raises."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traybook.files.tree import read_entries
from traybook.pipeline import load
from traybook.records.temperatures import read_temperatures
from traybook.text.source import Source


def read(*texts):
    return read_temperatures([Source(f"entries/weather/{i}.csv", t) for i, t in enumerate(texts)])


DAY = dt.date(2026, 4, 9)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("date,min,max\n2026-04-09,-1.5,12\n", (-1.5, 12)),
        ("DATE,Max,MIN,rain,note\n2026-04-09,12,-1.5,0.2,a frost\n", (-1.5, 12)),
        ("station,date,min,max\n\"Hill, shed\",2026-04-09,-1.5,12\n", (-1.5, 12)),
        ("date,min_f,max_f\n2026-04-09,32,50\n", (0, 10)),
        ("date,min,max,units\n2026-04-09,32,50,F\n", (0, 10)),
        ("date,min,max,units\n2026-04-09,0,10,C\n", (0, 10)),
        ("date;min;max\n2026-04-09;-1,5;12,0\n", (-1.5, 12)),
        ("date\tmin\tmax\n2026-04-09\t-1.5\t12\n", (-1.5, 12)),
        ("# by the shed\n\ndate,min,max\n# moved\n2026-04-09T07:00,−1.5,12\n\n", (-1.5, 12)),
        ("\ufeffdate,min,max\r\n2026-04-09,-1.5,12\r\n", (-1.5, 12)),
        ("date,min,max\n2026-04-09,,12\n", (None, 12)),
        ("date,min,max\n2026-04-09,-1.5,NA\n", (-1.5, None)),
        ("date,min\n2026-04-09,-1.5\n", (-1.5, None)),
    ],
)  # fmt: skip
def test_forms_that_are_read(text, day):
    assert read(text) == ({DAY: day}, [])


def test_an_empty_day_is_no_day_and_an_empty_file_no_trouble():
    assert read("date,min,max\n2026-04-09,,\n") == ({}, [])
    assert read("") == ({}, [])


def test_the_later_file_holds_and_the_same_again_is_no_trouble():
    a, b = "date,min,max\n2026-04-09,1,12\n", "date,min,max\n2026-04-09,2,12\n"
    assert read(a, a) == ({DAY: (1, 12)}, [])
    days, findings = read(a, b)
    assert days == {DAY: (2, 12)}
    assert [(f.name, f.at.path, f.at.line) for f in findings] == [
        ("unread-temperature", "entries/weather/1.csv", 2)
    ]


def test_one_cause_is_told_once():
    lines = "".join(f"{d} April,1,9\n" for d in range(1, 21))
    days, (finding,) = read("date,min,max\n" + lines + "2026-04-09,1,12\n")
    assert days == {DAY: (1, 12)}
    assert finding.at.line == 2 and "19 more lines" in finding.message


def test_one_slip_in_a_file_costs_its_line_alone():
    days, (finding,) = read("date,min,max\n2026-04-08,1,120\n2026-04-09,1,12\n")
    assert days == {DAY: (1, 12)} and finding.at.line == 2


def test_a_file_that_must_be_fahrenheit_is_passed_over_with_its_cold_days():
    days, (finding,) = read("date,min,max\n2026-01-08,20,38\n2026-07-09,61,84\n2026-07-10,60,88\n")
    assert days == {} and "Fahrenheit" in finding.message


@given(st.text(max_size=300))
def test_no_text_raises(text):
    days, findings = read(text, "date,min,max\n" + text)
    for low, high in days.values():
        assert (low is None or -90 <= low <= 60) and (high is None or -90 <= high <= 60)
    for f in findings:
        assert 0 <= f.at.start <= f.at.end <= len(f.at.source.text)


def test_from_disk(tmp_path):
    weather = tmp_path / "entries/weather"
    weather.mkdir(parents=True)
    (weather / "b.CSV").write_text("date,min,max\n2026-04-10,2,9\n")
    (weather / "a.csv").write_text("date,min,max\n2026-04-09,1,12\n2026-04-10,7,9\n")
    (weather / "notes.txt").write_text("the thermometer hangs by the shed\n")
    (weather / "large.csv").write_text("date,min,max\n" + "2026-04-11,1,2\n" * 70_000)
    (tmp_path / "away.csv").write_text("date,min,max\n2026-04-12,1,2\n")
    (weather / "link.csv").symlink_to(tmp_path / "away.csv")
    files = read_entries(tmp_path)
    assert [s.path for s in files.temperatures] == [
        "entries/weather/a.csv",
        "entries/weather/b.CSV",
    ]
    loaded = load(tmp_path, dt.date(2026, 6, 1))
    assert loaded.book.temperatures == {DAY: (1, 12), dt.date(2026, 4, 10): (2, 9)}
    assert sorted(f.name for f in loaded.findings) == ["too-large", "unread-temperature"]
