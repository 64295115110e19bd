"""What earned its bed: stems a metre, a metre and week, and a plant, variety by variety."""

from __future__ import annotations

from traybook.pages.addresses import crop_address, figure_anchor
from traybook.pages.model import Block, Cell, cell, table
from traybook.rollup.bed import Earned, earned
from traybook.rollup.kind import Season

_FOOT = 0.3048
# So many stand open; the rest is folded up.
_SHOWN = 10


def earned_block(season: Season, imperial: bool = False) -> list[Block]:
    """Most stems a metre (or foot) of bed first; nothing where no sowing tells both."""
    found = earned(s for k in season.kinds for s in k.sowings)
    if not found:
        return []
    unit, per = ("foot", _FOOT) if imperial else ("metre", 1.0)
    columns = ("Variety", f"#Stems a {unit}", f"#A {unit} and week", "#Stems a plant", "Sowings")
    rows = tuple(_row(e, per) for e in found)
    rest = rows[_SHOWN:]
    body = table(f"Most stems a {unit} of bed first", columns, rows[:_SHOWN])
    more = table(f"The other {len(rest)}", columns, rest) if rest else None
    return [
        Block(
            "What earned its bed", "earned", _said(found, unit, per), body, more, how=figure_anchor("bed")
        )
    ]  # fmt: skip


def _said(found: tuple[Earned, ...], unit: str, per: float) -> tuple[str, ...]:
    bounds = "Stems are counted here, not what they were worth."
    if any(e.at_least for e in found):
        bounds += (
            " At least: stems of the crop were cut that nobody told apart, so these rank lower than they "
            "may deserve."
        )
    return (*_first(found, unit, per), bounds)


def _first(found: tuple[Earned, ...], unit: str, per: float) -> tuple[str, ...]:
    """The first by either figure; nothing to be first of where one stands alone."""
    if len(found) < 2:
        return ()
    top = found[0]
    said = (
        f"Most stems a {unit}: {_name(top)}, {_least(top)}{_number(top.per_metre * per)} "
        f"({_counts(top, per)})."
    )
    weekly = [e for e in found if e.per_metre_week]
    if weekly:
        best = max(weekly, key=lambda e: e.per_metre_week or 0)
        rate = _number((best.per_metre_week or 0) * per)
        said += f" Most a {unit} and week in the bed: {_name(best)}, {_least(best)}{rate} ({_counts(best, per)})."
    return (said,)


def _counts(e: Earned, per: float) -> str:
    return f"{e.stems:,} on {e.metres / per:,.1f} {'m' if per == 1 else 'ft'}"


def _name(e: Earned) -> str:
    return f"{e.crop} {e.variety}".strip()


def _least(e: Earned) -> str:
    return "at least " if e.at_least else ""


def _number(x: float) -> str:
    """Two figures are enough below ten."""
    return f"{x:,.0f}" if x >= 10 else f"{x:.1f}"


def _row(e: Earned, per: float) -> tuple[Cell, ...]:
    weeks = f"{e.metre_weeks / e.metres:.0f} weeks there" if e.metre_weeks else ""
    rate, plant = e.per_metre_week, e.per_plant
    return (
        cell(f"{e.crop.capitalize()} {e.variety}".strip(), crop_address(e.crop)),
        cell(f"{_least(e)}{_number(e.per_metre * per)}", more=_counts(e, per)),
        cell(f"{_least(e)}{_number(rate * per)}" if rate else "", more=weeks),
        cell(f"{_least(e)}{_number(plant)}" if plant else "", more=f"of {e.plants:,} plants" if e.plants else ""),
        cell(f"{len(e.sowings)}", more=f"{e.missing} more not counted" if e.missing else ""),
    )  # fmt: skip
