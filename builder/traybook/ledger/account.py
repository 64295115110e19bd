"""The ledger of one sowing, day by day: losses, then the count, then takings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from itertools import groupby

from traybook.findings.model import Finding
from traybook.ledger.asks import moves_more
from traybook.ledger.echo import Echo
from traybook.ledger.later import Later
from traybook.ledger.model import Account
from traybook.ledger.moves import move
from traybook.ledger.ops import (
    Count,
    Finish,
    FirstSeen,
    Loss,
    Move,
    Op,
    Resow,
    Sample,
    Take,
    ops_of,
)
from traybook.ledger.seed import Treatment
from traybook.ledger.sowings import Sowing, resown_seeds
from traybook.ledger.sown import GiveUp, WhereSown
from traybook.ledger.state import State
from traybook.records.book import Entry
from traybook.records.event import Event
from traybook.records.settings import Farm

_Key = tuple[str, int]


class Ledger:
    """Keeps one sowing's account; `findings` gather what is odd."""

    def __init__(self, sowing: Sowing, farm: Farm) -> None:
        """Start with the sowing as it was made."""
        self.sowing, self.farm = sowing, farm
        self.state = State.of(sowing)
        self.findings: list[Finding] = []
        self.echo: dict[_Key, list[str]] = {}
        self.waiting: dict[_Key, str] = {}
        self.places: list[tuple[dt.date, tuple[tuple[str, float], ...]]] = []
        self.hardening: list[tuple[dt.date, str]] = []
        self.reason = ""

    def run(self, entries: Iterable[Entry]) -> None:
        """Go through the sowing's entries in order."""
        self._note_places(self.sowing.sown_on)
        own = self.sowing.event
        used = [
            e.event
            for e in entries
            if e.used
            and e.event.on is not None
            and not (e.event.verb == "resown" and e.event.key == own.key)
        ]
        for day, events in groupby(used, key=lambda e: e.on):
            assert day is not None
            self._day(day, list(events))

    def _day(self, day: dt.date, events: list[Event]) -> None:
        """One day's lines; a visit that can't be is given up whole, the rest is tried again."""
        given_up: set[_Key] = set()
        while True:
            trial, echo, findings = self.state.copy(), Echo(), []
            try:
                self._try(day, [e for e in events if e.key not in given_up], trial, echo, findings)
            except GiveUp as stop:
                keys = {e.key for e in stop.events}
                assert keys - given_up, "a visit can't be given up twice"
                given_up |= keys
                for event in stop.events:
                    self.waiting[event.key] = stop.finding.name
                self.findings.append(stop.finding)
                continue
            break
        self.state = trial
        self.findings += findings
        for key, words in echo.words.items():
            self.echo[key] = words
        self._note_places(day)

    def _try(
        self, day: dt.date, events: list[Event], state: State, echo: Echo, findings: list[Finding]
    ) -> None:
        """A day on a trial state: raises GiveUp, with nothing kept, if it can't be."""
        ops = [op for e in events for op in ops_of(e)]
        sown = WhereSown(state, self.farm, day, echo, findings)
        later = Later(state, day, echo, findings)
        before = [o for o in ops if isinstance(o, Loss | Count | Sample | FirstSeen)]
        after = _of_new_stands(before, state, ops)
        late = {id(o) for o in after}
        early = [o for o in before if id(o) not in late]
        here = {id(o) for o in early if sown.mine(o)}
        sown.begin([o for o in early if id(o) in here])
        later.visit([o for o in early if id(o) not in here])
        sources: dict[_Key, int | None] = {}
        for op in ops:
            if isinstance(op, Take):
                self._take(op, sown, later, sources)
            elif isinstance(op, Move):
                self._move(op, state, later, echo)
        sown.end()
        later.visit(after)
        later.rows()
        for op in ops:
            if isinstance(op, Resow):
                state.resow(day, resown_seeds(op.event, self.sowing))
                echo.say(
                    op.event,
                    "what had come up before counts as this sowing's; later counts are the whole tray's",
                )
            if isinstance(op, Finish):
                self._finish(op, state, echo, day)
        for event in events:
            if event.verb == "hardening off":
                self._harden(event, day)

    def _take(
        self, op: Take, sown: WhereSown, later: Later, sources: dict[_Key, int | None]
    ) -> None:
        """Settle which stand the plants come from, and let them go there.

        What is put by beside another taking comes from where that one came.
        """
        key = op.event.key
        beside = (
            op.kind == "spare" and op.event.verb != "spare" and key in sources and not op.source
        )
        source = sources[key] if beside else sown.source(op)
        sources.setdefault(key, source)
        if source is None:
            sown.take(op)
        else:
            later.take(op, source)

    def _move(self, op: Move, state: State, later: Later, echo: Echo) -> None:
        """All or a part of what stands where it was sown; else a later stand changes place."""
        found = state.find(op.what) if op.what and not state.is_sown(op.what) else []
        newest = state.newest()
        if found:
            later.move(op, found[-1])
        elif state.empty and newest is not None:
            later.move(op, newest)
        else:
            more = moves_more(op, state)
            if more:
                raise GiveUp(more, [op.event])
            move(op, state, echo)

    def _finish(self, op: Finish, state: State, echo: Echo, day: dt.date) -> None:
        """The end of one stand, or of all."""
        found = state.find(op.where) if op.where else []
        if (
            op.where
            and found
            and not (
                state.sowing.container and state.sowing.container.like(op.where) and not state.empty
            )
        ):
            for i in found:
                state.stands[i].closed = day
                echo.say(op.event, f"{state.stands[i].name} is finished")
            return
        if op.where and state.sowing.measure != "stand":
            state.closed = state.closed or day
            echo.say(op.event, "where it was sown is finished; what was taken from it goes on")
            return
        state.closed = state.closed or day
        state.finished = state.finished or day
        self.reason = self.reason or op.event.note
        left = state.first.standing + sum(
            s.alive for s in state.stands if s.closed is None and not s.bed
        )
        echo.say(
            op.event, "finished" + (f"; {left} that still stood were never used" if left else "")
        )
        for stand in state.stands:
            stand.closed = stand.closed or day

    def _harden(self, event: Event, day: dt.date) -> None:
        said = event.one("state")
        entry = (day, said.text if said else "begun")
        if entry not in self.hardening:
            self.hardening.append(entry)

    def _note_places(self, day: dt.date) -> None:
        """Where the shares of it stand from this day on."""
        parts = tuple((p.place, p.share) for p in self.state.main.parts)
        if not self.places or self.places[-1][1] != parts:
            self.places.append((day, parts))

    def account(
        self,
        entries: tuple[Entry, ...],
        aside: tuple[Event, ...],
        treatments: tuple[Treatment, ...],
    ) -> Account:
        """The result, frozen."""
        s = self.state
        return Account(
            sowing=self.sowing,
            main=s.main,
            cells=s.cells,
            stands=tuple(s.stands),
            checks=tuple(s.checks),
            pottings=tuple(s.pottings),
            plantings=tuple(s.plantings),
            sold=s.sold,
            given=s.given,
            spare=s.spare,
            again=s.again,
            thinned=s.thinned,
            seeds_lost=s.seeds_lost,
            seeds_lost_to=tuple(s.seeds_lost_to),
            finished_on=s.finished,
            sown_closed_on=s.closed,
            reason=self.reason,
            hardening=tuple(self.hardening),
            places=tuple(self.places),
            echo={k: tuple(v) for k, v in self.echo.items()},
            aside=aside,
            events=tuple(e.event for e in entries),
            treatments=treatments,
            resown=s.resown,
            row_plants=tuple(s.row_plants),
        )


def _of_new_stands(ops: list[Op], state: State, all_ops: list[Op]) -> list[Op]:
    """Counts and losses that name a bed or container which plants reach only that day."""
    new = [o.into for o in all_ops if isinstance(o, Take) and o.into]
    out: list[Op] = []
    for op in ops:
        where = op.where if isinstance(op, Loss | Count) else ""
        if where and not state.find(where) and not state.is_sown(where):
            trial = State.of(state.sowing)
            for into in new:
                trial.put(into, 0, state.sowing.sown_on, False)
            if trial.find(where):
                out.append(op)
    return out
