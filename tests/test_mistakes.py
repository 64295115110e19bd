"""Mistakes of a tired grower's typing: each is found once, at the words at fault, with the right help.

The words at fault stand between ⟦ and ⟧; the last column is a part of what the finding must say.
"""

from __future__ import annotations

import datetime as dt

import pytest

from kit import files_of, load_texts
from traybook.pipeline import load_files

AS_OF = dt.date(2026, 6, 1)
TODAY = "entries/2026/2026-03-20.md"
FARM = """people: [jo, mw]
dates: day first
harvest unit: stems
places:
  shelf A: {temperature: 21 C}
  shelf B: {temperature: 14 C}
beds:
  bed 1: {length: 10 m}
  bed 2: {length: 10 m}
"""
CROPS = """stock:
  varieties: [Iron Rose]
snapdragon:
  spellings: [snaps]
cosmos:
  days to sprout: 5-10
sweet pea:
  spellings: [sweetpea]
zinnia:
  days to sprout: 5-10
"""
SEASON = {
    "entries/farm.yaml": FARM,
    "entries/crops.yaml": CROPS,
    "entries/2026/2026-03-01.md": """---
sown stock-26-1: Iron Rose, 72 seeds, 72-cell tray
sown snapdragon-26-1: Cloud Ladder, 128 seeds, 128-cell tray
sown snapdragon-26-2: Cloud Ladder, 128 seeds, 128-cell tray
sown cosmos-26-1: Wick Lantern, 50 seeds, open tray
sown sweet-pea-26-1: Night Ferry, 40 seeds, 40-cell tray
sown zinnia-26-1: Brickfield Gold, 50 seeds, 50-cell tray
---
""",
    "entries/2026/2026-03-10.md": """---
checked stock-26-1: 40 up
checked cosmos-26-1: 41 up
checked snapdragon-26-1: 100 up
checked snapdragon-26-2: none up
checked sweet-pea-26-1: none up
checked zinnia-26-1: 30 up
received LAR-25: larkspur Mist Tower, 200 seeds, packed 2025
---
""",
    "entries/2026/2026-03-12.md": "finished zinnia-26-1: mice\n",
}

