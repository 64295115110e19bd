"""What was found, for the console and for the manual."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from forecasts import EARLIER, EASE, HISTORIES, NONE_CAME, PHASES
from luck import KINDS, OTHERS, SHARE, UNCHANGED
from tally import Criterion, Tally
from trials import ALONE, FIRST, TREATED
from truths import TOLD

if TYPE_CHECKING:
    from calibrate import Results

MANUAL = Path(__file__).parent.parent / "journal" / "how-well-the-figures-hold.md"
#: How the manual calls a farm whose sowings differ so much.
DIFFER = {"0": "by chance alone", ".05": "some", ".1": "a lot", "mixed": "kind by kind"}
PROMISES = {
    "sowing": "One tray",
    "kind": "A kind in a season",
    "difference": "Two seasons",
    "strata": "Two ways of sowing",
    "cells": "A kind, from cells",
}


def console(found: Results) -> str:
    """Every cell of every table, the criteria, and what is behind those that were missed."""
    out = []
    for t in found.tallies.values():
        out += ["", f"{t.title}: held (mean width), by {t.columns}", *_cells(t)]
    out += ["", *_told(found), "", *map(_met, found.criteria)]
    missed = [c for c in found.criteria if not c.met]
    out += ["", f"{len(found.criteria) - len(missed)} criteria met, {len(missed)} missed"]
    return "\n".join(out + _behind(found, missed))


def _cells(t: Tally) -> list[str]:
    head = f"  {'spread':<38}" + "".join(f"{k:>14}" for k in t.heads) + f"{'all':>14}{'of':>8}"
    lines = [head]
    for row in t.rows:
        cells = [*(t.of(row, k) for k in t.heads), t.of(row)]
        told = "".join(f"{'' if not n else f'{h:.3f} ({w:.2f})':>14}" for n, h, w in cells)
        mark = " " if row in t.judged else "*"
        lines.append(f"{mark} {row:<38}{told}{cells[-1][0]:>8}")
    return [*lines, *(["* shown, not judged"] if len(t.rows) > len(t.judged) else [])]


def _told(found: Results) -> list[str]:
    others = " ".join(f"{x:.2f}" for x in OTHERS[:-1])
    lines = [f"{SHARE:.2f} told clearly from {others} and from itself, spread .06, sowings of 72"]
    for k, row in found.power.items():
        lines.append(f"  {k} each side: " + " ".join(f"{x:.3f}" for x in row))
    mean, often = found.by_luck
    many = " ".join(f"{x:.3f}" for x in often)
    lines.append(
        f"{KINDS} kinds compared, {UNCHANGED} unchanged: {mean:.2f} of these look clear by luck; "
        f"none, one, two, three, more: {many}"
    )
    return lines


def _met(c: Criterion) -> str:
    return f"{'met   ' if c.met else 'MISSED'} {c.words}: {c.got:.3f} in {c.low:.2f}-{c.high:.2f}"


def _behind(found: Results, missed: Sequence[Criterion]) -> list[str]:
    """What is known of the causes, with the numbers that show it."""
    out = []
    for t in found.tallies.values():
        ours = [c for c in missed if c.words.startswith(t.title)]
        if ours and _rows(t, TOLD)[0]:
            rows = [r for r in t.judged if t.of(r + TOLD)[0]]
            told = ", ".join(f"{r} {t.of(r + TOLD)[1]:.3f} for {t.of(r)[1]:.3f}" for r in rows)
            out.append(f"{t.title}, with the spread known: {told}")
    return out


def _rows(t: Tally, ending: str) -> tuple[int, float, float]:
    """Over all rows with this ending."""
    got = [t.of(r) for r in t.rows if r.endswith(ending)]
    n = sum(g[0] for g in got)
    if not n:
        return 0, math.nan, math.nan
    return n, *(math.fsum(g[0] * g[i] for g in got) / n for i in (1, 2))


def tables(found: Results) -> dict[str, str]:
    """The manual's tables by the name of their place."""
    return {
        "power": _power(found),
        "luck": _luck(found),
        "held": _held(found),
        "wide": _wide(found),
        "assumed": _assumed(found),
        "ranges": _ranges(found),
        "late": _late(found),
        "sow": _sow(found),
        "missed": _missed(found),
    }


