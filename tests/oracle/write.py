"""A farm as a folder of entries, spelt at random among the legal ways: `write(farm, folder, seed)`.

Returns for every event the file (from the farm's folder) and the line where it stands.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from random import Random

from .amend import lives_apart
from .events import (
    Aside,
    Bunch,
    Corrected,
    Event,
    Farm,
    Finished,
    Hardening,
    Harvested,
    Lot,
    Noted,
    Renamed,
    Resown,
    SeedTest,
    Sown,
    Swapped,
    Treated,
)
from .more_phrases import AT, TAILS, day_of, lone
from .phrases import NOTES, VERBS, clauses, fields, joined, verb

NOTEBOOKS_BEFORE = date(2025, 6, 1)  # under a line that is a day, the future is not waited for
PROSE = (
    "Rain all morning, tidied the tray room.",
    "Wren came by with cake.",
    "The “good” scissors turned up.",
    "Too hot to think – watered twice.",
    "Nothing else to tell.",
)
Places = dict[Event, tuple[str, int]]


class Entry:
    """One event on its way into a file: verb, subject and the words about it."""

    def __init__(self, e: Event, word: str, subject: str, text: str, long: list[str] | None = None):
        self.event, self.word, self.subject, self.text, self.long = e, word, subject, text, long
        self.whole: str | None = None  # the line, where it has a form of its own


def write(farm: Farm, folder: str | Path, seed: int) -> Places:
    """Write entries/ under a folder; the same farm and seed give the same bytes."""
    rng = Random(f"write {seed}")
    root = Path(folder)
    (root / "entries").mkdir(parents=True, exist_ok=True)
    (root / "entries" / "farm.yaml").write_text(_farm(farm), encoding="utf-8")
    (root / "entries" / "crops.yaml").write_text(_crops(farm), encoding="utf-8")
    files: dict[tuple[date, str], list[Entry]] = {}
    for e in farm.events:
        day, who, extra = _home(e, rng)
        files.setdefault((day, who), []).append(_entry(farm, e, extra, rng))
    places: Places = _notebook(root, files, rng) if farm.rich else {}
    for (day, who), entries in sorted(files.items()):
        ext = rng.choice(["md", "md", "yaml", "txt"])
        sub = f"{day.year}/" if rng.random() < 0.8 else ""
        name = f"entries/{sub}{day.isoformat()}{'-' + who if who else ''}.{ext}"
        lines, at = _file(entries, ext, rng)
        _save(root / name, lines, rng)
        places.update({e: (name, n) for e, n in at.items()})
    return places


def _notebook(root: Path, files: dict, rng: Random) -> Places:
    """One month now and then in a notebook, each line with its day or under a line that is one."""
    months = sorted({(d.year, d.month) for d, who in files if not who and d < NOTEBOOKS_BEFORE})
    year, month = rng.choice(months)
    name = f"entries/{year}-{month:02}.md"
    lines: list[str] = []
    places: Places = {}
    for day in sorted(d for d, who in files if not who and (d.year, d.month) == (year, month)):
        body, at = _body(files.pop((day, "")), rng)
        heads = {n for n, line in enumerate(body, 1) if not line.startswith((" ", "\t"))}
        alone = rng.random() < 0.5 or (
            not TAILS and any(x.lower().startswith("swapped") for x in body)
        )
        if alone:
            lines.append(day_of(day, rng))
        places.update({e: (name, len(lines) + n) for e, n in at.items()})
        lines += [
            line if alone or n not in heads else f"{day_of(day, rng)} {line}"
            for n, line in enumerate(body, 1)
        ]
    if not lines[0].startswith(tuple("0123456789")) or lines[0][-1].isdigit():
        places = {e: (f, n + 1) for e, (f, n) in places.items()}
        lines = ["---", *lines, "---"]
    _save(root / name, lines, rng)
    return places


def _save(path: Path, lines: list[str], rng: Random) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    end = "\r\n" if rng.random() < 0.15 else "\n"
    text = end.join(lines) + (end if rng.random() < 0.9 else "")
    mark = b"\xef\xbb\xbf" if rng.random() < 0.05 else b""
    path.write_bytes(mark + text.encode())


def _farm(farm: Farm) -> str:
    places = "".join(f"  {p.name}: {{light: {p.light}}}\n" for p in farm.places)
    beds = "".join(f"  {b.name}: {{length: {b.length_m} m, kind: {b.kind}}}\n" for b in farm.beds)
    return (
        f"name: {farm.name}\nunits: metric\ndates: day first\nlatitude: {farm.latitude}\n"
        f"places:\n{places}beds:\n{beds}people: [{', '.join(farm.people)}]\n"
        f"bunch size: {farm.bunch_size}\nharvest unit: {farm.harvest_unit}\n"
    )


def _crops(farm: Farm) -> str:
    out = []
    for c in farm.crops:
        out.append(f"{c.name}:")
        out.append(f"  varieties: [{', '.join(c.varieties)}]")
        if c.days_to_sprout:
            out.append(f"  days to sprout: {c.days_to_sprout[0]}-{c.days_to_sprout[1]}")
        if c.late_next_year is not None:
            out.append(f"  sown late for next year: {'yes' if c.late_next_year else 'no'}")
        if c.bunch_size:
            out.append(f"  bunch size: {c.bunch_size}")
        if c.pre_treatment:
            out.append(f"  pre-treatment: {c.pre_treatment}")
        if c.seeds_per_gram:
            out.append(f"  seeds per gram: {c.seeds_per_gram}")
    return "\n".join(out) + "\n"


def _home(e: Event, rng: Random) -> tuple[date, str, list[str]]:
    """Which day's file, whose, and what must then be said in the line (who, when)."""
    day, who, extra = e.day, "", []
    if e.by and not isinstance(e, (Noted, Hardening, Aside)):
        if rng.random() < 0.5:
            who = e.by
        else:
            extra.append(f"by {e.by}")
    if rng.random() < 0.03 and not isinstance(e, (Noted, Sown, Hardening, Finished, *DATED)):
        day += timedelta(days=1)
        extra.append(rng.choice(["yesterday", f"on {e.day.isoformat()}"]))
    return day, who, extra


