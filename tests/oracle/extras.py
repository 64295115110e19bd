"""More kinds of things on a generated farm: seed lots, treatments, plugs, corms, drills, blanks.

They are added to a farm of `generate`; what `mishaps` adds afterwards leaves the truth as it is.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random

from .coming_up import CAUSES, SPOTS, by_whom, life
from .cropping import ENDS
from .events import (
    Aside,
    Bunch,
    Checked,
    Density,
    Event,
    Farm,
    Finished,
    Harvested,
    Loss,
    Lot,
    Part,
    Parted,
    Planted,
    Potted,
    Resown,
    SeedTest,
    Sown,
    Stretch,
    Thinned,
    Treated,
)
from .farm import BEDS, generate
from .mishaps import mishaps

SUPPLIERS = ("Harrow Seeds", "Millbrook")
ASIDE = (
    ("weather", "", "min -2, max 9, frost"),
    ("weather", "", "max 24, 12 mm rain"),
    ("temperature", "shelf A", "18 C"),
    ("temperature", "cellar floor", "min 4 C, max 9 C"),
    ("question", "", "who has the good scissors?"),
    ("answered", "", "Wren has them"),
    ("lesson", "{crop}", "cooler next time"),
    ("keep", "{crop}", "sold every week"),
    ("drop", "{code}", "nobody wanted it"),
    ("more", "{crop}", "never enough"),
    ("less", "{crop}", "too much in June"),
    ("netted", "bed 1", "one layer"),
    ("covered", "{code}", "fleece"),
    ("seen", "{code}", "aphids, 3 of 20"),
    ("seen", "bed 2", "slugs"),
    ("pinched", "{code}", ""),
)


def enriched(seed: int) -> Farm:
    """A farm with everything on it that an entry can tell."""
    farm, rng = generate(seed), Random(f"more {seed}")
    more = Extras(rng, farm)
    for step in (
        more.lots,
        more.plugs,
        more.corms,
        more.drills,
        more.likenesses,
        more.blanks,
        more.treat_lots,
        more.treat_sowings,
        more.sales,
        more.bunches,
        more.asides,
    ):
        step()
    events = sorted(dict.fromkeys(more.events), key=lambda e: e.day)
    return mishaps(rng, replace(farm, events=tuple(events), rich=True))


class Extras:
    """The farm's events, to be added to."""

    def __init__(self, rng: Random, farm: Farm):
        self.rng, self.farm, self.events = rng, farm, list(farm.events)
        self.people = farm.people

    def sowings(self) -> list[Sown]:
        return [e for e in self.events if isinstance(e, Sown)]

    def own(self, code: str) -> list[Event]:
        return [e for e in self.events if getattr(e, "code", None) == code]

    def code(self, crop: str, year: int) -> str:
        stem = f"{crop.replace(' ', '-')}-{year % 100}"
        used = [s.code for s in self.sowings()]
        return f"{stem}-{1 + sum(c.rsplit('-', 1)[0] == stem for c in used)}"

    def swap_in(self, old: Event, new: Event) -> None:
        self.events[self.events.index(old)] = new

    def by(self) -> str | None:
        return by_whom(self.rng, self.people)

    def new(self, kind: str, container: str, **more) -> Sown:
        rng, crop = self.rng, self.rng.choice(self.farm.crops)
        day = date(2025, rng.randint(2, 5), rng.randint(1, 28))
        return Sown(
            day,
            self.code(crop.name, 2025),
            crop.name,
            kind,
            container,
            variety=rng.choice(crop.varieties),
            **more,
        )

    def lots(self) -> None:
        """Packets of seed, some of the sowings from them, a count of what is left, a test."""
        rng = self.rng
        for crop in self.farm.crops:
            if rng.random() < 0.4:
                continue
            name = f"{crop.name[:3].upper()}-{rng.choice([23, 24])}"
            variety = rng.choice(crop.varieties)
            fit = [
                s
                for s in self.sowings()
                if s.crop == crop.name and s.variety == variety and s.seeds
            ]
            came = Lot(
                date(2024, 1, rng.randint(2, 28)),
                name,
                crop.name,
                variety,
                rng.choice([250, 500, 1000, 2500]),
                supplier=rng.choice([None, *SUPPLIERS]),
                packed=rng.choice([None, 2023, 2024]),
                coating=rng.choice([None, None, "pelleted", "primed", "dressed"]),
            )
            self.events.append(came)
            days = {s.day for s in fit}
            for s in fit:
                if rng.random() < 0.8:
                    self.swap_in(s, replace(s, lot=name))
            if rng.random() < 0.3:
                self._another(came, days)
            if rng.random() < 0.5:
                self._test(name, days)

    def _another(self, came: Lot, days: set[date]) -> None:
        """More of the same, or what is left counted over, on a day without a sowing of it."""
        day = date(2024, 1, 30) + timedelta(days=self.rng.randint(1, 400))
        if day not in days:
            have = self.rng.random() < 0.5
            self.events.append(
                Lot(day, came.lot, came.crop, came.variety, self.rng.randint(20, 400), have=have)
            )

    def _test(self, lot: str, days: set[date]) -> None:
        rng = self.rng
        day = date(2024, 2, 1) + timedelta(days=rng.randint(0, 300))
        taken = {e.day for e in self.events if getattr(e, "lot", None) == lot} | days
        n = rng.choice([10, 20, 25])
        medium = rng.choice(["on paper", "in mix"])
        later = day + timedelta(days=rng.randint(5, 14))
        if day in taken or later in taken:
            return
        if rng.random() < 0.5:
            self.events.append(SeedTest(day, lot, n, rng.randint(0, n), medium=medium, done=True))
            return
        up = rng.randint(0, n)
        self.events.append(SeedTest(day, lot, n, medium=medium))
        self.events.append(
            SeedTest(later, lot, n, up, bad=rng.choice([None, 1]) if up < n else None, done=True)
        )

    def plugs(self) -> None:
        for _ in range(self.rng.randint(0, 3)):
            self._plugs()

    def _plugs(self) -> None:
        rng = self.rng
        n = rng.randint(20, 400)
        dead = rng.choice([0, 0, rng.randint(1, n // 10)])
        things = rng.choice(["plugs", "plugs", "plants"])
        s = self.new("bought", "", seeds_said=n, dead=dead, things=things, place=rng.choice(SPOTS))
        day, here, out = s.day, n - dead, [s]

        def later(least: int, most: int) -> None:
            nonlocal day
            day += timedelta(days=rng.randint(least, most))

        def took(k: int) -> None:
            nonlocal here
            here -= k

        if rng.random() < 0.5:
            later(2, 8)
            k = rng.randint(1, max(1, here // 10))
            unit = rng.choice([None, "plants"])
            losses = (Loss(k, unit, None, rng.choice(CAUSES)),)
            took(k)
            count = here if rng.random() < 0.5 else None
            out.append(Checked(day, s.code, count, losses=losses, by=self.by()))
        if rng.random() < 0.3:
            later(2, 8)
            took(rng.choice([0, 1]))
            out.append(Checked(day, s.code, here, by=self.by()))
        if rng.random() < 0.3:
            later(2, 6)
            k = rng.randint(1, here // 2)
            out.append(Parted(day, s.code, rng.choice(["sold", "gave", "spare"]), k))
            took(k)
        pots = 0
        if rng.random() < 0.3 and here > 4:
            later(2, 6)
            pots = here if rng.random() < 0.5 else here // 2
            out.append(Potted(day, s.code, pots, "4 in pots"))
            took(pots)
        for bed in rng.sample(["bed 1", "bed 2", "bed 3"], rng.randint(0, 2)):
            source = "4 in pots" if pots > 3 and rng.random() < 0.5 else None
            have = pots if source else here
            if have < 2:
                continue
            later(4, 14)
            k = have if rng.random() < 0.5 else have // 2
            out.append(Planted(day, s.code, (Part(k, bed, rows=4),), source=source))
            if source:
                pots -= k
            else:
                took(k)
        if any(isinstance(e, Planted) for e in out) and rng.random() < 0.7:
            later(30, 50)
            out.append(Harvested(day, s.crop, s.code, stems=rng.randint(5, 90)))
        if rng.random() < 0.6:
            later(3, 20)
            out.append(Finished(day, s.code, rng.choice(ENDS)))
        self.events += out

    def corms(self) -> None:
        for _ in range(self.rng.choice([0, 0, 1, 2])):
            n = self.rng.randint(20, 120)
            s = self.new("corm", "open tray", seeds_said=n, place=self.rng.choice(SPOTS))
            self.events += life(self.rng, s, self.people)

    def drills(self) -> None:
        for _ in range(self.rng.choice([0, 1, 2])):
            self._drill()

    def _drill(self) -> None:
        """Rows in a bed: so many a foot, thinned, and how much of it came through the winter."""
        rng = self.rng
        unit = rng.choice(["ft", "m"])
        s = self.new(
            "direct",
            rng.choice(BEDS).name,
            rows=rng.randint(1, 4),
            length=rng.randint(6, 40),
            unit=unit,
        )
        day, out = s.day, [s]
        thick = rng.randint(5, 20)
        for _ in range(rng.randint(0, 2)):
            day += timedelta(days=rng.randint(5, 12))
            several = rng.random() < 0.4
            length = 3 if several else 1
            out.append(
                Density(
                    day,
                    s.code,
                    thick * length,
                    length,
                    unit,
                    rng.choice([None, 3]) if not several else None,
                    by=self.by(),
                )
            )
        if rng.random() < 0.5:
            day += timedelta(days=rng.randint(3, 9))
            out.append(Thinned(day, s.code, per=rng.randint(2, 4), unit=unit))
        if len(out) > 1 and rng.random() < 0.6:
            day += timedelta(days=rng.randint(30, 90))
            whole = s.rows * s.length
            out.append(Stretch(day, s.code, rng.randint(1, whole), whole, unit))
        if rng.random() < 0.6:
            day += timedelta(days=rng.randint(20, 40))
            out.append(Harvested(day, s.crop, s.code, stems=rng.randint(5, 90)))
        if rng.random() < 0.5:
            day += timedelta(days=rng.randint(5, 30))
            out.append(Finished(day, s.code, rng.choice(ENDS)))
        self.events += out

    def likenesses(self) -> None:
        """Sown like an earlier one, but for this and that."""
        rng = self.rng
        fit = [s for s in self.sowings() if s.kind in ("cells", "open", "paper")]
        for model in rng.sample(fit, min(len(fit), rng.randint(0, 2))):
            crop = self.farm.crop(model.crop)
            could = {"place": rng.choice(SPOTS), "light": rng.choice(["dark", "light"])}
            if model.kind == "cells":
                could["cover_mm"] = rng.choice([2, 4, 8])
            if not model.lot:
                could["variety"] = rng.choice(crop.varieties)
            names = rng.sample(sorted(could), rng.randint(0, len(could)))
            twin = replace(
                model,
                day=model.day + timedelta(days=rng.randint(1, 30)),
                like=model.code,
                changes=tuple(names),
                by=self.by(),
                **{k: could[k] for k in names},
            )
            twin = replace(twin, code=self.code(twin.crop, twin.day.year))
            self.events += life(rng, twin, self.people)

    def blanks(self) -> None:
        for _ in range(self.rng.choice([0, 1, 1, 2])):
            self._blanks()

    def _blanks(self) -> None:
        """A tray whose empty cells are sown again."""
        rng = self.rng
        size, each = rng.choice([50, 72, 128]), rng.choice([1, 1, 2])
        s = self.new(
            "cells", f"{size}-cell tray", cells=size, per_cell=each, place=rng.choice(SPOTS)
        )
        day, up, out = s.day, 0, [s]
        for _ in range(rng.randint(1, 3)):
            day += timedelta(days=rng.randint(3, 8))
            up = min(size - 5, up + rng.randint(0, size // 3))
            out.append(Checked(day, s.code, up, by=self.by()))
        day += timedelta(days=rng.randint(1, 4))
        out.append(Resown(day, s.code, rng.randint(2, size - up), rng.choice([1, 2])))
        for _ in range(rng.randint(0, 2)):
            day += timedelta(days=rng.randint(3, 8))
            up = min(size, up + rng.randint(0, size // 4))
            of = size if rng.random() < 0.4 else None
            out.append(Checked(day, s.code, up, of=of, by=self.by()))
        if rng.random() < 0.6 and up > 3:
            day += timedelta(days=rng.randint(5, 12))
            out.append(Potted(day, s.code, up if rng.random() < 0.5 else up // 2, "50s"))
        if rng.random() < 0.6:
            day += timedelta(days=rng.randint(5, 30))
            out.append(Finished(day, s.code, rng.choice(ENDS)))
        self.events += out

    def treat_lots(self) -> None:
        rng = self.rng
        for lot in sorted({s.lot for s in self.sowings() if s.lot}):
            if rng.random() < 0.5:
                continue
            s = rng.choice([s for s in self.sowings() if s.lot == lot])
            for verb in rng.sample(["chilled", "soaked", "nicked", "warmed", "frozen"], 2)[
                : rng.choice([1, 1, 2])
            ]:
                self._treat(verb, s.day - timedelta(days=rng.randint(0, 40)), lot=lot)

    def _treat(self, verb: str, day: date, **subject) -> None:
        """It begins; perhaps it is said for how long; perhaps its end is written."""
        rng = self.rng
        if verb == "nicked":
            self.events.append(Treated(day, verb, **subject))
            return
        length = {"soaked": (rng.choice([6, 12, 24]), "hours")}.get(
            verb, rng.choice([(rng.randint(1, 5), "weeks"), (rng.randint(5, 30), "days")])
        )
        if rng.random() < 0.4:
            length = None
        moisture = rng.choice([None, "moist"]) if verb in ("chilled", "warmed") else None
        self.events.append(Treated(day, verb, length=length, moisture=moisture, **subject))
        if rng.random() < 0.6:
            end = day + timedelta(days=1 if verb == "soaked" else rng.randint(5, 40))
            sprouted = rng.choice([None, 2]) if "lot" in subject else None
            self.events.append(Treated(end, verb, out=True, sprouted=sprouted, **subject))

    def treat_sowings(self) -> None:
        """Trays put into the cold (or soaked, warmed) after sowing; some sprout by the time."""
        rng = self.rng
        apart = {e.code for e in self.events if isinstance(e, Resown)}
        for s in self.sowings():
            if s.kind not in ("cells", "open", "paper") or s.code in apart or rng.random() < 0.75:
                continue
            verb = rng.choice(["chilled", "chilled", "frozen", "soaked", "warmed", "nicked"])
            self._treat(verb, s.day + timedelta(days=rng.randint(0, 2)), code=s.code)
            last = self.events[-1]
            plain = [
                e
                for e in self.own(s.code)
                if isinstance(e, Checked)
                and e.count
                and replace(e, count=None, by=None, bare_ok=False) == Checked(e.day, e.code)
                and e.day > s.day + timedelta(days=2)
            ]
            if not last.out and verb != "nicked" and plain and (s.each or 1) == 1:
                e = rng.choice(plain)
                self.swap_in(e, Treated(e.day, verb, s.code, out=True, sprouted=e.count, by=e.by))

    def sales(self) -> None:
        """Plants dug out of a bed again and sold."""
        for e in list(self.events):
            if not isinstance(e, Planted) or self.rng.random() > 0.06:
                continue
            part = e.parts[0]
            after = [x for x in self.own(e.code) if x.day > e.day]
            if (
                part.n < 8
                or sum(
                    x.bed == part.bed
                    for p in self.own(e.code)
                    if isinstance(p, Planted)
                    for x in p.parts
                )
                > 1
            ):
                continue
            n = self.rng.randint(1, 2)
            day = min((x.day for x in after), default=e.day + timedelta(days=9)) - timedelta(days=1)
            if day > e.day:
                how = self.rng.choice(["sold", "gave", "spare"])
                self.events.append(Parted(day, e.code, how, n, source=part.bed))

    def bunches(self) -> None:
        rng = self.rng
        for _ in range(rng.randint(0, 3)):
            day = date(2024, 3, 1) + timedelta(days=rng.randint(0, 640))
            crop = rng.choice([None, rng.choice(self.farm.crops).name])
            self.events.append(Bunch(day, rng.choice([5, 8, 10, 12, 15]), crop))

    def asides(self) -> None:
        """Lines that change no number."""
        rng = self.rng
        for _ in range(rng.randint(3, 12)):
            s = rng.choice(self.sowings())
            verb, subject, text = rng.choice(ASIDE)
            day = s.day + timedelta(days=rng.randint(1, 60))
            over = [e.day for e in self.own(s.code) if isinstance(e, Finished)]
            if over and day > over[0]:
                continue
            subject = subject.format(crop=s.crop, code=s.code)
            self.events.append(Aside(day, verb, subject, text))
