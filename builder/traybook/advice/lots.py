"""Seed lots as they are now: how many seeds are left, how they came up over the years, and what to mind."""

from __future__ import annotations

import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from traybook.advice.learnt import Learnt
from traybook.handbook.facts import Fact
from traybook.ledger.keep import Kept
from traybook.ledger.seed import COLD, Lot, Treatment, Trial
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures
from traybook.stats.proportions import Group, Share, germination
from traybook.text.names import fold

# common practice, no source: what was counted within a year tells of the seed as it is now
_YEAR = dt.timedelta(days=365)
# common practice, no source: so many seeds tell a weak lot from a sound one, where ten don't
_TEST = 50
# common practice, no source: a lot uncounted and not touched for two years is most likely used up
_LONG_AGO = dt.timedelta(days=730)
# A test that nobody has said is done may still bring seedlings for so long.
# source: University of Nebraska Extension column: ten seeds in damp paper, counted at one and two weeks
_RUNNING = dt.timedelta(days=14)
# Seed with a coat keeps about a year. # from memory
_COATED = re.compile(r"pellet|prim", re.IGNORECASE)
_COATED_KEEPS = 1
# A test in mix is of seedlings up, one on paper of seeds sprouted: two measures.
_IN_MIX = re.compile(r"mix|compost|soil|peat|coir|sand|vermiculite|tray|cell|pot", re.IGNORECASE)
_LASTING = (*COLD, "warm")
# common practice, no source: no seed lies in the cold for over a year; its end was not written down
_FORGOTTEN = dt.timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Result:
    """What so many seeds of a lot did by day `on`: in a test, or in the sowing `code`.

    `measure` is up, sprouted or stand, never mixed; `done` is false while more may come, `safe`
    true where a count is only "at least".
    """

    on: dt.date
    measure: str
    group: Group
    share: Share
    code: str = ""
    done: bool = True
    safe: bool = False


@dataclass(frozen=True, slots=True)
class Present:
    """The germination to plan by now. `source` is one of test, sowings, both, printed, kind and empty
    (nothing is known); `why` says it in words, with how many stand behind it; `results` are those used."""

    source: str = ""
    why: str = "not known"
    share: Share | None = None
    measure: str = ""
    results: tuple[Result, ...] = ()


@dataclass(frozen=True, slots=True)
class Flag:
    """Something to mind about a lot. `sure` is false where the counts only hint at it."""

    name: str
    words: str
    sure: bool = True


@dataclass(frozen=True, slots=True)
class LotNow:
    """A lot as of the book's day. `age` in years; `left` is None while it isn't known; `results` from
    the first on; `to_do` says what is wise before it is sown; `treatment` is where some of it lies now."""

    lot: Lot
    age: int | None
    results: tuple[Result, ...]
    present: Present
    flags: tuple[Flag, ...]
    to_do: str
    treatment: Treatment | None
    seen: dt.date | None

    @property
    def left(self) -> int | None:
        """Seeds left, those in a treatment among them."""
        return self.lot.left

    @property
    def last(self) -> Result | None:
        """The latest result that is done."""
        return next((r for r in reversed(self.results) if r.done), None)


def lots_now(learnt: Learnt) -> tuple[LotNow, ...]:
    """Every lot, by kind, variety and name."""
    figures = learnt.figures
    sown: dict[str, list[SowingFigures]] = defaultdict(list)
    for s in figures.sowings.values():
        if s.sowing.lot:
            sown[fold(s.sowing.lot)].append(s)
    treated = {fold(t.ref.lot): t for t in under_way(figures.kept) if t.ref.lot}
    found = [
        _now(lot, sown.get(name, []), treated.get(name), figures)
        for name, lot in figures.kept.seed.lots.items()
    ]
    return tuple(
        sorted(found, key=lambda x: (fold(x.lot.crop), fold(x.lot.variety), fold(x.lot.lot)))
    )


def in_hand(x: LotNow, as_of: dt.date) -> bool:
    """Some is left; or nobody knows, and it was in use within two years."""
    if x.left is None:
        return x.seen is None or as_of - x.seen < _LONG_AGO
    return x.left > 0


