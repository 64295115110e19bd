"""The pages that are good on day one: what is due, what stands where, beds, diary, what to put right."""

from __future__ import annotations

import datetime as dt
import threading
import time
import urllib.request

import pytest

from conftest import TWO_YEARS, make
from kit import DAY0, days, load_texts
from traybook.advice.due import due
from traybook.advice.standing import beds, by_place, standing
from traybook.pages.build import build_pages
from traybook.rollup.farm import farm_figures
from traybook.site.build import build_site
from traybook.site.preview import Preview

CROPS = {"entries/crops.yaml": "stock:\n  days to sprout: 7-14\n"}
# by hand: mu = ln sqrt(7 x 14), s^2 = .22^2 + (ln 2/3.29)^2 = .3047^2; wide, so 1.28 s to either side:
# first look 9.899 x 49^(-1/8) x e^(-.39) = 4.12 -> 5; late 9.899 x 9^(1/8) x e^.39 = 19.24 -> 20;
# given up at 2 x 9.899 x 9^(1/8) = 26.06 -> 27


def farm(lines: dict[str, str], as_of: str):
    texts = CROPS | {f"entries/{day}.md": text for day, text in lines.items()}
    return farm_figures(load_texts(texts, dt.date.fromisoformat(as_of)).kept)


def told(lines: dict[str, str], as_of: str):
    found = due(farm(lines, as_of), dt.date.fromisoformat(as_of))
    return [(str(d.on), d.kind, d.since and str(d.since)) for d in found]


SOWN = {"2026-03-01": "sown stock-26-1: 72 seeds, warm shelf"}


def test_a_fresh_sowing_is_looked_at_when_the_first_may_be_up():
    assert told(SOWN, "2026-03-02") == [("2026-03-06", "look", None)]
    assert ("2026-03-21", "late", None) in told(SOWN, "2026-03-08")


def test_late_and_time_to_give_up_while_nothing_is_up():
    lines = SOWN | {"2026-03-14": "checked stock-26-1: none up"}
    assert told(lines, "2026-03-22") == [
        ("2026-03-22", "late", "2026-03-21"),
        ("2026-03-28", "give up", None),
    ]
    assert told(lines, "2026-03-30") == [("2026-03-30", "give up", "2026-03-28")]


def test_one_walk_to_a_tray_is_one_thing_due_a_day():
    two = {"2026-03-01": "sown stock-26-1: 72 seeds\nsown stock-26-2: 40 seeds"}
    assert told(two, "2026-03-14")[0] == ("2026-03-14", "look", "2026-03-06")
    assert [d for d in told(two, "2026-03-22") if d[0] == "2026-03-22"] == [
        ("2026-03-22", "late", "2026-03-21")
    ] * 2
    # a look after the day it is late is due on a day of its own
    lines = SOWN | {"2026-03-14": "checked stock-26-1: none up"}
    assert told(lines, "2026-03-15") == [
        ("2026-03-17", "look", None),
        ("2026-03-21", "late", None),
        ("2026-03-28", "give up", None),
    ]
    front = pages_of(CROPS | {"entries/2026-03-01.md": two["2026-03-01"]}, "2026-03-22")[
        "index.html"
    ]
    assert front.lead[0].startswith("2 things on Sunday 22 Mar 2026")


def test_once_some_are_up_it_is_looked_at_every_three_days_until_settled():
    lines = SOWN | {"2026-03-10": "checked stock-26-1: 31 up"}
    assert told(lines, "2026-03-11") == [("2026-03-13", "look", None)]
    lines |= {"2026-03-29": "checked stock-26-1: 50 up", "2026-03-31": "checked stock-26-1: 50",
              "2026-04-02": "checked stock-26-1: 50"}  # fmt: skip
    assert told(lines, "2026-04-03") == []


def test_ten_days_of_hardening_off_and_it_is_ready():
    lines = SOWN | {
        "2026-03-10": "checked stock-26-1: 60 up",
        "2026-04-01": "hardening off stock-26-1: out",
    }
    assert told(lines, "2026-04-05") == [("2026-04-11", "plant", None)]
    planted = lines | {"2026-04-11": "planted out stock-26-1: 60 to bed 1"}
    assert told(planted, "2026-04-12") == []


