"""Pairs of seasons, and what an honest adviser says of them: worked out with paper and pencil.

For each side: D = 1 + rho (n - 1) for sowings of n, m = N/D; Wilson's limits on m; the two squared
and added. Counts in cells of two: e = q^2 + rho q (1 - q), and spread between cells of about
rho x 4q/(1 + q). d, low and high stand beside each row as they came out by hand, to two or three
digits. 0 outside is clear; else inside .15 either way about the same; else wider than .50 too few.
"""

from __future__ import annotations

CLEAR, SAME = "clear", "about the same"
TOO_FEW, NOT_CLEAR = "too few to say", "no clear difference"

#: Sowings of a side as (up, of), how many seeds a cell.
Side = tuple[list[tuple[int, int]], int]
#: now, then, spread, verdict
Row = tuple[Side, Side, float, str]


def of(up: int, n: int, sowings: int = 1) -> Side:
    """That many sowings of `n` seeds with `up` each."""
    return [(up, n)] * sowings, 1


def cells(up: int, n: int, sowings: int = 1) -> Side:
    """The same in cells of two seeds."""
    return [(up, n)] * sowings, 2


# one sowing of 72 at .08: D 6.68, m 10.8; of 50: 4.92, 10.2; of 200: 16.9, 11.8: the tray counts
# for about eleven seeds, whatever its size
ROWS: dict[str, Row] = {
    "all against none": (of(72, 72), of(0, 72), 0.08, CLEAR),  # 1 (.63, 1)
    "a good tray, a middling one": (of(58, 72), of(41, 72), 0.08, TOO_FEW),  # .24 (-.15, .54)
    "two of each": (of(58, 72, 2), of(41, 72, 2), 0.08, TOO_FEW),  # .24 (-.04, .47), .51 wide
    "three of each": (of(58, 72, 3), of(41, 72, 3), 0.08, CLEAR),  # .236 (.010, .43)
    "four of each": (of(58, 72, 4), of(41, 72, 4), 0.08, CLEAR),
    "the tray if seeds were alone": (of(58, 72), of(41, 72), 0.0, CLEAR),  # .24, se .075
    "six seeds a side": (of(5, 6), of(2, 6), 0.08, TOO_FEW),  # .50 (-.12, .79)
    "four seeds a side": (of(4, 4), of(2, 4), 0.08, TOO_FEW),
    "ten seeds far apart": (of(9, 10), of(3, 10), 0.08, CLEAR),  # .60 (.04, .84): clear though wide
    "fifty a side": (of(36, 50), of(45, 50), 0.08, TOO_FEW),  # -.18 (-.49, .17)
    "three fifties a side": (of(36, 50, 3), of(45, 50, 3), 0.08, NOT_CLEAR),  # -.18 (-.37, .02)
    "one tray full, one short of two": (of(72, 72), of(70, 72), 0.08, TOO_FEW),  # .03 (-.24, .30)
    "four full, four short of two": (of(72, 72, 4), of(70, 72, 4), 0.08, SAME),  # .03 (-.06, .13)
    "the very same count": (of(50, 72), of(50, 72), 0.08, TOO_FEW),  # 0 (-.35, .35)
    "the very same, four times": (of(50, 72, 4), of(50, 72, 4), 0.08, NOT_CLEAR),  # 0 (-.19, .19)
    "ten sowings of nearly the same": (of(50, 72, 10), of(49, 72, 10), 0.08, SAME),  # (-.11, .14)
    "bought in, hardly any spread": (of(126, 128), of(118, 128), 0.01, NOT_CLEAR),  # (-.03, .16)
    "a kind that differs much": (of(30, 50, 2), of(12, 50, 2), 0.2, TOO_FEW),  # .36 (-.08, .65)
    "one large tray, five small": (of(180, 200), of(12, 20, 5), 0.08, NOT_CLEAR),  # .30 (-.01, .47)
    "two large trays far apart": (of(190, 200), of(120, 200), 0.08, CLEAR),  # .35 (.006, .62)
    "cells, four trays far apart": (cells(67, 72, 4), cells(46, 72, 4), 0.08, CLEAR),  # .36, se .10
    "cells, both trays full": (cells(72, 72), cells(72, 72), 0.08, TOO_FEW),  # 0 (-.55, .55)
    "cells, ten trays full": (cells(72, 72, 10), cells(72, 72, 10), 0.08, SAME),  # 0 (-.13, .13)
    "cells against seeds": (cells(66, 72, 4), of(36, 50, 4), 0.08, NOT_CLEAR),  # .02 (-.2, .2)
}