# Lines of a day: the mistake, the finding, and what it must offer or say.
LINES = [
    # verbs
    ("⟦chekced⟧ stock-26-1: 41 up", "odd-verb", "`checked`"),
    ("⟦checkd⟧ stock: 41 up", "odd-verb", "`checked`"),
    ("⟦Checled⟧ cosmos: 44 up", "odd-verb", "`checked`"),
    ("⟦havrested⟧ stock: 12 stems", "odd-verb", "`harvested`"),
    ("⟦swon⟧ stock-26-2: Iron Rose, 72 seeds", "odd-verb", "`sown`"),
    ("⟦finishd⟧ stock-26-1: no room", "odd-verb", "`finished`"),
    ("⟦hardenning⟧ off stock-26-1", "odd-verb", "`hardening off`"),
    ("⟦recieved⟧ LAR-26: larkspur Mist Tower, 200 seeds", "odd-verb", "`received`"),
    ("⟦stock-26-1⟧: 41 up", "unknown-verb", "`checked stock-26-1: 41 up`"),
    ("⟦stock-26-1⟧: 12 stems", "unknown-verb", "`harvested stock-26-1: 12 stems`"),
    ("⟦41 up⟧", "unknown-verb", "`checked`"),
    # codes, crops and places
    ("checked ⟦stock-26-7⟧: 41 up", "unknown-code", "`stock-26-1`"),
    ("checked ⟦snapdragon-25-1⟧: 101 up", "unknown-code", "`snapdragon-26-1`"),
    ("checked ⟦snapdragn-26-1⟧: 101 up", "unknown-code", "`snapdragon-26-1`"),
    ("checked ⟦stock26-1⟧: 41 up", "unknown-code", "`stock-26-1`"),
    ("checked ⟦stcok⟧: 41 up", "unknown-subject", "`stock`"),
    ("harvested ⟦stok⟧: 12 stems", "unknown-subject", "`stock`"),
    ("checked ⟦snapdragon⟧: 101 up", "which-sowing", "`snapdragon-26-1` or `snapdragon-26-2`"),
    ("checked ⟦zinnia⟧: 31 up", "no-sowing-fits", "`zinnia-26-1`"),
    ("checked ⟦zinnia-26-1⟧: 31 up", "after-finished", "finished on 2026-03-12"),
    ("harvested ⟦zinnia-26-1⟧: 12 stems", "after-finished", "finished on 2026-03-12"),
    ("sown ⟦stock-26-1⟧: Iron Rose, 50 seeds", "two-sowings-one-code", "`stock-26-1-b`"),
    ("sown ⟦stcok-26-2⟧: Iron Rose, 50 seeds", "new-crop-near", "`stock`"),
    ("sown ⟦stock-24-2⟧: Iron Rose, 50 seeds", "code-year", "2024"),
    ("sown stock-26-2: ⟦Iron Rsoe⟧, 50 seeds", "two-spellings", "`Iron Rose`"),
    ("sown snapdragon-26-3: ⟦Cloud Lader⟧, 50 seeds", "two-spellings", "`Cloud Ladder`"),
    ("moved stock-26-1: to ⟦shelv B⟧", "odd-place", "`shelf B`"),
    ("planted out stock: 30 to ⟦bed 7⟧", "odd-place", "`bed 1`"),
    ("harvested ⟦bed 9⟧: 12 stems", "odd-place", "`bed 1`"),
    # the colon
    ("checked ⟦stock-26-1⟧ 41 up", "no-colon", "`checked stock-26-1: 41 up`"),
    ("Checked ⟦cosmos⟧, 44 up, 1 lost", "no-colon", "`checked cosmos: 44 up, 1 lost`"),
    ("checked ⟦stock-26-1⟧; 41 up", "no-colon", "`checked stock-26-1: 41 up`"),
    ("checked ⟦stock⟧ - 41 up", "no-colon", "`checked stock: 41 up`"),
    ("checked: ⟦stock-26-1⟧ 41 up", "no-colon", "`checked stock-26-1: 41 up`"),
    ("checked stock-26-1, ⟦41 up⟧: 2 lost", "unknown-subject", "colon"),
    ("⟦checked⟧: 41 up", "no-subject", "its code"),
    ("⟦harvested⟧", "no-subject", "its code"),
    ("⟦checked stock-26-1:⟧", "nothing-said", "`31 up`"),
    ("⟦moved stock-26-1:⟧", "nothing-said", "where to"),
    # numbers and units
    ("checked stock-26-1: ⟦4⟧l up", "unread-number", "`41 up`"),
    ("checked stock-26-1: ⟦41⟧ pu", "unread-number", "`41 up`"),
    ("checked stock-26-1: ⟦41⟧ seedlngs", "unread-number", "`41 seedlings`"),
    ("checked stock-26-1: ⟦41⟧ up 2 lost", "unread-number", "`41 up, 2 lost`"),
    ("checked stock-26-1: 41 up, ⟦3⟧ los to mice", "unread-number", "`3 lost to mice`"),
    ("checked stock-26-1: ⟦41.5 up⟧", "unknown-amount", "whole plants"),
    ("harvested stock-26-1: ⟦12⟧ stesm", "unread-number", "`12 stems`"),
    ("harvested stock-26-1: ⟦12⟧ buckets", "unread-number", "`120 stems`"),
    ("sown stock-26-2: Iron Rose, ⟦72⟧ sedes", "unread-number", "`72 seeds`"),
    ("sown stock-26-2: Iron Rose, ⟦72⟧-cell try, 1 per cell", "unread-number", "`72-cell tray`"),
    ("sown stock-26-2: Iron Rose, 72-cell tray, ⟦1⟧ per cel", "unread-number", "`1 per cell`"),
    ("sown stock-26-2: Iron Rose, 72 seeds, cover ⟦5⟧ mn", "unread-number", "note"),
    ("potted on stock: ⟦30⟧ inot 50s", "unread-number", "`30 into 50s`"),
    ("potted on stock: 30 into ⟦5os⟧", "unread-number", "`50s`"),
    ("planted out stock: ⟦30⟧ to bad 1", "unread-number", "`30 to bed 1`"),
    ("thinned stock: to ⟦1⟧ per cel", "unread-number", "`to 1 per cell`"),
    ("checked stock-26-1: 41 up; ⟦2 lost⟧", "count-in-note", "comma"),
    ("⟦privat⟧ checked stock-26-1: 41 up", "unknown-field", "`private`"),
    ("checked stock-26-1: 41 up, ⟦privte⟧", "unknown-field", "`private`"),
    ("⟦checkedstock-26-1⟧: 41 up", "unknown-verb", "`checked stock-26-1: 41 up`"),
    ("sown ⟦stock-2026-2⟧: Iron Rose, 50 seeds", "new-crop-near", "`stock`"),
    ("sown ⟦Iron Rose⟧: 50 seeds", "new-crop-near", "`stock Iron Rose`"),
    # sums
    ("harvested stock: 1200 stems ⟦of which 1300 rejected⟧", "more-than-of", "check both"),
    ("checked stock-26-1: ⟦410 up⟧", "more-than-sown", "72 were sown"),
    ("checked stock-26-1: 41 up, ⟦99 lost⟧", "more-than-sown", "72 were sown"),
    ("checked stock-26-1: ⟦41 of 720⟧", "of-more-than-sown", "72 were sown"),
    ("checked stock-26-1: ⟦72 of 41⟧", "more-than-of", "`41 of 72`"),
    ("checked stock-26-1: ⟦14 up⟧", "unexplained-fall", "`26 lost to damping off`"),
    ("pricked out cosmos: ⟦60 into 72s⟧", "more-than-sown", "50 were sown"),
    ("moved stock-26-1: ⟦100 to shelf B⟧", "more-than-stood", "72"),
    ("planted out stock: ⟦to bed 1⟧", "unknown-amount", "all 40"),
    ("tested LAR-25: ⟦14 of 10⟧", "more-than-of", "check both"),
    ("sown stock-26-2: Iron Rose, 72-cell tray, ⟦12 per cell⟧", "many-per-cell", "one cell"),
    ("sold stock-26-1: 10\n⟦sold stock-26-1: 10⟧", "written-twice", "delete one"),
    # days and people
    ("checked stock-26-1: 41 up, ⟦on 31 April⟧", "impossible-date", "no day 31"),
    ("checked stock-26-1: 41 up, ⟦on 2026-19-03⟧", "impossible-date", "`2026-03-19`"),
    ("checked stock-26-1: 41 up, ⟦on 19 Mach⟧", "impossible-date", "`19 March`"),
    ("checked stock-26-1: 41 up, ⟦yesteday⟧", "impossible-date", "`yesterday`"),
    ("checked stock-26-1: 41 up, ⟦on 2062-03-20⟧", "future-day", "year"),
    ("checked ⟦stock-26-1⟧: 41 up, on 2025-03-20", "before-sowing", "2026-03-01"),
    ("checked stock-26-1: 41 up, by ⟦zz⟧", "unknown-initials", "`zz`"),
    ("checked stock-26-1: 41 up; allow ⟦wich-part⟧", "unused-allow", "`which-part`"),
    ("checked stock-26-1: 41 up; ⟦alow which-part⟧", "unused-allow", "`allow which-part`"),
    ("checked stock-26-1: 41 up; allow ⟦which-part⟧", "unused-allow", "take it out"),
    # quotes, braces, fields, merges
    ('checked stock-26-1: ⟦"⟧41 up', "unclosed-quote", "take it out"),
    ("checked stock-26-1: ⟦{up: 41, lost: 2⟧", "broken-braces", "close them"),
    ("checked stock-26-1: {⟦upp⟧: 41}", "unknown-field", "`up`"),
    ("checked stock-26-1:\n  up: 41\n  ⟦up⟧: 42", "repeated-field", "the right one"),
    ("checked:\n  stock-26-1: 41 up\n  ⟦cosmso-26-1⟧: 44 up", "unknown-code", "`cosmos-26-1`"),
    ("⟦<<<<<<< HEAD⟧\nchecked stock-26-1: 41 up\n=======\nchecked stock-26-1: 42 up\n>>>>>>> shed",
     "merge-conflict", "the right lines"),
    ("⟦<<<<<<< HEAD⟧\nchecked stock-26-1: 41 up\n=======\nnoted: wet\n>>>>>>> shed", "merge-marker", "both sides"),
    # treatments and seed
    ("chilled stock: 20 seeds, moist, ⟦in the freezer⟧, out", "moist-frozen", "fridge"),
    ("chilled LAR-25: 50 seeds, moist, in the fridge, ⟦4 weeks⟧", "treatment-overdue", "`chilled LAR-25: out`"),
    ("received ZIN-26: zinnia Brickfield Gold, 200 seeds, ⟦treated⟧", "treated-how", "`dressed`"),
    ("sown stock-26-2: Iron Rose, 72 seeds, open tray, ⟦cover 50 mm⟧", "too-deep", "unit"),
    ("sown snapdragon-26-3: Cloud Ladder, 72 seeds, open tray, ⟦cover 6 mm⟧", "covered-surface-kind", "surface"),
    ("checked stock-26-1: 41 up, photo ⟦stock-2.jpg⟧", "photo-missing", "photos"),
    ("checked stock-26-1: 41 up, photo ⟦/home/jo/stock.jpg⟧", "photo-outside", "copy"),
]  # fmt: skip