def test_nothing_is_due_for_a_finished_sowing():
    assert told(SOWN | {"2026-03-05": "finished stock-26-1: mice"}, "2026-03-20") == []


MOVING = {
    "2026-03-01": "sown stock-26-1: 72-cell tray, 1 per cell, on the warm shelf\nsown ammi-26-1: 40 seeds",
    "2026-03-12": "checked stock-26-1: 60 up\nmoved stock-26-1: half to the cold frame",
    "2026-03-20": "potted on stock-26-1: 20 into 9 cm pots\nmoved stock-26-1: the 9 cm pots to the tunnel bench",
    "2026-04-20": "planted out stock-26-1: 18 from pots to bed 3 at 20 cm, 4 rows, 2 spare",
    "2026-05-20": "checked stock-26-1: 15 alive in bed 3",
}


def test_what_stands_where():
    found = standing(farm(MOVING, "2026-04-01"))
    assert [(x.code, x.stand, x.place, x.plants) for x in found] == [
        ("stock-26-1", "where sown", "warm shelf", 10),
        ("stock-26-1", "where sown", "cold frame", 30),
        ("stock-26-1", "9 cm pots", "tunnel bench", 20),
        ("ammi-26-1", "where sown", "no place said", None),
    ]
    assert sum(x.plants or 0 for x in found) == 60
    assert list(by_place(farm(MOVING, "2026-04-01"))) == [
        "cold frame",
        "tunnel bench",
        "warm shelf",
        "no place said",
    ]


def test_what_is_in_the_beds_and_was_before():
    lines = MOVING | {"2025-05-01": "sown zinnia-25-1: 50 seeds", "2025-06-01": "planted out zinnia-25-1: 40 to bed 3",
                      "2025-10-01": "finished zinnia-25-1: frost"}  # fmt: skip
    found = beds(farm(lines, "2026-06-01"))["bed 3"]
    assert [(x.code, str(x.since), x.until and str(x.until), x.plants, x.alive) for x in found] == [
        ("stock-26-1", "2026-04-20", None, 18, 15),
        ("zinnia-25-1", "2025-06-01", "2025-10-01", 40, 40),
    ]


def test_plants_in_beds_are_named_where_they_are_not_listed():
    lines = MOVING | {
        "2026-04-22": "planted out stock-26-1: 10 from the tray to bed 3 at 20 cm",
        "2026-05-01": "sown nigella-26-1: direct in bed 5, 2 rows x 12 m",
    }
    texts = {f"entries/{day}.md": text for day, text in lines.items()}
    pages = pages_of(texts, "2026-05-10")
    for address in ("standing-now.html", "by-place.html"):
        page = pages[address]
        assert "beds" in page.lead[-1]
        first, other = page.links
        assert (first.text, first.to) == ("28 plants and 1 direct sowing in 2 beds", "beds.html")
        assert other.to in ("standing-now.html", "by-place.html") and other.to != address
    early = pages_of(texts, "2026-04-01")
    assert len(early["standing-now.html"].lead) == 1 and "28 plants" not in str(
        early["standing-now.html"].links
    )


def test_beds_name_the_planted_ones_and_fold_up_what_was_there_before():
    farm_yaml = {"entries/farm.yaml": "beds:\n  bed 3: {}\n  bed 4: {}\n  bed 5: {}\n"}
    lines = MOVING | {
        "2025-05-01": "sown zinnia-25-1: Plum, 50 seeds",
        "2025-06-01": "planted out zinnia-25-1: 20 to bed 3, 20 to bed 4",
        "2025-10-01": "finished zinnia-25-1: frost",
    }
    page = pages_of(
        farm_yaml | {f"entries/{day}.md": text for day, text in lines.items()}, "2026-06-01"
    )["beds.html"]
    assert page.lead == ("1 of 3 beds planted: bed 3.",)
    assert (page.links[0].text, page.links[0].to) == ("Bed 3", "beds.html#bed-3")
    third, fourth, fifth = page.blocks
    assert [r[0].text for r in third.table.rows] == ["stock-26-1"]
    assert [r[0].text for r in third.before.rows] == ["zinnia-25-1"]
    assert third.before.caption == "1 sowing in bed 3 before"
    assert fourth.words == ("Empty since 1 Oct 2025, after zinnia Plum.",)
    assert (fourth.table, fifth.table, fifth.before) == (None, None, None)
    assert fifth.words == ("Empty: nothing has been planted here yet.",)