def _now(
    lot: Lot, sown: list[SowingFigures], treatment: Treatment | None, figures: FarmFigures
) -> LotNow:
    book = figures.kept.book
    age = book.as_of.year - lot.packed_for if lot.packed_for else None
    fact = book.fact(lot.crop) if lot.crop else None
    results = results_of(lot, sown, book.as_of)
    present = _present(lot, results, figures)
    flags = tuple(_flags(lot, age, fact, results, present))
    to_do = "" if lot.left == 0 else _to_do(lot, flags, results, book.as_of)
    days = [lot.received_on, *(t.on for t in lot.tests), *(s.sowing.sown_on for s in sown)]
    seen = max((d for d in days if d), default=None)
    return LotNow(lot, age, results, present, flags, to_do, treatment, seen)


# -- what it did


def results_of(lot: Lot, sown: Iterable[SowingFigures], as_of: dt.date) -> tuple[Result, ...]:
    """Its tests, and the settled and counted of its sowings, by their days."""
    tested = (r for t in lot.tests if (r := _test(t, as_of)))
    grown = (r for s in sown if (r := _sowing(s)))
    return tuple(sorted((*tested, *grown), key=lambda r: (r.on, r.code)))


def _test(t: Trial, as_of: dt.date) -> Result | None:
    if t.sprouted is None or not t.n:
        return None
    group = Group(t.n, min(t.sprouted, t.n))
    share = germination([group])
    assert share is not None
    done = t.done or as_of - (t.begun or t.on) > _RUNNING
    return Result(t.on, "up" if _IN_MIX.search(t.medium) else "sprouted", group, share, done=done)


def _sowing(s: SowingFigures) -> Result | None:
    share = germination([s.group]) if s.group else None
    if s.group is None or share is None:
        return None
    return Result(s.sowing.sown_on, s.sowing.measure, s.group, share, s.code, safe=s.up.at_least)


def _present(lot: Lot, results: Iterable[Result], figures: FarmFigures) -> Present:
    """By its own results of the last year in which it has any; else as printed; else as its kind does."""
    done = [r for r in results if r.done]
    # a direct row says more of the ground than of the seed
    indoors = [r for r in done if r.measure != "stand"] or done
    if indoors:
        return _own(lot, indoors, figures)
    if lot.printed is not None:
        p = lot.printed
        return Present("printed", "as printed on the packet", Share(p, p, p), "sprouted")
    return kinds_own(figures, lot.crop)


def _own(lot: Lot, results: list[Result], figures: FarmFigures) -> Present:
    """The latest test where it is newer than every sowing; else the sowings of the year up to the last
    of them, with the tests of that year that count the same."""
    latest = results[-1]
    if not latest.code:
        return Present("test", f"by its test of {latest.on.year}", latest.share, latest.measure, (latest,))  # fmt: skip
    year = [r for r in results if r.on > latest.on - _YEAR and r.measure == latest.measure]
    used = tuple(r for r in year if not r.safe) or tuple(year)
    rho = figures.spreads.planning((fold(lot.crop), latest.measure)).rho
    share = _share(used, rho)
    return Present("both" if any(not r.code for r in used) else "sowings", _why(used), share,
                   latest.measure, used)  # fmt: skip


def _why(used: tuple[Result, ...]) -> str:
    """`by its sowing of 2026`, `by 3 sowings and 1 test, the last in 2026`."""
    sown, tests, year = (
        sum(bool(r.code) for r in used),
        sum(not r.code for r in used),
        used[-1].on.year,
    )
    if len(used) == 1:
        return f"by its sowing of {year}"
    said = f"by {_many(sown, 'sowing')}" + (f" and {_many(tests, 'test')}" if tests else "")
    return f"{said}, the last in {year}"


def _share(results: Iterable[Result], rho: float) -> Share | None:
    """Results of one measure together. Sowings of one lot differ too, so a tray is no proof of its seed."""
    groups = [r.group for r in results]
    share = germination(groups, rho)
    if share and share.value == 1 and all(g.high > 1 for g in groups):
        return Share(share.low, share.low, 1.0)  # every cell full: at least so much
    return share


def kinds_own(figures: FarmFigures, crop: str, measure: str = "") -> Present:
    """What the farm's settled sowings of a kind did in all seasons, in one measure (the latest's if none
    is named)."""
    mine = [
        s
        for k in figures.kinds
        if k.key[0] == fold(crop) and k.measure in ("up", "sprouted")
        for s in k.sowings
        if s.group and measure in ("", k.measure)
    ]
    if not mine:
        return Present()
    of = max(mine, key=lambda s: s.sowing.sown_on).sowing.measure
    used = [s for s in mine if s.sowing.measure == of]
    used = [s for s in used if not s.up.at_least] or used
    rho = figures.spreads.planning((fold(crop), of)).rho
    share = germination([s.group for s in used if s.group], rho)
    return Present("kind", f"as the kind did in {_many(len(used), 'sowing')}", share, of)


