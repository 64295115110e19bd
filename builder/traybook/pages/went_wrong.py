"""What went wrong in a season: sowings that failed, plants lost, falls that nothing explains."""

from __future__ import annotations

from traybook.pages.addresses import sowing_address
from traybook.pages.closing import losses
from traybook.pages.model import Block, Cell, cell, table
from traybook.rollup.kind import Season
from traybook.rollup.sowing import SowingFigures

_BAD = ("failed", "mislabelled", "given up")
# A tenth of what came up lost in trays and beds is worth a line.
_SHARE_WORTH_A_LINE = 0.1


def went_wrong(season: Season) -> list[Block]:
    """One table, the worst first; nothing where nothing went wrong."""
    sowings = [s for k in season.kinds for s in k.sowings]
    found = sorted(
        (s for s in sowings if _worth(s)), key=lambda s: (s.outcome not in _BAD, -_lost(s), s.code)
    )
    if not found:
        return []
    columns = ("Sowing", "What", "Lost", "Missing", "In the grower's words")
    body = table("What went wrong, the worst first", columns, tuple(_row(s) for s in found))
    return [Block("What went wrong", "went-wrong", (), body)]


def _lost(s: SowingFigures) -> int:
    return s.account.main.lost + sum(x.lost for x in s.account.stands) + s.account.seeds_lost


def _missing(s: SowingFigures) -> int:
    return s.up.count.missing if s.up.count else 0


def _worth(s: SowingFigures) -> bool:
    size = s.up.emerged or s.sowing.seeds or s.sowing.cells or 0
    return (
        s.outcome in _BAD
        or bool(_missing(s))
        or (size > 0 and _lost(s) >= _SHARE_WORTH_A_LINE * size)
    )


def _row(s: SowingFigures) -> tuple[Cell, ...]:
    missing = _missing(s)
    return (
        cell(s.code, sowing_address(s.code)),
        cell(
            s.outcome
            if s.outcome in _BAD
            else f"{_lost(s):,} lost"
            if _lost(s)
            else "a fall nothing explains"
        ),
        cell(losses(s.account)),
        cell(f"{missing:,}" if missing else ""),
        cell(s.account.reason),
    )
