"""Every figure of one sowing."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

from traybook.ledger.harvests import Harvest
from traybook.ledger.keep import Kept
from traybook.ledger.model import Account
from traybook.ledger.sowings import Sowing
from traybook.records.event import Event
from traybook.rollup.emergence import Emergence, emergence_of, settle
from traybook.rollup.habits import Pace, give_up_days, pace_of
from traybook.stats.proportions import Group
from traybook.text.names import fold


@dataclass(frozen=True, slots=True)
class Cut:
    """What was cut of a sowing: stems told apart, and whether some stayed with the crop."""

    stems: int | None
    rejected: int | None
    at_least: bool
    first: dt.date | None
    last: dt.date | None
    harvests: tuple[Harvest, ...]


@dataclass(frozen=True, slots=True)
class SowingFigures:
    """A sowing's account with its figures. `good` is None for a direct sowing, whose plants are
    never counted out; `group` its count as it enters its kind's germination, None if it doesn't;
    `pace` how fast it was, None where too few came up or days were not kept."""

    account: Account
    up: Emergence
    cut: Cut
    good: int | None
    good_so_far: bool
    good_share: float | None
    good_of: int | None
    planted: int
    potted: int
    alive: int | None
    place: str
    light: str
    outcome: str
    stage: str
    left_out: int
    group: Group | None
    pace: Pace | None

    @property
    def sowing(self) -> Sowing:
        """The sowing's facts."""
        return self.account.sowing

    @property
    def code(self) -> str:
        """Its code."""
        return self.account.code

    @property
    def stems_per_plant(self) -> float | None:
        """Stems told apart by plants planted; None while some stayed with the crop."""
        direct = self.sowing.measure == "stand"
        if self.cut.stems is None or self.cut.at_least or not self.planted or direct:
            return None
        return self.cut.stems / self.planted


def figures(kept: Kept) -> dict[str, SowingFigures]:
    """Figures of every sowing in a ledger, by code."""
    cuts = _cuts(kept)
    aside = _left_out(kept)
    ups = {code: emergence_of(account) for code, account in kept.accounts.items()}
    give_up = give_up_days(kept, ups)
    return {
        code: _one(account, settle(ups[code], account, give_up[code]), cuts[code], aside.get(code, 0), kept)
        for code, account in kept.accounts.items()
    }  # fmt: skip


def _one(account: Account, up: Emergence, cut: Cut, left_out: int, kept: Kept) -> SowingFigures:
    sowing = account.sowing
    direct = sowing.measure == "stand"
    good = None if direct and not account.good else account.good
    place = _place(account, up)
    standing = account.growing > 0 and account.finished_on is None
    of = _good_of(sowing, good)
    apart = account.resown is None and not sowing.shares
    accounted = apart and up.settled and not standing and good is not None and of and good <= of
    return SowingFigures(
        account=account,
        up=up,
        cut=cut,
        good=good,
        good_so_far=standing,
        good_share=good / of if accounted and good is not None and of else None,
        good_of=of,
        planted=sum(p.plants for p in account.plantings if p.good or direct),
        potted=sum(p.plants for p in account.pottings if p.first),
        alive=_alive(account),
        place=place,
        light=sowing.light or kept.book.farm.light_of(place),
        outcome=_outcome(account, good, up, cut),
        stage=stage(account, kept.book.as_of, cut),
        left_out=left_out,
        group=_group(sowing, up),
        pace=pace_of(up),
    )


def _group(sowing: Sowing, up: Emergence) -> Group | None:
    """Counts of cells where these stand in for seedlings, else of seeds."""
    if not up.in_germination or up.emerged is None or not sowing.seeds:
        return None
    if not up.estimated or up.count is None:
        return Group(sowing.seeds, min(up.emerged, sowing.seeds))
    cells = sowing.cells or 0
    return Group(cells, min(up.count.emerged, cells), sowing.low or 1, sowing.high or 1)


def _good_of(sowing: Sowing, good: int | None) -> int | None:
    """What good plants are a share of: cells where several seeds went in each, else seeds."""
    if sowing.several and sowing.cells and good is not None and good <= sowing.cells:
        return sowing.cells
    return sowing.seeds if not sowing.about else None


def _alive(account: Account) -> int | None:
    """Plants alive in all later stands at their last word, about so many in a direct sowing's rows;
    None if none was ever counted."""
    if account.row_plants and not account.stands:
        return round(account.row_plants[-1][1])
    if not any(s.counted for s in account.stands):
        return None
    return sum(s.alive for s in account.stands)