DATED = (Corrected, Swapped, Bunch, Aside, Treated, Resown, Renamed, Lot, SeedTest)


def _entry(farm: Farm, e: Event, extra: list[str], rng: Random) -> Entry:
    sown = next((s for s in farm.sowings() if s.code == getattr(e, "code", None)), None)
    word = rng.choice(VERBS[verb(e)])
    if rng.random() < 0.1:
        word = word.capitalize()
    subject = _subject(farm, e, sown, rng)
    long = None
    if isinstance(e, Sown) and rng.random() < 0.4:
        long = [f"  {k}: {v}" for k, v in fields(e)]
        long += [f"  by: {x.removeprefix('by ')}" for x in extra]
        if e.like or e.kind in ("bought", "corm") or e.rows:
            long = None
    if farm.rich and rng.random() < 0.08 and not isinstance(e, (Noted, Aside, Hardening, Finished)):
        extra = [*extra, rng.choice(AT)]
        long = None
    text = joined([*clauses(e, sown, rng), *extra], rng)
    if rng.random() < 0.12 and not isinstance(e, (Sown, Noted, Hardening, Finished)):
        text += f"; {rng.choice(NOTES)}"
    if rng.random() < 0.03 and '"' not in text and text and not isinstance(e, Bunch):
        text = f'"{text}"'
    if rng.random() < 0.03:
        text = text.replace(" ", "\u00a0", 1)
    entry = Entry(e, word, subject, text, long)
    entry.whole = lone(e, word, subject, text, rng)
    return entry


