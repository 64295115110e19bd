"""One sowing walked day by day: what stands where, and what had come up."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

from .amend import about
from .events import (
    Checked,
    Density,
    Event,
    Finished,
    Loss,
    Moved,
    Parted,
    Planted,
    Potted,
    Resown,
    Sown,
    Stretch,
    Thinned,
)
from .tally import Hop, Stand, State, Tally

TAKING = (Potted, Planted, Parted, Thinned)
LEDGER = (Checked, Density, Stretch, *TAKING)


class History:
    """Everything the ledger knows about one sowing on a day."""

    def __init__(self, sown: Sown, events: list[Event], as_of: date):
        self.sown = sown
        self.many = (sown.each or 1) > 1
        self.bought = sown.kind == "bought"
        self.state = State()
        self.finished: Finished | None = None
        self.emptied = False
        self.moves: list[tuple[int, str, float | None]] = []
        self.closed: State | None = None  # as it was when its blanks were sown again
        self._arrive()
        mine = [
            e for e in events if getattr(e, "code", None) == sown.code and not isinstance(e, Sown)
        ]
        self.left_out = sum(1 for e in events if e.day > as_of and about(e, sown.code))
        self.home = sown.place or ""
        due = [e for e in mine if e.day <= as_of]
        for day in sorted({e.day for e in due}):
            self._day(day, [e for e in due if e.day == day])

    def _arrive(self) -> None:
        """Plants bought in stand from the first day, less those dead at arrival."""
        if not self.bought:
            return
        s = self.state
        s.single.standing = s.single.emerged = self.sown.seeds_said
        s.single.visit(0, self.sown.dead, None, 0)
        s.lost = self.sown.dead
        s.some.append(0)
        if self.sown.dead:
            row = self._row({}, "sown", self.sown)
            row.update(day=self.sown.day, d=0, stand="sown", lost=self.sown.dead, arrival=True)
            s.checks.append(row)

    @property
    def first_up(self) -> int | None:
        return min(self.coming.some, default=None)

    @property
    def coming(self) -> State:
        """The state that emergence rests on: that of the last count before blanks were resown."""
        return self.closed or self.state

    def _day(self, day: date, events: list[Event]) -> None:
        work = [e for e in events if isinstance(e, LEDGER)]
        tried = self._tried(day, work)
        if self._over(tried):
            later = [e for e in work if isinstance(e, Checked) and self._elsewhere(e)]
            self.left_out += len(work) - len(later)
            tried = self._tried(day, later)
        self.state = tried
        for e in events:
            if isinstance(e, Moved):
                self._moved(e)
            elif isinstance(e, Finished):
                self.emptied = True
                if not e.where_only:
                    self.finished = e
            elif isinstance(e, Resown) and self.closed is None:
                self.closed = deepcopy(self.state)

    def _moved(self, e: Moved) -> None:
        """A whole move takes all along; a part keeps a standing of its own, still where sown."""
        s, here = self.state, self.live.standing
        d = (e.day - self.sown.day).days
        if e.part is None:
            self.moves.append((d, e.place, None))
            s.parts, self.home = {}, e.place
            return
        if not s.parts:
            s.parts = {self.home: here}
        n = s.parts[self.home] // 2 if e.part == "half" else int(e.part)
        self.moves.append((d, e.place, n / here if here else 0.0))
        s.parts[self.home] -= n
        s.parts[e.place] = s.parts.get(e.place, 0) + n

    def _over(self, s: State) -> bool:
        """More up than was sown, in either tally."""
        cap_seeds, cap_cells = self.sown.cap, self.sown.cells
        if self.closed:
            return False
        if self.many:
            return s.cells.emerged > cap_cells or s.seedlings.emerged > cap_seeds
        cap = cap_seeds if cap_seeds is not None else cap_cells
        return cap is not None and s.single.emerged > cap

    def _elsewhere(self, e: Checked) -> bool:
        """A check of a later stand only."""
        names = {st.name for st in self.state.stands}
        at_sown = e.count is not None or e.seedlings is not None or e.left is not None or e.moves
        loose = any(x.where not in names for x in e.losses)
        return not at_sown and not e.first_seen and not loose

    @property
    def tally(self) -> Tally:
        """The tally that emerged rests on: seedlings, unless cells rose after their last count."""
        s = self.coming
        if not self.many:
            return s.single
        return s.seedlings if self.by_seedlings else s.cells

    @property
    def live(self) -> Tally:
        """The tally of what stands there now, whoever came up from which sowing."""
        s = self.state
        if not self.many:
            return s.single
        return s.seedlings if self.by_seedlings else s.cells

    @property
    def by_seedlings(self) -> bool:
        """True when the seedlings counted (or the lack of any cell count) decide."""
        s = self.coming
        if s.seedlings.last_count is None:
            return False
        return not s.cells.counted or s.seedlings.last_count >= (s.cells.last_rise or 0)

    def _find(self, s: State, name: str | None) -> Stand | None:
        return next((st for st in reversed(s.stands) if st.name == name), None)

    def _tried(self, day: date, work: list[Event]) -> State:
        """The state after one day's lines, with nothing kept if the caller throws it away."""
        s = deepcopy(self.state)
        d = (day - self.sown.day).days
        rows: dict[str, dict] = {}
        outs = {st.name: st.out for st in s.stands}
        checks = [e for e in work if isinstance(e, Checked)]
        lost = self._losses(s, checks, rows)
        self._drill(s, d, work, rows)
        for e in checks:
            self._alive(s, e, rows)
        counts = self._counts(s, d, checks, rows, lost)
        takings = self._takings(s, day, work, counts, lost)
        plants = sum(n for n, _ in takings)
        whole = sum(n for n, thin in takings if not thin)
        self._left(work, rows, counts, plants, whole)
        self._sighting(s, d, counts, plants, lost)
        if self.many:
            s.cells.visit(d, 0, counts["cells"], self._of_cells(s, counts, whole))
            s.seedlings.visit(d, lost, counts["seedlings"], plants)
        else:
            s.single.visit(d, lost, counts["single"], plants)
        s.lost += lost
        s.taken += plants
        for stand, row in rows.items():
            if stand == "sown" or stand in s.parts:
                row["taken"] += plants
            elif stand in outs:
                row["taken"] = self._find(s, stand).out - outs[stand]
            row.update(day=day, d=d, stand=stand)
            s.checks.append(row)
        return s

    def _of_cells(self, s: State, counts: dict, taken: int) -> int:
        """Where seedlings were counted, plants taken come out of the cells as far as these go."""
        if not s.seedlings.counted and counts["seedlings"] is None:
            return taken
        here = s.cells.standing if counts["cells"] is None else counts["cells"]
        return min(taken, here)

    def _drill(self, s: State, d: int, work: list, rows: dict) -> None:
        """Looks along a drill are samples: they show that something is up, and count nothing."""
        for e in work:
            if isinstance(e, Density):
                self._row(rows, "sown", e)["drill"] = True
                s.some += [d] if e.n else []

    def _left(self, work: list, rows: dict, counts: dict, plants: int, whole: int) -> None:
        """What was left after taking is a count too: that much and what was taken."""
        for e in work:
            left = getattr(e, "left", None)
            if left is None:
                continue
            for key in counts:
                counts[key] = left + (whole if key == "cells" else plants)
            if isinstance(e, Checked):
                self._row(rows, "sown", e)["left"] = left

    def _sighting(self, s: State, d: int, counts: dict, plants: int, lost: int) -> None:
        """Was anything there that day?  Takings and plants lost show it as well as a count."""
        counted = any(n is not None for n in counts.values())
        if counted:
            s.census += 1
        if any(counts.values()) or plants or lost:
            s.some.append(d)
        elif counted:
            s.none.append(d)

    def _row(self, rows: dict, stand: str, e: Event) -> dict:
        blank = {
            "up": None,
            "left": None,
            "alive": None,
            "unit": None,
            "of": None,
            "lost": 0,
            "seeds_lost": 0,
            "taken": 0,
            "causes": [],
            "cells": None,
            "seedlings": None,
            "drill": False,
            "by": e.by,
            "event": e,
            "events": [],
        }
        row = rows.setdefault(stand, blank)
        row["events"].append(e)
        return row

    def _losses(self, s: State, checks: list[Checked], rows: dict) -> int:
        """Seeds never count; plants come off the named stand, else where sown while not empty."""
        total = 0
        up = bool(s.some)
        for e in checks:
            for x in e.losses:
                stand = self._losing(s, x, up)
                seeds = x.unit == "seeds" or (
                    x.unit is None and (self.sown.kind == "paper" or not up)
                )
                name = stand.name if stand else x.where if x.where in s.parts else "sown"
                row = self._row(rows, name, e)
                row["seeds_lost" if seeds and not stand else "lost"] += x.n
                if x.cause:
                    row["causes"].append(x.cause)
                if stand:
                    stand.lose(x.n)
                elif seeds:
                    s.seeds_lost += x.n
                else:
                    total += x.n
                    if x.where in s.parts:
                        s.parts[x.where] -= x.n
        return total

    def _losing(self, s: State, x: Loss, up: bool) -> Stand | None:
        """The later stand a loss is of; None for where it was sown."""
        named = self._find(s, x.where)
        if named or x.unit == "seeds" or not up:
            return named
        if max(s.single.standing, s.cells.standing, s.seedlings.standing) > 0:
            return None
        live = [st for st in s.stands if st.alive > 0]
        return live[-1] if live else None

    def _alive(self, s: State, e: Checked, rows: dict) -> None:
        if e.alive is None:
            return
        live = [st for st in s.stands if st.alive > 0]
        stand = self._find(s, e.where) or (live[-1] if live else None)
        if stand:
            stand.count(e.alive)
            row = self._row(rows, stand.name, e)
            row["alive"], row["by"], row["unit"] = e.alive, e.by, "plants"

    def _counts(self, s: State, d: int, checks: list[Checked], rows: dict, lost: int) -> dict:
        """Counts of all that stands where sown; the day's highest wins, samples stay out."""
        counts = {"cells": None, "seedlings": None} if self.many else {"single": None}
        for e in checks:
            if e.moves or e.first_seen:
                self._row(rows, "sown", e)
            if e.first_seen:
                s.some.append(d)
            if e.count is None and e.seedlings is None:
                continue
            if e.about or self._sample(e):
                of = e.of if self._sample(e) else None
                self._row(rows, "sown", e).update(up=e.count, of=of, unit=e.unit, by=e.by)
                s.some += [d] if e.count else []
            elif e.where in s.parts:
                self._row(rows, e.where, e).update(up=e.count, by=e.by)
                base = s.single.standing - lost if counts["single"] is None else counts["single"]
                counts["single"] = base + e.count - s.parts[e.where]
                s.parts[e.where] = e.count
            else:
                self._census(e, counts, self._row(rows, "sown", e))
        return counts

    def _census(self, e: Checked, counts: dict, row: dict) -> None:
        for key, n in self._read(e).items():
            if counts[key] is None or n > counts[key]:
                counts[key] = n
                row["by"] = e.by
                if e.origin is not None:
                    row["event"] = e
                row["up" if key == "single" else key] = n

    def _sample(self, e: Checked) -> bool:
        """`of` something smaller than what was sown, or of one tray."""
        if e.tray is not None:
            return True
        return e.of is not None and e.of not in (self.sown.seeds, self.sown.cells)

    def _read(self, e: Checked) -> dict[str, int]:
        """Which tally a number belongs to."""
        if not self.many:
            return {"single": e.seedlings if e.count is None else e.count}
        out = {} if e.seedlings is None else {"seedlings": e.seedlings}
        if e.count is None:
            return out
        if e.unit is None and e.of is None and e.count == 0:
            return {"cells": 0, "seedlings": 0}
        small = e.count <= self.sown.cells if e.of is None else e.of == self.sown.cells
        return {e.unit or ("cells" if small else "seedlings"): e.count, **out}

    def _takings(
        self, s: State, day: date, work: list, counts: dict, lost: int
    ) -> list[tuple[int, bool]]:
        """Open the stands that batches make; (number, was thinning) of what left the first."""
        tallies = {"single": s.single, "cells": s.cells, "seedlings": s.seedlings}
        hold = max(
            tallies[k].standing - (0 if k == "cells" else lost) if n is None else n
            for k, n in counts.items()
        )
        taken: list[tuple[int, bool]] = []
        for e in work:
            if isinstance(e, (Density, Stretch)):
                gone = []
            elif isinstance(e, Thinned):
                gone = [(e.out, True)] if e.out else []
            elif isinstance(e, Checked):
                gone = [(n, False) for n, _ in e.moves]
                for n, into in e.moves:
                    self._into(s, day, n, into, None, same=True)
            else:
                gone = self._batch(s, day, e, hold)
            hold -= sum(n for n, _ in gone)
            taken += gone
        return taken

    def _batch(self, s: State, day: date, e, hold: int) -> list[tuple[int, bool]]:
        """One potting, planting or parting, from its source stand."""
        n = sum(p.n for p in e.parts) if isinstance(e, Planted) else e.n
        extra = getattr(e, "spare", None) or 0
        stand = self._source(s, e, n + extra, hold)
        if stand:
            stand.take(n + extra)
        s.parted["spare"] += extra
        if isinstance(e, Potted):
            self._into(s, day, e.n, e.into, stand)
        elif isinstance(e, Planted):
            s.stands += [Stand(p.bed, True, day, p.n, p, alive=p.n) for p in e.parts]
            s.planted += n
        else:
            s.parted["given" if e.how == "gave" else e.how] += n
            s.twice += n if stand and stand.bed else 0
        return [] if stand else [(n + extra, False)]

    def _source(self, s: State, e, n: int, hold: int) -> Stand | None:
        """The stand named; else where sown if it holds enough; else the newest that does."""
        named = self._find(s, e.source) if e.source else None
        if named or getattr(e, "left", None) is not None or hold >= n:
            return named
        able = [st for st in s.stands if st.alive >= n and not st.bed]
        return able[-1] if able else None

    def _into(
        self, s: State, day: date, n: int, into: str, source: Stand | None, same: bool = False
    ) -> None:
        s.hops.append(Hop(day, n, source.name if source else "sown", into))
        if source is None:
            s.potted += n
        old = self._find(s, into) if same else None
        if old:
            old.came += n
            old.alive += n
        else:
            s.stands.append(Stand(into, False, day, n, alive=n))
