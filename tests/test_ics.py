"""The calendar: by the rules of RFC 5545, by a calendar library of others, and by hand."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from conftest import ROOT, TWO_YEARS, make
from farm_kit import made, run
from kit import load_texts
from oracle.extras import enriched
from oracle.write import write
from strict_ics import NotAllowedError, lines, read, unescaped
from traybook.advice.due import TO_DO, coming
from traybook.advice.learnt import Learnt
from traybook.exports.calendar import calendar, due_happenings, plan_happenings, uid_of
from traybook.exports.ics import Happening, calendar_text, escaped, folded
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures
from traybook.site.build import build_site

DAY = dt.date(2026, 4, 1)
# Every character there is, halves of pairs and controls too.
ANY = st.text(st.characters(exclude_categories=()), max_size=200)
DAYS = st.dates(max_value=dt.date(9999, 1, 1))
THINGS = st.builds(
    Happening, uid=st.uuids().map(str), on=DAYS, until=st.none(), summary=ANY, description=ANY, where=ANY
)  # fmt: skip


def told(text: str) -> str:
    """What a calendar can say of a text: every break one line feed, no controls but the tab."""
    out = ""
    for line in text.splitlines(keepends=True):
        words = line.splitlines()[0]
        out += words + ("\n" if words != line else "")
    return "".join(
        c for c in out if c in "\t\n" or not (c < " " or c == "\x7f" or "\ud800" <= c < "\ue000")
    )


def learnt_of(texts: dict[str, str], as_of: dt.date = DAY, own: bool = True) -> Learnt:
    return Learnt(farm_figures(load_texts(texts, as_of, own).kept))


def events(text: str) -> dict[str, tuple]:
    """Events as (day, what, description, where) by UID."""
    cal = read(text.encode())
    return {
        e.text("UID"): (str(e.day("DTSTART")), e.text("SUMMARY"), e.text("DESCRIPTION"), e.text("LOCATION"))
        for e in cal.parts
    }  # fmt: skip


# -- any text


@given(ANY)
def test_any_text_reads_back_equal(text):
    assert unescaped(escaped(text)) == told(text)


@given(ANY)
def test_a_line_is_folded_at_75_octets_and_reads_back(text):
    line = "SUMMARY:" + escaped(text)
    parts = (folded(line) + "\r\n").encode().split(b"\r\n")[:-1]
    assert max(map(len, parts)) <= 75
    assert lines((folded(line) + "\r\n").encode()) == [line]
    # no part but the last has room for what follows, which is four octets at most
    assert all(len(p) >= 72 for p in parts[:-1])


@given(st.lists(THINGS, min_size=1, max_size=6), ANY)
def test_whatever_is_in_it_a_calendar_keeps_the_rules_and_reads_back(things, name):
    text = calendar_text(things, DAY, name)
    cal = read(text.encode())
    assert cal.text("NAME") == cal.text("X-WR-CALNAME") == told(name)
    want = sorted(things, key=lambda h: (h.on, h.uid))
    for event, h in zip(cal.parts, want, strict=True):
        assert (event.text("UID"), event.day("DTSTART")) == (h.uid, h.on)
        for key, words in (
            ("SUMMARY", h.summary),
            ("DESCRIPTION", h.description),
            ("LOCATION", h.where),
        ):
            assert event.text(key) == told(words)


@given(st.lists(THINGS, min_size=1, max_size=6))
def test_a_calendar_program_of_others_reads_the_same(things):
    # icalendar takes the second of two backslashes before an n for the start of a line break
    things = [h for h in things if not any(x in h.summary + h.where for x in ("\\n", "\\N"))]
    if not things:
        return
    cal = Calendar.from_ical(calendar_text(things, DAY, "x").encode())
    got = {str(e["UID"]): e for e in cal.events}
    assert len(got) == len(things)
    for h in things:
        e = got[h.uid]
        assert e.errors == []
        assert e["DTSTART"].dt == e.start == h.on
        assert e.duration == dt.timedelta(days=1)
        assert str(e.get("SUMMARY", "")) == told(h.summary)
        assert str(e.get("LOCATION", "")) == told(h.where)
        assert str(e["TRANSP"]) == "TRANSPARENT"


@given(
    st.permutations(
        [Happening(f"{n}@x", DAY + dt.timedelta(days=n % 3), None, "x") for n in range(8)]
    )
)
def test_the_order_in_which_things_come_changes_nothing(things):
    text = calendar_text(things, DAY, "x")
    assert text == calendar_text([*things, *things], DAY, "x")
    found = [(e.day("DTSTART"), e.text("UID")) for e in read(text.encode()).parts]
    assert found == sorted(found) and len(found) == 8


# -- by hand


def test_a_thing_of_several_days_by_hand():
    thing = Happening(
        "a-1-cut@x", dt.date(2026, 7, 1), dt.date(2026, 7, 15), "Zinnia: cut", "", "bed 1, bed 2"
    )
    want = (
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Traybook//Season calendar//EN\r\n"
        "CALSCALE:GREGORIAN\r\nNAME:Farm\\; south\r\nX-WR-CALNAME:Farm\\; south\r\n"
        "BEGIN:VEVENT\r\nUID:a-1-cut@x\r\nDTSTAMP:20260401T000000Z\r\n"
        "DTSTART;VALUE=DATE:20260701\r\nDTEND;VALUE=DATE:20260715\r\nSUMMARY:Zinnia: cut\r\n"
        "LOCATION:bed 1\\, bed 2\r\nTRANSP:TRANSPARENT\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    assert calendar_text([thing], DAY, "Farm; south") == want
    (event,) = Calendar.from_ical(want).events
    # the end is the day after the last one: 1 to 14 July
    assert (event.start, event.duration.days) == (dt.date(2026, 7, 1), 14)


def test_folding_by_hand():
    # 74 and 2 octets do not fit into 75: the ü goes onto the next line, behind its blank
    assert folded("x" * 74 + "üx") == "x" * 74 + "\r\n üx"
    assert folded("x" * 75) == "x" * 75
    assert folded("x" * 74 + "\\,") == "x" * 74 + "\r\n \\,"
    # 75, then 74 a line
    assert [len(p) for p in folded("x" * 200).split("\r\n")] == [75, 75, 52]


@pytest.mark.parametrize("until", [DAY, DAY - dt.timedelta(days=1)])
def test_what_ends_before_it_begins_is_a_mistake_of_ours(until):
    with pytest.raises(ValueError, match="a@x"):
        calendar_text([Happening("a@x", DAY, until, "x")], DAY, "x")


def test_two_things_of_one_uid_are_a_mistake_of_ours():
    one, two = (Happening("a@x", DAY, None, words) for words in ("x", "y"))
    with pytest.raises(ValueError, match="both called a@x"):
        calendar_text([one, two], DAY, "x")


GOOD = calendar_text(
    [Happening("a@x", DAY, None, "one, two"), Happening("b@x", DAY, None, "x")], DAY, "f"
)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("VERSION:2.0\r\n", ""),
        ("VERSION:2.0", "VERSION:1.0"),
        ("UID:a@x\r\n", ""),
        ("UID:a@x", "UID:b@x"),
        ("DTSTAMP:20260401T000000Z\r\n", ""),
        ("T000000Z", "T000000"),
        ("DTSTART;VALUE=DATE:20260401\r\n", ""),
        ("DTSTART;VALUE=DATE:20260401", "DTSTART:20260401"),
        ("DTSTART;VALUE=DATE:20260401", "DTSTART;VALUE=DATE:2026-04-01"),
        ("one\\, two", "one, two"),
        ("one\\, two", "one\\x two"),
        ("SUMMARY:one", "SUMMARY:\x0bone"),
        ("SUMMARY:one", "SUMMARY:" + "x" * 80),
        ("SUMMARY:one", "SUMMARY:x\r\nSUMMARY:one"),
        ("SUMMARY:one", "Summary one"),
        ("TRANSP:TRANSPARENT", "TRANSP:CLEAR"),
        ("TRANSP:TRANSPARENT", "COST:3"),
        ("END:VCALENDAR\r\n", ""),
        ("END:VEVENT", "END:VTODO"),
        ("\r\n", "\n"),
    ],
)
def test_the_strict_reader_sees_what_is_wrong(old, new):
    assert read(GOOD.encode()).parts
    assert old in GOOD
    with pytest.raises(NotAllowedError):
        read(GOOD.replace(old, new, 1).encode())


# -- of a farm

TEXTS = {
    "entries/farm.yaml": "name: Mill End, Flowers\n",
    "entries/crops.yaml": "stock:\n  days to sprout: 7-14\n",
    "entries/2026-03-01.md": "---\nreceived LAR-26: larkspur Mist Tower, 500 seeds\n"
    "sown stock-26-1: Iron Rose, 72 seeds, on shelf A; back row\nsown zinnia-26-1: 50 seeds\n---\n",
    "entries/2026-03-02.md": "---\nchilled LAR-26: 200 seeds, moist, in the fridge, 10 weeks\n---\n",
    "entries/2026-03-30.md": "---\nchecked zinnia-26-1: 40 up\nhardening off zinnia-26-1: out\n"
    "checked stock-26-1: none up\n---\n",
}


def test_a_farms_calendar_by_hand():
    learnt = learnt_of(TEXTS)
    # by hand, as in test_day_one.py: stock is given up 27 days after 1 March; ten weeks from 2 March
    # are 70 days; a look three days after the last; ten days of hardening off from 30 March
    assert events(calendar(learnt)) == {
        "stock-26-1-give-up@mill-end-flowers.traybook": (
            "2026-04-01", "stock-26-1: give up?",
            "Stock Iron Rose\nNothing came in twice the usual time; keep it or finish it. "
            "Due since 28 Mar 2026.\nAs of 1 Apr 2026.",
            "shelf A",
        ),
        "stock-26-1-look@mill-end-flowers.traybook": (
            "2026-04-02", "stock-26-1: look at it",
            "Stock Iron Rose\nThree days after the last look.\nAs of 1 Apr 2026.", "shelf A",
        ),
        "zinnia-26-1-plant@mill-end-flowers.traybook": (
            "2026-04-09", "zinnia-26-1: ready to plant out",
            "Zinnia\nTen days of hardening off.\nAs of 1 Apr 2026.", "",
        ),
        "larkspur-lar-26-cold-2026-03-02-out@mill-end-flowers.traybook": (
            "2026-05-11", "larkspur LAR-26: take it out",
            "Cold since 2 Mar, for 70 days.\nAs of 1 Apr 2026.", "fridge",
        ),
    }  # fmt: skip


def test_a_thing_keeps_its_uid_when_it_moves():
    later = TEXTS | {"entries/2026-04-02.md": "---\nchecked stock-26-1: 3 up\n---\n"}
    one, two = (
        events(calendar(learnt_of(t, d)))
        for t, d in ((TEXTS, DAY), (later, DAY + dt.timedelta(days=2)))
    )
    look = "stock-26-1-look@mill-end-flowers.traybook"
    assert (one[look][0], two[look][0]) == ("2026-04-02", "2026-04-05")
    assert set(one) - set(two) == {"stock-26-1-give-up@mill-end-flowers.traybook"}


def test_two_treatments_of_one_lot_are_two_things():
    more = TEXTS["entries/2026-03-02.md"].replace(
        "10 weeks\n", "10 weeks\nchilled LAR-26: 100 seeds, cellar, 6 weeks\n"
    )
    found = events(calendar(learnt_of(TEXTS | {"entries/2026-03-02.md": more})))
    assert {uid.partition("@")[0]: e[0] for uid, e in found.items() if "-out" in uid} == {
        "larkspur-lar-26-cold-2026-03-02-out": "2026-04-13",
        "larkspur-lar-26-cold-2026-03-02-out-2": "2026-05-11",
    }


def test_a_farm_with_nothing_to_do_has_a_calendar_that_says_so():
    found = events(calendar(learnt_of({"entries/2026-03-01.md": "noted: frost\n"})))
    assert found == {
        "nothing-due@farm.traybook": (
            "2026-04-01", "Nothing is due in the trays", "As of 1 Apr 2026.", "",
        )
    }  # fmt: skip


def test_things_of_others_join_in():
    learnt = learnt_of(TEXTS)
    uid = uid_of(learnt, "2026 stock iron rose 1 1 sow")
    more = [Happening(uid, dt.date(2026, 3, 20), None, "Sow stock Iron Rose")]
    text = calendar(learnt, more, [])
    assert "2026-stock-iron-rose-1-1-sow@mill-end-flowers.traybook" in events(text)
    assert len(events(text)) == len(due_happenings(learnt)) + 1


def test_nothing_private_and_nobody_is_in_the_shared_one():
    texts = TEXTS | {
        "entries/2026-03-20.md": "---\nprivate sown aster-26-1: Tokenflower, 30 seeds, hidden shelf\n"
        "private chilled LAR-26: 50 seeds, in the hidden shed, 9 weeks\n"
        "checked zinnia-26-1: 40 up, cost £12; by jo\n---\n"
    }
    own, shared = (calendar(learnt_of(texts, own=own)) for own in (True, False))
    for word in ("Tokenflower", "hidden shelf", "hidden shed", "aster-26-1"):
        assert word in own and word not in shared, word
    assert "£" not in own and "by jo" not in own
    assert set(events(shared)) < set(events(own))


@pytest.mark.parametrize(
    "as_of", ["2024-04-01", "2025-03-20", "2026-02-10", "2026-04-20", "2026-11-25"]
)
def test_the_demo_farms_calendar(as_of):
    on = dt.date.fromisoformat(as_of)
    learnt = Learnt(farm_figures(load(ROOT, on).kept))
    found = events(calendar(learnt))
    assert min(e[0] for e in found.values()) >= as_of
    today = {(str(d.on), f"{d.about}: {d.what.lower()}") for d in coming(learnt)}
    assert today <= {(e[0], e[1].lower()) for e in found.values()}
    assert len(found) == len(coming(learnt, None)) + len(plan_happenings(learnt)) > 3


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("as_of", [dt.date(2025, 4, 10), dt.date(2025, 6, 15)])
def test_calendars_of_random_farms_keep_the_rules(tmp_path, seed, as_of):
    write(enriched(seed), tmp_path, seed)
    for own in (True, False):
        learnt = Learnt(farm_figures(load(tmp_path, as_of, own).kept))
        text = calendar(learnt)
        assert len(events(text)) == max(1, len(coming(learnt, None)))
        assert len(Calendar.from_ical(text).events) == len(events(text))


# -- on the site and by the command


def test_the_site_serves_it_and_today_leads_to_it(two_years_site, tmp_path):
    site, _ = two_years_site
    data = (site / "calendar.ics").read_bytes()
    figures = farm_figures(load(make(tmp_path, TWO_YEARS), dt.date(2026, 6, 1), own=False).kept)
    assert data == calendar(Learnt(figures)).encode()
    assert read(data).parts
    front = (site / "index.html").read_text("utf-8")
    assert '<a href="calendar.ics">Put these days into your calendar</a>' in front


def test_an_empty_farms_site_has_one_too(tmp_path):
    folder = make(tmp_path, {"mkdocs.yml": TWO_YEARS["mkdocs.yml"]})
    (folder / "entries").mkdir()
    build_site(folder, folder / "site", DAY)
    (event,) = read((folder / "site/calendar.ics").read_bytes()).parts
    assert event.text("SUMMARY").startswith("Nothing is due")


def test_export_writes_it_the_same_twice(tmp_path):
    folder = made(tmp_path / "farm")
    got = []
    for name in ("one", "two"):
        out = run(folder, "export", "--to", str(tmp_path / name))
        assert out.exit_code == 0 and "calendar.ics" in out.stdout
        got.append((tmp_path / name / "calendar.ics").read_bytes())
    assert got[0] == got[1]
    assert {e.text("SUMMARY").partition(": ")[2] for e in read(got[0]).parts} <= {w.lower()[:1] + w[1:] for w in
                                                                                TO_DO.values()}  # fmt: skip
