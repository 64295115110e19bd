"""Differences in words: how much, how sure, and what else was done otherwise."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from traybook.pages import words
from traybook.pages.addresses import crop_address, figure_anchor, season_address, sowing_address
from traybook.pages.model import Block, Cell, Table, cell, table
from traybook.rollup.compare import Comparison, Side, YearPair, by_luck
from traybook.rollup.recipe import Changed, separate
from traybook.stats.difference import CLEAR, NOT_CLEAR, SAME, TOO_FEW, Difference

_MORE = {
    "up": "came up",
    "sprouted": "sprouted",
    "stand": "stood in the row",
    "corm": "shooting",
}


def apart(d: Difference) -> str:
    """`24 in 100 more (8 to 38 more)`; an end on the other side says so.

    >>> apart(Difference(.24, .08, .38)), apart(Difference(-.05, -.2, .1))
    ('24 in 100 more (8 to 38 more)', '5 in 100 fewer (20 fewer to 10 more)')
    """
    points = round(abs(d.value) * 100)
    first = f"{points} in 100 {_way(d.value)}" if points else "as many in 100"
    low, high = round(d.low * 100), round(d.high * 100)
    if low >= 0:
        return f"{first} ({low} to {high} more)"
    if high <= 0:
        return f"{first} ({-high} to {-low} fewer)"
    return f"{first} ({-low} fewer to {high} more)"


def _way(x: float) -> str:
    return "more" if x > 0 else "fewer"


def days_words(days: tuple[float, float] | None) -> str:
    """By how much later or earlier half of them were up, as far as the looks can tell.

    >>> days_words((2, 9)), days_words((-9, -2)), days_words((-3, 4)), days_words((0, 3))
    ('2 to 9 days later', '2 to 9 days earlier', '3 days earlier to 4 days later', '0 to 3 days later')
    """
    if days is None:
        return ""
    low, high = round(days[0]), round(days[1])
    if low == high:
        return "the same day" if not low else f"{abs(low)} days {'later' if low > 0 else 'earlier'}"
    if low >= 0:
        return f"{low} to {high} days later"
    if high <= 0:
        return f"{-high} to {-low} days earlier"
    return f"{-low} days earlier to {high} days later"


def verdict_words(d: Difference, verdict: str, measure: str) -> str:
    """What may be said of a difference."""
    if verdict == CLEAR:
        return f"clearly {_way(d.value)} {_MORE.get(measure, 'came up')}"
    return verdict


def changed_words(changed: Iterable[Changed]) -> str:
    """`cold: 4 weeks, before 2 weeks; ...`."""
    return "; ".join(f"{c.part}: {c.now}, before {c.then}" for c in changed)


def credit(changed: Iterable[Changed], verdict: str) -> str:
    """What the changes may be credited with: one alone may be the reason, two never."""
    found = separate(changed)
    if verdict != CLEAR:
        return ""
    if not found:
        return "Nothing that was written was done otherwise."
    if len(found) == 1:
        return f"Only the {found[0].part} changed; it may be the reason, or something unwritten."
    return f"{len(found)} things were changed at once, so none of them gets the credit."


def luck(n: int) -> str:
    """How many comparisons stand here, and how many would look clear by luck."""
    about = by_luck(n)
    if about < 0.95:
        often = f"about one time in {round(1 / about):,}" if about else "never"
        some = (
            f"one would look clear by luck {often}"
            if n > 1
            else f"it would look clear by luck {often}"
        )
    else:
        some = f"about {about:.0f} of them would look clear by luck"
    return (
        f"{words.many(n, 'comparison stands', 'comparisons stand')} here; "
        f"if nothing differed at all, {some}."
    )


# The default scatter of log half days, .22, as a factor.
_SLOW = (
    "Days are told as far apart as the looks allow; like sowings differ by about a quarter in days anyway, "
    "so less than that says nothing."
)


def years_block(crop: str, pairs: Sequence[YearPair]) -> Block:
    """Each season of a kind against the one before it, with what was done otherwise beside it."""
    rows = tuple(_pair_row(p, crop) for p in sorted(pairs, key=lambda p: -p.now.season))
    columns = ("Seasons", "Counted", "So", "Came up", "Half of them up", "Done otherwise")
    return Block(
        "Year against year", "year-against-year",
        (
            "What the kind did, with the difference between like sowings allowed for. " + luck(len(pairs)),
            _SLOW,
        ),
        table(f"{crop.capitalize()}, a season against the one before", columns, rows),
        how=figure_anchor("year-against-year"),
    )  # fmt: skip


def _pair_row(p: YearPair, crop: str) -> tuple[Cell, ...]:
    measure = p.now.measure
    return (
        cell(f"{p.now.season} against {p.then.season}", season_address(p.now.season)),
        cell("" if measure == "up" else words.VERBS[measure]),
        cell(verdict_words(p.difference, p.verdict, measure), more=apart(p.difference)),
        cell(
            words.kind_share(p.now),
            f"{crop_address(crop)}#sowings-{p.now.season}",
            f"in {p.then.season}: {words.kind_share(p.then)}",
        ),
        cell(days_words(p.days)),
        cell(changed_words(p.changed), more=credit(p.changed, p.verdict)),
    )


def comparisons_table(caption: str, found: Iterable[Comparison], crops: bool = False) -> Table:
    """A row a comparison: the one way, the other, and what may be said of them."""
    rows = tuple(_comparison_row(c, crops) for c in found)
    columns = ("What", "So", "Crops", "This way", "That way", "Also otherwise")
    return table(caption, columns, rows)


def _comparison_row(c: Comparison, crops: bool) -> tuple[Cell, ...]:
    several = f"{len(c.crops)} crops" if len(c.crops) > 3 else words.listed(c.crops)
    also = words.listed(c.also)
    return (
        cell(f"{c.part}: {c.one.word} against {c.other.word}"),
        cell(verdict_words(c.difference, c.verdict, c.measure), more=apart(c.difference)),
        cell(several if crops else ""),
        cell(_counts(c.one, c), *_where(c.one)),
        cell(_counts(c.other, c), *_where(c.other)),
        cell(also, more=f"so the {c.part} gets no credit" if also and c.verdict == CLEAR else ""),
    )


def _counts(side: Side, c: Comparison) -> str:
    """Counts of one pair; over several pairs their sums would mislead, since each weighs by itself."""
    sowings = words.many(len(side.codes), "sowing", "sowings")
    return f"{side.emerged:,} of {side.seeds:,} in {sowings}" if c.strata == 1 else sowings


def _where(side: Side) -> tuple[str, ...]:
    """One sowing is led to; of more the page has a list."""
    return (sowing_address(side.codes[0]),) if len(side.codes) == 1 else ()


def sentence(p: YearPair) -> str:
    """A pair as a sentence of the season's page."""
    said = verdict_words(p.difference, p.verdict, p.now.measure)
    head = f"{p.now.crop.capitalize()}: {said} than in {p.then.season}"
    if p.verdict in (SAME, NOT_CLEAR):
        head = f"{p.now.crop.capitalize()}: {said} against {p.then.season}"
    if p.verdict == TOO_FEW:
        head = f"{p.now.crop.capitalize()}: {said} whether it differed from {p.then.season}"
    counts = f"{words.kind_share(p.now)} against {words.kind_share(p.then)}"
    changed = changed_words(p.changed)
    more = credit(p.changed, p.verdict)
    tail = f" Done otherwise: {changed}." if changed else ""
    return f"{head}: {counts}; {apart(p.difference)}.{tail}{' ' + more if more else ''}"