def _subject(farm: Farm, e: Event, sown: Sown | None, rng: Random) -> str:
    """The code, or the crop (with its variety) where that fits one living sowing only."""
    if isinstance(e, Hardening):
        return ", ".join(e.codes)
    if isinstance(e, Harvested) and not e.code:
        return e.crop
    if isinstance(e, (Aside, Lot, SeedTest, Bunch, Swapped)) or not e.code:
        return (
            getattr(e, "subject", None) or getattr(e, "lot", None) or getattr(e, "crop", "") or ""
        )
    code = e.code.upper() if rng.random() < 0.12 else e.code
    if (
        isinstance(e, (Sown, Harvested, Treated))
        or rng.random() > 0.2
        or lives_apart(farm, sown.crop)
    ):
        return code
    if farm.rich and rng.random() < 0.3:
        return _numbered(farm, e, sown)
    alive = [s for s in living(farm, e.day) if s.crop == sown.crop]
    if sown not in alive:
        return code
    if len(alive) == 1:
        return sown.crop
    if sum(s.variety == sown.variety for s in alive) == 1:
        return f"{sown.crop} {sown.variety}"
    return code


def _numbered(farm: Farm, e: Event, sown: Sown) -> str:
    """The crop and the number of its code, where only one living sowing has that number."""
    n = sown.code.rsplit("-", 1)[1]
    alive = [s for s in living(farm, e.day) if s.crop == sown.crop and s.code.endswith(f"-{n}")]
    return f"{sown.crop} {n}" if alive == [sown] else sown.code


def living(farm: Farm, day: date) -> list[Sown]:
    """Sowings living that day by dates alone: sown by then, not finished before."""
    over = {
        e.code for e in farm.events if isinstance(e, Finished) and not e.where_only and e.day < day
    }
    return [s for s in farm.sowings() if s.day <= day and s.code not in over]


def _file(entries: list[Entry], ext: str, rng: Random) -> tuple[list[str], dict[Event, int]]:
    """The lines of a day file, and where each event stands in it."""
    body, at = _body(entries, rng)
    if ext == "yaml":
        return body, at
    prose = rng.sample(PROSE, rng.randint(0, 2))
    if rng.random() < 0.3:
        return body + (["", *prose] if prose else []), at
    fence = rng.choice(["---", "---", "---", "—-", "——"])
    at = {e: n + 1 for e, n in at.items()}
    return [
        fence,
        *body,
        "---" if rng.random() < 0.8 else fence,
        *(["", *prose] if prose else []),
    ], at


def _body(entries: list[Entry], rng: Random) -> tuple[list[str], dict[Event, int]]:
    """Lines, blocks of one verb, subjects joined: whichever comes up."""
    lines: list[str] = []
    at: dict[Event, int] = {}
    rest = list(entries)
    while rest:
        first = rest.pop(0)
        alike = (
            [x for x in rest if verb(x.event) == verb(first.event) and not x.long and not x.whole]
            if not first.long and not first.whole
            else []
        )
        if first.whole:
            at[first.event] = len(lines) + 1
            lines.append(first.whole)
        elif isinstance(first.event, Hardening) and not first.text:
            at[first.event] = len(lines) + 1
            lines.append(f"{first.word}: [{first.subject}]")
        elif first.long:
            at[first.event] = len(lines) + 1
            lines += [f"{first.word} {first.subject}:", *first.long]
        elif (
            alike
            and first.text == alike[0].text
            and rng.random() < 0.6
            and first.subject != alike[0].subject
        ):
            at[first.event] = at[alike[0].event] = len(lines) + 1
            rest.remove(alike[0])
            lines.append(f"{first.word} {first.subject}, {alike[0].subject}: {first.text}")
        elif (alike and rng.random() < 0.5) or (not alike and rng.random() < 0.08):
            _block(lines, at, [first, *alike], rng)
            rest = [x for x in rest if x not in alike]
        else:
            at[first.event] = len(lines) + 1
            lines.append(f"{first.word} {first.subject}: {first.text}")
    return lines, at


def _block(lines: list[str], at: dict[Event, int], entries: list[Entry], rng: Random) -> None:
    lines.append(f"{entries[0].word}:")
    indent = "\t" if rng.random() < 0.05 else "  "
    for x in entries:
        if x.text or not isinstance(x.event, Hardening):
            at[x.event] = len(lines) + 1
            lines.append(f"{indent}{x.subject}: {x.text}")
        else:
            for subject in x.subject.split(", "):
                at.setdefault(x.event, len(lines) + 1)
                lines.append(f"{indent}{subject}:")
