"""Seasons as hurried people write them: next to nothing in them is complained of that isn't odd.

The generator writes what growers write (words, gaps, shares, several spellings, lines by two people)
and remembers the few lines that are rightly asked about.
"""

from __future__ import annotations

import datetime as dt
import random

import pytest

from kit import load_texts
from traybook.findings.printers import short

FARM = """name: A farm
people: [jo, mw, te]
harvest unit: bunches
bunch size: 10
dates: day first
last frost: 8 May
places:
  warm shelf: {temperature: 21 C, light: lamps}
  cellar floor: {temperature: 12 C, light: dark}
  porch bench: {temperature: 16 C, light: window}
  cold frame: {temperature: 10 C, light: daylight}
beds: [bed 1, bed 2, bed 3, bed 4, bed 5, tunnel]
"""
CROPS = """snapdragon: {spellings: [snaps, snap]}
sweet pea: {spellings: [sweetpea, sweet peas]}
larkspur: {spellings: [larkspurs]}
strawflower: {spellings: [helichrysum, straw flower]}
zinnia: {spellings: [zinnias, zinia]}
cosmos: {}
statice: {}
stock: {spellings: [stocks]}
scabious: {spellings: [scabiosa]}
lisianthus: {spellings: [lizzie]}
"""
# Kind: varieties, its place, where it is sown from the last frost, and the days it takes.
KINDS = {
    "snapdragon": (("Cinder Rose", "Cloud Ladder"), "warm shelf", -12, 9),
    "sweet pea": (("Linnet Blush", "Tarn Ruffle"), "cellar floor", -11, 14),
    "larkspur": (("Mist Tower",), "cellar floor", -12, 18),
    "strawflower": (("Ember Biscuit",), "warm shelf", -8, 8),
    "zinnia": (("Brickfield Gold", "Brickfield Plum"), "warm shelf", -4, 5),
    "cosmos": (("Wick Lantern",), "porch bench", -5, 6),
    "statice": (("Harbour Violet", "Harbour Sky"), "warm shelf", -9, 11),
    "stock": (("Pantry Cream", "Iron Rose"), "porch bench", -9, 7),
    "scabious": (("Inkwell Lace",), "porch bench", -9, 11),
    "lisianthus": (("Glaze Plum",), "warm shelf", -15, 12),
}
SURFACE = {"snapdragon", "lisianthus", "strawflower"}
NOTES = (
    "patchy at the north end", "leggy, more light", "looks well", "a bit dry this morning", "compost from the green bags",
    "two sorts of leaf in there??", "watered from below", "label was in the wrong tray", "slow", "must look again on Friday",
    "the ones by the door are best", "muy bien, raíces blancas", "a few yellow leaves", "Anna helped", "damp but alive",
)  # fmt: skip
CAUSES = ("mice", "damping off", "slugs", "the cat", "a draught", "me, dropped the tray")
DIARY = (
    "A soft grey day. The blackbird is back in the hedge.",
    "Wind all night and the fleece in the next field but nothing broken.",
    "Market was slow; sold out of stocks all the same.",
    "Te's birthday. We cut what there was and went home early.",
)


