"""A grower's own table into entry lines: what is read, what is told, and nothing guessed."""

from __future__ import annotations

import datetime as dt

import pytest
from click.testing import CliRunner

from kit import load_texts
from traybook.cli.main import main
from traybook.intake.columns import COLUMNS, sheet_of
from traybook.intake.model import Trouble
from traybook.intake.sheet import read_sheet
from traybook.intake.values import Of, UnreadError, count_in, day_in
from traybook.rollup.farm import farm_figures
from traybook.text.names import fold

AS_OF = dt.date(2026, 11, 25)


def read(text: str, settings: str = "dates: day first\n", **entries: str):
    texts = {"entries/farm.yaml": settings} | {f"entries/{k}.md": v for k, v in entries.items()}
    return read_sheet(text, load_texts(texts, AS_OF).book)


def lines(text: str, settings: str = "dates: day first\n", **entries: str) -> list[str]:
    got, troubles = read(text, settings, **entries)
    assert troubles == []
    return [f"{k.on} {k.text}" for k in got]


HEAD = "crop,variety,sown,seeds,container,up\n"
PLAIN = HEAD + "larkspur,Mist Tower,14/3/2025,72,72-cell tray,58 of 72\n"
WANTED = [
    "2025-03-14 sown larkspur-25-1: Mist Tower, 72-cell tray, 72 seeds",
    "2025-03-14 checked larkspur-25-1: 58 of 72 in all, no day kept",
]


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        PLAIN.replace(",", ";"),
        PLAIN.replace(",", "\t"),
        "\ufeff" + PLAIN,
        PLAIN.replace("\n", "\r\n"),
        PLAIN.replace("crop,variety,sown,seeds", "Kind,CULTIVAR,Date sown,No. of seeds"),
        PLAIN.replace("14/3/2025", "14.3.25"),
        PLAIN.replace("14/3/2025", "2025-03-14"),
        PLAIN.replace("14/3/2025", "14 Mar 2025"),
        PLAIN.replace("14/3/2025", "14-Mar-25"),
        PLAIN.replace("14/3/2025", "14 March 2025"),
        PLAIN.replace("14/3/2025", "2025-03-14 00:00:00"),
        PLAIN.replace("58 of 72", "58/72"),
        PLAIN.replace("crop,", '"crop",').replace("larkspur", '"larkspur"'),
        "up,container,seeds,sown,variety,crop\n58 of 72,72-cell tray,72,14/3/2025,Mist Tower,larkspur\n",
    ],
)
def test_one_table_in_many_hands(text):
    assert lines(text) == WANTED


def test_by_order_of_the_farm():
    three = "crop,sown,seeds\nstock,3/4/25,10\n"
    assert lines(three, "dates: day first\n") == ["2025-04-03 sown stock-25-1: 10 seeds"]
    assert lines(three, "dates: month first\n") == ["2025-03-04 sown stock-25-1: 10 seeds"]
    got, troubles = read(three, "")
    assert got == []
    assert [t.said("s.csv") for t in troubles] == [
        "s.csv:2:2: sown: `3/4/25` could be two days; say `dates: day first` or `dates: month first` in farm.yaml"
    ]
    assert lines("crop,sown\nstock,3/14/26\n", "") == ["2026-03-14 sown stock-26-1:"]


def test_a_life_of_a_sowing():
    text = (
        "crop,sown,seeds,per cell,cells,lot,place,first up,up,lost,potted,potted on,planted,planted on,bed,finished,by,notes\n"
        "stock,2025-03-01,144,2,72,STO-24,shelf B,2025-03-09,101,3,60,2025-04-02,50,2025-05-10,bed 4,2025-08-01,jo,pale leaves\n"
    )
    assert lines(text) == [
        "2025-03-01 sown stock-25-1: 72 cells, 144 seeds, 2 per cell, lot STO-24, shelf B; pale leaves; by jo",
        "2025-03-09 checked stock-25-1: first seen; by jo",
        "2025-08-01 checked stock-25-1: 101 up in all, no day kept, 3 lost; by jo",
        "2025-04-02 potted on stock-25-1: 60; by jo",
        "2025-05-10 planted out stock-25-1: 50 to bed 4; by jo",
        "2025-08-01 finished stock-25-1: by jo",
    ]


