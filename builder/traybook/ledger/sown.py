"""What stands where it was sown: the day's losses, counts, takings and moves there."""

from __future__ import annotations

import datetime as dt

from traybook.findings.model import Finding
from traybook.ledger import rows
from traybook.ledger.asks import more_than_of, out_of_more, over_sown
from traybook.ledger.echo import Echo, many
from traybook.ledger.later import GiveUp, place, share_of
from traybook.ledger.ops import Count, FirstSeen, Loss, Op, Sample, Take, words_of
from traybook.ledger.running import Running
from traybook.ledger.state import State
from traybook.ledger.visit import Rows
from traybook.records.event import Event
from traybook.records.settings import Farm
from traybook.text.source import Span


class WhereSown:
    """A day's visit to where it was sown, on a trial state."""

    def __init__(
        self, state: State, farm: Farm, day: dt.date, echo: Echo, findings: list[Finding]
    ) -> None:
        """Works on a trial state."""
        self.state, self.farm, self.day = state, farm, day
        self.echo, self.findings = echo, findings
        self.was_empty = state.empty
        self.rows = Rows(day)
        self.events: list[Event] = []
        self.before = {id(t): (t.emerged, t.standing) for t in (state.main, state.cells) if t}
        self.counted: set[int] = set()
        self.rose: set[int] = set()
        self.undated: set[int] = set()
        self.taken = 0
        self.culprit: Span | None = None

    # -- whose op is it

    def mine(self, op: Op) -> bool:
        """True when a loss or count is about where it was sown."""
        if isinstance(op, FirstSeen | Sample):
            return True
        if not isinstance(op, Loss | Count):
            return False
        if op.where and self.state.find(op.where) and self.state.part(op.where) is None:
            return False
        if op.where and self.state.is_sown(op.where):
            return True
        has_later = any(s.closed is None for s in self.state.stands)
        if isinstance(op, Loss):
            return op.seeds or not self.was_empty or not has_later
        if op.kind == "alive":
            return not self.state.stands
        if op.kind == "up" and op.bare and self.was_empty and has_later:
            return False
        return not (
            op.kind == "left" and self.was_empty and has_later and not self.state.first.standing
        )

    # -- the visit

    def begin(self, ops: list[Op]) -> None:
        """Losses, then counts; `left` counts wait until what was taken that day is known."""
        self.left: list[Count] = []
        for op in ops:
            if isinstance(op, Loss):
                self._lose(op)
                self._watch(op)
        best: dict[tuple[int, str], tuple[int, Count]] = {}
        for op in ops:
            if isinstance(op, Sample):
                self._sample(op)
            elif isinstance(op, FirstSeen):
                self._touch(op.event)
                self.rows.add("seedlings", op.event, bounds="some")
                self.echo.say(op.event, "the first were seen; no count")
            elif isinstance(op, Count) and op.kind == "left":
                self._touch(op.event)
                self.left.append(op)
            elif isinstance(op, Count):
                got = self._read(op)
                for tally, n in got:
                    key = (id(tally), op.where)
                    if key not in best or n > best[key][0]:
                        best[key] = (n, op)
        for (ident, _), (n, op) in best.items():
            self._count(self._tally(ident), n, op)
            self._watch(op)

    def _watch(self, op: Loss | Count | Take) -> None:
        """Remember the words by which more came up than was sown."""
        if self.culprit is None and self.state.over:
            self.culprit = words_of(op)

    def _tally(self, ident: int) -> Running:
        cells = self.state.cells
        return cells if cells is not None and id(cells) == ident else self.state.main

    def _touch(self, event: Event) -> None:
        if event.key not in [e.key for e in self.events]:
            self.events.append(event)

    def _lose(self, op: Loss) -> None:
        state, sowing = self.state, self.state.sowing
        self._touch(op.event)
        seeds = op.seeds or (
            not op.plants and (sowing.measure == "sprouted" or not self._up_before())
        )
        tally = state.main
        if op.unit.startswith("cell") and state.cells is not None:
            tally = state.cells
        whole = (
            max(0, (sowing.seeds or sowing.cells or 0) - state.first.emerged - state.seeds_lost)
            if seeds
            else tally.standing
        )
        n = share_of(op.n, whole)
        if n is None or op.n.about:
            self.echo.say(op.event, "an estimate, so it changes no count")
            return
        if seeds:
            state.seeds_lost += n
            state.seeds_lost_to.append((n, op.cause))
            self.echo.say(op.event, f"{many(n, 'seeds')} lost, none of which had come up")
            self.rows.add(tally.unit, op.event, seeds_lost=n, cause=op.cause)
            return
        i = state.part(op.where) if op.where and len(tally.parts) > 1 else None
        came = (
            tally.lose(tally.parts[i], n)
            if i is not None and i < len(tally.parts)
            else tally.lose_any(n)
        )
        self.rows.add(tally.unit, op.event, lost=n, cause=op.cause)
        more = f" ({came} more must have come up)" if came > 0 else ""
        self.echo.say(
            op.event, f"{many(n, 'plants')} lost where sown{more}; {tally.standing} standing"
        )

    def _up_before(self) -> bool:
        """Some were up before today: counted, or seen in a sample, an estimate or at first sight."""
        known = self.state.first.emerged > 0 or self.state.main.emerged > 0
        return known or any(c.bounds == "some" and c.on < self.day for c in self.state.checks)

    def _read(self, op: Count) -> list[tuple[Running, int]]:
        """Which count a number belongs to, and the number; none for a sample or an estimate. No
        cells up means no seedlings either."""
        self._touch(op.event)
        tally = self._which(op)
        if op.of is not None and op.of.whole is not None:
            kind = self._of(op, op.of.whole)
            if kind is None:
                return []
            tally = kind
        if op.n.about or op.n.percent or op.n.share in ("half", "rest"):
            some = op.n.value is None or op.n.value > 0
            self.rows.add(tally.unit, op.event, bounds="some" if some else "")
            if op.n.value is not None and not op.n.percent:
                self.rows.about(tally.unit, round(op.n.value))
            self.echo.say(
                op.event,
                f"{op.n.said()}: an estimate, which bounds when it came up and changes no count",
            )
            return []
        n = tally.limit if op.n.share == "all" else op.n.whole
        if n is None:
            self._doubt("unknown-amount", op, f"`{op.n.said()}` is no count of whole plants here",
                        "write how many are up")  # fmt: skip
            return []
        if n == 0 and not op.unit and self.state.cells is not None and not op.where:
            return [(self.state.cells, 0), (self.state.main, 0)]
        return [(tally, n)]

    def _which(self, op: Count) -> Running:
        cells, main = self.state.cells, self.state.main
        if cells is None:
            return main
        if op.unit:
            return cells if op.unit.startswith("cell") else main
        if op.n.whole is not None and cells.limit is not None and op.n.whole > cells.limit:
            return main
        return main if self.farm.count_in == "seedlings" else cells

    def _of(self, op: Count, of: int) -> Running | None:
        """`44 of 72`: out of what was sown it is a count, out of less a sample, out of more an
        error."""
        sowing, cells = self.state.sowing, self.state.cells
        sown = sowing.seeds if sowing.seeds is not None else sowing.cells
        self._fits(op, op.n.whole, of)
        if cells is not None and of == sowing.cells:
            return cells
        if sown is not None and of == sown and not (cells and op.unit.startswith("cell")):
            return self.state.main
        if cells is None and sowing.cells is not None and of == sowing.cells:
            return self.state.main
        if sown is not None and of > sown and not sowing.about:
            raise GiveUp(out_of_more(self.state, of, sown, words_of(op)), [op.event])
        n = op.n.whole
        if n is not None:
            self._sample_row(op.event, n, of, op.unit or "seedlings")
        return None

    def _sample(self, op: Sample) -> None:
        self._touch(op.event)
        s = op.said
        row = rows.about(self.state, s, self.day)
        if row:
            self.echo.say(op.event, row)
        if s.field in ("to_density", "spacing", "row_alive"):
            return
        n = s.n.whole if s.n else None
        of = s.of.whole if s.of and s.field == "sample" else None
        if n is not None and of is not None:
            self._fits(op, n, of)
        if n is not None:
            self._sample_row(op.event, n, of, s.unit or "seedlings")

    def _fits(self, op: Count | Sample, n: int | None, of: int) -> None:
        if n is not None and n > of:
            raise GiveUp(more_than_of(self.state, n, of, words_of(op)), [op.event])

    def _sample_row(self, event: Event, n: int, of: int | None, unit: str) -> None:
        self.rows.sample(event, n, of, unit)
        out_of = f" of {of}" if of is not None else ""
        self.echo.say(
            event, f"a sample: {n}{out_of}; it bounds when it came up and changes no count"
        )

    def _count(self, tally: Running, n: int, op: Count, after: int = 0) -> None:
        """`n` were up, or `n` left after `after` had been taken."""
        i = self.state.part(op.where) if op.where and len(tally.parts) > 1 else None
        before, stood, missing = tally.emerged, tally.standing, tally.missing
        stand = "sown"
        if op.total:
            n = max(0, stood + n - before)  # what still stands of all that came up
            self.undated.add(id(tally))
        if i is not None and i < len(tally.parts):
            change = tally.count(tally.parts[i], n)
            stand = tally.parts[i].place or "sown"
        else:
            if len([p for p in tally.parts if p.standing]) > 1:
                self._doubt("which-part", op, "it stands in more than one place; this count is taken for all of it",
                            "name the place, as `23 up on the shelf`")  # fmt: skip
            change = tally.count_all(n)
        self.counted.add(id(tally))
        back = missing - tally.missing
        if tally.standing > stood:
            self.rose.add(id(tally))
        self.rows.add(
            tally.unit,
            op.event,
            up=n + after,
            left=n if op.kind == "left" else None,
            census=True,
            stand=stand,
        )
        came = tally.emerged - before
        words = f"{many(n, tally.unit)} {'left' if op.kind == 'left' else 'up'}"
        if change < 0:
            words += f", {-change} fewer than stood: missing until something explains it"
            self._fall(op, -change, tally)
        elif back > 0:
            words += f": {back} that were missing are back" + (f", {came} came up" if came else "")
        elif came:
            words += f": {came} came up" + (
                f", {tally.emerged} in all" if tally.emerged != came else ""
            )
        self.echo.say(
            op.event, words + ("; no day is known, so it says nothing of speed" if op.total else "")
        )

    def _fall(self, op: Count, by: int, tally: Running) -> None:
        if tally is self.state.cells:
            return
        self._doubt("unexplained-fall", op, f"{by} fewer than stood at the last look, and nothing says where they went",
                    f"add what happened, as `{by} lost to damping off` or `{by} to 72-cell tray`")  # fmt: skip

    # -- takings

    def source(self, op: Take) -> int | None:
        """The later stand that plants come from; None for where it was sown."""
        state = self.state
        if op.source:
            found = state.find(op.source)
            if found and not (
                state.sowing.container and state.sowing.container.like(op.source) and not found
            ):
                held = [i for i in found if state.stands[i].alive] or found
                return held[-1]
            return None
        if op.kind in ("thinned", "moved on") and not self.was_empty:
            return None
        if op.kind == "moved on" and state.sowing.measure == "sprouted" and state.closed is None:
            return None
        n = op.n.whole if op.n else None
        if n is None:
            newest = state.newest(beds=False)
            return newest if newest is not None and (state.empty or op.kind == "planted") else None
        standing = state.first.standing if state.closed is None else 0
        other = state.newest(n, beds=False)
        if standing >= n and n > 0:
            if other is not None and op.kind != "pricked out":
                name = state.stands[other].name
                self._doubt("which-stand", op,
                            f"{n} could come from where it was sown or from `{name}`; the first is meant here",
                            f"say which, as `from {name}`")  # fmt: skip
            return None
        if other is not None:
            return other
        if not state.empty:
            return None
        newest = state.newest(beds=False)
        in_bed = state.newest(n) if op.kind in ("sold", "given", "spare") else None
        return newest if newest is not None else in_bed

    def take(self, op: Take) -> None:
        """Plants leave where they were sown."""
        state = self.state
        self._touch(op.event)
        n = self._how_many(op)
        if n <= 0 and op.kind == "thinned":
            return
        came = self._take_from(op, n)
        self._watch(op)
        self.taken += n
        if op.event.verb == "checked":
            self.rows.add(state.first.unit, op.event)
        if came > 0:
            self.echo.say(op.event, f"{came} more must have come up")
        place(
            state,
            self.echo,
            op,
            n,
            self.day,
            "sown",
            state.sowing.measure == "stand" and op.kind == "planted",
        )

    def _how_many(self, op: Take) -> int:
        state = self.state
        if op.kind == "thinned" and op.n is None and op.spec and op.spec.n and state.cells:
            keep = (op.spec.n.whole or 0) * state.cells.standing
            return max(0, state.main.standing - keep) if state.first is state.main else 0
        if op.n is None:
            n = state.first.standing
            self._doubt("unknown-amount", op, f"how many isn't said; all {n} that stand are meant here",
                        "write the number first")  # fmt: skip
            return n
        return share_of(op.n, state.first.standing) or 0

    def _take_from(self, op: Take, n: int) -> int:
        """Let `n` go from the counts that run; returns how many that shows to have come up."""
        state = self.state
        if state.cells is None:
            return state.main.take_any(n)
        if op.kind == "thinned":
            return state.main.take_any(
                n if state.first is state.main else min(n, state.main.standing)
            )
        fits = state.cells.limit is None or n <= state.cells.limit
        if state.first is state.main or not fits:
            here = min(n, state.cells.standing)
            if here:
                state.cells.take_any(here)
            return state.main.take_any(n)
        if state.main.standing:
            state.main.take_any(min(n, state.main.standing))
        return state.cells.take_any(n)

    # -- the end of the visit

    def end(self) -> None:
        """`left` counts, the note of the visit, and the test that it can be."""
        state = self.state
        for op in self.left:
            tally = self._which(op) if state.cells is not None else state.main
            n = share_of(op.n, tally.standing)
            if n is not None and not op.n.about:
                self._count(tally, n, op, self.taken)
                self._watch(op)
        for tally in (state.main, state.cells):
            if tally and self.events:
                before = self.before[id(tally)][0]
                census = id(tally) in self.counted
                if census or tally.emerged != before:
                    rose, dated = id(tally) in self.rose, id(tally) not in self.undated
                    tally.mark(self.day, before, census, rose, dated)
        over = state.over
        if over:
            at = self.culprit or self.events[0].at
            raise GiveUp(over_sown(state, over, self.taken, at), self.events)
        self.state.checks += self.rows.all(self.state.first.unit, self.taken)

    def _doubt(self, name: str, op: Count | Take, message: str, help_: str) -> None:
        self.findings.append(
            Finding(name, message, words_of(op), help_, about=(self.state.sowing.code,))
        )
