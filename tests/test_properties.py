"""What must hold whatever is written."""

from __future__ import annotations

import datetime as dt
import random

from hypothesis import given, settings
from hypothesis import strategies as st

from kit import AS_OF, DAY0, load_texts, tables
from traybook.files.tree import Files
from traybook.pipeline import load_files
from traybook.rollup.farm import farm_figures
from traybook.rollup.tally import Tally, tally_of
from traybook.text.decode import decode
from traybook.text.source import Source

NUMBER = st.sampled_from(
    [
        "0",
        "1",
        "7",
        "31",
        "44",
        "60",
        "72",
        "90",
        "1,200",
        "none",
        "all",
        "half",
        "rest",
        "~40",
        "80 %",
        "½",
    ]
)
CAUSE = st.sampled_from(["", " to mice", " to damping off", " in bed 4 to frost", " in the 50s"])
CHECK = st.one_of(
    st.builds("{} up".format, NUMBER),
    st.builds("{} of {}".format, NUMBER, NUMBER),
    st.builds("{} lost{}".format, NUMBER, CAUSE),
    st.builds("{} left".format, NUMBER),
    st.builds("{} alive{}".format, NUMBER, st.sampled_from(["", " in bed 4", " in the 50s"])),
    st.builds("{} cells, {} seedlings".format, NUMBER, NUMBER),
    st.builds("{} to 50s".format, NUMBER),
    st.builds("{} seeds mouldy".format, NUMBER),
    st.builds("tray 1: {} of 36".format, NUMBER),
    st.just("first seen"),
    NUMBER,
)
LINE = st.one_of(
    st.builds("checked x-26-1: {}, {}".format, CHECK, CHECK),
    st.builds("checked x-26-1: {}".format, CHECK),
    st.builds("pricked out x-26-1: {} into 50s".format, NUMBER),
    st.builds("potted on x-26-1: {} from 50s into 9 cm pots, {} spare".format, NUMBER, NUMBER),
    st.builds("planted out x-26-1: {} to bed 4, {} to bed 5".format, NUMBER, NUMBER),
    st.builds("moved x-26-1: {} to frame".format, NUMBER),
    st.just("moved x-26-1: to shelf B"),
    st.builds("thinned x-26-1: {} out".format, NUMBER),
    st.builds("{} x-26-1: {}".format, st.sampled_from(["sold", "gave", "spare"]), NUMBER),
    st.builds("harvested x: {} stems".format, NUMBER),
    st.builds("finished x-26-1:{}".format, st.sampled_from(["", " paper", " done", " bed 4"])),
)
SOWN = st.sampled_from(
    [
        "72 seeds",
        "damp paper, 50 seeds",
        "36 cells, 2 per cell",
        "36 cells, 2-3 per cell",
        "72-cell tray",
        "open tray, 250 seeds",
        "bed 4, 3 rows x 40 ft",
        "2 x 36s, 1 per cell",
    ]
)
HISTORY = st.lists(st.tuples(st.integers(1, 40), LINE), max_size=12)


def farm_of(sown: str, history: list[tuple[int, str]]) -> dict[str, str]:
    texts = {f"entries/{DAY0}.md": f"sown x-26-1: {sown}\n"}
    for day, line in history:
        path = f"entries/{DAY0 + dt.timedelta(days=day)}.yaml"
        texts[path] = texts.get(path, "") + line + "\n"
    return texts