def test_a_total_gives_a_share_and_no_speed():
    got, _ = read(PLAIN)
    texts: dict[str, str] = {}
    for k in got:
        texts[f"entries/{k.on}.yaml"] = texts.get(f"entries/{k.on}.yaml", "") + k.text + "\n"
    loaded = load_texts(texts, AS_OF)
    s = farm_figures(loaded.kept).sowings["larkspur-25-1"]
    assert loaded.findings == ()
    assert (s.up.emerged, s.up.settled, s.up.in_germination) == (58, True, True)
    assert (s.up.first_by, s.up.half, s.up.mean) == (None, None, None)


def test_first_up_may_be_days_from_sowing_and_half_is_a_note():
    text = "crop,sown,seeds,first up,half\nstock,2025-03-01,72,8,12\n"
    assert lines(text) == [
        "2025-03-01 sown stock-25-1: 72 seeds; half up 12",
        "2025-03-09 checked stock-25-1: first seen",
    ]


def test_odd_names_take_the_long_form_and_a_crop_that_no_code_can_spell_is_said():
    text = 'crop,variety,sown,seeds\n"Queen Anne\'s lace","White, pelleted; F1",2025-03-01,72\n'
    assert lines(text) == [
        "2025-03-01 sown queen-anne-s-lace-25-1:\n  crop: Queen Anne's lace\n  variety: White, pelleted; F1\n  seeds: 72"
    ]


@pytest.mark.parametrize("nothing", ["", "-", "–", "?", "n/a", "N/A", "na", "unknown"])
def test_unknown_is_not_nought(nothing):
    text = f"crop,variety,sown,seeds,up\nstock,{nothing},2025-03-01,72,{nothing}\n"
    assert lines(text) == ["2025-03-01 sown stock-25-1: 72 seeds"]


def test_none_is_nought():
    text = "crop,sown,seeds,up\nstock,2025-03-01,72,none\nstock,2025-03-01,72,0\n"
    assert [x.split(": ")[1] for x in lines(text) if "checked" in x] == [
        "0 up in all, no day kept"
    ] * 2


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Sowings 2025,,\n\ncrop,sown,seeds\nstock,2025-03-01,72\n",
         "s.csv:1:1: `Sowings 2025` stands above the column names, so it is passed over"),
        ("crop,sown,seeds\nstock,2025-03-01,72\nTotal,,72\n", "s.csv:3:1: this row of totals is passed over"),
        ("crop,sown,seeds\nstock,2025-03-01,72\ncrop,sown,seeds\n",
         "s.csv:3:1: the column names again, so it is passed over"),
        ("crop,sown,seeds,moon\nstock,2025-03-01,72,full\n",
         "s.csv:1:4: `moon` is no column that can be read, so it is left out; call it `notes` to keep its words"),
        ("crop,sown,seeds\nstock,2025-03-01,72\n,2025-03-01,10\n",
         "s.csv:3:1: crop: this row names no crop, so it is left out; write it in every row"),
        ("crop,sown,seeds\nstock,2025-03-01,72\nstock,,10\n",
         "s.csv:3:2: sown: no day sown, so the row is left out; write it, as 2026-03-14"),
        ("crop,sown,seeds\nstock,2025-03-01,72\nstock,45731,10\n",
         "s.csv:3:2: sown: `45731` is a spreadsheet's own number for a day; give the column a date format and save again"),
        ("crop,sown,seeds\nstock,2025-03-01,72\nstock,2027-03-01,10\n",
         "s.csv:3:2: sown: 2027-03-01 is still to come; check the year"),
        ("crop,sown,seeds,up\nstock,2025-03-01,72,80 %\n",
         "s.csv:2:4: up: `80 %` is a share and no count; write how many, as `58 of 72`"),
        ("crop,sown,seeds,up\nstock,2025-03-01,72,80\n",
         "s.csv:2:4: up: 80 is more than the 72 sown; check both numbers; the count is left out"),
        ("crop,sown,seeds,up\nstock,2025-03-01,72,40 of 50\n",
         "s.csv:2:4: up: this is out of 50, but 72 were sown; check both numbers; the count is left out"),
        ("crop,sown,seeds,container\nstock,2025-03-01,72,72\n",
         "s.csv:2:4: container: `72` alone is no container; write `72-cell tray`, or what it was"),
        ("crop,sown,seeds,planted\nstock,2025-03-01,72,50\n",
         "s.csv:2:4: planted: 50 planted, and no day for it; add a column `planted on`"),
        ("crop;sown;seeds\nstock;2025-03-01;72;what; ever\n",
         "s.csv:2:4: `what, ever` stands behind the last column, so it is left out; "
         "put quotes around a cell that holds the separator"),
    ],
)  # fmt: skip
def test_what_cannot_be_taken_is_told_and_the_rest_is_read(text, told):
    got, troubles = read(text)
    assert [t.said("s.csv") for t in troubles] == [told]
    assert [k.text for k in got] == ["sown stock-25-1: 72 seeds"]


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", "crop,colour\nstock,red\n", "\n\n"])
def test_a_table_without_names(text):
    got = sheet_of(text)
    assert isinstance(got, Trouble)
    assert "names columns that can be read" in got.what


