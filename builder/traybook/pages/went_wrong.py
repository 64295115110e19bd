"""What went wrong in a season: sowings that failed, plants lost, falls that nothing explains."""

from __future__ import annotations

from traybook.pages.addresses import sowing_address
from traybook.pages.causes import is_end, without_ends
from traybook.pages.closing import losses
from traybook.pages.model import Block, Cell, cell, table
from traybook.rollup.kind import Season
from traybook.rollup.sowing import SowingFigures

_BAD = ("failed", "mislabelled", "given up")
# A tenth of what came up lost in trays and beds is worth a line.
_SHARE_WORTH_A_LINE = 0.1


def went_wrong(season: Season, own: bool) -> list[Block]:
    """One table, the worst first; nothing where nothing went wrong. The own build says how a
    reason that was never written can be added."""
    sowings = [s for k in season.kinds for s in k.sowings]
    found = sorted(
        (s for s in sowings if _worth(s)), key=lambda s: (s.outcome not in _BAD, -_lost(s), s.code)
    )
    if not found:
        return []
    columns = ("Sowing", "What", "Lost", "Missing", "Why it failed", "How it ended")
    body = table("What went wrong, the worst first", columns, tuple(_row(s, own) for s in found))
    return [Block("What went wrong", "went-wrong", (), body)]


def _lost(s: SowingFigures) -> int:
    """Plants and seeds lost; what went when the crop was over is no loss."""
    a = s.account
    over = sum(c.lost for c in a.checks if is_end(c.cause))
    return a.main.lost + sum(x.lost for x in a.stands) + a.seeds_lost - over


def _missing(s: SowingFigures) -> int:
    return s.up.count.missing if s.up.count else 0


def _worth(s: SowingFigures) -> bool:
    size = s.up.emerged or s.sowing.seeds or s.sowing.cells or 0
    return (
        s.outcome in _BAD
        or bool(_missing(s))
        or (size > 0 and _lost(s) >= _SHARE_WORTH_A_LINE * size)
    )


def _row(s: SowingFigures, own: bool) -> tuple[Cell, ...]:
    missing, bad = _missing(s), s.outcome in _BAD
    ended = without_ends(s.account.reason)
    return (
        cell(s.code, sowing_address(s.code)),
        cell(s.outcome if bad else f"{_lost(s):,} lost" if _lost(s) else "a fall nothing explains"),
        cell(losses(s.account)),
        cell(f"{missing:,}" if missing else ""),
        cell((ended or _unwritten(s, own)) if bad else ""),
        cell("" if bad else ended),
    )


def _unwritten(s: SowingFigures, own: bool) -> str:
    """That nobody said why; at home, where to say it."""
    ends = [e for e in s.account.events if e.verb == "finished" and not e.fault]
    if not own or not ends:
        return "no reason written"
    at = ends[-1].at
    return f"no reason written; put it behind the colon of its `finished` line, {at.path}:{at.line}"