def marked(text: str) -> tuple[str, int, int]:
    """The text without marks, and where the marked words begin and end."""
    start = text.index("⟦")
    end = text.index("⟧") - 1
    return text.replace("⟦", "").replace("⟧", ""), start, end


def only(texts: dict[str, str], path: str, start: int, end: int, name: str, says: str) -> None:
    texts = {**SEASON, **texts}
    files = files_of(texts)
    files.photos = ["entries/photos/other.jpg"]
    findings = load_files(files, AS_OF).findings
    told = [f"{f.name} {f.at.path}:{f.at.line}:{f.at.column} `{f.at.text}`" for f in findings]
    assert len(told) == 1, told
    (found,) = findings
    assert (found.name, found.at.path, found.at.start, found.at.end) == (name, path, start, end), (
        told
    )
    before = texts[path][:start]
    assert found.at.line == before.count("\n") + 1
    assert found.at.column == start - (before.rfind("\n") + 1) + 1
    assert says in f"{found.message} {found.help}"


def test_the_season_itself_is_sound():
    assert load_texts(SEASON, AS_OF).findings == ()


@pytest.mark.parametrize(("text", "name", "says"), LINES, ids=[x[0] for x in LINES])
def test_a_slip_in_a_line(text, name, says):
    line, start, end = marked(text)
    only({TODAY: f"---\n{line}\n---\n"}, TODAY, start + 4, end + 4, name, says)


