"""How a sowing came up: which count it rests on, germination, first up, speed, settled."""

from __future__ import annotations

import datetime as dt
import math
import re
from dataclasses import dataclass, replace

from traybook.ledger.model import Account
from traybook.ledger.running import Running, rests_on
from traybook.stats.proportions import Group, Share, germination, wilson
from traybook.stats.speed import Reached, evenness, mean_days, reached

#: Words that name an accident which takes a whole sowing before it can come up.
ACCIDENTS = re.compile(
    r"\b(?:mice|mouse|voles?|rats?|birds?|cats?|dogs?|chickens?|hens?|dried (?:out|up)|dropped|"
    r"knocked|spilled|spilt|tipped|mislabel\w*|wrong labels?|labels? lost|lost (?:the )?labels?|"
    r"flood\w*|blown)\b|^(?:too )?dry$|\b(?:got|went|gone|left|ran|bone) (?:too )?dry\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Emergence:
    """Figures of what came up.

    `count` is the tally they rest on (None while nothing was counted) and `counted_in` its unit;
    `emerged` single plants, worked out from cells when `estimated`; `share` germination with its
    interval (its value is None-like when all cells are full: see `value_known`). `points` are (day on
    the sowing's clock, count so far) at each visit, `days_known` False where what came up on some day
    that nobody kept stands at their end. `settled` and what hangs on it come from `settle`.
    """

    count: Running | None
    counted_in: str
    emerged: int | None
    cells_up: int | None
    estimated: bool
    at_least: bool
    share: Share | None
    value_known: bool
    cell_share: Share | None
    checks: int
    first_after: float | None
    first_by: float | None
    half: Reached | None
    tenth: Reached | None
    ninetieth: Reached | None
    mean: float | None
    even: float | None
    points: tuple[tuple[float, int], ...]
    days_known: bool
    settled: bool = False
    settled_on: dt.date | None = None
    in_germination: bool = False
    give_up: int | None = None


def emergence_of(account: Account) -> Emergence:
    """Work out a sowing's emergence from its account, all but whether it is settled."""
    sowing = account.sowing
    count = _rests_on(account)
    estimated = count is not None and count.unit == "cells" and account.cells is not None
    emerged, share, known = _germination(account, count, estimated)
    cells_up = _cells_up(account)
    points, days_known = _speed(count, account.began)
    ended = account.resown[0] if account.resown else dt.date.max
    checks = {c.on for c in account.checks if c.census and c.on <= ended}
    after, by = _first_up(account)
    return Emergence(
        count=count,
        counted_in=count.unit if count else "",
        emerged=emerged,
        cells_up=cells_up,
        estimated=estimated,
        at_least=bool(count and (count.at_least or (estimated and cells_up == sowing.cells))),
        share=share,
        value_known=known,
        cell_share=wilson(cells_up, sowing.cells)
        if cells_up is not None and sowing.cells
        else None,
        checks=len(checks),
        first_after=after,
        first_by=by,
        half=_reached(points, 0.5),
        tenth=_reached(points, 0.1),
        ninetieth=_reached(points, 0.9),
        mean=mean_days(points) if days_known else None,
        even=evenness(points) if days_known else None,
        points=tuple(points),
        days_known=days_known,
    )


def settle(up: Emergence, account: Account, give_up: int | None) -> Emergence:
    """The same with `give_up`, the day on the sowing's clock after which no rise is looked for: whether
    it is settled, since when, and whether it enters its kind's germination."""
    on = _settled_on(account, up.count, give_up)
    sowing = account.sowing
    counted = up.checks > 0 and sowing.seeds is not None and not sowing.about
    enters = on is not None and counted and up.emerged is not None and not lost_whole(up, account)
    return replace(
        up, settled=on is not None, settled_on=on, in_germination=enters, give_up=give_up
    )


def lost_whole(up: Emergence, account: Account) -> bool:
    """Lost whole to a named accident before anything was up: it says nothing of the seed."""
    return up.first_by is None and _accident(account)


def _speed(count: Running | None, sown: dt.date) -> tuple[list[tuple[float, int]], bool]:
    """(day, count so far) of each visit, and whether all days are known.

    What came up on days that nobody kept stands at the end, on a day that never is.
    """
    if count is None:
        return [], True
    all_ = [(max(0.0, float((p.day - sown).days)), p.emerged) for p in count.points]
    known = next((i for i, p in enumerate(count.points) if not p.dated), None)
    if known is None:
        return all_, True
    return [*all_[:known], (math.inf, all_[-1][1])], False


def _reached(points: list[tuple[float, int]], share: float) -> Reached | None:
    """When a share was reached; None where that was on a day nobody kept."""
    got = reached(points, share)
    return got if got and got.by < math.inf else None


def _rests_on(account: Account) -> Running | None:
    """The count that figures rest on; None while nothing is known.

    Where empty cells were sown again it is the count as it stood before. Plants bought in and what
    came up of cells sown again have none.
    """
    if account.sowing.measure == "bought in" or account.sowing.shares:
        return None
    count = rests_on(*_tallies(account))
    return count if count.known() else None


def _tallies(account: Account) -> tuple[Running, Running | None]:
    """The counts of seedlings and cells, as they stood before empty cells were sown again."""
    return account.resown[1:] if account.resown else (account.main, account.cells)


def _germination(
    account: Account, count: Running | None, estimated: bool
) -> tuple[int | None, Share | None, bool]:
    """Seedlings, germination with its interval, and whether its value is known."""
    sowing = account.sowing
    if count is None:
        return None, None, False
    if not estimated:
        if sowing.seeds is None or sowing.about or sowing.seeds == 0:
            return count.emerged, None, False
        known = count.emerged <= sowing.seeds
        return count.emerged, germination([Group(sowing.seeds, count.emerged)]), known
    cells, low, high = sowing.cells or 0, sowing.low or 1, sowing.high or 1
    share = germination([Group(cells, count.emerged, low, high)])
    if share is None or count.emerged >= cells:
        return count.emerged, share, False
    return round(share.value * (sowing.seeds or cells)), share, True


def _cells_up(account: Account) -> int | None:
    """Cells with at least one: counted, or one plant a cell."""
    if account.sowing.measure == "bought in" or account.sowing.shares:
        return None
    later = _tray_after(account)
    if later is not None:
        return later
    main, in_cells = _tallies(account)
    if in_cells is not None:
        return in_cells.emerged if in_cells.known() else None
    one_each = account.sowing.cells is not None and account.sowing.high in (None, 1)
    if not one_each or not main.known():
        return None
    return min(main.emerged, account.sowing.cells or main.emerged)


def _tray_after(account: Account) -> int | None:
    """Cells filled at the latest full count after empty ones were sown again."""
    if account.resown is None or account.sowing.cells is None:
        return None
    full = [c for c in account.checks if c.census and c.on > account.resown[0] and c.up is not None]
    told = [c for c in full if c.unit == "cells"] or (full if account.cells is None else [])
    return min(told[-1].up or 0, account.sowing.cells) if told else None


def _first_up(account: Account) -> tuple[float | None, float | None]:
    """The gap in which the first came up: after the last look with none, by the first with some.

    A full count tells both ways; a sample, an estimate or `first seen` with some, and takings or
    lost plants, bound it from above only.
    """
    sown, ended = account.began, account.resown[0] if account.resown else dt.date.max
    some: list[dt.date] = []
    none: list[dt.date] = []
    if account.sowing.measure == "bought in":
        return None, None
    for tally in _tallies(account):
        some += [p.day for p in tally.points if p.emerged > 0 and p.dated] if tally else []
    for check in account.checks:
        if check.alive is not None or check.on > ended:
            continue
        if check.bounds == "some":
            some.append(check.on)
        elif check.census and not check.up and check.event.one("undated") is None:
            none.append(check.on)
    if not some:
        return None, None
    by = min(some)
    after = max((d for d in none if d < by), default=sown)
    return max(0.0, float((after - sown).days)), max(0.0, float((by - sown).days))


def _settled_on(account: Account, count: Running | None, give_up: int | None) -> dt.date | None:
    """Since when it is settled: finished, or nothing left where it was sown, or two counts running
    without a rise after the give-up day; a total whose days nobody kept is the last word too."""
    sowing = account.sowing
    if sowing.measure == "bought in":
        return sowing.sown_on
    closed = account.sown_closed_on or (account.resown[0] if account.resown else None)
    empty = _emptied(account, count) if count else None
    quiet = _quiet(account, count, give_up) if count and give_up is not None else None
    return min((d for d in (closed, empty, quiet) if d is not None), default=None)


def _emptied(account: Account, count: Running) -> dt.date | None:
    """The day after which nothing more was looked for: all of it gone on, or only a total known."""
    last = max((c.on for c in account.checks if c.alive is None), default=account.sowing.sown_on)
    last = max([last, *(p.day for p in count.points)])
    if any(not p.dated for p in count.points):
        return last
    if count.standing or not count.emerged:
        return None
    seeds = account.sowing.seeds
    lying = account.sowing.measure == "sprouted" and seeds is not None
    return None if lying and count.emerged + account.seeds_lost < (seeds or 0) else last


def _quiet(account: Account, count: Running, give_up: int) -> dt.date | None:
    """The second of two last counts without a rise, both after the give-up day."""
    late = [p for p in count.points if p.census or p.rose][-2:]
    still = len(late) == 2 and all(
        p.census and not p.rose and (p.day - account.began).days > give_up for p in late
    )
    return late[1].day if still else None


def _accident(account: Account) -> bool:
    """Lost whole to a named accident."""
    sown = account.sowing.seeds or account.sowing.cells or 0
    causes = [cause for n, cause in account.seeds_lost_to if sown and n >= sown]
    return any(ACCIDENTS.search(words) for words in (*causes, account.reason))
