"""Stands that plants were taken to: pots, trays, beds."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from traybook.findings.model import Finding
from traybook.ledger.echo import Echo, many
from traybook.ledger.model import Check, Planting, Potting
from traybook.ledger.ops import GOOD, INTO_POTS, Count, Loss, Move, Op, Take, words_of
from traybook.ledger.state import State
from traybook.records.event import Event
from traybook.text.scalars import Amount


class GiveUp(Exception):  # noqa: N818 - it gives up a visit, it is no error
    """A visit that can't be: its lines wait, with the finding that says why."""

    def __init__(self, finding: Finding, events: list[Event]) -> None:
        """`events` are all the lines of the visit."""
        super().__init__(finding.message)
        self.finding, self.events = finding, events


def share_of(n: Amount, whole: int) -> int | None:
    """A number, or the share of a whole that a word means; half of an odd number is rounded
    down. None for an estimate in percent."""
    if n.share == "half":
        return whole // 2
    if n.share:
        return whole
    if n.percent or n.value is None:
        return None
    return round(n.value)


class Later:
    """A day's losses, counts and takings in later stands."""

    def __init__(self, state: State, day: dt.date, echo: Echo, findings: list[Finding]) -> None:
        """Works on a trial state."""
        self.state, self.day, self.echo, self.findings = state, day, echo, findings
        self.seen: dict[int, Check] = {}

    def visit(self, ops: list[Op]) -> None:
        """Losses first, then counts; of several counts of one stand the highest."""
        for op in ops:
            if isinstance(op, Loss):
                self._lose(op)
        counts: dict[tuple[int, ...], list[Count]] = {}
        for op in ops:
            if isinstance(op, Count):
                counts.setdefault(tuple(self._stands(op)), []).append(op)
        for stands, asked in counts.items():
            self._count(list(stands), asked)

    def _stands(self, op: Loss | Count) -> list[int]:
        """The stands that a clause is about: named, else the newest with plants."""
        where = op.where
        if where:
            found = self.state.find(where)
            if found:
                return found
        newest = self.state.newest()
        if newest is None:
            open_ = [i for i, s in enumerate(self.state.stands) if s.closed is None]
            return open_[-1:] or [len(self.state.stands) - 1]
        same = [
            i for i, s in enumerate(self.state.stands) if s.alive and s.closed is None and s.bed
        ]
        if not where and len(same) > 1 and self.state.stands[newest].bed:
            self._doubt("which-stand", op,
                        f"plants stand in {len(same)} beds; `{self.state.stands[newest].name}` is meant here",
                        "say which, as `60 alive in bed 4`")  # fmt: skip
        return [newest]

    def _lose(self, op: Loss) -> None:
        for i in reversed(self._stands(op)):
            stand = self.state.stands[i]
            n = share_of(op.n, stand.alive + stand.missing if op.n.share else stand.alive)
            if n is None:
                self.echo.say(op.event, "an estimate, so it changes no count")
                return
            back = min(stand.missing, max(0, n - stand.alive))
            if n > stand.alive + back:
                self._too_many(op, n, stand.alive, f"lost in {stand.name}")
            stand.missing -= back
            stand.alive += back - n
            stand.lost += n
            self.echo.say(op.event, f"{n} lost in {stand.name}; {stand.alive} alive there")
            self._row(i, op.event, lost=n, cause=op.cause)
            return

    def _count(self, stands: list[int], ops: list[Count]) -> None:
        whole = sum(self.state.stands[i].alive for i in stands)
        missing = sum(self.state.stands[i].missing for i in stands)
        read = [(share_of(o.n, whole), o) for o in ops]
        known = [(n, o) for n, o in read if n is not None and not o.n.about]
        for op in ops:
            if op.n.about or op.n.percent:
                self.echo.say(op.event, "an estimate, so it changes no count")
        if not known:
            return
        n, op = max(known, key=lambda pair: pair[0])
        if n > whole + missing:
            self._too_many(op, n, whole + missing, f"alive in {self.state.stands[stands[0]].name}")
        change = n - whole
        for i in reversed(stands):
            stand = self.state.stands[i]
            step = max(-stand.alive, change) if change < 0 else min(stand.missing, change)
            stand.alive += step
            stand.missing -= step
            stand.counted = self.day
            change -= step
        name = self.state.stands[stands[0]].name
        whole_in = sum(self.state.stands[i].entered for i in stands)
        self.echo.say(op.event, f"{n} alive in {name}, of {whole_in} that went in")
        self._row(stands[0], op.event, alive=n)

    def take(self, op: Take, source: int) -> None:
        """Plants leave a later stand."""
        stand = self.state.stands[source]
        n = stand.alive if op.n is None else share_of(op.n, stand.alive)
        if n is None:
            n = 0
        if op.n is None:
            self._doubt("unknown-amount", op, f"how many isn't said; all {n} in {stand.name} are meant here",
                        "write the number first")  # fmt: skip
        back = min(stand.missing, max(0, n - stand.alive))
        if n > stand.alive + back:
            self._too_many(op, n, stand.alive, f"taken from {stand.name}")
        stand.missing -= back
        stand.alive += back - n
        stand.out += n
        place(self.state, self.echo, op, n, self.day, stand.name, stand.bed)

    def move(self, op: Move, i: int) -> None:
        """A later stand changes place."""
        self.state.stands[i].place = op.to
        self.echo.say(op.event, f"{self.state.stands[i].name} moved to {op.to}")

    def rows(self) -> None:
        """Put the day's checks of later stands on the list."""
        self.state.checks += [self.seen[i] for i in sorted(self.seen)]

    def _row(
        self, i: int, event: Event, alive: int | None = None, lost: int = 0, cause: str = ""
    ) -> None:
        old = self.seen.get(i)
        if old is None:
            old = Check(self.state.stands[i].name, self.day, event, unit="plants", by=event.by)
        keep = alive is not None
        self.seen[i] = replace(
            old,
            event=event if keep else old.event,
            by=event.by if keep else old.by,
            alive=alive if keep else old.alive,
            lost=old.lost + lost,
            cause=old.cause or cause,
        )

    def _too_many(self, op: Loss | Count | Take, n: int, have: int, words: str) -> None:
        raise GiveUp(
            Finding(
                "more-than-stood", f"{n} {words}, but only {have} stood there", words_of(op),
                "check the number and the stand; the line waits until then", about=(self.state.sowing.code,),
            ),
            [op.event],
        )  # fmt: skip

    def _doubt(self, name: str, op: Loss | Count | Take, message: str, help_: str) -> None:
        self.findings.append(
            Finding(name, message, words_of(op), help_, about=(self.state.sowing.code,))
        )