# -- what to mind


def _flags(
    lot: Lot, age: int | None, fact: Fact | None, results: tuple[Result, ...], present: Present
) -> Iterator[Flag]:
    own = present.source in ("test", "sowings", "both")
    if own and present.share:
        yield from _fallen(lot, results, present)
        yield from _below_the_law(fact, present.share)
    keeps = fact.keeps_years if fact else None
    if _COATED.match(lot.coating):
        keeps = min(keeps or _COATED_KEEPS, _COATED_KEEPS)
    if keeps is not None and age is not None and age > keeps:
        yield Flag("old", f"{_many(age, 'year')} old; such seed keeps about {_many(keeps, 'year')}")
    elif keeps == 1:
        yield Flag("keeps badly", "keeps about a year: use it first")
    if lot.dressed:
        yield Flag("dressed", "dressed with a pesticide: wear gloves, keep it from food, follow its label")  # fmt: skip


def _fallen(lot: Lot, results: tuple[Result, ...], present: Present) -> Iterator[Flag]:
    """Under half of what was printed, or of its own first result where that was counted in the same way."""
    share = present.share
    assert share is not None
    earlier = [
        r for r in results if r.done and r not in present.results and r.measure == present.measure
    ]
    if lot.printed is not None:
        least, expected, of = lot.printed, lot.printed, f"the {_percent(lot.printed)} printed on it"
    elif earlier:
        first = earlier[0].share
        # what it gave at first was counted too, so only its low end is sure
        least, expected = first.low, first.value
        of = f"what it gave at first ({_percent(expected)} in {earlier[0].on.year})"
    else:
        return
    if share.high < least / 2:
        yield Flag("weak", f"under half of {of}")
    elif share.value < expected / 2:
        yield Flag("weak", f"may be under half of {of}", sure=False)


def _below_the_law(fact: Fact | None, share: Share) -> Iterator[Flag]:
    least = fact.legal_min if fact else None
    if least is None or share.value >= least:
        return
    said = f"the least at which seed of this kind may be sold in some places ({_percent(least)})"
    if share.high < least:
        yield Flag("legal", f"under {said}")
    else:
        yield Flag("legal", f"may be under {said}", sure=False)


def _to_do(lot: Lot, flags: tuple[Flag, ...], results: tuple[Result, ...], as_of: dt.date) -> str:
    """Test it again where counts only hint, if a test would leave most of it; test old seed that wasn't
    tried within the year; else sow more of weak seed."""
    low = [f for f in flags if f.name in ("weak", "legal")]
    if any(f.sure for f in low):
        return "sow thicker, or buy fresh"
    if low and lot.left is not None and lot.left < 2 * _TEST:
        return "too few are left to test again: sow thicker, or buy fresh"
    if low:
        return f"test {_TEST} seeds or more: too few were counted to be sure"
    lately = any(r.done and r.on > as_of - _YEAR for r in results)
    if any(f.name == "old" for f in flags) and not lately:
        return "test a few seeds first"
    return ""


# -- treatments


def under_way(kept: Kept) -> tuple[Treatment, ...]:
    """Treatments that some seed or tray is in now, by their planned ends; those overdue too.

    Seed that was sown out of one is in it no longer.
    """
    used = {id(t) for a in kept.accounts.values() for t in a.treatments if not t.ref.code}
    found = [t for t in kept.seed.treatments if id(t) not in used and _lies(t, kept)]
    return tuple(sorted(found, key=lambda t: (t.due or dt.date.max, t.start or dt.date.max)))


def _lies(t: Treatment, kept: Kept) -> bool:
    if t.start is None or t.out is not None or kept.book.as_of - t.start > _FORGOTTEN:
        return False
    account = kept.accounts.get(t.ref.code) if t.ref.code else None
    if account is not None and account.finished_on is not None:
        return False
    last = t.last()
    lasting = t.kind in _LASTING or t.due is not None
    return lasting or (last is not None and last >= kept.book.as_of)


def _many(n: int, one: str) -> str:
    return f"{n} {one}" + ("" if n == 1 else "s")


def _percent(share: float) -> str:
    return f"{round(share * 100)} %"