# Whole files: their text, the finding, and what it must say.
FILES = [
    ("⟦---⟧\nchecked stock-26-1: 41 up\n\nA sunny day.\n", "unclosed-fence", "closing"),
    ("A sunny day.\n\n⟦checked stock-26-1: 41 up⟧\n", "entry-in-prose", "between two lines"),
    ("⟦- checked stock-26-1: 41 up⟧\n- checked cosmos: 44 up\n", "entry-in-prose", "between two lines"),
    ("---\n⟦date: 2026-02-30⟧\nchecked stock-26-1: 41 up\n---\n", "impossible-date", "make the two agree"),
    ("---\n⟦date: 2026-03-21⟧\nchecked stock-26-1: 41 up\n---\n", "two-dates", "make the two agree"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "name", "says"), FILES, ids=[x[0][:40] for x in FILES])
def test_a_slip_in_a_file(text, name, says):
    plain, start, end = marked(text)
    only({TODAY: plain}, TODAY, start, end, name, says)


NAMES = [
    ("20-03-2026", "no-date", "`2026-03-20.md`"),
    ("20260320", "no-date", "`2026-03-20.md`"),
    ("2026-03-2O", "no-date", "`2026-03-20.md`"),
    ("26-03-20", "no-date", "`2026-03-20.md`"),
    ("2026-02-30", "impossible-date", "this file's name"),
    ("2026-20-03", "impossible-date", "`2026-03-20.md`"),
    ("2206-03-20", "future-day", "this file's name"),
    ("2026-03-20-joo", "unknown-initials", "`jo`"),
]