def place(
    state: State, echo: Echo, op: Take, n: int, day: dt.date, source: str, from_bed: bool
) -> None:
    """What becomes of `n` plants that were taken: potted, planted, sold, given or put by."""
    spec = op.spec
    if op.kind == "planted":
        i = state.put(op.into, n, day, bed=True)
        state.plantings.append(
            Planting(day, n, op.into, spec.rows if spec else None, spec.spacing_mm if spec else None,
                     spec.between_mm if spec else None, spec.length_mm if spec else None, i, not from_bed, op.event)
        )  # fmt: skip
        echo.say(
            op.event, f"{many(n, 'plants')} from {_from(source)} planted in {state.stands[i].name}"
        )
    elif op.kind in INTO_POTS:
        i = state.put(op.into, n, day, bed=False, join=op.kind == "moved on")
        state.pottings.append(Potting(day, n, source, op.into, source == "sown", op.event))
        echo.say(
            op.event, f"{many(n, 'plants')} from {_from(source)} moved to {state.stands[i].name}"
        )
    elif op.kind == "thinned":
        state.thinned += n
        echo.say(op.event, f"{n} thinned out")
    elif op.kind in GOOD:
        state.sold += n if op.kind == "sold" else 0
        state.given += n if op.kind == "given" else 0
        state.spare += n if op.kind == "spare" else 0
        state.again += n if from_bed else 0
        words = {"sold": "sold", "given": "given away", "spare": "put by as spare"}[op.kind]
        echo.say(op.event, f"{many(n, 'plants')} from {_from(source)} {words}")


def _from(source: str) -> str:
    return "where it was sown" if source == "sown" else source
