"""Before sowing: a row a kind, opening to what worked, what failed, and what was asked or learnt."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from itertools import groupby

from traybook.advice.coming import EXAMPLE, coming_year, plan_for, with_grown
from traybook.advice.frosts import frost_of, frosts
from traybook.advice.learnt import Learnt
from traybook.advice.needs import plants_for
from traybook.advice.plan_steps import first_cut, latest_sowing
from traybook.advice.planning import Planned, planned_lines, timing_of
from traybook.pages import words
from traybook.pages.addresses import BEFORE, crop_address, figure_anchor, plan_address
from traybook.pages.crop import germination_words
from traybook.pages.learnt import good_words, ranked_recipes, recipe_words
from traybook.pages.lines import lessons
from traybook.pages.model import Block, Cell, Fact, Link, Page, Table, cell, table
from traybook.pages.plan import between, need_words, trays_words
from traybook.rollup.kind import KindSeason
from traybook.rollup.questions import open_questions
from traybook.rollup.ranking import Ranked
from traybook.rollup.sowing import SowingFigures
from traybook.text.days import short_day
from traybook.text.names import fold, slug

# Stems that plants are told for.
_STEMS = 100
_REMARKS = ("keep", "drop", "more", "less")


def before_page(learnt: Learnt) -> Page:
    """The page; on a farm that has sown and planned nothing, how to begin."""
    year = coming_year(learnt)
    lines = with_grown(learnt, plan_for(learnt, year))
    made = planned_lines(learnt, lines)
    kinds = [(crop, list(found)) for crop, found in groupby(sorted(made, key=_crop), key=_crop)]
    rows = tuple(_row(found, learnt) for _, found in kinds)
    planned = any(p.year == year for p in learnt.figures.kept.book.plans)
    columns = ("Kind", "Last result", "How many", "When", "How", "Watch")
    return Page(
        template="list",
        address=BEFORE,
        title=f"Before sowing {year}",
        lead=tuple(_lead(year, planned, bool(rows))),
        blocks=(
            *((Block("", "kinds", (), table("Kinds to sow", columns, rows)),) if rows else ()),
            *(_opened(found, learnt) for _, found in kinds),
        ),
        links=(Link(f"Plan {year}", plan_address(year)),) if planned else (),
        rests_on=learnt.figures.kept.book.last_day,
        nav="Before sowing",
    )


def _crop(p: Planned) -> str:
    return fold(p.line.crop)


def _lead(year: int, planned: bool, any_: bool) -> Iterator[str]:
    if not any_:
        yield "Nothing was sown or planned here yet."
    else:
        yield (
            "One row a kind: how it came up last time, how many to sow, when and how. Your own sowings "
            "come first; where there are none it goes by the handbook, and says so. Tap a kind to open it."
        )
    if not planned:
        yield (
            f"There is no plan for {year} yet, so numbers are for as many plants as you planted last. "
            f"Write one in entries/plans/{year}.yaml, as `zinnia: 120 plants`."
        )


def anchor_of(crop: str) -> str:
    """Where a kind opens."""
    return f"kind-{slug(crop)}"


def _row(found: list[Planned], learnt: Learnt) -> tuple[Cell, ...]:
    crop = found[0].line.crop
    kinds = _kinds(crop, learnt)
    best = _best(kinds, learnt)
    plants = sum(p.plants for p in found)
    sow = [p.sow for p in found if p.sow]
    more = "" if len(sow) < 2 else f"then {words.listed([short_day(d) for d in sow[1:]])}"
    return (
        cell(crop.capitalize(), f"{BEFORE}#{anchor_of(crop)}"),
        cell(*_last(kinds)),
        cell(_number(found), more=f"for {words.many(plants, 'plant', 'plants')}"),
        cell(between(found[0].step("sow")) or "not known", more=more),
        cell(recipe_words(best.parts) if best else _published(crop, learnt)),
        cell(_watch(found, learnt)),
    )


def _number(found: list[Planned]) -> str:
    """The sum over its sowings, in one unit."""
    units = {p.need.unit for p in found}
    numbers = [p.need.number for p in found]
    if len(units) > 1 or None in numbers:
        return "; ".join(dict.fromkeys(need_words(p.need) for p in found))
    return f"{sum(n for n in numbers if n):,} {units.pop()}"


def _kinds(crop: str, learnt: Learnt) -> list[KindSeason]:
    """Its seasons from seed, the latest first."""
    found = [
        k for k in learnt.figures.kinds if fold(k.crop) == fold(crop) and k.measure != "bought in"
    ]
    return sorted(found, key=lambda k: -k.season)


def _last(kinds: list[KindSeason]) -> tuple[str, str, str]:
    """The words for its latest season with a count, where they lead, and the season."""
    if not kinds:
        return "never sown here", "", ""
    k = next((k for k in kinds if k.tally.entered), kinds[0])
    half = f", half by day {k.tally.half_day:.0f}" if k.tally.half_day is not None else ""
    return (
        germination_words(k),
        f"{crop_address(k.crop)}#sowings-{k.season}",
        f"{k.season}, {words.MEASURES[k.measure]}{half}"
        if k.measure != "up"
        else f"{k.season}{half}",
    )


def _best(kinds: list[KindSeason], learnt: Learnt) -> Ranked | None:
    found = _recipes(kinds, learnt)
    return found[0] if found and found[0].good else None


def _recipes(kinds: list[KindSeason], learnt: Learnt) -> tuple[Ranked, ...]:
    """Of the measure it was sown by last: others count different things."""
    alike = [k for k in kinds if k.measure == kinds[0].measure]
    return ranked_recipes(alike, learnt) if alike else ()


def _published(crop: str, learnt: Learnt) -> str:
    fact = learnt.figures.kept.book.fact(crop)
    if fact is None:
        return "nothing is known of it yet"
    said = [
        fact.pre_treatment,
        "surface" if fact.depth_mm == 0 else f"cover {fact.depth_mm:g} mm" if fact.depth_mm else "",
        fact.light if fact.light in ("light", "dark") else "",
    ]
    return "published: " + ("; ".join(x for x in said if x) or "nothing special")


def _watch(found: list[Planned], learnt: Learnt) -> str:
    crop = found[0].line.crop
    told = [words.many(n, one, more) for n, one, more in (
        (len(_lessons(crop, learnt)), "lesson", "lessons"),
        (len(_open(crop, learnt)), "open question", "open questions"),
    ) if n]  # fmt: skip
    doubts = [d for p in found for d in p.doubts]
    fact = learnt.figures.kept.book.fact(crop)
    caution = [f"caution: {fact.hazard}"] if fact and fact.hazard else []
    return "; ".join([*dict.fromkeys(d.rstrip(".") for d in doubts), *told, *caution])


def _lessons(crop: str, learnt: Learnt) -> list[str]:
    return [
        f"{words.day(e.event.on)}: {note}"
        for note, e in lessons(learnt.figures.kept.book)
        if fold(e.ref.crop) == fold(crop)
    ]


def _open(crop: str, learnt: Learnt) -> list[str]:
    return [
        f"{words.day(e.event.on)}: {e.event.note or e.event.text}"
        for e in open_questions(learnt.figures.kept.book)
        if fold(e.ref.crop) == fold(crop)
    ]


def _said(crop: str, learnt: Learnt) -> list[str]:
    """Keep, drop, more and less of it, the latest first."""
    found = [
        e for e in learnt.figures.kept.book.entries
        if e.used and e.event.verb in _REMARKS and fold(e.ref.crop) == fold(crop)
    ]  # fmt: skip
    return [
        f"{words.day(e.event.on)}: {e.event.verb}" + (f", {e.event.note}" if e.event.note else "")
        for e in reversed(found)
    ]


def _opened(found: list[Planned], learnt: Learnt) -> Block:
    """All there is to know of one kind before it is sown again."""
    crop = found[0].line.crop
    kinds = _kinds(crop, learnt)
    recipes = _recipes(kinds, learnt)
    return Block(
        crop.capitalize(),
        anchor_of(crop),
        tuple(_words(crop, learnt)),
        _recipe_table(crop, recipes),
        how=figure_anchor("recipes") if recipes else "",
        after=(f"More: the page of {crop} holds every season and sowing.",) if kinds else (),
        fold=f"sow {short_day(found[0].sow)}" if found[0].sow else "no day known yet",
        facts=tuple(_facts(found, kinds, learnt)),
    )


def _facts(found: list[Planned], kinds: list[KindSeason], learnt: Learnt) -> Iterator[Fact]:
    said, _, season = _last(kinds)
    yield Fact("Last result", f"{said} ({season})" if season else said)
    if kinds:
        sown = sorted(kinds[0].sowings, key=lambda s: s.sowing.sown_on)
        frost = frost_of(frosts(learnt.figures.kept.book), kinds[0].season)
        yield Fact("Sown last", "; ".join(_sown(s, frost) for s in sown[:6]))
    for p in found:
        name = f"Sowing {p.n} of {p.of}" if p.of > 1 else "Sowing"
        if p.line.number == 0 and p.plants == EXAMPLE:
            name += ", as an example"
        step = p.step("sow")
        when = f"{between(step)}: {step.why}" if step else "no day known"
        trays = trays_words(p.need)
        many = need_words(p.need) + (f", {trays}" if trays else "")
        yield Fact(name, when)
        yield Fact(
            f"How many, for {p.plants:,} plants",
            f"{many}. {_capital(p.need.why)}",
            figure_anchor("seeds-to-sow"),
        )
        for kind, word in (
            ("treat", "Begin its treatment"),
            ("look", "Look from"),
            ("plant", "Plant out"),
            ("cut", "First cut"),
        ):
            got = p.step(kind)
            if got and p.n == 1:
                yield Fact(word, f"{between(got)}: {got.why}")
        for d in p.doubts:
            yield Fact("Think over", d)
    yield from _cuts(found[0], learnt)
    stems = plants_for(learnt, found[0].line.crop, _STEMS)
    if stems.plants is not None:
        span = "" if stems.low == stems.high else f" ({stems.low:,} to {stems.high:,})"
        yield Fact(
            f"Plants for {_STEMS} stems",
            f"{stems.plants:,}{span}; {stems.why}",
            figure_anchor("plants-for-stems"),
        )


def _cuts(p: Planned, learnt: Learnt) -> Iterator[Fact]:
    """When it is cut, sown on the first of a few months about its day."""
    at = frosts(learnt.figures.kept.book)
    timing = timing_of(learnt, p.line, at)
    if p.sow is None:
        return
    latest = latest_sowing(timing, at, p.line.year)
    if latest and latest[0].year == p.line.year:
        yield Fact(
            "Last useful day to sow",
            f"{short_day(latest[0])}: {latest[1]}",
            figure_anchor("plan-days"),
        )
    told = []
    for months in range(-1, 3):
        on = _first_of(p.sow, months)
        cut = first_cut(timing, p.line, on)
        if cut is not None:
            told.append(f"sown {short_day(on)}: about {short_day(cut)}")
    if told and timing.cutting is not None:
        yield Fact(
            "When it is cut",
            f"{'; '.join(told)}. {_capital(timing.cutting.words)}",
            figure_anchor("plan-days"),
        )


def _capital(told: str) -> str:
    return told[:1].upper() + told[1:]


def _first_of(on: dt.date, months: int) -> dt.date:
    """The first of the month so many months on."""
    n = on.year * 12 + on.month - 1 + months
    return dt.date(n // 12, n % 12 + 1, 1)


def _sown(s: SowingFigures, frost: dt.date | None) -> str:
    """`14 Mar 2026 (8 weeks before the last frost), planted out 9 May, cut from 27 Jun`."""
    said = words.day(s.sowing.sown_on)
    if frost is not None:
        weeks = round((s.sowing.sown_on - frost).days / 7)
        side = "before" if weeks < 0 else "after"
        off = (
            f"{words.many(abs(weeks), 'week', 'weeks')} {side} the last frost"
            if weeks
            else "about the last frost"
        )
        said += f" ({off})"
    if s.account.plantings:
        said += f", planted out {short_day(min(p.on for p in s.account.plantings))}"
    return said + (f", cut from {short_day(s.cut.first)}" if s.cut.first else "")


def _words(crop: str, learnt: Learnt) -> Iterable[str]:
    for name, told in (
        ("Lesson", _lessons(crop, learnt)),
        ("Open question", _open(crop, learnt)),
        ("Your remark", _said(crop, learnt)),
    ):
        yield from (f"{name}, {x}" for x in told)
    fact = learnt.figures.kept.book.fact(crop)
    if fact and fact.hazard:
        yield f"Caution: {fact.hazard}. A kind without a caution here isn't safe for that."


def _recipe_table(crop: str, recipes: Iterable[Ranked]) -> Table | None:
    rows = tuple(
        (
            cell("worked" if r.good else "failed" if r.of else "not yet known"),
            cell(recipe_words(r.parts)),
            cell(good_words(r) if r.of else ""),
            cell(words.many(len(r.sowings), "sowing", "sowings")),
        )
        for r in recipes
    )
    return (
        table(
            f"How {crop} was started, the surest first", ("", "How", "Good plants", "Sowings"), rows
        )
        if rows
        else None
    )
