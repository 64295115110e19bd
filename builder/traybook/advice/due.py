"""What is due on each of the coming days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from traybook.advice.expecting import Outlook, Outlooks
from traybook.advice.learnt import Learnt
from traybook.advice.plan_due import asked, soon
from traybook.advice.potting import Pottings
from traybook.ledger.model import Account
from traybook.ledger.running import rests_on
from traybook.ledger.seed import COLD, Treatment
from traybook.rollup.farm import FarmFigures
from traybook.rollup.sowing import SowingFigures
from traybook.text.days import short_day

DAYS = 14
#: What each kind of thing is called, on Today, in the terminal and in calendars.
TO_DO = {
    "out": "Take it out",
    "late": "Late: look at it",
    "give up": "Give up?",
    "treat": "Begin its treatment",
    "sow": "Sow",
    "look": "Look at it",
    "pot": "Pot on",
    "harden": "Begin hardening off",
    "plant": "Ready to plant out",
}
_ORDER = {kind: i for i, kind in enumerate(TO_DO)}
# One walk to a tray settles all of these, so a day names only the last of them.
_ONE_WALK = ("look", "late", "give up")
# common practice, no source: trays are looked at every three days while they come up, a first look
# is taken after five days where nothing is known of the kind, and hardening off takes ten days
# (7 to 14 in the handbooks).
_BETWEEN_LOOKS = 3
_FIRST_LOOK = 5
_HARDENING, _HARDENED = 10, "ten days of hardening off"
# common practice, no source: seed stays in water for a day at most; one that ended days ago ended
# without being written down.
_SOAK, _SOAK_OVER = 1, 3


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to do: on which day, what, for which sowing, and why.

    `kind` is one of TO_DO's: out is out of its cold or soak; `since` is set for what
    has been due before today; `seed` names the lot or kind of seed where there is no sowing, and
    `where` is where it stands or lies. `mark` tells two things of one kind about one seed apart.
    """

    on: dt.date
    kind: str
    code: str
    why: str
    since: dt.date | None = None
    seed: str = ""
    where: str = ""
    mark: str = ""

    @property
    def about(self) -> str:
        """The sowing's code, or the seed it is about."""
        return self.code or self.seed

    @property
    def what(self) -> str:
        """What is to be done, in words."""
        return TO_DO[self.kind]


def coming(learnt: Learnt, days: int | None = DAYS) -> tuple[Due, ...]:
    """Everything due from the farm's day on for so many days, or all that is known for None; trays
    that came up slower than a sound one among it."""
    behind = {code for code, e in learnt.expected.items() if e.behind}
    planned = [
        Due(a.on, a.kind, a.code, a.why, None, "" if a.code else a.name, a.where, a.mark)
        for a in soon(asked(learnt))
    ]
    return due(learnt.figures, learnt.as_of, behind, days, planned)


def due(
    figures: FarmFigures,
    as_of: dt.date,
    behind: Collection[str] = frozenset(),
    days: int | None = DAYS,
    planned: Iterable[Due] = (),
) -> tuple[Due, ...]:
    """Everything due from `as_of` on for so many days (None: all of it), what is overdue on the first
    of them; what is `planned` among it.

    `behind` are the codes of sowings that came up slower than a sound tray at two looks running.
    """
    last = dt.date.max if days is None else as_of + dt.timedelta(days=days - 1)
    outlooks, pottings, found = Outlooks(figures), Pottings(figures), []
    for s in figures.sowings.values():
        if s.account.finished_on is None:
            things = _of(s, outlooks, pottings, s.code in behind)
            found += _heaviest(_not_before(d, as_of) for d in things)
    found += [_not_before(d, as_of) for d in (*_ending(figures, as_of), *planned)]
    placed = (_placed(d, figures) for d in found if d.on <= last)
    return tuple(sorted(placed, key=lambda d: (d.on, _ORDER[d.kind], d.code, d.seed, d.mark)))


def _placed(d: Due, figures: FarmFigures) -> Due:
    """With the places where its plants stand, if it names none itself."""
    if d.where or d.code not in figures.sowings:
        return d
    return replace(d, where=", ".join(_places(figures.sowings[d.code].account, d.kind)))


def _places(a: Account, kind: str) -> Iterable[str]:
    """Where a sowing stands; plants that are ready to go out may have left where they were sown."""
    if kind == "plant":
        here = [p.place for p in rests_on(a.main, a.cells).parts if p.standing]
        here += [s.place for s in a.stands if not s.bed and s.closed is None and s.alive]
    else:
        here = [p.place for p in a.main.parts]
    return dict.fromkeys(place for place in here if place)


def _ending(figures: FarmFigures, as_of: dt.date) -> Iterator[Due]:
    """Treatments with a planned end and none written; of seed that was sown since, none."""
    accounts = figures.kept.accounts
    used = {id(t) for a in accounts.values() for t in a.treatments if not t.ref.code}
    for t in figures.kept.seed.treatments:
        over = t.ref.code in accounts and accounts[t.ref.code].finished_on is not None
        on = _out_on(t, as_of)
        if on is None or t.start is None or t.out is not None or id(t) in used or over:
            continue
        why = f"{t.kind} since {short_day(t.start)}{_so_long(t)}"
        seed = "" if t.ref.code else f"{t.ref.crop} {t.ref.lot}".strip()
        yield Due(on, "out", t.ref.code, why, None, seed, t.place, f"{t.kind} {t.start}")


def _out_on(t: Treatment, as_of: dt.date) -> dt.date | None:
    """The day a treatment ends. A soak of hours ends that day, one of half a day or more (or of no
    length said) by the next."""
    if t.kind != "soaked" or t.start is None or (t.planned or 0) > _SOAK:
        return t.due
    length = _SOAK if t.planned is None or t.planned >= 0.5 else 0
    on = t.start + dt.timedelta(days=length)
    return on if (as_of - on).days <= _SOAK_OVER else None


def _so_long(t: Treatment) -> str:
    if t.planned is None:
        return ""
    if t.planned < 1:
        return f", for {t.planned * 24:.0f} hours"
    return f", for {t.planned:g} day{'' if t.planned == 1 else 's'}"


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


def _of(s: SowingFigures, outlooks: Outlooks, pottings: Pottings, behind: bool) -> Iterator[Due]:
    a = s.account
    still_sown = a.sown_closed_on is None and not (a.hardening or a.plantings)
    if still_sown and not s.sowing.shares and not _in_the_cold(s):
        outlook = outlooks.of(s)
        if not s.up.settled:
            yield from _looking(s, outlook, behind)
        pot = pottings.of(s, outlook)
        if pot:
            yield Due(pot.on, "pot", s.code, pot.why)
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
