"""Put right: every finding, where it is and what to do. Only in the own build."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from traybook.findings.explain import explanation
from traybook.findings.model import Finding, Weight
from traybook.findings.printers import summary
from traybook.pages.addresses import PUT_RIGHT
from traybook.pages.model import Block, Page, Place, Told
from traybook.text.source import Span

_NAMES = {
    Weight.ERROR: ("Can't be used until it is put right", "errors"),
    Weight.PENDING: ("Waits for an answer", "waiting"),
    Weight.DOUBT: ("Used, but asked about", "doubts"),
}

# Letters of a line that are shown to either side of the place.
_NEAR = 120


def put_right_page(findings: Iterable[Finding], cases: Mapping[str, str]) -> Page:
    """The findings, the heaviest first, each kind explained by its case; `cases` are their texts by
    name."""
    found = tuple(findings)
    blocks = []
    for weight, (heading, anchor) in _NAMES.items():
        told = tuple(_told(f, cases) for f in found if f.weight is weight)
        if told:
            blocks.append(Block(heading, anchor, told=told))
    names = dict.fromkeys(f.name for f in found)
    blocks += [
        Block(name.replace("-", " ").capitalize(), _why(name), (explanation(cases[name]),))
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


def _why(name: str) -> str:
    return f"why-{name}"


def _told(f: Finding, cases: Mapping[str, str]) -> Told:
    places = (_place(f.at), *(_place(label.at, label.words) for label in f.also))
    why = f"{PUT_RIGHT}#{_why(f.name)}" if f.name in cases else ""
    return Told(f.name, f.message, places, f.help, why)


def _place(at: Span, words: str = "") -> Place:
    """The grower's line with what is meant in it; of a very long one what stands near."""
    where = f"{at.path}, line {at.line}"
    if not at.source.text:
        return Place(where, words=words)
    line = at.source.line_span(at.line)
    start, end = at.start - line.start, min(at.end, line.end) - line.start
    near = max(0, start - _NEAR)
    return Place(
        where,
        "..." + line.text[near:start] if near else line.text[:start].lstrip(),
        line.text[start:end][:_NEAR],
        line.text[end : end + _NEAR],
        words,
    )
