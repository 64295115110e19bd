"""Gentle prompts about how and when something was sown, by the handbook; none sets a line aside."""

from __future__ import annotations

import re
from collections.abc import Iterator

from traybook.findings.model import Finding
from traybook.ledger.keep import Kept
from traybook.ledger.model import Account
from traybook.rules.around import degrees, degrees_in, recent
from traybook.text.source import Span

# source: larkspur is poor above 65 F (Cornell, in The Day 2016); over 70 F is asked about,
# common practice
_COOL, _TOO_WARM = 65.5, 70.0
# common practice, no source: more than four seeds a cell are thinned away
_MOST_PER_CELL = 4
# common practice, no source: three times the handbook's depth is deep, and a dusting is no cover
_DEEP, _DUSTING_MM = 3, 2.0
# source: California Master Gardener Handbook: one to two weeks; under five days is asked about,
# common practice
_HARDENING = 5
# common practice, no source: two weeks to either side of the handbook's are nothing to speak of
_WEEKS_AROUND = 2
# common practice, no source: a week and a half over is nothing to speak of
_LATE_WEEKS = 1.5


def _at(account: Account, *fields: str) -> Span:
    said = next((s for f in fields for s in account.sowing.event.all(f) if s.at), None)
    return said.at if said and said.at else account.sowing.event.subject_at


def _ask(name: str, account: Account, message: str, at: Span, help_: str) -> Finding:
    return Finding(name, message, at, help_, about=(account.code,))


def covered_surface_kind(kept: Kept) -> Iterator[Finding]:
    """Seed that wants light, covered."""
    for account in recent(kept):
        fact = kept.book.fact(account.sowing.crop)
        if fact is None or fact.light != "light" or (fact.depth_mm or 0) > 0:
            continue
        said = account.sowing.event.one("cover")
        deep = (account.sowing.cover_mm or 0) > _DUSTING_MM
        plain = said and said.depth_mm is None and re.match(r"(?:well )?covered$", said.text, re.I)
        if deep or plain:
            message = f"{account.sowing.crop} usually sprouts in the light, and this was covered"
            yield _ask("covered-surface-kind", account, message, _at(account, "cover"),
                       "leave it on the surface next time, pressed in; or check what was written")  # fmt: skip


def too_deep(kept: Kept) -> Iterator[Finding]:
    """Sown deeper than three times the usual."""
    for account in recent(kept):
        fact, cover = kept.book.fact(account.sowing.crop), account.sowing.cover_mm
        if (
            account.sowing.measure == "up"
            and fact
            and fact.depth_mm
            and cover
            and cover > _DEEP * fact.depth_mm
        ):
            usual = f"about {fact.depth_mm:g} mm is usual"
            yield _ask("too-deep", account, f"{cover:g} mm is deep for {account.sowing.crop}; {usual}",
                       _at(account, "cover"), "check the number and its unit")  # fmt: skip


def too_warm(kept: Kept) -> Iterator[Finding]:
    """A kind that sprouts cool, in a warm place."""
    for account in recent(kept):
        fact, sowing = kept.book.fact(account.sowing.crop), account.sowing
        if fact is None or fact.warmest is None or fact.warmest * 1.8 + 32 > _COOL:
            continue
        said = sowing.event.one("temperature")
        warm = degrees(said.text) if said else degrees_in(sowing.place, kept.book.farm)
        if warm is not None and warm * 1.8 + 32 > _TOO_WARM:
            best = f"which sprouts best at {fact.warmest:.0f} C or less"
            yield _ask("too-warm", account, f"{warm:.0f} C is warm for {sowing.crop}, {best}",
                       _at(account, "temperature", "place"), "a cooler place may bring more of it up")  # fmt: skip


def many_per_cell(kept: Kept) -> Iterator[Finding]:
    """More than four seeds a cell."""
    for account in recent(kept):
        high = account.sowing.high
        if high is not None and high > _MOST_PER_CELL:
            yield _ask("many-per-cell", account, f"{high} seeds a cell is a lot",
                       _at(account, "per_cell", "seeds"), "check the number, and that it is for one cell")  # fmt: skip


def short_hardening(kept: Kept) -> Iterator[Finding]:
    """Planted out less than five days after it was first put out."""
    for account in recent(kept):
        if not account.hardening or not account.plantings:
            continue
        out, planted = account.hardening[0][0], account.plantings[0]
        days = (planted.on - out).days
        if 0 <= days < _HARDENING:
            said = next((s for s in planted.event.all("planted") if s.at), None)
            at = said.at if said and said.at else planted.event.subject_at
            yield _ask("short-hardening", account, f"planted out {_days(days)} it first went outside", at,
                       "a week or two is usual; if it is right, cover it for the first nights")  # fmt: skip


def long_in_cell(kept: Kept) -> Iterator[Finding]:
    """A kind that soon outgrows its cell, planted late from it."""
    for account in recent(kept):
        sowing = account.sowing
        fact = kept.book.fact(sowing.crop)
        if fact is None or fact.weeks_in_cell is None or sowing.measure != "up":
            continue
        if account.pottings or not account.plantings:
            continue
        first = account.plantings[0]
        weeks = (first.on - sowing.sown_on).days / 7
        if weeks > fact.weeks_in_cell + _LATE_WEEKS:
            message = f"{sowing.crop} stood {weeks:.0f} weeks in its cells; {fact.weeks_in_cell} are usually enough"
            yield _ask("long-in-cell", account, message, first.event.subject_at,
                       "sow it closer to the day its bed is ready; if a day is wrong, correct it")  # fmt: skip


def no_count_yet(kept: Kept) -> Iterator[Finding]:
    """Nothing was counted by the day all should be up; asked while it can still be counted."""
    for account in recent(kept):
        sowing = account.sowing
        fact = kept.book.fact(sowing.crop)
        touched = account.checks or account.pottings or account.plantings or account.finished_on
        if fact is None or fact.days is None or sowing.measure not in ("up", "sprouted") or touched:
            continue
        days = (kept.book.as_of - sowing.sown_on).days
        if fact.days[1] < days <= 3 * fact.days[1]:
            yield _ask("no-count-yet", account, f"sown {days} days ago and not counted; all should be up after {fact.days[1]:g}",
                       sowing.event.subject_at, f"look, and write `checked {account.code}: N up`, or `none up`")  # fmt: skip


def odd_time(kept: Kept) -> Iterator[Finding]:
    """Sown under cover more than two weeks before the earliest usual week.

    Late sowings are not asked about: successions and sowings for the next year are late by choice.
    """
    for account in recent(kept):
        sowing = account.sowing
        fact = kept.book.fact(sowing.crop)
        frost = kept.book.farm.last_frost_of(sowing.sown_on.year)
        if sowing.measure != "up" or not frost or not fact or not fact.sow_weeks:
            continue
        weeks, earliest = (frost - sowing.sown_on).days / 7, -fact.sow_weeks[0]
        if weeks > earliest + _WEEKS_AROUND:
            message = f"{weeks:.0f} weeks before the last frost is early for {sowing.crop}; {earliest:.0f} is usually the most"
            yield _ask("odd-time", account, message, sowing.event.subject_at,
                       "check the day and the month; plants may have to wait long for their bed")  # fmt: skip


def _days(n: int) -> str:
    return {0: "on the day", 1: "a day after"}.get(n, f"{n} days after")
