"""All rules, in tuples: a rule is a function from the ledger to its doubts."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from traybook.findings.model import Finding
from traybook.ledger.keep import Kept
from traybook.rules.around import Around
from traybook.rules.dates import after_finished, code_year
from traybook.rules.names import new_crop_near, odd_place, two_spellings
from traybook.rules.photos import photos
from traybook.rules.seed import (
    dressed_in_fridge,
    moist_frozen,
    old_lot,
    treated_how,
    treatment_overdue,
)
from traybook.rules.sowing import (
    covered_surface_kind,
    long_in_cell,
    many_per_cell,
    no_count_yet,
    odd_time,
    short_hardening,
    too_deep,
    too_warm,
)

Rule = Callable[[Kept], Iterator[Finding]]

#: The later ones go by what is known of a kind, or by what is usual.
ALL_RULES: tuple[Rule, ...] = (
    after_finished,
    code_year,
    two_spellings,
    new_crop_near,
    odd_place,
    covered_surface_kind,
    too_deep,
    too_warm,
    many_per_cell,
    short_hardening,
    long_in_cell,
    no_count_yet,
    odd_time,
    treatment_overdue,
    moist_frozen,
    dressed_in_fridge,
    treated_how,
    old_lot,
)


def run(kept: Kept, around: Around) -> list[Finding]:
    """What every rule finds, and what photos are amiss."""
    found = [finding for rule in ALL_RULES for finding in rule(kept)]
    return found + list(photos(kept, around))