def pages_of(texts: dict[str, str], as_of: str, own: bool = True):
    loaded = load_texts(texts, dt.date.fromisoformat(as_of), own)
    return {p.address: p for p in build_pages(farm_figures(loaded.kept), loaded.findings)}


def test_a_month_of_the_diary_holds_lines_and_prose():
    texts = {
        "entries/2026-03-14.md": "---\nnoted: mild\n---\nFirst *warm* day.\nMice.\n\nMore tomorrow.\n"
    }
    page = pages_of(texts, "2026-04-01")["diary/2026-03.html"]
    (day,) = page.days
    assert day.prose == ("First *warm* day.\nMice.", "More tomorrow.")
    assert [x.text for x in day.lines] == ["noted: mild"]


def test_put_right_is_in_the_own_build_only():
    texts = {"entries/2026-03-14.md": "checked stock-26-9: 31 up\n"}
    own, shared = (pages_of(texts, "2026-04-01", own) for own in (True, False))
    (told,) = own["put-right.html"].blocks[0].told
    assert (told.name, told.why) == ("unknown-code", "")
    (place,) = told.places
    assert place.where == "entries/2026-03-14.md, line 1"
    assert (place.before, place.marked, place.after) == ("checked ", "stock-26-9", ": 31 up")
    assert "put-right.html" not in shared


@pytest.mark.parametrize(
    "texts", [{}, {"entries/2026-03-01.md": "sown stock: 72 seeds\n"}], ids=["empty", "first week"]
)
def test_an_empty_farm_and_a_first_week_build(tmp_path, texts):
    folder = make(tmp_path, {"mkdocs.yml": TWO_YEARS["mkdocs.yml"]} | texts)
    (folder / "entries").mkdir(exist_ok=True)
    assert build_site(folder, folder / "site", dt.date(2026, 3, 3)).warnings == ()
    front = (folder / "site/index.html").read_text("utf-8")
    assert ("Look at it" in front) == bool(texts)


def get(address: str) -> str:
    with urllib.request.urlopen(address, timeout=5) as answer:  # noqa: S310 - our own server
        return answer.read().decode()


def test_preview_builds_anew_and_keeps_serving_when_an_entry_is_broken(tmp_path):
    folder = make(tmp_path, TWO_YEARS)
    lines: list[str] = []
    shown = Preview(folder, lines.append, dt.date(2026, 6, 1))
    thread = threading.Thread(target=shown.run, args=(0,))
    thread.start()
    try:
        wait(lambda: any("http://" in x for x in lines))
        base = next(x for x in lines if "http://" in x).split()[1]
        assert "PLANTEDTOKEN" in get(base + "sowings/aster-25-1.html"), (
            "the own build holds private lines"
        )
        first = get(base + "built-now")
        (folder / "entries/2026-05-01.md").write_text(
            "checked stock-26-1: {up: 61\nsown ammi-26-1: 9 seeds\n", "utf-8"
        )
        wait(lambda: get(base + "built-now") != first)
        assert "broken-braces" in get(base + "put-right.html")
        assert "broken-braces,error," in get(base + "data/findings.csv")
        assert "0 of 9" in get(base + "sowings/ammi-26-1.html") or "not counted" in get(
            base + "sowings/ammi-26-1.html"
        )
        (folder / "mkdocs.yml").write_text("plugins: [", "utf-8")
        wait(lambda: any("not built" in x for x in lines))
        assert "put-right" in get(base + "index.html")
    finally:
        shown.stopped.set()
        thread.join(timeout=10)
    assert not thread.is_alive()


def wait(ready, seconds: float = 20) -> None:
    end = time.monotonic() + seconds
    while not ready():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.1)


def test_what_went_wrong_stands_on_the_season():
    texts = {
        "entries/2026-03-01.md": "sown stock-26-1: 72 seeds\nsown ammi-26-1: 50 seeds\nsown zinnia-26-1: 40 seeds",
        "entries/2026-03-10.md": "checked stock-26-1: 60 up\nchecked zinnia-26-1: 38 up\nchecked ammi-26-1: none up",
        "entries/2026-03-14.md": "checked stock-26-1: 24 lost to damping off\nfinished ammi-26-1: dried out over a weekend",
        "entries/2026-03-16.md": "checked stock-26-1: 33 up",
    }
    blocks = {b.anchor: b for b in pages_of(texts, "2026-04-01")["seasons/2026.html"].blocks}
    rows = [[c.text for c in row] for row in blocks["went-wrong"].table.rows]
    assert rows == [
        ["ammi-26-1", "failed", "-", "-", "dried out over a weekend"],
        ["stock-26-1", "24 lost", "24 plants to damping off", "3", "-"],
    ]