def made(seed: int, farms: int) -> str:
    """What the page says of its making, to be looked for by a test."""
    return f"<!-- made with seed {seed}, {farms} farms of each spread -->"


def write(found: Results, seed: int, farms: int, path: Path = MANUAL) -> None:
    """Put the tables into the manual's page, each between `<!-- name -->` and `<!-- /name -->`."""
    text = path.read_text(encoding="utf-8")
    for name, body in tables(found).items():
        place = re.compile(rf"(<!-- {name} -->\n).*?(<!-- /{name} -->)", re.DOTALL)
        text, times = place.subn(lambda m, body=body: f"{m[1]}\n{body}\n\n{m[2]}", text)
        if times != 1:
            raise ValueError(f"the page has {times} places for {name}")
    text, times = re.subn(r"<!-- made with .*? -->", made(seed, farms), text)
    if times != 1:
        raise ValueError(f"the page says {times} times how it was made")
    path.write_text(text, encoding="utf-8")


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def _of_100(x: float) -> str:
    """A share as a whole number of 100: all and none only where it is so, "-" where there is none."""
    if math.isnan(x):
        return "-"
    whole = round(100 * x)
    return f"{min(whole, 99) if x < 1 else whole}" if whole or x == 0 else "under 1"


def _power(found: Results) -> str:
    head = ["Trays a year", *(f"80 against {100 * x:.0f}" for x in OTHERS[:3]), "no difference"]
    rows = [[f"{k}", *map(_of_100, (*row[:3], row[-1]))] for k, row in found.power.items()]
    return _table(head, rows)


def _luck(found: Results) -> str:
    mean, often = found.by_luck
    row = [f"{mean:.1f}", *map(_of_100, (*often[:2], sum(often[2:])))]
    return _table(["On average", "none", "one", "two or more"], [row])


def _held(found: Results) -> str:
    rows = [
        [words, *(_of_100(found.tallies[name].of(s)[1]) for s in DIFFER)]
        for name, words in PROMISES.items()
    ]
    return _table(["Sowings differ", *DIFFER.values()], rows)


def _wide(found: Results) -> str:
    rows = []
    for name in ("kind", "difference", "strata", "cells"):
        t = found.tallies[name]
        rows.append([PROMISES[name], *(_of_100(t.of(".05", k)[2]) for k in t.heads)])
    return _table(["Sowings a season", *map(str, found.tallies["kind"].heads)], rows)


def _assumed(found: Results) -> str:
    t = found.tallies["kind"]
    rows = [
        [words, *(_of_100(t.of(s + row)[1]) for s in DIFFER)]
        for row, words in ((FIRST, "First season"), (ALONE, "Always one sowing"))
    ]
    rows.append(["Want a treatment", "-", "-", "-", _of_100(t.of("mixed" + TREATED)[1])])
    return _table(["Sowings differ", *DIFFER.values()], rows)


def _ranges(found: Results) -> str:
    rows = []
    for phase in PHASES:
        cells = [found.tallies[phase].of(column=k) for k in HISTORIES]
        rows.append([phase, *(f"{_of_100(h)} ({_of_100(w)} wide)" for _, h, w in cells)])
    return _table(["Earlier sowings", "none", "1", "2", "4 to 8"], rows)


def _late(found: Results) -> str:
    t = found.tallies[PHASES[2]]
    _, held, wide = _rows(t, NONE_CAME)
    return _table(["Held", "how wide"], [[_of_100(held), _of_100(wide)]])


def _missed(found: Results) -> str:
    rows = [
        [c.words, f"{100 * c.got:.1f}", f"{100 * c.low:.0f} to {100 * c.high:.0f}"]
        for c in found.criteria
        if not c.met
    ]
    return _table(["Promise", "held", "asked"], rows) if rows else "Nothing."


def _sow(found: Results) -> str:
    rows = []
    for ease in EASE:
        cells = [found.tallies[ease].of(column=k) for k in EARLIER]
        rows.append([ease, *(f"{_of_100(h)} ({w:.1f} a plant)" for _, h, w in cells)])
    return _table(["Earlier sowings", *map(str, EARLIER)], rows)
