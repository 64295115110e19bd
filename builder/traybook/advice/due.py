"""What is due on each of the coming days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from traybook.advice.expecting import Outlook, Outlooks
from traybook.ledger.seed import COLD
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures

DAYS = 14
# common practice, no source: trays are looked at every three days while they come up, a first look
# is taken after five days where nothing is known of the kind, and hardening off takes ten days
# (7 to 14 in the handbooks).
_BETWEEN_LOOKS = 3
_FIRST_LOOK = 5
_HARDENING, _HARDENED = 10, "ten days of hardening off"


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to do: on which day, what, for which sowing, and why.

    `kind` is look, late, give up, out (of its cold or soak) or plant; `since` is set for what has
    been due before today; `seed` names the lot or kind of seed where there is no sowing, and `where`
    it lies.
    """

    on: dt.date
    kind: str
    code: str
    why: str
    since: dt.date | None = None
    seed: str = ""
    where: str = ""


def due(
    figures: FarmFigures, as_of: dt.date, behind: Collection[str] = frozenset()
) -> tuple[Due, ...]:
    """Everything due from `as_of` on for fourteen days, what is overdue on the first of them.

    `behind` are the codes of sowings that came up slower than a sound tray at two looks running.
    """
    last = as_of + dt.timedelta(days=DAYS - 1)
    outlooks, found = Outlooks(figures), []
    for s in figures.sowings.values():
        if s.account.finished_on is None:
            things = _of(s, outlooks, s.code in behind)
            found += _heaviest(_not_before(d, as_of) for d in things)
    found += [_not_before(d, as_of) for d in _ending(figures)]
    return tuple(
        sorted(
            (d for d in found if d.on <= last), key=lambda d: (d.on, _ORDER[d.kind], d.code, d.seed)
        )
    )


def _ending(figures: FarmFigures) -> Iterator[Due]:
    """Treatments with a planned end and none written; of seed that was sown since, none."""
    accounts = figures.kept.accounts
    used = {id(t) for a in accounts.values() for t in a.treatments if not t.ref.code}
    for t in figures.kept.seed.treatments:
        over = t.ref.code in accounts and accounts[t.ref.code].finished_on is not None
        if t.due is None or t.start is None or t.out is not None or id(t) in used or over:
            continue
        why = f"{t.kind} since {t.start.day}.{t.start.month}., for {t.planned:g} days"
        seed = "" if t.ref.code else f"{t.ref.crop} {t.ref.lot}".strip()
        yield Due(t.due, "out", t.ref.code, why, seed=seed, where=t.place)


_ORDER = {"out": 0, "late": 1, "give up": 2, "look": 3, "plant": 4}
# One walk to a tray settles all of these, so a day names only the last of them.
_ONE_WALK = ("look", "late", "give up")


def _not_before(d: Due, as_of: dt.date) -> Due:
    """What was due earlier is due today, and says since when."""
    return d if d.on >= as_of else replace(d, on=as_of, since=d.on)


def _heaviest(found: Iterable[Due]) -> list[Due]:
    """What is due for one sowing, with one walk a day: late stands for the look, give up for both."""
    out: dict[tuple[dt.date, str], Due] = {}
    for d in found:
        walk = d.kind in _ONE_WALK
        key = (d.on, "walk" if walk else d.kind)
        held = out.get(key)
        if held is None or _ONE_WALK.index(d.kind) > _ONE_WALK.index(held.kind):
            out[key] = d
    return list(out.values())


def _of(s: SowingFigures, outlooks: Outlooks, behind: bool) -> Iterator[Due]:
    moving_on = s.account.hardening or s.account.plantings
    if (
        not s.up.settled
        and not s.sowing.shares
        and s.account.sown_closed_on is None
        and not moving_on
        and not _in_the_cold(s)
    ):
        yield from _looking(s, outlooks.of(s), behind)
    ready = _hardened(s)
    if ready:
        yield ready


def _in_the_cold(s: SowingFigures) -> bool:
    """The tray itself stands in the cold: nothing is to be seen before it comes out."""
    return any(
        t.ref.code and t.kind in COLD and t.out is None and t.due for t in s.account.treatments
    )


def _looking(s: SowingFigures, outlook: Outlook, behind: bool) -> Iterator[Due]:
    """When to look next; late, and time to give up, while nothing is up or it is behind."""
    began, look = s.account.began, outlook.look
    looks = [c.on for c in s.account.checks if c.alive is None]
    following = max(looks, default=None)
    on = began + dt.timedelta(days=_FIRST_LOOK if look is None else look)
    if following is not None:
        on = max(on, following + dt.timedelta(days=_BETWEEN_LOOKS))
    why = "the first should be up about now" if not looks else "three days after the last look"
    yield Due(on, "look", s.code, why if look else "nothing is known of how long it takes")
    if behind and following is not None:
        yield Due(following, "late", s.code, "fewer up than in 19 of 20 sound trays by then")
    if outlook.late is None or outlook.give_up is None or s.up.first_by is not None:
        return
    yield Due(
        began + dt.timedelta(days=outlook.late),
        "late",
        s.code,
        "nothing seen up, and most should be",
    )
    yield Due(
        began + dt.timedelta(days=outlook.give_up), "give up", s.code,
        "nothing came in twice the usual time; keep it or finish it",
    )  # fmt: skip


def _hardened(s: SowingFigures) -> Due | None:
    """Ten days after hardening off began, while plants stand and none is planted yet."""
    if not s.account.hardening or s.account.plantings or not s.account.growing:
        return None
    ready = s.account.hardening[0][0] + dt.timedelta(days=_HARDENING)
    return Due(ready, "plant", s.code, _HARDENED)
