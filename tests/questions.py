"""Twenty-five questions a grower asks of last season's records before sowing again, each with its walk from
Today to the words that answer it.

What is asserted is worked out here from the journal's tables or lines, or stated with its reason; it is never
taken from the page.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from statistics import linear_regression, median

from scipy.stats import binom

from walk import Walk, date, day, short, total

# farm.yaml: the usual last frost.
LAST_FROST = "05-08"


@dataclass(frozen=True)
class Question:
    """A question, its number, and the taps in which it is answered."""

    number: int
    taps: int
    asks: str
    answer: Callable[[Walk], None]


QUESTIONS: list[Question] = []


def question(number: int, taps: int, asks: str):
    """Marks the walk that answers a question."""

    def keep(answer: Callable[[Walk], None]):
        QUESTIONS.append(Question(number, taps, asks, answer))
        return answer

    return keep


@question(1, 2, "When did I sow it last year, and was that too early, right or late?")
def sown_when(w: Walk) -> None:
    w.tap("Before sowing 2027")
    w.tap("Lisianthus")
    said = w.read("Lisianthus")
    (last,) = w.sowings("lisianthus", 2026)
    (bedded,) = w.data("plantings", code=last["code"])
    weeks = round((date(f"2026-{LAST_FROST}") - date(last["sown_on"])).days / 7)
    assert (
        f"{day(last['sown_on'])} ({weeks} weeks before the last frost), planted out "
        f"{short(bedded['on'])}, cut from {short(last['first_cut_on'])}"
    ) in said
    # Written on 26 July 2025, of the sowing of 2 April.
    assert "Lesson, 26 Jul 2025: April is far too late. Middle of January or not at all" in said


@question(2, 2, "Exactly how did I start the difficult ones that worked?")
def started_how(w: Walk) -> None:
    w.tap("Before sowing 2027")
    w.tap("Delphinium")
    table = "How delphinium was started"
    mine = w.sowings("delphinium")
    for place, heat, how in (
        ("porch bench", "no heat", "worked"), ("cellar floor", "no heat", "worked"), ("warm shelf", "heated", "failed"),
    ):  # fmt: skip
        here = [r for r in mine if r["place"] == place]
        assert {(r["container"], r["light"], r["cover_mm"]) for r in here} == {
            ("72-cell tray", "dark", "3")
        }
        row = w.row(table, place)
        assert f"{how} 72-cell tray, 1 seed a cell; cover 3 mm; dark; {place}; {heat}" in row
        assert f"{total(here, 'good')} of {total(here, 'seeds')} (" in row
        assert f"{len(here)} sowing" in row
    # What failed stands last.
    assert w.rows(table)[-1].startswith("failed")


@question(3, 3, "How many seeds must I sow for N plants?")
def seeds_for_plants(w: Walk) -> None:
    w.drawer()
    w.tap("Crops")
    w.tap("Zinnia")
    known = [r for r in w.sowings("zinnia") if r["good_share"] and int(r["emerged"])]
    share = total(known, "good") / total(known, "seeds")
    _, sow, even, *_ = numbers(w.row("How many to sow", "100 "))
    # Even odds: the plants by the share that became good ones, within a seed or two of rounding.
    assert abs(even - 100 / share) <= 2
    assert enough(100, sow, share)


@question(4, 1, "What must I order, net of what I have?")
def to_order(w: Walk) -> None:
    w.tap("Seed")
    # The plan wants 140 lisianthus in packets of 100; 20 seeds are left, and 20 are worth about as many.
    row = w.row("What to order for 2027", "Lisianthus")
    (lot,) = w.data("lots", lot="LIS-24")
    wanted = numbers(row)[0]
    raised = [r for r in w.sowings("lisianthus") if r["good_share"]]
    assert enough(140, wanted, total(raised, "good") / total(raised, "seeds"))
    assert f"{lot['seeds_left']} of LIS-24" in row
    assert f"{math.ceil((wanted - int(lot['seeds_left'])) / 100)} packets of 100" in row
    # Never grown, so none is there; packets of 30 by the plan.
    new = w.row("What to order for 2027", "Bells of ireland")
    assert f"none {math.ceil(numbers(new)[0] / 30)} packets of 30" in new


@question(5, 1, "How many plants do I need for S stems in weeks W1-W2?")
def plants_for_stems(w: Walk) -> None:
    w.tap("Plan 2027")
    # entries/plans/2027.yaml: snapdragon Cinder Rose, 600 stems in weeks 26-32. Those cut after the seventh
    # week of cutting come too late for it.
    mine = [r for r in w.sowings("snapdragon") if r["stems"] and r["stems_at_least"] == "false"]
    soon = 0
    for r in mine:
        end = date(r["first_cut_on"]) + dt.timedelta(weeks=7)
        cuts = w.data("harvests", code=r["code"])
        soon += total((h for h in cuts if date(h["on"]) < end), "stems")
    rate = soon / total(mine, "planted_out")
    row = w.row("Planned sowings", "snapdragon Cinder Rose")
    assert (
        f"snapdragon Cinder Rose {math.ceil(600 / rate)} for 600 stems; your own: 2 sowings" in row
    )
    assert f"{rate:.1f} stems a plant" in row and "the first 49 days of cutting" in row
    # Monday of week 26
    assert f" {short(dt.date.fromisocalendar(2027, 26, 1).isoformat())} (" in row


@question(6, 0, "What is due this week?")
def due(w: Walk) -> None:
    # Looked at last on 15 November: the next look is three days after.
    assert max(r["on"] for r in w.data("checks", code="snapdragon-26-3")) == "2026-11-15"
    now = w.row("Due on 25 Nov 2026", "snapdragon-26-3")
    assert "Look at it (since 18 Nov 2026)" in now and "warm shelf" in now
    out = next(r for r in w.lines("hardening off") if r["code"] == "cornflower-26-2")
    assert (date("2026-11-25") - date(out["on"])).days >= 10
    assert "Ready to plant out" in w.row("Due on 25 Nov 2026", "cornflower-26-2")
    # Sown on 16 November; no sweet pea was up before its tenth day.
    assert "Look at it" in w.row("Due on 26 Nov 2026", "sweet-pea-26-3")


@question(7, 1, "Which lots are too old or too weak?")
def weak_lots(w: Walk) -> None:
    w.tap("Seed")
    (old,) = w.data("lots", lot="LIS-24")
    row = w.row("Lots to look at first", "LIS-24")
    assert f"{2026 - int(old['packed_for'])} years old; such seed keeps about 1 year" in row
    (weak,) = w.data("lots", lot="SWE-25")
    assert "may be under half of the 80 % printed on it" in w.row("Lots to look at first", "SWE-25")
    tested = w.row("Lots of sweet pea", "SWE-25")
    # source: Wilson's interval for 1 of 10, 1.8 to 40.4 %
    assert f"{weak['tested_sprouted']} of {weak['tested_n']} (10 %, 2-40) on paper" in tested


@question(8, 3, "How long until I should expect it up, and when do I give up?")
def expected(w: Walk) -> None:
    w.drawer()
    w.tap("Crops")
    w.tap("Larkspur")
    known = [r for r in w.sowings("larkspur") if r["settled"] == "true"]
    days = {r.split(" day ")[0]: numbers(r)[-1] for r in w.rows("When to look for it")}
    half = numbers(w.row("When to look for it", "Half are up"))[0]
    assert abs(half - median(float(r["half_day"]) for r in known)) < 1
    late = days["Late, if nothing is up by"]
    # Late only after the first of every tray there ever was, and time to give up some way after that.
    assert all(float(r["first_up_after"]) < days["Look from"] + 5 for r in known)
    assert max(float(r["first_up_by"]) for r in known) < late < days["Give up after"]
    # Half up comes no later than this on any of its places.
    assert max(float(r["half_day"]) for r in known) < late


@question(9, 2, "When will it flower if I sow on day D?")
def flowers_when(w: Walk) -> None:
    w.tap("Before sowing 2027")
    w.tap("Amaranth")
    said = w.read("Amaranth")
    mine = [r for r in w.sowings("amaranth") if r["first_cut_on"]]
    took = [float(r["days_to_first_cut"]) for r in mine]
    line = linear_regression(*([of_year(r[k]) for r in mine] for k in ("sown_on", "first_cut_on")))
    for sown in ("2027-04-01", "2027-05-01", "2027-06-01"):
        cut = date("2027-01-01") + dt.timedelta(round(line.slope * of_year(sown) + line.intercept))
        assert f"sown {short(sown)}: about {short(cut.isoformat())}" in said
    assert f"your own: {min(took):.0f} to {max(took):.0f} days in {len(took)} sowings" in said


@question(10, 3, "Did each succession give a separate flush?")
def flushes(w: Walk) -> None:
    w.drawer()
    w.tap("Crops")
    w.tap("Zinnia")
    mine = w.sowings("zinnia", 2026)
    shares = []
    for a, b in pairwise(mine):
        first, last = date(b["first_cut_on"]), min(date(r["last_cut_on"]) for r in (a, b))
        both = (last - first).days + 1
        shares.append(both / min(cut_days(a), cut_days(b)))
        row = w.row("Successions of 2026", b["code"])
        assert f"{day(b['first_cut_on'])} " in row and f"{day(b['last_cut_on'])} " in row
        assert f"{both} days ({shares[-1]:.0%})".replace("%", " %") in row
    low, high = (f"{x:.0%}".replace("%", " %") for x in (min(shares), max(shares)))
    assert (
        "In 2026 each began while the one before was being cut, and was cut beside it for "
        f"at least {low} to {high} of the shorter of the two"
    ) in w.read("Successions")


@question(11, 3, "What interval should I use next time?")
def interval(w: Walk) -> None:
    w.drawer()
    w.tap("Crops")
    w.tap("Zinnia")
    mine = w.sowings("zinnia", 2026)
    cut = median(cut_days(r) for r in mine)
    pace = linear_regression(
        [date(r["sown_on"]).toordinal() for r in mine],
        [date(r["first_cut_on"]).toordinal() for r in mine],
    ).slope
    said = w.read("Successions")
    assert f"was cut for at least {cut:g} days" in said
    assert (
        f"for every 10 days of later sowing the first cut came {pace * 10:.1f} days later" in said
    )
    assert f"Next time sow no closer than every {round(cut / pace)} days" in said


@question(12, 2, "Which varieties earned their bed feet?")
def earned(w: Walk) -> None:
    w.tap("Season 2026")
    rows = w.rows("Most stems a metre of bed first")
    (best,) = w.data("sowings", code="snapdragon-26-1")
    length = float(w.data("plantings", code="snapdragon-26-1")[0]["length_m"])
    assert rows[0].startswith("Snapdragon Cinder Rose")
    assert f"{int(best['stems']) / length:.0f} {best['stems']} on {length:.1f} m" in rows[0]
    # Six sunflower sowings of a single stem each stand near the end.
    sun = w.sowings("sunflower", 2026)
    metres = sum(float(p["length_m"]) for s in sun for p in w.data("plantings", code=s["code"]))
    w.tap("The other 15")
    rest = w.rows("The other 15")
    row = w.row("The other 15", "Sunflower Lintel Yellow")
    assert f"{total(sun, 'stems') / metres:.0f} {total(sun, 'stems')} on {metres:.1f} m" in row
    assert len(rows) + len(rest) == 25 and rest.index(row) >= len(rest) - 3, "near the end"


@question(13, 3, "Which gave too little, and at which step was it lost?")
def lost_where(w: Walk) -> None:
    w.drawer()
    w.tap("Crops")
    w.tap("Orlaya")
    mine = w.sowings("orlaya", 2026)
    up, of = total(mine, "emerged"), total(mine, "seeds")
    good, planted = total(mine, "good"), total(mine, "planted_out")
    assert of - up > max(up - good, good - planted), "most did not come up"
    assert "2026: most were lost between sowing and coming up." in w.read()
    rows = w.rows("Steps from seed to bed")
    assert f"came up, of the seeds {up} of {of} (" in rows[0]
    assert f"made good plants, of those up {good} of {up} (" in rows[1]


@question(14, 2, "Where does it germinate best in this house?")
def best_place(w: Walk) -> None:
    w.drawer()
    w.tap("What worked")
    row = w.row("One way against another", "place: warm shelf against cellar floor")
    assert "clearly fewer came up" in row and "larkspur and orlaya" in row
    # Larkspur of one day and one packet each: 22 and 58 of 72 in 2025, 19 and 62 in 2026; orlaya 0 and 47.
    pairs = [("larkspur", 2025), ("larkspur", 2026), ("orlaya", 2026)]
    for crop, season in pairs:
        on = {r["place"]: int(r["emerged"]) for r in w.sowings(crop, season)}
        assert on["warm shelf"] < on["cellar floor"] / 2
    # The light differs with the place.
    assert "so the place gets no credit" in row


@question(15, 2, "Did cold treatment help, and which length?")
def cold(w: Walk) -> None:
    w.drawer()
    w.tap("What worked")
    row = w.row("One way against another", "treatment: ")
    chilled, plain = w.sowings("eryngium", 2026)
    # Chilled from 6 January and sown on 2 February: four weeks, and no better for it.
    assert (date(chilled["sown_on"]) - date("2026-01-06")).days == 27
    assert "cold 4 weeks" in row and "eryngium" in row
    for r in (chilled, plain):
        assert f"{r['emerged']} of {r['seeds']} in 1 sowing" in row
    assert "more came up" not in row and "fewer came up" not in row


@question(16, 2, "Covered or not, light or dark?")
def light_or_dark(w: Walk) -> None:
    w.drawer()
    w.tap("What worked")
    row = w.row("One way against another", "light: dark against light")
    mine = w.sowings("larkspur", 2025) + w.sowings("larkspur", 2026)
    shares = {
        light: total(some, "emerged") / total(some, "seeds")
        for light in ("dark", "light")
        if (some := [r for r in mine if r["light"] == light])
    }
    assert shares["dark"] > shares["light"] + 0.4
    assert "clearly more came up" in row and "larkspur" in row
    assert "place, heat and time of sowing so the light gets no credit" in row


@question(17, 3, "How many seeds per cell?")
def seeds_a_cell(w: Walk) -> None:
    w.drawer()
    w.tap("Crops")
    w.tap("Zinnia")
    mine = [r for r in w.sowings("zinnia") if r["in_germination"] == "true"]
    p = total(mine, "emerged") / total(mine, "seeds")
    for k in (1, 2):
        row = w.row("Seeds in a cell", f"{k} about")
        # 1 - (1 - p)^k, a little less where sowings differ.
        assert abs(numbers(row)[1] - 72 * (1 - (1 - p) ** k)) <= 2
        # Thinned out: what comes up beyond the first of each cell.
        assert abs(numbers(row)[-1] - 72 * (k * p - (1 - (1 - p) ** k))) <= 2
        assert f" {72 * k} " in row


@question(18, 1, "What did I plan and not do, or do and not plan?")
def planned_and_done(w: Walk) -> None:
    w.tap("Plan 2027")
    (sown,) = [r for r in w.sowings("sweet pea", 2027) if r["variety"] == "Linnet Blush"]
    # entries/plans/2027.yaml: sow: 18 October 2026
    lag = (date(sown["sown_on"]) - date("2026-10-18")).days
    row = w.row("Plan and what was done", "sweet pea Linnet Blush")
    assert f"18 Oct {sown['code']} {lag} days later" in row
    assert "not yet" in w.row("Plan and what was done", "bells of ireland")
    # Four sowings of 2027 so far, all of them kinds in the plan.
    done = {r["code"] for r in w.data("sowings", season="2027")}
    told = w.rows("Plan and what was done")
    assert len(done) == 4 and all(any(c in r for r in told) for c in done)
    assert not any("not in the plan" in r for r in told)


@question(19, 1, "What sold out or was substituted, and when did I order?")
def orders(w: Walk) -> None:
    w.tap("Seed")
    asked = next(r for r in w.lines("ordered") if "sold out" in r["text"])
    table = "Orders that did not come as ordered"
    row = next(r for r in w.rows(table) if "sold out" in r)
    assert row.startswith(f"lisianthus Glaze Plum sold out {day(asked['on'])}")
    came = next(r for r in w.lines("received") if "in place of" in r["text"])
    assert f"substituted {day(came['on'])}" in w.row(table, "delphinium Slate Spire")
    late = next(r for r in w.lines("received") if "weeks late" in r["text"])
    assert f"late {day(late['on'])} {day(asked['on'])}" in w.row(table, "five weeks late")


@question(20, 1, "How long was the cutting season and where were the gaps?")
def cutting(w: Walk) -> None:
    w.tap("Season 2026")
    weeks = {}
    for r in w.data("weeks", cut_year="2026"):
        weeks[int(r["week"])] = weeks.get(int(r["week"]), 0) + int(r["stems"])
    first, last, most = min(weeks), max(weeks), max(weeks, key=weeks.__getitem__)
    said = w.read("Cutting weeks")
    assert f"From week {first} to week {last}, most in week {most} ({weeks[most]:,} stems)." in said
    assert sorted(weeks) == list(range(first, last + 1))
    assert "Something was cut in every week between." in said
    lean = [k for k, n in weeks.items() if n < median(weeks.values()) / 3]
    assert f"a third of the middle week: {min(lean)} to {max(lean)}." in said


@question(21, 1, "Do I have bench, light and heat room for this plan?")
def room(w: Walk) -> None:
    w.tap("Plan 2027")
    # Lisianthus 3 trays and statice 4 stand on the warm shelf when zinnia's 2 come, in week 14: 9 for the 8
    # of farm.yaml. Before that it is 7.
    trays = {x: w.row("Planned sowings", x) for x in ("lisianthus", "statice", "zinnia, 1 of 3")}
    assert "3 trays of 128" in trays["lisianthus"] and "4 trays of 72" in trays["statice"]
    assert "2 trays of 72" in trays["zinnia, 1 of 3"]
    assert "warm shelf, week 14 of 2027: 9 trays, room for 8: over-full." in w.read(
        "Room on the shelves"
    )
    assert "7 of 8" in w.row("Trays by week and place", "week 13")


@question(22, 2, "Did pinching or netting change stems and dates?")
def netted(w: Walk) -> None:
    w.drawer()
    w.tap("What worked")
    row = w.row("Done beside not done", "Snapdragon 2026 netted")
    (net,), (bare,) = (w.data("sowings", code=f"snapdragon-26-{n}") for n in (2, 1))
    for r in (net, bare):
        rate = int(r["stems"]) / int(r["planted_out"])
        assert f"{rate:.1f} {r['stems']} stems, {r['planted_out']} plants, 1 sowing" in row
        assert f"{float(r['days_to_first_cut']):.0f} days from {day(r['first_cut_on'])}" in row
    assert "one sowing each: no more than a hint" in row


@question(23, 2, "What came through winter?")
def winter(w: Walk) -> None:
    w.drawer()
    w.tap("What worked")
    row = w.row("What came through winter", "larkspur-25-3")
    # Planted 1 November 2025; 49 alive on 5 March.
    (bedded,) = w.data("plantings", code="larkspur-25-3")
    seen = next(
        r for r in w.lines("checked") if r["code"] == "larkspur-25-3" and r["on"] == "2026-03-05"
    )
    alive = int(seen["text"].split(":")[1].split()[0])
    assert f"{bedded['plants']} plants" in row and "no cover written" in row
    assert f"{alive} of {bedded['plants']} (" in row and "counted 5 Mar 2026" in row


@question(24, 2, "What pest or disease came, when and where?")
def pests(w: Walk) -> None:
    w.drawer()
    w.tap("What worked")
    mice = [
        r for r in w.lines("checked", "lost")
        if r["on"].startswith("2026") and ("lost to mice" in r["text"] or "lost to a mouse" in r["text"])
    ]  # fmt: skip
    row = w.row("Pests and diseases in 2026", "Mice 2026")
    weeks = [date(r["on"]).isocalendar().week for r in mice]
    lost = sum(int(re.search(r"(\d+) lost to", r["text"])[1]) for r in mice)
    assert (
        f"Mice 2026 {len(mice)} times {lost} lost" in row and f"{min(weeks)} to {max(weeks)}" in row
    )
    # The whole tray of 6 May stood on the tunnel bench.
    assert "zinnia" in row and "tunnel bench" in row


@question(25, 0, "What did helpers write that I never answered?")
def unanswered(w: Walk) -> None:
    asked, answered = w.lines("question"), w.lines("answered")
    subjects = [r["subject_written"] for r in answered]
    waiting = [r for r in asked if r["subject_written"] not in subjects]
    assert 0 < len(waiting) < len(asked)
    rows = w.rows("Questions that wait for an answer")
    assert len(rows) == len(waiting)
    for r, row in zip(reversed(waiting), rows, strict=True):
        assert r["text"].split(": ", 1)[1] in row and f"{day(r['on'])} {r['by']}" in row


def enough(plants: int, seeds: int, share: float) -> bool:
    """Whether so many seeds are about right, nine times in ten: more than luck with seeds alone would take, since
    sowings differ too, and not half as many again."""
    least = next(n for n in range(plants, 9999) if binom.sf(plants - 1, n, share) >= 0.9)
    return least < seeds < 1.5 * least


def cut_days(sowing: dict[str, str]) -> int:
    """Days from the first cut to the last, both among them."""
    return (date(sowing["last_cut_on"]) - date(sowing["first_cut_on"])).days + 1


def of_year(iso: str) -> int:
    """Days from New Year."""
    return date(iso).timetuple().tm_yday - 1


def numbers(row: str) -> list[int]:
    """The whole numbers of a row, in order."""
    words = row.replace(",", "").replace("(", " ").replace(")", " ").split()
    return [int(x) for x in words if x.isdigit()]
