"""All sowings of a farm on a day, and the figures that one sowing or several give together."""

from __future__ import annotations

from datetime import date

from .amend import amended
from .events import Bunch, Farm, Harvested, Sown
from .kinds import Kinds, give_up, measure, needs_treatment, sown_late
from .numbers import cell_limits, crossing, seed_share, wilson
from .running import History
from .treated import out_of_cold

ACCIDENTS = ("mice", "dried out", "dropped", "mislabelled")


class Book:
    """All sowings of a farm on a day, with what needs more than one of them."""

    def __init__(self, farm: Farm, as_of: date):
        self.farm, self.as_of = farm, as_of
        self._kinds: Kinds | None = None
        events = amended(farm, as_of)
        self.events = [e for e in events if e.day <= as_of]
        sown = sorted(
            (e for e in events if isinstance(e, Sown) and e.day <= as_of),
            key=lambda e: (e.day, e.code),
        )
        self.histories = [History(e, events, as_of) for e in sown]
        self.cuts = [e for e in events if isinstance(e, Harvested) and e.day <= as_of]
        self.bunches = [e for e in events if isinstance(e, Bunch) and e.day <= as_of]

    def season(self, sown: Sown) -> int:
        """The year of the first cut: the next for kinds sown late, if sown late."""
        late = (sown.day.month > 8) if self.farm.latitude >= 0 else (sown.day.month > 2)
        said = self.farm.crop(sown.crop).late_next_year
        kind = sown_late(sown.crop) if said is None else said
        return sown.day.year + (1 if late and kind else 0)

    def give_up(self, h: History) -> int | None:
        """By the finished sowings of its kind, counted in the same way, of earlier seasons."""
        season = self.season(h.sown)
        mine = [
            self.clocked(x)
            for x in self.histories
            if x.sown.crop == h.sown.crop
            and measure(x.sown) == measure(h.sown)
            and self.season(x.sown) < season
            and x.emptied
        ]
        said = self.farm.crop(h.sown.crop).days_to_sprout
        return give_up(mine, said, h.sown.crop, self.slow(h.sown.crop))

    def slow(self, crop: str) -> bool:
        """Does its seed want a treatment first?"""
        return needs_treatment(crop, self.farm.crop(crop).pre_treatment)

    def kinds(self, score_of) -> Kinds:
        """The counts of all that enter germination, and the seasons that are still open."""
        if self._kinds is None:
            counts: dict = {}
            for h in self.histories:
                if self.in_germination(h):
                    key, count = score_of(self, h)
                    counts.setdefault(key, []).append(count)
            going = [h for h in self.histories if not h.finished and not self.settled(h)]
            slow = {h.sown.crop for h in self.histories if self.slow(h.sown.crop)}
            self._kinds = Kinds(counts, {self.season(h.sown) for h in going}, self.as_of, slow)
        return self._kinds

    def clocked(self, h: History) -> list[tuple[int, int]]:
        """Its counts by the clock that its speed goes by; a look before that clock began is at 0."""
        out = self.cold(h) or 0
        return [(max(0, d - out), n) for d, n in h.tally.steps]

    def settled(self, h: History) -> bool:
        """Finished, or nothing left where it was sown (seeds still on the paper are something),
        or two counts without a rise after give-up."""
        t = h.tally
        if h.bought or h.closed:
            return True
        lying = h.sown.kind == "paper" and t.emerged + h.state.seeds_lost < (h.sown.seeds or 0)
        if h.emptied or (t.emerged > 0 and t.standing <= 0 and not lying):
            return True
        day = self.give_up(h)
        shift = self.cold(h) or 0
        last = [(d - shift, quiet) for d, quiet in t.still[-2:]]
        return day is not None and len(last) == 2 and all(d > day and quiet for d, quiet in last)

    def cold(self, h: History) -> int | None:
        """The day, from sowing, on which its clock of days out of the cold begins."""
        return out_of_cold(h.sown, self.events, h.first_up, self.as_of)

    def in_germination(self, h: History) -> bool:
        """Settled, counted, seeds known, and not lost whole to an accident before any was up."""
        accident = (
            h.finished
            and not h.coming.some
            and any(a in h.finished.reason.lower() for a in ACCIDENTS)
        )
        if h.bought or h.sown.parent:
            return False
        return bool(self.settled(h) and h.coming.census and h.sown.seeds and not accident)

    def standing(self, crop: str, day: date) -> list[History]:
        """Sowings of a crop that stood planted (or sown direct) and unfinished on a day."""
        out = []
        for h in self.histories:
            beds = [st.opened for st in h.state.stands if st.bed]
            if h.sown.kind in ("direct", "corm"):
                beds.append(h.sown.day)
            over = h.finished is not None and h.finished.day < day
            if h.sown.crop == crop and beds and min(beds) <= day and not over:
                out.append(h)
        return out

    def owner(self, e: Harvested) -> History | None:
        """The sowing a cut belongs to: by code, else the only one of the crop planted."""
        if e.code:
            return next((h for h in self.histories if h.sown.code == e.code), None)
        found = self.standing(e.crop, e.day)
        return found[0] if len(found) == 1 else None

    def size(self, e: Harvested) -> int | None:
        if e.bunches is None:
            return None
        said = {b.crop: b.size for b in self.bunches if b.day <= e.day}
        return (
            e.size
            or said.get(e.crop)
            or self.farm.crop(e.crop).bunch_size
            or said.get(None)
            or self.farm.bunch_size
        )

    def stems(self, e: Harvested) -> int | None:
        """Loose stems, bunches and what was over, less the rejects said to be among them."""
        if e.stems is None and e.bunches is None and e.over is None:
            return None
        total = (e.stems or 0) + (e.over or 0) + (e.bunches or 0) * (self.size(e) or 0)
        return total - (e.rejected or 0 if e.rejected_within else 0)


