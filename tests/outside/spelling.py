"""One farm in many legal spellings: every spelling turns days of acts into files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby


@dataclass(frozen=True)
class Act:
    """One doing on one day: a sowing of so many seeds, a count of so many up, or the end."""

    on: dt.date
    verb: str
    code: str
    seeds: int
    up: int = 0
    variety: str = ""


Day = tuple[dt.date, list[Act]]
#: How one count is written after `CODE:`.
Count = Callable[[Act], str]


def of(act: Act) -> str:
    return f"{act.up} of {act.seeds}"


def slash(act: Act) -> str:
    return f"{act.up}/{act.seeds}; as ever"


def bare(act: Act) -> str:
    return str(act.up)


def up(act: Act) -> str:
    return f"{act.up} up"


def words(act: Act) -> str:
    return f"{act.up} up" if act.up else "none up"


def flow(act: Act) -> str:
    return f"{{up: {act.up}}}"


def line(act: Act, count: Count = up, subject: str = "") -> str:
    """An act as one line."""
    subject = subject or act.code
    if act.verb == "sown":
        kind = f"{act.variety}, " if act.variety else ""
        return f"sown {subject}: {kind}{act.seeds} seeds, open tray"
    if act.verb == "finished":
        return f"finished {subject}: counted to the end"
    return f"checked {subject}: {count(act)}"


def long(act: Act) -> str:
    """An act as a mapping over several lines."""
    if act.verb == "sown":
        kind = f"  variety: {act.variety}\n" if act.variety else ""
        return f"sown {act.code}:\n{kind}  seeds: {act.seeds}\n  in: open tray"
    if act.verb == "finished":
        return line(act)
    return f"checked {act.code}:\n  up: {act.up}"


def blocks(acts: list[Act]) -> str:
    """Acts of one verb under one heading."""
    out = []
    for verb, group in groupby(acts, key=lambda a: a.verb):
        out.append(f"{verb}:")
        out += [f"  {line(a).removeprefix(verb + ' ')}" for a in group]
    return "\n".join(out)


def lines(acts: list[Act], count: Count = up) -> str:
    return "\n".join(line(a, count) for a in acts)


def capitals(acts: list[Act]) -> str:
    """Verbs and codes shouted, but for the sowing, which gives the code its spelling."""
    return "\n".join(line(a) if a.verb == "sown" else line(a).upper() for a in acts)


def spaced(acts: list[Act]) -> str:
    """No-break spaces, tabs and a code with spaces in place of its strokes."""
    return "\n".join(
        line(a)
        if a.verb == "sown"
        else line(a, subject=a.code.replace("-", " "))
        .replace(": ", ":\t")
        .replace(" up", "\u00a0up")
        for a in acts
    )


def one_a_day(ending: str, write: Callable[[list[Act]], str]):
    """A file a day."""

    def spell(days: list[Day]) -> dict[str, bytes]:
        return {f"entries/{on}{ending}": write(acts).encode() for on, acts in days}

    return spell


def fenced(acts: list[Act]) -> str:
    return f"---\n{lines(acts)}\n---\nA quiet day; 12 swallows, and nothing 31 up.\n"


def phone(acts: list[Act]) -> str:
    """Fences as a phone makes them of three strokes."""
    return f"\u2014-\n{lines(acts, slash)}\n\u2014-\nA day.\n"


def windows(days: list[Day]) -> dict[str, bytes]:
    """Line ends of two characters and a byte order mark, in folders by year."""
    return {
        f"entries/{on.year}/{on}.md": b"\xef\xbb\xbf"
        + f"---\n{lines(acts)}\n---\n".replace("\n", "\r\n").encode()
        for on, acts in days
    }


def notebook(days: list[Day]) -> dict[str, bytes]:
    """One file for all days, each line with its own."""
    out = [f"{line(a)}, on {on}" for on, acts in days for a in acts]
    return {"entries/notebook.md": ("---\n" + "\n".join(out) + "\n---\n").encode()}


def two_files(days: list[Day]) -> dict[str, bytes]:
    """Two people write: the first act of each day in one file, the rest in the other's."""
    out = {}
    for on, acts in days:
        out[f"entries/{on}-ab.md"] = line(acts[0]).encode()
        if acts[1:]:
            out[f"entries/{on}-cd.yaml"] = lines(acts[1:]).encode()
    return out


SPELLINGS: dict[str, Callable[[list[Day]], dict[str, bytes]]] = {
    "lines in a fence": one_a_day(".md", fenced),
    "lines without a fence": one_a_day(".md", lines),
    "a phone's fences": one_a_day(".md", phone),
    "31 of 200": one_a_day(".txt", lambda acts: lines(acts, of)),
    "31/200": one_a_day(".yaml", lambda acts: lines(acts, slash)),
    "31": one_a_day(".txt", lambda acts: lines(acts, bare)),
    "none up": one_a_day(".md", lambda acts: lines(acts, words)),
    "{up: 31}": one_a_day(".yaml", lambda acts: lines(acts, flow)),
    "long": one_a_day(".yaml", lambda acts: "\n".join(map(long, acts))),
    "blocks": one_a_day(".yaml", blocks),
    "capitals": one_a_day(".md", capitals),
    "spaces": one_a_day(".txt", spaced),
    "marks and line ends": windows,
    "notebook": notebook,
    "two people": two_files,
}


def by_day(acts: list[Act]) -> list[Day]:
    """Acts by their day."""
    ordered = sorted(acts, key=lambda a: a.on)
    return [(on, list(group)) for on, group in groupby(ordered, key=lambda a: a.on)]