FARM = {
    "2025-03-01": "---\nsown stock-25-1: Low Tide, 72 seeds\n"
    "sown stock-25-2: Ash Lane, 72 seeds\nsown larkspur-25-1: 72 seeds\n---\n",
    "2025-06-01": "---\nfinished larkspur-25-1: done\n---\n",
}


def test_a_row_a_check():
    text = "date,crop,variety,up,lost,left,note\n2025-03-09,larkspur,,12,,,\n2025-03-12,stock,Low Tide,40 of 72,2,30,patchy\n"
    assert lines(text, **FARM) == [
        "2025-03-09 checked larkspur-25-1: 12 up",
        "2025-03-12 checked stock-25-1: 40 of 72, 30 left, 2 lost; patchy",
    ]


def test_a_check_that_fits_no_sowing_or_several():
    text = (
        "date,code,crop,up\n2025-03-09,,stock,12\n2025-07-01,,larkspur,3\n2025-03-09,STOCK-25-2,,4\n"
        "2025-03-09,stock-25-9,,4\n2025-03-09,,stock,\n"
    )
    got, troubles = read(text, **FARM)
    assert [k.text for k in got] == ["checked stock-25-2: 4 up"]
    assert [t.said("c.csv") for t in troubles] == [
        "c.csv:2:3: crop: `stock` fits `stock-25-1`, `stock-25-2`; add a column `code` that says which",
        "c.csv:3:3: crop: no sowing of `larkspur` lived on 2025-07-01; import the sowings first, or check the name",
        "c.csv:5:2: code: no sowing of `stock-25-9` lived on 2025-03-09; import the sowings first, or check the name",
        "c.csv:6:3: crop: `stock` fits `stock-25-1`, `stock-25-2`; add a column `code` that says which",
    ]


def test_codes_go_on_from_those_there_are():
    text = "crop,variety,sown,seeds\nstock,Low Tide,2025-04-01,10\nstock,Low Tide,2025-03-01,72\nstock,Low Tide,2025-03-01,72\n"
    got, _ = read(text, **FARM)
    assert [k.subjects[0] for k in got] == ["stock-25-3", "stock-25-1", "stock-25-4"]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [("58", Of(58)), ("58 of 72", Of(58, 72)), ("58/72", Of(58, 72)), ("1,200", Of(1200)), ("1 200", Of(1200)),
     ("12,0", Of(12)), ("12.0", Of(12)), ("none", Of(0)), ("58 up", Of(58)), ("?", None)],
)  # fmt: skip
def test_counts(text, wanted):
    assert count_in(text) == wanted


