"""A finding: what is odd or wrong at one place, and what to do."""

from __future__ import annotations

import enum
from collections.abc import Iterable
from dataclasses import dataclass

from traybook.findings.catalogue import WEIGHTS
from traybook.text.source import Span


class Weight(enum.StrEnum):
    """How much a finding weighs.

    ERROR: this event can't be used; DOUBT: used, but odd or guessed; PENDING: kept, and waits
    for an answer.
    """

    ERROR = "error"
    DOUBT = "doubt"
    PENDING = "pending"


@dataclass(frozen=True, slots=True)
class Label:
    """Another place that matters, with a few words on why."""

    at: Span
    words: str


@dataclass(frozen=True, slots=True)
class Fix:
    """A safe way to put a finding right: stretches of its file and what they become."""

    changes: tuple[tuple[Span, str], ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """One problem with one cause.

    `message` says what is wrong and stands alone; `help` is the only place for advice; `about`
    holds the codes of the sowings it touches; `fix` is there when what to do is beyond question,
    and `proof --mend` offers it.
    """

    name: str
    message: str
    at: Span
    help: str = ""
    also: tuple[Label, ...] = ()
    about: tuple[str, ...] = ()
    fix: Fix | None = None

    @property
    def weight(self) -> Weight:
        """The weight belongs to the name, not to the call."""
        return Weight(WEIGHTS[self.name])

    def order(self) -> tuple[str, int, int, str]:
        """Findings are told in the order of files and places."""
        return (*self.at.order(), self.name)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sorted by file and place, each once."""
    once = {(f.order(), f.message): f for f in findings}
    return tuple(sorted(once.values(), key=lambda f: (*f.order(), f.message)))


def offer(names: Iterable[str]) -> str:
    """`did you mean a, b or c?`, or nothing.

    >>> offer(["stock-26-1", "stock-26-2"])
    'did you mean `stock-26-1` or `stock-26-2`?'
    """
    ticked = [f"`{n}`" for n in names]
    if not ticked:
        return ""
    last = ticked.pop()
    return f"did you mean {', '.join(ticked) + ' or ' if ticked else ''}{last}?"