@settings(max_examples=300, deadline=None)
@given(SOWN, HISTORY)
def test_every_ledger_closes(sown, history):
    loaded = load_texts(farm_of(sown, history))
    s = farm_figures(loaded.kept).sowings["x-26-1"]
    for tally in (s.account.main, s.account.cells):
        if tally is None:
            continue
        assert tally.emerged == tally.standing + tally.taken + tally.lost + tally.missing
        assert min(tally.emerged, tally.standing, tally.taken, tally.lost, tally.missing) >= 0
        assert tally.limit is None or tally.emerged <= tally.limit
        assert [p.emerged for p in tally.points] == sorted(p.emerged for p in tally.points)
    for stand in s.account.stands:
        assert stand.entered == stand.alive + stand.lost + stand.out + stand.missing
        assert min(stand.alive, stand.lost, stand.out, stand.missing) >= 0
    for share in (s.up.share, s.up.cell_share):
        assert share is None or 0 <= share.low <= share.value <= share.high <= 1
    assert s.good_share is None or 0 <= s.good_share <= 1
    for f in loaded.findings:
        assert 0 <= f.at.start <= f.at.end <= len(f.at.source.text)


@settings(max_examples=100, deadline=None)
@given(SOWN, HISTORY)
def test_every_line_is_in_events_and_in_figures_or_left_out(sown, history):
    loaded = load_texts(farm_of(sown, history))
    rows = tables(loaded)
    assert len(rows["events.csv"]) == 1 + len(history)
    places = {(r["file"], r["line"]) for r in rows["events.csv"]}
    assert len(places) == 1 + len(history)
    aside = sum(r["weight"] in ("error", "pending") and bool(r["code"]) for r in rows["events.csv"])
    assert int(rows["sowings.csv"][0]["left_out"]) == aside


@settings(max_examples=60, deadline=None)
@given(SOWN, HISTORY, st.randoms(use_true_random=False))
def test_the_order_of_files_is_nothing(sown, history, chance: random.Random):
    texts = list(farm_of(sown, history).items())
    files = Files(days=[Source(p, t) for p, t in texts])
    one = load_files(files, AS_OF)
    chance.shuffle(texts)
    two = load_files(Files(days=[Source(p, t) for p, t in texts]), AS_OF)
    assert tables(one) == tables(two)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(SOWN, HISTORY), min_size=1, max_size=4), st.integers(0, 4))
def test_tallies_add_over_any_partition(farms, cut):
    figures = [farm_figures(load_texts(farm_of(*f)).kept).sowings["x-26-1"] for f in farms]
    whole = sum((tally_of(s) for s in figures), Tally())
    parts = [sum((tally_of(s) for s in part), Tally()) for part in (figures[:cut], figures[cut:])]
    assert whole == parts[0] + parts[1] == parts[1] + parts[0]


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_load(data):
    got = decode(data)
    loaded = load_texts({"entries/2026-03-14.md": got.text})
    tables(loaded)


WORDS = st.sampled_from(
    ["---", "checked", "sown", "x-26-1", ":", ": ", "\n", "\r\n", "  ", "- ", "{", "}", "[", "]", '"', "'", ",",
     "31 up", "2 lost to mice", "|", "#", "<<<<<<< a", "=======", ">>>>>>> b", "on 2026-02-30", "private ",
     "by jo", "; allow x", "\t", "\ufeff", "½", "—-", "finished", "harvested", "and", "of", "72", "date: ", "&a", "*a"]
)  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(st.lists(WORDS, max_size=40), st.sampled_from(["md", "yaml", "txt"]))
def test_any_words_load_and_every_span_lies_in_its_file(words, ending):
    text = "".join(words)
    path = f"entries/2026-03-14.{ending}"
    loaded = load_texts({path: text, "entries/2026-03-01.md": "sown x-26-1: 72 seeds\n"})
    for f in loaded.findings:
        assert 0 <= f.at.start <= f.at.end <= len(f.at.source.text)
        assert f.message and f.at.path.startswith("entries/")
    for entry in loaded.book.entries:
        assert entry.event.at.end <= len(entry.event.at.source.text)
        assert entry.event.text
    tables(loaded)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=200), st.text(max_size=200))
def test_any_settings_load(farm, crops):
    loaded = load_texts({"entries/farm.yaml": farm, "entries/crops.yaml": crops,
                         "entries/2026-03-01.md": "sown x-26-1: 72 seeds\n"})  # fmt: skip
    assert "x-26-1" in loaded.kept.accounts
