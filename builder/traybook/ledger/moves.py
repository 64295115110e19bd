"""Moving what stands where it was sown, all of it or a part."""

from __future__ import annotations

from traybook.ledger.echo import Echo
from traybook.ledger.ops import Move
from traybook.ledger.state import State


def move(op: Move, state: State, echo: Echo) -> None:
    """To another place; a part of it makes a second part, still where sown."""
    tallies = [t for t in (state.main, state.cells) if t]
    whole = state.first.standing
    if (op.n is None and not op.what) or (op.n and op.n.share == "all"):
        for t in tallies:
            t.gather(op.to)
        echo.say(op.event, f"moved to {op.to}")
        return
    share, moved = _how_much(op, state, whole)
    for t in tallies:
        here = moved if t is state.first else int(t.standing * share)
        source = max(
            (p for p in t.parts if p.place != op.to),
            key=lambda p: (p.standing, p.share),
            default=None,
        )
        if source is not None:
            t.split(source, share, here, op.to)
    echo.say(op.event, f"{moved} of {whole} standing moved to {op.to}; both are still where sown")


def _how_much(op: Move, state: State, whole: int) -> tuple[float, int]:
    """The share of the sowing that moves and how many of those standing.

    `half` of an odd number is rounded down; a tray is one of the trays that were sown.
    """
    if op.n is None:
        held = state.sowing.container
        trays = held.cells // held.size if held and held.size and held.cells else 1
        return (1 / trays, whole // trays) if trays > 1 else (1.0, whole)
    if op.n.share == "half":
        return 0.5, whole // 2
    n = op.n.whole
    if n is None:
        return 1.0, whole
    sown = state.sowing.cells or state.sowing.seeds or 0
    of = whole or sown
    return (min(1.0, n / of) if of else 1.0), min(n, whole)
