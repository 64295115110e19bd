"""The ledger of a whole book: every sowing's account, the harvests, and what waits."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from traybook.findings.model import Finding, Fix, Label
from traybook.ledger.account import Ledger
from traybook.ledger.bunches import BunchSizes
from traybook.ledger.corrections import as_counted
from traybook.ledger.harvests import Harvest, harvest_of
from traybook.ledger.model import Account
from traybook.ledger.readings import reading
from traybook.ledger.seed import Seed, seed_of, treatments_of
from traybook.ledger.sowings import Sowing, resown_seeds, sowing_of
from traybook.records.book import STARTS, Book, Entry
from traybook.records.event import Event
from traybook.text.source import Span

_Key = tuple[str, int]


@dataclass(frozen=True)
class Kept:
    """All accounts by code, the harvests, and each line's echo.

    `book` is the book with the lines that the ledger set aside marked so; `echo` is keyed by an
    event's key and its code; `seed` holds lots and treatments.
    """

    book: Book
    accounts: dict[str, Account]
    harvests: tuple[Harvest, ...]
    echo: dict[tuple[_Key, str], str]
    seed: Seed


def keep(book: Book) -> tuple[Kept, list[Finding]]:
    """Run the ledger over a book whose subjects are settled."""
    findings: list[Finding] = []
    repeats = _repeats(book.entries, findings)
    echo: dict[tuple[_Key, str], str] = {
        (e.event.key, e.ref.code): "the same line as in another file; it counts once"
        for e in book.entries
        if (e.event.key, e.ref.code) in repeats
    }
    counted, corrected = as_counted(
        e for e in book.entries if (e.event.key, e.ref.code) not in repeats
    )
    by_code: dict[str, list[Entry]] = defaultdict(list)
    for entry in counted:
        by_code[entry.ref.code].append(entry)
    sowings = _sowings(counted, book)
    seed = seed_of(counted, sowings.values(), book.farm)
    accounts: dict[str, Account] = {}
    waiting: dict[tuple[_Key, str], str] = {}
    for code, sowing in sowings.items():
        ledger = Ledger(sowing, book.farm)
        ledger.run(by_code[code])
        findings += ledger.findings
        waiting |= {(k, code): name for k, name in ledger.waiting.items()}
        mine = tuple(e for e in book.of(code) if (e.event.key, code) not in repeats)
        aside = tuple(_marked(e, waiting).event for e in mine if _marked(e, waiting).aside)
        accounts[code] = ledger.account(mine, aside, treatments_of(sowing, seed.treatments))
        for key, words in ledger.echo.items():
            echo[(key, code)] = "; ".join(words)
        if not sowing.shares:
            echo[(sowing.event.key, code)] = sown_words(sowing)
    book = replace(book, entries=tuple(_marked(e, waiting) for e in book.entries))
    sizes, harvests = BunchSizes(counted, book.farm), []
    for entry in counted:
        if entry.event.verb == "harvested" and _marked(entry, waiting).used:
            got, words = harvest_of(entry, book.farm, sizes, findings)
            if got.event.said:
                harvests.append(got)
                echo[(entry.event.key, entry.ref.code)] = words
    _say_the_rest(book.entries, corrected, echo)
    return Kept(book, accounts, tuple(harvests), echo, seed), findings


def _sowings(counted: Iterable[Entry], book: Book) -> dict[str, Sowing]:
    """Every sowing by code, in the order sown; one that filled empty cells after the one it shares a
    tray with."""
    out: dict[str, Sowing] = {}
    for entry in counted:
        code = entry.ref.code
        begins = entry.event.verb in STARTS or (entry.event.verb == "resown" and entry.ref.other)
        if not begins or not code or code in out:
            continue
        made = sowing_of(entry, book)
        parent = out.get(made.shares)
        if parent is not None:
            seeds = resown_seeds(made.event, parent)
            lot = made.lot or (parent.lot if made.variety == parent.variety else "")
            low, high = made.low or parent.low, made.high or parent.high
            made = replace(made, seeds=seeds, low=low, high=high, place=parent.place, lot=lot)
        out[code] = made
    return out


def _say_the_rest(
    entries: Iterable[Entry],
    corrected: dict[tuple[_Key, str], str],
    echo: dict[tuple[_Key, str], str],
) -> None:
    """Every line has an echo: those taken back, corrected, and those that change no count."""
    for entry in entries:
        key = (entry.event.key, entry.ref.code)
        if entry.event.void:
            echo[key] = entry.event.void
        elif key in corrected:
            echo[key] = "; ".join(x for x in (echo.get(key, ""), corrected[key]) if x)
        elif entry.used and key not in echo:
            echo[key] = reading(entry)
        echo[key] = echo.get(key, "")


def _marked(entry: Entry, waiting: dict[tuple[_Key, str], str]) -> Entry:
    """The entry as the ledger left it: set aside where its visit could not be."""
    name = waiting.get((entry.event.key, entry.ref.code))
    if not name:
        return entry
    return Entry(
        replace(entry.event, fault=name, waits=name not in ("of-more-than-sown", "more-than-of")),
        entry.ref,
    )


def _repeats(entries: Iterable[Entry], findings: list[Finding]) -> set[tuple[_Key, str]]:
    """A line that stands word for word in two files of one day counts once if both are signed
    alike; signed by two people both count, and it is asked."""
    first: dict[tuple[object, ...], Event] = {}
    out: set[tuple[_Key, str]] = set()
    for entry in entries:
        event = entry.event
        if not entry.used or event.doing or not event.said or event.verb in (*STARTS, "resown"):
            continue
        same = (event.on, event.verb, entry.ref, event.said, event.note)
        earlier = first.setdefault(same, event)
        if earlier.at.path == event.at.path:
            if earlier.key != event.key and event.verb in _ADDING:
                findings.append(
                    _twice(event, earlier, "this line stands twice in this file; both count", None)
                )
            continue
        if earlier.by == event.by:
            out.add((event.key, entry.ref.code))
        elif event.verb != "checked":
            who = f"{earlier.by or 'somebody'} and {event.by or 'somebody'}"
            words = f"{who} wrote the same line; both count"
            findings.append(_twice(event, earlier, words, _without(event)))
    return out


# Verbs of which a second line of a day adds to the first.
_ADDING = ("harvested", "sold", "gave", "spare", "pricked out", "potted on", "planted out", "thinned",
           "received")  # fmt: skip


def _twice(event: Event, earlier: Event, words: str, fix: Fix | None) -> Finding:
    return Finding("written-twice", words, event.at, "delete one if it was the same plants",
                   (Label(earlier.at, "the same here"),), fix=fix)  # fmt: skip


def _without(event: Event) -> Fix | None:
    """The line taken out, where it is a line to itself."""
    at = event.at
    if at.column != 1 or "\n" in event.text or at.end != at.source.line_span(at.line).end:
        return None
    source = at.source
    end = source.line_span(at.line + 1).start if at.line < source.lines else len(source.text)
    return Fix(((Span(source, at.start, end), ""),))


def sown_words(sowing: Sowing) -> str:
    """How a `sown` line, or one of plants that arrived, was read."""
    if sowing.measure == "bought in":
        lost = sowing.event.one("lost")
        dead = f", {lost.n.said()} lost on the way" if lost and lost.n else ""
        named = f"{sowing.crop} {sowing.variety}".strip()
        return f"{named}: {sowing.seeds if sowing.seeds is not None else 'an unknown number of'} plants came{dead}"
    parts = [sowing.crop + (f" {sowing.variety}" if sowing.variety else "")]
    if sowing.unwritten:
        parts[0] += f" (code {sowing.code}, not yet written)"
    if sowing.seeds is not None:
        parts.append(f"{'about ' if sowing.about else ''}{sowing.seeds:,} seeds")
    if sowing.cells is not None:
        parts.append(f"{sowing.cells:,} cells")
    if sowing.several:
        per = f"{sowing.low}" if sowing.low == sowing.high else f"{sowing.low}-{sowing.high}"
        parts.append(f"{per} a cell")
    if sowing.seeds is None:
        parts.append("number of seeds not known")
    held = sowing.container
    if held and held.name:
        parts.append(f"in {held.name}")
    parts += [f"at {sowing.place}"] if sowing.place else []
    return ", ".join(parts)
