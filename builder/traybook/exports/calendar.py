"""The farm's calendar: what is due, and whatever else has a day, as things of calendar.ics."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from itertools import chain

from traybook.advice.due import Due, coming
from traybook.advice.learnt import Learnt
from traybook.advice.plan_due import asked, soon
from traybook.exports.ics import Happening, calendar_text
from traybook.text.days import day
from traybook.text.names import slug


def calendar(learnt: Learnt, *more: Iterable[Happening]) -> str:
    """The text of calendar.ics: all that is due of sowings and treatments, and `more`.

    It holds what the book holds, so nothing private from a shared one. With nothing due it says that,
    since a calendar must not be empty.
    """
    farm = learnt.figures.kept.book.farm
    found = [*due_happenings(learnt), *plan_happenings(learnt), *chain.from_iterable(more)]
    return calendar_text(found or [_nothing(learnt)], learnt.as_of, farm.name or "Traybook")


def due_happenings(learnt: Learnt) -> tuple[Happening, ...]:
    """What is due of sowings and treatments, as far ahead as is known; what is late, today."""
    seen: Counter[str] = Counter()
    out = []
    for d in coming(learnt, days=None):
        name = slug(" ".join((d.about, d.mark, d.kind)))
        seen[name] += 1
        uid = uid_of(learnt, name, seen[name])
        out.append(Happening(uid, d.on, None, _summary(d), _description(d, learnt), d.where))
    return tuple(out)


def plan_happenings(learnt: Learnt) -> tuple[Happening, ...]:
    """The steps of plans that no list of what is due names yet, from today on: potting on, planting out,
    the first cut and so on of what is still to be sown."""
    found = asked(learnt)
    listed = set(soon(found))
    return tuple(
        Happening(
            uid_of(learnt, f"{a.mark} {a.name} {a.kind}"), a.on, None, f"{a.name}: {_STEPS[a.kind]}",
            "\n".join([f"{_capital(a.why)}.", f"Planned; as of {day(learnt.as_of)}."]), a.where,
        )
        for a in found if a not in listed and not a.code and a.on >= learnt.as_of
    )  # fmt: skip


_STEPS = {
    "out": "take it out of its treatment", "look": "look from now on", "pot": "pot on",
    "harden": "begin hardening off", "plant": "plant out", "cut": "first cut", "last cut": "last cut",
}  # fmt: skip


def uid_of(learnt: Learnt, name: str, nth: int = 1) -> str:
    """The name by which a calendar program knows a thing again: its own words and the farm's name,
    spelt as codes are, with a number from the second of one name on."""
    farm = slug(learnt.figures.kept.book.farm.name) or "farm"
    again = f"-{nth}" if nth > 1 else ""
    return f"{slug(name)}{again}@{farm}.traybook"


def _summary(d: Due) -> str:
    return f"{d.about}: {d.what[0].lower()}{d.what[1:]}"


def _description(d: Due, learnt: Learnt) -> str:
    """Which plants, why, since when, and the day on which all this was so."""
    s = learnt.figures.sowings.get(d.code)
    plants = [_capital(f"{s.sowing.crop} {s.sowing.variety}".strip())] if s else []
    since = f" Due since {day(d.since)}." if d.since else ""
    return "\n".join([*plants, f"{_capital(d.why)}.{since}", f"As of {day(learnt.as_of)}."])


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _nothing(learnt: Learnt) -> Happening:
    uid = uid_of(learnt, "nothing due")
    words = f"As of {day(learnt.as_of)}."
    return Happening(uid, learnt.as_of, None, "Nothing is due in the trays", words)