def _place(account: Account, up: Emergence) -> str:
    """Where the largest share stood until half was up."""
    sowing = account.sowing
    end = account.began + dt.timedelta(days=int(up.half.by)) if up.half else None
    times = [t for t in account.places if end is None or t[0] < end] or list(account.places[:1])
    parts = times[-1][1] if times else ()
    best = max((share for _, share in parts), default=0.0)
    return next((place for place, share in parts if share == best), sowing.place)


def _outcome(account: Account, good: int | None, up: Emergence, cut: Cut) -> str:
    """Growing until finished; then by its reason, else by whether anything good came of it."""
    if account.finished_on is None:
        return "growing"
    reason = fold(account.reason)
    if "mislabel" in reason or "wrong label" in reason:
        return "mislabelled"
    if "given up" in reason or "gave up" in reason or "give up" in reason:
        return "given up"
    if good is None:
        return "failed" if up.emerged == 0 and not cut.stems else "finished"
    return "finished" if good else "failed"


def stage(account: Account, on: dt.date, cut: Cut) -> str:
    """How far it is on a day: sown, up, potted on, hardening off, planted out, cutting, finished."""
    if account.finished_on is not None and account.finished_on <= on:
        return "finished"
    if cut.first is not None and cut.first <= on:
        return "cutting"
    if any(p.on <= on for p in account.plantings):
        return "planted out"
    if any(day <= on for day, _ in account.hardening):
        return "hardening off"
    if any(p.on <= on for p in account.pottings):
        return "potted on"
    points = [p for t in (account.main, account.cells) if t for p in t.points]
    if any(p.day <= on and p.emerged > 0 for p in points):
        return "up"
    return "sown"


def _stood(account: Account) -> tuple[dt.date | None, dt.date | None]:
    """From when to when it stood planted; a direct sowing and corms from the day they were sown."""
    if account.plantings:
        return min(p.on for p in account.plantings), account.finished_on
    if account.sowing.measure in ("stand", "corm"):
        return account.sowing.sown_on, account.finished_on
    return None, None


def _cuts(kept: Kept) -> dict[str, Cut]:
    """Stems by sowing, and which of them are "at least"."""
    mine: dict[str, list[Harvest]] = defaultdict(list)
    crops: dict[str, list[Harvest]] = defaultdict(list)
    beds: list[Harvest] = []
    for h in kept.harvests:
        if h.ref.kind == "sowing":
            mine[h.ref.code].append(h)
        elif h.ref.kind == "crop":
            crops[fold(h.ref.crop)].append(h)
        elif h.ref.kind == "bed":
            beds.append(h)
    out = {}
    for code, account in kept.accounts.items():
        out[code] = _cut(mine.get(code, []), _may_be(account, crops, beds))
    return out


def _may_be(account: Account, crops: dict[str, list[Harvest]], beds: list[Harvest]) -> bool:
    """Some stems of its crop, or of its bed, were cut while it stood and stayed unshared."""
    start, end = _stood(account)
    if start is None:
        return False
    sowing = account.sowing
    where = {fold(p.bed) for p in account.plantings} | (
        {fold(sowing.container.name)}
        if sowing.container and sowing.container.kind == "bed"
        else set()
    )
    near = [h for h in crops.get(fold(sowing.crop), []) if not h.ref.variety or not sowing.variety
            or fold(h.ref.variety) == fold(sowing.variety)]  # fmt: skip
    near += [h for h in beds if fold(h.ref.bed) in where]
    return any(start <= h.on and (end is None or h.on <= end) for h in near)


def _cut(harvests: list[Harvest], at_least: bool) -> Cut:
    told = [h.stems for h in harvests if h.stems is not None]
    rejected = [h.rejected for h in harvests if h.rejected is not None]
    days = [h.on for h in harvests]
    untold = any(h.stems is None and (h.bunches or h.grams) for h in harvests)
    return Cut(
        stems=sum(told) if told else None,
        rejected=sum(rejected) if harvests else None,
        at_least=at_least or untold,
        first=min(days, default=None),
        last=max(days, default=None),
        harvests=tuple(harvests),
    )


def _left_out(kept: Kept) -> dict[str, int]:
    """Lines about each sowing that are set aside or wait."""
    seen: dict[str, set[tuple[str, int]]] = defaultdict(set)
    for entry in kept.book.entries:
        if entry.aside and entry.ref.code:
            seen[entry.ref.code].add(entry.event.key)
    return {code: len(keys) for code, keys in seen.items()}


def aside_events(kept: Kept, code: str) -> tuple[Event, ...]:
    """The lines about one sowing that are left out of its figures."""
    return tuple(e.event for e in kept.book.of(code) if e.aside)