def germination(h: History) -> dict:
    """Emerged and its share: counted, estimated from cells, or bounded when all are full."""
    s, t, sown = h.coming, h.tally, h.sown
    out = {
        "emerged": None,
        "at_least": False,
        "p": None,
        "low": None,
        "high": None,
        "estimated": False,
    }
    if not t.known or h.bought:
        return out
    out.update(emerged=t.emerged, at_least=t.fell)
    if not h.many or h.by_seedlings:
        if sown.seeds:
            up = min(t.emerged, sown.seeds)  # of a range more may come up than its middle
            out["p"] = up / sown.seeds if up == t.emerged else None
            out["low"], out["high"] = wilson(up, sown.seeds)
        return out
    y, n, k = s.cells.emerged, sown.cells, sown.each
    out["estimated"] = True
    out["low"], out["high"] = cell_limits(y, n, k)
    if y == n:
        out.update(emerged=y, at_least=True)
    else:
        out["p"] = seed_share(y / n, k)
        out["emerged"] = round(out["p"] * sown.seeds)
    return out


def counted_in(h: History) -> str | None:
    """Which things were counted."""
    if not h.tally.known:
        return None
    if h.sown.kind == "cells":
        return "cells" if h.sown.each is None or (h.many and not h.by_seedlings) else "seedlings"
    return {
        "open": "seedlings",
        "paper": "sprouted seeds",
        **dict.fromkeys(("direct", "corm", "bought"), "plants"),
    }[h.sown.kind]


def cells_up(h: History) -> int | None:
    if h.sown.kind != "cells":
        return None
    t = h.coming.cells if h.many else h.coming.single
    if h.closed:
        now = h.state.cells if h.many else h.state.single
        if now.last_count != t.last_count:
            return now.seen
    return t.emerged if t.counted else None


def good(h: History) -> int:
    """Each plant once: one sold out of a bed was good when it was planted."""
    return h.state.planted + sum(h.state.parted.values()) - h.state.twice


def unaccounted(h: History) -> bool:
    """Plants still standing where sown or in pots, the sowing not being over."""
    pots = any(st.alive > 0 for st in h.state.stands if not st.bed)
    return not h.finished and (h.live.standing > 0 or pots)


def good_base(book: Book, h: History) -> int | None:
    """What good is divided by, or None while no good share can be given."""
    if h.closed or h.sown.parent or not book.settled(h) or unaccounted(h):
        return None
    if h.many and good(h) <= h.sown.cells:
        return h.sown.cells
    return h.sown.seeds


def whereabouts(h: History) -> str:
    """The place that held the largest share until half of what emerged was up."""
    half = crossing(h.tally.steps, 0.5)
    home = h.sown.place or ""
    shares = {home: 1.0}
    for d, place, part in h.moves:
        if half and d >= half[1]:
            break
        if part is None:
            home, shares = place, {place: 1.0}
        else:
            shares[home] -= part
            shares[place] = shares.get(place, 0.0) + part
    return max(shares, key=lambda k: shares[k])


def outcome(h: History) -> str:
    if not h.finished:
        return "growing"
    reason = h.finished.reason.lower()
    for word in ("mislabelled", "given up"):
        if word in reason:
            return word
    return "finished" if good(h) else "failed"


def cut_figures(book: Book, h: History) -> dict:
    """Stems told apart, and whether any of the crop's stayed with the crop while this one stood."""
    mine = [e for e in book.cuts if book.owner(e) is h]
    loose = [e for e in book.cuts if e.crop == h.sown.crop and book.owner(e) is None]
    days = [e.day for e in mine]
    return {
        "stems": sum(book.stems(e) or 0 for e in mine) if mine else None,
        "rejected": sum(e.rejected or 0 for e in mine) if mine else None,
        "at_least": any(h in book.standing(h.sown.crop, e.day) for e in loose),
        "first": min(days, default=None),
        "last": max(days, default=None),
    }
