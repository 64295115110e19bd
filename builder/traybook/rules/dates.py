"""Rules about days."""

from __future__ import annotations

from collections.abc import Iterator

from traybook.findings.model import Finding, Label
from traybook.ledger.keep import Kept
from traybook.ledger.naming import CODE
from traybook.records.verbs import VERBS

_ENDS = (
    "finished",
    *(v.name for v in VERBS if v.words or v.of == "correction"),
)


def after_finished(kept: Kept) -> Iterator[Finding]:
    """A line about a sowing that was finished on an earlier day."""
    for entry in kept.book.entries:
        event = entry.event
        account = kept.accounts.get(entry.ref.code)
        if account is None or not entry.used or event.doing or event.verb in _ENDS:
            continue
        end = account.finished_on
        if end is not None and event.on is not None and event.on > end:
            closing = next(e for e in account.events if e.verb == "finished" and e.on == end)
            yield Finding(
                "after-finished", f"`{account.code}` was finished on {end}, before this line",
                event.subject_at, "it is counted all the same; check the code, or the day it was finished",
                (Label(closing.at, "finished here"),), (account.code,),
            )  # fmt: skip


def code_year(kept: Kept) -> Iterator[Finding]:
    """A code holds the year sown; one written for another year has a slip, or its day has."""
    for entry in kept.book.entries:
        event, found = entry.event, CODE.fullmatch(entry.event.subject)
        if event.verb != "sown" or not entry.used or not found or event.on is None:
            continue
        if int(found["yy"]) not in (event.on.year % 100, (event.on.year + 1) % 100):
            yield Finding(
                "code-year", f"the code says 20{found['yy']}, but this was sown on {event.on}",
                event.subject_at, "check the code and the day; it is kept as written",
                about=(entry.ref.code,),
            )  # fmt: skip