@pytest.mark.parametrize(("base", "name", "says"), NAMES, ids=[x[0] for x in NAMES])
def test_a_slip_in_a_files_name(base, name, says):
    path = f"entries/2026/{base}.md"
    only({path: "---\nchecked stock-26-1: 41 up\n---\n"}, path, 0, 0, name, says)


COPIES = ["2026-03-10 (1)", "2026-03-10 copy", "2026-03-10 - Copy (2)", "2026-03-10-conflict",
          "2026-03-10 (shed's conflicted copy 2026-03-14)", "2026-03-10 conflicted copy",
          "2026-03-10.sync-conflict-20260314-093000-ABCDEF", "2026-03-10-LAPTOP-2026-03-14"]  # fmt: skip


@pytest.mark.parametrize("base", COPIES)
def test_a_sync_copy_is_read_line_by_line(base):
    path = f"entries/2026/{base}.md"
    text, start, end = marked(
        SEASON["entries/2026/2026-03-10.md"]
        .replace("cosmos-26-1: 41", "⟧")
        .replace("checked ⟧ up", "⟦checked cosmos-26-1: 43 up⟧")
    )
    only({path: text}, path, start, end, "sync-copy", "2026-03-10.md")


@pytest.mark.parametrize("base", ["2026-03-11 (1)", "2026-03-10-mw", "2026-03-10 evening"])
def test_without_an_original_or_its_mark_a_file_is_a_day_file(base):
    loaded = load_texts(
        {**SEASON, f"entries/2026/{base}.md": SEASON["entries/2026/2026-03-10.md"]}, AS_OF
    )
    assert "sync-copy" not in {f.name for f in loaded.findings}
    assert all(e.used for e in loaded.book.entries)


SETTINGS = [
    ("⟦peple⟧: [jo]", "`people`"),
    ("units: ⟦metrik⟧", "`metric`"),
    ("latitude: ⟦523⟧", "between -90 and 90"),
    ("bunch size: ⟦ten⟧", "figures"),
    ("last frost: ⟦31 April⟧", "no day"),
    ("trays: ⟦[72⟧", "close them"),
    ("⟦units metric⟧", "`units: metric`"),
    ("⟦dates⟧: month first", "twice"),
    ("publish: {people: ⟦initals⟧}", "`initials`"),
    ("frost dates:\n  ⟦averge⟧: {last: 8 May}", "`average`"),
]


@pytest.mark.parametrize(("text", "says"), SETTINGS, ids=[x[0] for x in SETTINGS])
def test_a_slip_in_farm_yaml(text, says):
    plain, start, end = marked(f"{FARM}{text}\n")
    only({"entries/farm.yaml": plain}, "entries/farm.yaml", start, end, "unread-setting", says)


KINDS = [
    ("aster:\n  ⟦day to sprout⟧: 5-10", "`days to sprout`"),
    ("aster:\n  days to sprout: ⟦ten⟧", "7-14"),
    ("aster:\n  sown late for next year: ⟦maybe⟧", "`yes`"),
    ("aster:\n  light: ⟦drak⟧", "`dark`"),
    ("aster:\n  days to bloom: ⟦summer⟧", "90-120"),
    ("aster:\n  days to bloom: ⟦120-90⟧", "90-120"),
    ("aster:\n  stems per plant: ⟦lots⟧", "3-8"),
    ("aster:\n  weeks under cover: ⟦a few⟧", "6-8"),
    ("aster:\n  plant out: ⟦in May⟧", "-4 to -2"),
    ("aster:\n  spacing: ⟦25⟧", "25 cm, or 9 in"),
    ("aster:\n  spacing: ⟦9 feet deep⟧", "25 cm, or 9 in"),
    ("aster:\n  ⟦weeks under covr⟧: 6-8", "`weeks under cover`"),
    ("⟦cosmos⟧:\n  days to sprout: 5-10", "twice"),
]


@pytest.mark.parametrize(("text", "says"), KINDS, ids=[x[0] for x in KINDS])
def test_a_slip_in_crops_yaml(text, says):
    plain, start, end = marked(f"{CROPS}{text}\n")
    only({"entries/crops.yaml": plain}, "entries/crops.yaml", start, end, "unread-setting", says)
