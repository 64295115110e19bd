"""The sums of a sowing that must come out, in words, and what was lost to what."""

from __future__ import annotations

from collections import defaultdict

from traybook.ledger.model import Account, Stand
from traybook.pages.causes import added_up, is_end
from traybook.rollup.sowing import SowingFigures


def sums(s: SowingFigures) -> tuple[str, ...]:
    """`192 seedlings came up = 168 pricked out + 18 spare + 6 lost + 0 standing`, then each stand."""
    count = s.up.count
    if count is None or not count.emerged:
        return ()
    parts = [*_taken(s), f"{count.lost:,} lost there", f"{count.standing:,} standing"]
    parts += [f"{count.missing:,} missing"] if count.missing else []
    came = "sprouted" if s.sowing.measure == "sprouted" else "came up"
    unit = "seeds" if came == "sprouted" else count.unit
    first = f"{count.emerged:,} {unit} {came} = {' + '.join(parts)}"
    return (first, *(_stand(stand) for stand in s.account.stands))


def _stand(stand: Stand) -> str:
    rest = [f"{stand.alive:,} {'alive' if stand.counted else 'not counted since'}"]
    rest += [f"{stand.lost:,} lost"] if stand.lost else []
    rest += [f"{stand.out:,} taken on"] if stand.out else []
    rest += [f"{stand.missing:,} missing"] if stand.missing else []
    return f"{stand.name}: {stand.entered:,} went in = {' + '.join(rest)}"


def _taken(s: SowingFigures) -> list[str]:
    """What was taken from where it was sown, by where it went.

    The account keeps plants sold, given and put by in one sum, wherever they stood. So they are
    told apart only where they add up to what left the place of sowing; else there is one number.
    """
    a, count = s.account, s.up.count
    assert count is not None
    went: dict[str, int] = defaultdict(int)
    for p in a.pottings:
        went[p.event.verb] += p.plants if p.first else 0
    went["planted out"] = s.planted
    went |= {"thinned out": a.thinned, "sold": a.sold, "given away": a.given, "spare": a.spare}
    told = {name: n for name, n in went.items() if n}
    later = any(stand.out for stand in a.stands)
    if later or count is not a.main or sum(told.values()) != count.taken:
        return [f"{count.taken:,} taken"] if count.taken else []
    return [f"{n:,} {name}" for name, n in told.items()]


def losses(account: Account) -> str:
    """Plants and seeds lost, by what the grower said took them."""
    plants = [
        (check.lost, check.cause)
        for check in account.checks
        if not check.unit.startswith("cell") or account.cells is None
    ]
    said = [
        _lost(n, unit, cause)
        for unit, lost in (("plant", plants), ("seed", account.seeds_lost_to))
        for n, cause in added_up(lost)
    ]
    return "; ".join(said)


def _lost(n: int, unit: str, cause: str) -> str:
    what = f"{n:,} {unit}{'' if n == 1 else 's'}"
    if not cause:
        return f"{what}, no cause given"
    if cause == "runts":
        return f"{n:,} {'runt' if n == 1 else 'runts'}"
    if is_end(cause):
        return f"{what} when the crop was over"
    return f"{what} thrown" if cause == "thrown" else f"{what} to {cause}"
