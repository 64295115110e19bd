"""Put right: every finding, where it is and what to do. Only in the own build."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from traybook.findings.explain import explanation
from traybook.findings.model import Finding, Weight
from traybook.findings.printers import full, summary
from traybook.pages.addresses import PUT_RIGHT
from traybook.pages.model import Block, Page

_NAMES = {
    Weight.ERROR: ("Can't be used until it is put right", "errors"),
    Weight.PENDING: ("Waits for an answer", "waiting"),
    Weight.DOUBT: ("Used, but asked about", "doubts"),
}


def put_right_page(findings: Iterable[Finding], cases: Mapping[str, str]) -> Page:
    """The findings as `traybook proof` prints them, the heaviest first, each kind explained by its
    case; `cases` are their texts by name."""
    found = tuple(findings)
    blocks = []
    for weight, (heading, anchor) in _NAMES.items():
        told = tuple(full(f) for f in found if f.weight is weight)
        if told:
            blocks.append(Block(heading, anchor, told))
    names = dict.fromkeys(f.name for f in found)
    blocks += [
        Block(name.replace("-", " ").capitalize(), f"why-{name}", (explanation(cases[name]),))
        for name in names
        if name in cases
    ]
    lead = summary(found)
    return Page(
        template="put-right",
        address=PUT_RIGHT,
        title="Put right",
        lead=(lead[:1].upper() + lead[1:] + ".",),
        blocks=tuple(blocks),
        nav="Put right",
    )