class Season:
    """A season's day files, line by line; `asked` are the lines rightly asked about."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.days: dict[tuple[dt.date, str], list[str]] = {}
        self.asked: set[str] = set()
        self.lines = 0
        self.numbers: dict[str, int] = {}
        for _ in range(34):
            self.sowing(self.chance.choice(list(KINDS)))
        for _ in range(60):
            on = dt.date(2026, 2, 1) + dt.timedelta(days=self.chance.randrange(240))
            self.write(on, self.loose())

    def write(self, on: dt.date, line: str, asked: bool = False) -> None:
        who = self.chance.choice(("jo", "mw", "te", ""))
        self.days.setdefault((on, who), []).append(line)
        self.lines += 1
        if asked:
            self.asked.add(line)

    def note(self) -> str:
        return f"; {self.chance.choice(NOTES)}" if self.chance.random() < 0.3 else ""

    def maybe(self, share: float) -> bool:
        return self.chance.random() < share

    def loose(self) -> str:
        """Notes, doings and the like."""
        return self.chance.choice(
            (
                f"noted: {self.chance.choice(NOTES)}",
                f"lesson: {self.chance.choice(NOTES)}",
                f"mulched bed {self.chance.randint(1, 5)}: straw, half a bale",
                "watered warm shelf: from below",
                f"weather: min {self.chance.randint(-3, 9)}, max {self.chance.randint(10, 24)} C",
                f"weeded bed {self.chance.randint(1, 5)}: two of us, an hour",
                f"question: {self.chance.choice(NOTES)}?",
            )
        )

    def sowing(self, kind: str) -> None:
        varieties, place, weeks, days = KINDS[kind]
        frost = dt.date(2026, 5, 8)
        sown = frost + dt.timedelta(
            weeks=weeks + self.chance.randint(0, 5), days=self.chance.randint(0, 6)
        )
        self.numbers[kind] = self.numbers.get(kind, 0) + 1
        code = f"{kind.replace(' ', '-')}-26-{self.numbers[kind]}"
        cells = self.chance.choice((72, 128, 50))
        parts = [self.chance.choice(varieties)]
        parts += [f"lot {kind[:3].upper()}-25"] if self.maybe(0.88) else []
        parts += [f"{cells}-cell tray", "1 per cell" if self.maybe(0.85) else f"{cells} seeds"]
        parts += ["surface"] if kind in SURFACE and self.maybe(0.6) else []
        parts += [self.chance.choice((place, f"on the {place}"))]
        self.write(
            sown,
            f"{self.chance.choice(('sown', 'Sown', 'sowed'))} {code}: {', '.join(parts)}{self.note()}",
        )
        self.grow(code, cells, sown, days)

    def grow(self, code: str, cells: int, sown: dt.date, days: int) -> None:
        """Counts, a loss now and then, potted or planted, hardened, cut, finished."""
        up, seen = 0, sown + dt.timedelta(days=days)
        most = round(cells * self.chance.uniform(0.5, 0.95))
        for _ in range(self.chance.randint(1, 3)):
            up = min(most, up + self.chance.randint(most // 3, most))
            said = self.chance.choice(
                (f"{up} up", f"{up}", f"{up} of {cells}", f"{up}/{cells}", f"{up} up now")
            )
            loss = self.maybe(0.15) and up > 8
            said += f", {3} lost to {self.chance.choice(CAUSES)}" if loss else ""
            self.write(
                seen,
                f"{self.chance.choice(('checked', 'Checked', 'check'))} {code}: {said}{self.note()}",
            )
            seen += dt.timedelta(days=self.chance.randint(2, 5))
        if self.maybe(0.04) and up > 20:
            up -= 9
            self.write(seen, f"checked {code}: {up} up", asked=True)
            seen += dt.timedelta(days=1)
        out = seen + dt.timedelta(days=self.chance.randint(3, 8))
        self.write(
            out, f"hardening off {code}{self.chance.choice(('', ': out by day', ': nights in'))}"
        )
        planted = out + dt.timedelta(days=self.chance.randint(6, 12))
        n, bed = max(1, up - 4), self.chance.randint(1, 5)
        at = self.chance.choice((" at 9 in x 9 in", " at 25 cm", ", 4 rows", ""))
        self.write(planted, f"planted out {code}: {n} to bed {bed}{at}{self.note()}")
        self.cut(code, planted)
        if self.maybe(0.5):
            self.write(
                planted + dt.timedelta(days=130),
                f"finished {code}: {self.chance.choice(('frost', 'over', 'mildew'))}",
            )

    def cut(self, code: str, planted: dt.date) -> None:
        kind = code.rsplit("-", 2)[0].replace("-", " ")
        for week in range(self.chance.randint(2, 7)):
            on = planted + dt.timedelta(days=60 + 7 * week + self.chance.randint(0, 3))
            n = self.chance.randint(2, 40)
            what = self.chance.choice((f"{n} bunches", f"{n}b", f"{n}", f"{n} stems", f"{n}x10", f"{n} bunches, 4 over",
                                       f"{n} stems, 3 rejected"))  # fmt: skip
            about = code if self.maybe(0.8) else self.chance.choice((kind, "mix"))
            self.write(
                on,
                f"{self.chance.choice(('harvested', 'cut', 'picked'))} {about}: {what}{self.note()}",
            )

    def files(self) -> dict[str, str]:
        out = {"entries/farm.yaml": FARM, "entries/crops.yaml": CROPS}
        for (on, who), lines in sorted(self.days.items()):
            diary = f"\n{self.chance.choice(DIARY)}\n" if self.maybe(0.3) else ""
            name = f"entries/2026/{on}{'-' + who if who else ''}.md"
            out[name] = "---\n" + "\n".join(lines) + "\n---\n" + diary
        return out


@pytest.mark.parametrize("seed", range(8))
def test_fewer_than_one_line_in_a_hundred_is_wrongly_asked_about(seed):
    season = Season(seed)
    loaded = load_texts(season.files(), dt.date(2026, 11, 15))
    assert len(loaded.book.entries) > 300
    wrongly = [
        f for f in loaded.findings if f.at.source.line_span(f.at.line).text not in season.asked
    ]
    assert len(wrongly) * 100 < season.lines, [short(f) for f in wrongly]
    rightly = {f.at.source.line_span(f.at.line).text for f in loaded.findings} & season.asked
    assert rightly == season.asked


@pytest.mark.parametrize("as_of", [dt.date(2026, 4, 1), dt.date(2026, 6, 1), dt.date(2027, 8, 1)])
def test_prompts_stay_gentle_on_any_day(as_of):
    season = Season(99)
    texts = {
        p: t for p, t in season.files().items() if p[13:23] <= str(as_of) or p.endswith("yaml")
    }
    loaded = load_texts(texts, as_of)
    wrongly = [
        f for f in loaded.findings if f.at.source.line_span(f.at.line).text not in season.asked
    ]
    lines = sum(t.count(": ") for t in texts.values())
    assert len(wrongly) * 100 < lines, [short(f) for f in wrongly]
