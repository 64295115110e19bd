"""The ledger of a whole book: every sowing's account, the harvests, and what waits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from traybook.findings.model import Finding, Label
from traybook.ledger.account import Ledger
from traybook.ledger.harvests import Harvest, harvest_of
from traybook.ledger.model import Account
from traybook.ledger.sowings import Sowing, sowing_of
from traybook.records.book import Book, Entry
from traybook.records.event import Event

_Key = tuple[str, int]


@dataclass(frozen=True)
class Kept:
    """All accounts by code, the harvests, and each line's echo.

    `book` is the book with the lines that the ledger set aside marked so; `echo` is keyed by an
    event's key and its code.
    """

    book: Book
    accounts: dict[str, Account]
    harvests: tuple[Harvest, ...]
    echo: dict[tuple[_Key, str], str]


def keep(book: Book) -> tuple[Kept, list[Finding]]:
    """Run the ledger over a book whose subjects are settled."""
    findings: list[Finding] = []
    repeats = _repeats(book.entries, findings)
    echo: dict[tuple[_Key, str], str] = {
        (e.event.key, e.ref.code): "the same line as in another file; it counts once"
        for e in book.entries
        if (e.event.key, e.ref.code) in repeats
    }
    accounts: dict[str, Account] = {}
    waiting: dict[tuple[_Key, str], str] = {}
    for entry in book.entries:
        if (
            entry.event.verb == "sown"
            and entry.used
            and entry.ref.code
            and entry.ref.code not in accounts
        ):
            sowing = sowing_of(entry, book)
            ledger = Ledger(sowing, book.farm)
            mine = tuple(
                e for e in book.of(sowing.code) if (e.event.key, sowing.code) not in repeats
            )
            ledger.run(mine)
            findings += ledger.findings
            waiting |= {(k, sowing.code): name for k, name in ledger.waiting.items()}
            aside = tuple(_marked(e, waiting).event for e in mine if not _marked(e, waiting).used)
            accounts[sowing.code] = ledger.account(mine, aside)
            echo[(sowing.event.key, sowing.code)] = sown_words(sowing)
            for key, words in ledger.echo.items():
                echo[(key, sowing.code)] = "; ".join(words)
    book = replace(book, entries=tuple(_marked(e, waiting) for e in book.entries))
    harvests = []
    for entry in book.entries:
        if (
            entry.event.verb == "harvested"
            and entry.used
            and (entry.event.key, entry.ref.code) not in repeats
        ):
            got, words = harvest_of(entry, book.farm, findings)
            harvests.append(got)
            echo[(entry.event.key, entry.ref.code)] = words
    return Kept(book, accounts, tuple(harvests), echo), findings


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
        if not entry.used or event.doing or not event.said or event.verb == "sown":
            continue
        same = (event.on, event.verb, entry.ref, event.said, event.note)
        earlier = first.setdefault(same, event)
        if earlier.at.path == event.at.path:
            continue
        if earlier.by == event.by:
            out.add((event.key, entry.ref.code))
        elif event.verb != "checked":
            findings.append(
                Finding("written-twice",
                        f"{earlier.by or 'somebody'} and {event.by or 'somebody'} wrote the same line; both count",
                        event.at, "delete one if it was the same plants", (Label(earlier.at, "the same here"),),
                        (entry.ref.code,) if entry.ref.code else ())
            )  # fmt: skip
    return out


def sown_words(sowing: Sowing) -> str:
    """How a `sown` line was read."""
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
