"""Put right: every finding, where it is and what to do. Only in the own build."""

from __future__ import annotations

from collections.abc import Iterable

from traybook.findings.model import Finding, Weight
from traybook.findings.printers import full, summary
from traybook.pages.addresses import PUT_RIGHT
from traybook.pages.model import Block, Page

_NAMES = {
    Weight.ERROR: ("Can't be used until it is put right", "errors"),
    Weight.PENDING: ("Waits for an answer", "waiting"),
    Weight.DOUBT: ("Used, but asked about", "doubts"),
}


def put_right_page(findings: Iterable[Finding]) -> Page:
    """The findings as `traybook proof` prints them, the heaviest first."""
    found = tuple(findings)
    blocks = []
    for weight, (heading, anchor) in _NAMES.items():
        told = tuple(full(f) for f in found if f.weight is weight)
        if told:
            blocks.append(Block(heading, anchor, told))
    lead = summary(found)
    return Page(
        template="put-right",
        address=PUT_RIGHT,
        title="Put right",
        lead=(lead[:1].upper() + lead[1:] + ".",),
        blocks=tuple(blocks),
        nav="Put right",
    )
