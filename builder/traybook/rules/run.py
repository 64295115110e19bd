"""All rules, in a tuple: a rule is a function from the ledger to its doubts."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from traybook.findings.model import Finding
from traybook.ledger.keep import Kept
from traybook.rules.dates import after_finished, code_year
from traybook.rules.names import new_crop_near, odd_place, two_spellings

Rule = Callable[[Kept], Iterator[Finding]]

ALL_RULES: tuple[Rule, ...] = (after_finished, code_year, two_spellings, new_crop_near, odd_place)


def run(kept: Kept) -> list[Finding]:
    """What every rule finds."""
    return [finding for rule in ALL_RULES for finding in rule(kept)]