@pytest.mark.parametrize("text", ["1.200", "about 60", "58.5", "80%", "lots", "3-4", "-3", "5 + 6"])
def test_what_is_no_count(text):
    with pytest.raises(UnreadError):
        count_in(text)


@pytest.mark.parametrize(
    "text", ["14 Mar", "14/3", "March", "yesterday", "sat", "31/2/2025", "2025-13-01", "week 12"]
)
def test_what_is_no_day(text):
    with pytest.raises(UnreadError):
        day_in(text, True, AS_OF)


def test_no_name_means_two_columns():
    names = [fold(n) for key, (_, also) in COLUMNS.items() for n in (key, *also.split(", "))]
    assert sorted(names) == sorted(set(names))


def run(*words: str, code: int = 0) -> str:
    got = CliRunner().invoke(main, [*words, "--as-of", "2026-11-25"], catch_exceptions=False)
    assert got.exit_code == code, got.output
    return got.output


def test_by_command_and_twice(tmp_path):
    table = tmp_path / "sowings.csv"
    table.write_bytes(PLAIN.replace("Mist Tower", "Grün").encode("cp1252"))
    farm = tmp_path / "farm"
    (farm / "entries").mkdir(parents=True)
    (farm / "entries" / "2025-03-14.md").write_text("A fine day.\n", "utf-8")
    said = run("import", str(table), "--farm", str(farm), "--write")
    assert "2 new, 0 already there, 0 differ" in said
    text = (farm / "entries" / "2025-03-14.md").read_text("utf-8")
    assert "sown larkspur-25-1: Grün, 72-cell tray, 72 seeds\n" in text
    assert text.endswith("A fine day.\n")
    assert "0 new, 2 already there, 0 differ" in run(
        "import", str(table), "--farm", str(farm), "--write"
    )
    assert (farm / "entries" / "2025-03-14.md").read_text("utf-8") == text
    table.write_text(PLAIN.replace("Mist Tower", "Grün").replace("58 of", "60 of"), "utf-8")
    said = run("import", str(table), "--farm", str(farm), "--write")
    assert "0 new, 1 already there, 1 differs" in said
    assert "the entries say: checked larkspur-25-1: 58 of 72 in all, no day kept" in said


def test_a_line_that_could_not_be_used_is_not_written(tmp_path):
    table = tmp_path / "sowings.csv"
    table.write_text(
        "crop,sown,seeds,finished,date,up\nstock,2025-03-10,72,,2025-03-01,40\n", "utf-8"
    )
    (tmp_path / "entries").mkdir()
    said = run("import", str(table), "--farm", str(tmp_path), "--write")
    assert (
        "sowings.csv:2:1: `checked stock-25-1: 40 up` can't be used, so it is left out: before-sowing"
        in said
    )
    assert "1 new, 0 already there" in said


@pytest.mark.parametrize(
    ("name", "data"), [("s.xlsx", b"PK\3\4..."), ("s.csv", b"PK\3\4..."), ("s.ods", b"x")]
)
def test_a_spreadsheets_own_file_is_sent_back_kindly(tmp_path, name, data):
    (tmp_path / name).write_bytes(data)
    said = run("import", str(tmp_path / name), "--farm", str(tmp_path), code=2)
    assert "save the sheet as CSV" in said


def test_nothing_read_ends_with_1_and_no_file_with_2(tmp_path):
    (tmp_path / "s.csv").write_text("a,b\n1,2\n", "utf-8")
    run("import", str(tmp_path / "s.csv"), "--farm", str(tmp_path), code=1)
    run("import", str(tmp_path / "t.csv"), "--farm", str(tmp_path), code=2)
    run("import", str(tmp_path / "s.csv"), "--farm", str(tmp_path / "none"), code=2)
