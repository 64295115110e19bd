"""How long all figures of ten seasons take: 2,500 sowings with 10,000 checks, each step in a process of its
own, imports counted. `make bench` prints it, with ratios to the time it takes to read the entries.

The farm is made up: kinds with chances and days of their own, trays that differ from their kind.
"""

from __future__ import annotations

import datetime as dt
import random
import subprocess
import sys
import tempfile
from pathlib import Path

SEASONS, A_SEASON, LOOKS = 10, 250, 4
KINDS = [f"kind{i:02}" for i in range(60)]
PLACES = ("warm shelf", "porch bench", "cellar floor", "cold frame")


def farm(folder: Path) -> int:
    """Write the day files of ten seasons; how many lines they hold."""
    rng = random.Random(10)
    days: dict[dt.date, list[str]] = {}
    habits = {k: (rng.uniform(0.4, 0.95), rng.uniform(6, 20)) for k in KINDS}
    for year in range(2016, 2016 + SEASONS):
        numbers: dict[str, int] = {}
        for _ in range(A_SEASON):
            kind = rng.choice(KINDS)
            numbers[kind] = numbers.get(kind, 0) + 1
            _sowing(rng, days, f"{kind}-{year % 100}-{numbers[kind]}", year, *habits[kind])
    lines = 0
    (folder / "entries").mkdir(parents=True)
    settings = "".join(f"{k}:\n  days to sprout: 7-14\n" for k in KINDS)
    (folder / "entries" / "crops.yaml").write_text(settings, encoding="utf-8")
    for day, said in days.items():
        lines += len(said)
        text = "---\n" + "\n".join(said) + "\n---\n"
        (folder / "entries" / f"{day}.md").write_text(text, encoding="utf-8")
    return lines


def _sowing(
    rng: random.Random, days: dict[dt.date, list[str]], code: str, year: int, p: float, half: float
) -> None:
    start = dt.date(year, rng.randint(1, 6), rng.randint(1, 28))
    share, mid = min(1.0, max(0.0, rng.gauss(p, 0.08))), half * rng.lognormvariate(0, 0.2)
    up = sorted(mid * rng.lognormvariate(0, 0.25) for _ in range(72) if rng.random() < share)
    how = f"72 seeds, 72-cell tray, cover {rng.choice([3, 5])} mm, place {rng.choice(PLACES)}"
    days.setdefault(start, []).append(f"sown {code}: {how}, {rng.choice(['dark', 'light'])}")
    for i in range(1, LOOKS + 1):
        day = round(mid * (0.5 + 0.45 * i))
        seen = sum(x <= day for x in up)
        on = start + dt.timedelta(days=day)
        days.setdefault(on, []).append(f"checked {code}: {seen or 'none'} up")
    last = start + dt.timedelta(days=round(mid * 3) + 20)
    if up:
        days.setdefault(last, []).append(
            f"planted out {code}: {max(1, round(len(up) * 0.9))} to bed 1"
        )
    days.setdefault(last + dt.timedelta(days=60), []).append(f"finished {code}: over")


_READ = """
import sys, time, pickle, pathlib, datetime as dt
start = time.perf_counter()
from traybook.pipeline import load
loaded = load(pathlib.Path(sys.argv[1]), dt.date(2026, 11, 1))
took = time.perf_counter() - start
pickle.dump(loaded.kept, open(sys.argv[2], "wb"))
print(took)
"""
_FIGURES = """
import time
start = time.perf_counter()
import gc, sys, pickle
gc.set_threshold(50_000, 20, 100)  # as the pipeline has it
import traybook.ledger.keep, traybook.handbook.facts
with open(sys.argv[1], "rb") as f:
    before = time.perf_counter()
    kept = pickle.load(f)
start += time.perf_counter() - before  # reading has its own line
from traybook.rollup.farm import farm_figures
from traybook.advice.learnt import Learnt
from traybook.advice.needs import sized, way
from traybook.rollup.compare import comparisons
from traybook.rollup.pooled import fit_of, pooled
from traybook.rollup.ranking import ranked
from traybook.rollup.steps import steps_of
def lap(name):
    print(f"{name} {time.perf_counter() - start:.3f}")
figures = farm_figures(kept); lap("sowings-and-kinds")
learnt = Learnt(figures); learnt.pairs; lap("years")
keys = {}
for k in figures.kinds: keys.setdefault(k.key, []).append(k)
for kinds in keys.values():
    comparisons(kinds, learnt.recipes)
    sowings = [s for k in kinds for s in k.sowings]
    rho = figures.spreads.planning(kinds[0].key).rho
    ranked(sowings, learnt.recipes, rho); steps_of(sowings, rho)
lap("ways-recipes-steps")
comparisons(figures.kinds, learnt.recipes); lap("what-worked")
for kinds in keys.values():
    how = way(learnt, kinds[-1].crop, measure=kinds[-1].measure)
    for plants in (10, 25, 50, 100, 200): sized(plants, how)
lap("seeds-to-sow")
for kinds in keys.values():
    for k in kinds[-4:]: pooled(k.sowings)
lap("pooled-curves")
for s in figures.sowings.values(): fit_of(s)
lap("fitted-curves")
learnt.expected; lap("what-to-expect")
print(f"# record {learnt.track}"); lap("track-record")
"""


def main() -> None:
    """Print seconds, and how many times reading the entries fits into them."""
    with tempfile.TemporaryDirectory() as name:
        folder, kept = Path(name) / "farm", str(Path(name) / "kept.pickle")
        print(
            f"{SEASONS * A_SEASON:,} sowings, {SEASONS * A_SEASON * LOOKS:,} checks, {farm(folder):,} lines"
        )
        read = float(_run(_READ, str(folder), kept))
        print(f"reading the entries  {read:6.2f} s   1.00")
        before, best = 0.0, None
        for _ in range(3):
            laps = _run(_FIGURES, kept)
            total = float(laps.strip().splitlines()[-1].split()[1])
            if best is None or total < best[0]:
                best = (total, laps)
        for line in best[1].splitlines():
            if line.startswith("#"):
                continue
            name_, at = line.split()
            took = float(at) - before
            print(f"{name_.replace('-', ' '):20} {took:6.2f} s   {took / read:.2f}")
            before = float(at)
        print(f"all figures          {best[0]:6.2f} s   {best[0] / read:.2f}")


def _run(code: str, *args: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code, *args], check=True, capture_output=True, text=True
    )
    return done.stdout


if __name__ == "__main__":
    main()
