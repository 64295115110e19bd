"""What a command without words asks, and the likely answers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from traybook.advice.due import Due, due
from traybook.ledger.keep import Kept
from traybook.records.verbs import Verb
from traybook.rollup.farm import FarmFigures
from traybook.text.names import fold

_MOST_OFFERS = 9
_DUE_FOR = {
    "checked": ("late", "give up", "look"),
    "potted on": ("pot",),
    "pricked out": ("pot",),
    "planted out": ("plant",),
    "finished": ("give up",),
}
WHICH = "sowing"


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its `key` among the answers, what is asked, and whether Enter may pass it by."""

    key: str
    ask: str
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Offer:
    """A likely answer and why it is likely."""

    answer: str
    why: str = ""


_SOWN = (
    Question("crop", "What was sown? (the crop)"),
    Question("variety", "Which variety?", optional=True),
    Question("container", "In what? (as 72-cell tray, 2 x 128s, damp paper, bed 4)"),
    Question("seeds", "How many? (as 1 per cell, 200 seeds, 2 g)", optional=True),
    Question("place", "Where does it stand?", optional=True),
    Question("more", "Anything else? (as cover 5 mm, dark, lot LAR-25)", optional=True),
)
_ASKS = {
    "checked": "What did you see? (as 31 up, 2 lost to mice)",
    "moved": "To where? (as to cold frame, half to cold frame)",
    "potted on": "How many into what? (as 48 into 72s)",
    "pricked out": "How many into what? (as 120 into 72s)",
    "planted out": "How many to which bed? (as 90 to bed 4 at 20 cm)",
    "harvested": "How much? (as 6 bunches of 10, 120 stems)",
    "finished": "Why? (as season over, damped off)",
    "hardening off": "How far? (as out, nights in)",
}


def questions(verb: Verb) -> tuple[Question, ...]:
    """The questions of a verb, in order."""
    if verb.name == "sown":
        return _SOWN
    example = ", ".join(f.example for f in verb.fields[-1:] if f.example)
    ask = _ASKS.get(verb.name, "What is there to say?" + (f" (as {example})" if example else ""))
    said = Question("said", ask, optional=verb.name in ("finished", "hardening off"))
    if verb.of == "sowing":
        return (Question(WHICH, "Which sowing?"), said)
    if verb.of == "cut":
        return (Question("what", "What was cut? (a sowing, crop, bed or mix)"), said)
    if verb.of == "any":
        return (Question("about", "About which sowing, crop or bed?", optional=True), said)
    return (Question("words", "Write what follows the verb", optional=False),)


def words_of(answers: Mapping[str, str]) -> str:
    """The answers as the words of the command."""
    if "crop" in answers:
        parts = [answers.get(k, "") for k in ("variety", "container", "seeds", "place", "more")]
        return f"{answers['crop']}: " + ", ".join(p for p in parts if p)
    if "words" in answers:
        return answers["words"]
    subject = answers.get(WHICH) or answers.get("what") or answers.get("about", "")
    said = answers.get("said", "")
    return f"{subject}: {said}" if subject else said


def sowings_offered(figures: FarmFigures, verb: Verb, as_of: dt.date) -> list[Offer]:
    """Sowings for a verb: what is due first, then those written about last."""
    wanted = _DUE_FOR.get(verb.name, ())
    first = [d for d in due(figures, as_of) if d.kind in wanted]
    offers = {d.code: Offer(d.code, _why(d, as_of)) for d in reversed(first)}
    offers = {d.code: offers[d.code] for d in first}
    latest: dict[str, dt.date] = {}
    for entry in figures.kept.book.entries:
        if entry.ref.code and entry.used and entry.event.on:
            latest[entry.ref.code] = entry.event.on
    for code, on in sorted(latest.items(), key=lambda x: (x[1], x[0]), reverse=True):
        account = figures.kept.accounts.get(code)
        if account and account.finished_on is None:
            offers.setdefault(code, Offer(code, f"last entry {on}"))
    return list(offers.values())[:_MOST_OFFERS]


def _why(d: Due, as_of: dt.date) -> str:
    when = "today" if d.on <= as_of else f"{d.on}"
    since = f", since {d.since}" if d.since else ""
    return f"due {when}{since}: {d.why}"


def default_for(key: str, verb: Verb, kept: Kept, answers: Mapping[str, str]) -> str:
    """What was written the last time: of this sowing, else of its crop, else of any."""
    if key == "said":
        code = answers.get(WHICH) or answers.get("what") or ""
        nothing = "none up" if verb.name == "checked" else ""
        asked = code and verb.name != "harvested"
        return next(_values(verb, kept, code), nothing) if asked else ""
    field = {"variety": "variety", "container": "container", "seeds": "seeds", "place": "place"}
    if key in field and verb.name == "sown":
        return _last_sown(key, kept, answers.get("crop", ""))
    return ""


def _values(verb: Verb, kept: Kept, code: str) -> Iterator[str]:
    """Values of the verb's last entries: this sowing's, then those of any."""
    events = [e for e in reversed(kept.book.entries) if e.used and e.event.verb == verb.name]
    for mine in (True, False):
        for entry in events:
            value = entry.event.text.partition(": ")[2].split(";")[0].strip()
            plain = value and "\n" not in entry.event.text and value[0] not in "{[|>\"'"
            counted = verb.name in ("checked", "finished")
            if plain and (entry.ref.code == code if mine else not counted):
                yield value


def _last_sown(key: str, kept: Kept, crop: str) -> str:
    for account in reversed(kept.accounts.values()):
        sowing = account.sowing
        if fold(sowing.crop) != fold(crop):
            continue
        if key == "variety":
            return sowing.variety
        if key == "place":
            return sowing.place
        if key == "container":
            return sowing.container.name if sowing.container else ""
        if sowing.low and sowing.cells:
            per = f"{sowing.low}" if sowing.low == sowing.high else f"{sowing.low}-{sowing.high}"
            return f"{per} per cell"
        return f"{sowing.seeds} seeds" if sowing.seeds else ""
    return ""
