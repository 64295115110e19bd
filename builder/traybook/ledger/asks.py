"""What is asked about numbers that can't be."""

from __future__ import annotations

from traybook.findings.model import Finding
from traybook.ledger.ops import Move
from traybook.ledger.running import Running
from traybook.ledger.state import State
from traybook.text.source import Span


def over_sown(state: State, tally: Running, taken: int, at: Span) -> Finding:
    """More came up than was sown: the sum in numbers; `taken` were taken at this visit."""
    earlier = tally.lost + tally.missing
    before = tally.taken - taken
    parts = [f"{tally.standing + taken}"]
    parts += [f"{before} taken earlier"] if before else []
    parts += [f"{earlier} lost earlier"] if earlier else []
    word = "taken" if taken == tally.emerged else "up"
    summed = parts[1:]
    total = f"{' + '.join(parts)} = {tally.emerged}" if summed else f"{tally.emerged} {word}"
    return Finding(
        "more-than-sown", f"{total}, but {tally.limit} {'cells ' if tally is state.cells else ''}were sown", at,
        "check the numbers of this visit and the one before; until then it is left out",
        about=(state.sowing.code,),
    )  # fmt: skip


def out_of_more(state: State, of: int, sown: int, at: Span) -> Finding:
    """A count out of more than was sown."""
    return Finding("of-more-than-sown", f"this is out of {of}, but {sown} were sown", at,
                   "check both numbers", about=(state.sowing.code,))  # fmt: skip


def more_than_of(state: State, n: int, of: int, at: Span) -> Finding:
    """More than the number it is out of."""
    turned = f"; did you mean `{of} of {n}`?" if state.sowing.limit in (None, n) else ""
    return Finding("more-than-of", f"{n} of {of}: more than there were to count", at,
                   f"check both numbers{turned}", about=(state.sowing.code,))  # fmt: skip


def moves_more(op: Move, state: State) -> Finding | None:
    """More moved than stand, or were sown where nothing is up yet."""
    n = op.n.whole if op.n else None
    sown = state.sowing.seeds or state.sowing.cells
    most = max(state.first.standing, sown or 0, state.sowing.limit or 0)
    if n is None or sown is None or state.sowing.about or n <= most:
        return None
    at = next((s.at for s in op.event.all("moved") if s.at and s.n == op.n), op.event.subject_at)
    return Finding("more-than-stood", f"{n} moved, but only {most} were there", at,
                   "check the number; the line waits until then", about=(state.sowing.code,))  # fmt: skip