def wrong(texts: dict[str, str], own: bool = True):
    """The table of what went wrong, by its columns."""
    blocks = pages_of(texts, "2026-11-01", own)["seasons/2026.html"].blocks
    found = next(b.table for b in blocks if b.anchor == "went-wrong")
    names = found.columns
    return [dict(zip(names, (c.text for c in row), strict=True)) for row in found.rows]


def test_a_failure_nobody_explained_says_so_and_at_home_where_to_write_it():
    texts = {
        "entries/2026-03-01.md": "sown ammi-26-1: 50 seeds",
        "entries/2026-03-20.md": "noted: cold\nchecked ammi-26-1: none up\nfinished ammi-26-1",
    }
    (own,), (shared,) = wrong(texts), wrong(texts, own=False)
    assert shared["Why it failed"] == "no reason written"
    assert own["Why it failed"].startswith("no reason written; say why on its `finished` line, ")
    assert own["Why it failed"].endswith("entries/2026-03-20.md:3")


def test_the_end_of_a_crop_is_no_loss():
    texts = {
        "entries/2026-03-01.md": "sown stock-26-1: 72 seeds\nsown ammi-26-1: 50 seeds\nsown zinnia-26-1: 40 seeds",
        "entries/2026-03-12.md": "checked stock-26-1: 60 up\nchecked ammi-26-1: 40 up\nchecked zinnia-26-1: 38 up",
        "entries/2026-05-12.md": "planted out stock-26-1: 60 to bed 1\nplanted out ammi-26-1: 40 to bed 2\n"
        "planted out zinnia-26-1: 38 to bed 3",
        "entries/2026-06-12.md": "checked stock-26-1: 50 alive, 10 lost to slugs\n"
        "checked ammi-26-1: 30 alive, 10 lost to slugs\nchecked zinnia-26-1: 8 alive, 30 lost, season over",
        "entries/2026-10-12.md": "finished stock-26-1: finished flowering\nfinished ammi-26-1: frost; season over\n"
        "finished zinnia-26-1: over",
    }
    said = {r["Sowing"]: r for r in wrong(texts)}
    assert set(said) == {"stock-26-1", "ammi-26-1"}, "the zinnias were over, not lost"
    assert said["stock-26-1"]["How it ended"] == "-"
    assert said["ammi-26-1"]["How it ended"] == "frost"
    assert "Why it failed" not in said["stock-26-1"]
    page = pages_of(texts, "2026-11-01")["sowings/zinnia-26-1.html"]
    assert {f.name: f.value for f in page.facts}["Lost"] == "30 plants when the crop was over"


def test_a_treatment_is_due_out_on_its_planned_day():
    texts = days(
        (
            0,
            "received LAR-26: larkspur Mist Tower, 500 seeds\nsown x-26-1: 72-cell tray, 1 per cell",
        ),
        (1, "chilled LAR-26: 200 seeds, moist, in the fridge, 2 weeks\nchilled x-26-1: 10 days"),
    )
    loaded = load_texts(texts, as_of=DAY0 + dt.timedelta(days=5))
    found = due(farm_figures(loaded.kept), DAY0 + dt.timedelta(days=5))
    # 2 March and two weeks is 16 March; and 10 days is 12 March; a tray in the cold isn't looked at
    assert [(d.on, d.kind, d.code, d.seed, d.where) for d in found] == [
        (dt.date(2026, 3, 12), "out", "x-26-1", "", ""),
        (dt.date(2026, 3, 16), "out", "", "larkspur LAR-26", "fridge"),
    ]
    texts |= days((14, "chilled LAR-26: out\nchilled x-26-1: out"))
    loaded = load_texts(texts, as_of=DAY0 + dt.timedelta(days=15))
    kinds = {d.kind for d in due(farm_figures(loaded.kept), DAY0 + dt.timedelta(days=15))}
    assert "out" not in kinds
