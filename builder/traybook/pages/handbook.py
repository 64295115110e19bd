"""What the handbook gives of a kind, the farm's own word beside it, and the kind's caution."""

from __future__ import annotations

from collections.abc import Iterator

from traybook.handbook.cautions import NOT_SAFE, Caution
from traybook.handbook.facts import Fact
from traybook.handbook.parts import MEMORY, Disputed, Range, danger_sources, sources
from traybook.pages import words
from traybook.pages.addresses import CAUTIONS
from traybook.pages.model import Block, Cell, Table, cell, table
from traybook.records.book import Book
from traybook.records.settings import Crop
from traybook.text.names import fold

# source: the notes to the table of kinds; stems are mostly from memory
_FARMS = "farms differ by a factor of three"
_UNKNOWN = (
    "The handbook has no kind of this name. If it goes by another one, write that under `spellings` "
    "in crops.yaml."
)
_OWN_FIRST = "Your own history stands above. Go by that first: farms and years differ."
_NO_OWN = (
    "Nothing of your own has settled yet, so this is what there is to go by. It is no promise."
)


def published_blocks(crop: str, book: Book, settled: bool) -> Iterator[Block]:
    """What the handbook has of a kind and where from, then its caution; own facts of crops.yaml stand
    beside what they replace. `settled` is True where the farm has figures of its own."""
    fact, own = book.published(crop), book.farm.crops.get(fold(crop))
    imperial = book.farm.units == "imperial"
    rows = tuple(_rows(fact or Fact(crop), own or Crop(crop), imperial))
    memory = fact is not None and fact.memory
    name = "From memory" if memory else "Published"
    if fact is None:
        yield Block(name, "published", (_UNKNOWN,), _body(crop, name, rows) if rows else None)
    else:
        lead, body = _lead(fact, settled), _body(crop, name, rows)
        yield Block(name, "published", lead, body, after=_read(fact))
    yield _caution(crop, fact, book.handbook.cautions)


def _body(crop: str, name: str, rows: tuple[tuple[Cell, ...], ...]) -> Table:
    return table(f"{crop.capitalize()} in the handbook", ("What", name, "In crops.yaml"), rows)


def _lead(fact: Fact, settled: bool) -> tuple[str, ...]:
    first = _OWN_FIRST if settled else _NO_OWN
    if len(fact.rows) < 2:
        return (first,)
    return first, f"The handbook has {words.listed(fact.rows)}; ranges hold them all."


def _read(fact: Fact) -> tuple[str, ...]:
    """Where it was read, a sentence for each group of figures; what was read nowhere says so."""
    if fact.memory:
        return ("Source: from memory; none of it was looked up.",)
    return tuple(_source(part) for part in sources(fact.source))


def _source(part: str) -> str:
    if part == MEMORY:
        return f"Source: {MEMORY}."
    return f"A{part[1:]}." if part.startswith("all else") else f"Source: {part}."


def _rows(fact: Fact, own: Crop, imperial: bool) -> Iterator[tuple[Cell, ...]]:
    """A row for each thing the handbook or crops.yaml knows; both sides of what is disputed."""
    said = {
        "pre-treatment": fact.treatment_said,
        "days to sprout": span(fact.days, "day", "days"),
        "temperature": _degrees(fact, imperial),
        "light": _light(fact.light_said),
        "depth": _depth(fact.depth_mm, imperial),
        "weeks under cover": span(fact.indoors_weeks, "week", "weeks"),
        "planting out": weeks_from_frost(fact.out_weeks) or fact.out_said,
        "first cut": span(fact.bloom_days, "day", "days", " from sowing"),
        "spacing": _spacing(fact.spacing_cm, imperial),
        "stems of a plant": span(fact.stems, "stem", "stems"),
        "cut when": fact.harvest_stage,
        "sown late for next year": _yes(fact.late_for_next_year if fact.rows else None),
    }
    yours = {
        "pre-treatment": "none" if own.pre_treatment == "" else own.pre_treatment or "",
        "days to sprout": span(own.sprout_days, "day", "days"),
        "light": _light(own.light),
        "depth": _depth(own.cover_mm, imperial),
        "weeks under cover": span(own.indoors_weeks, "week", "weeks"),
        "planting out": weeks_from_frost(own.out_weeks),
        "first cut": span(own.bloom_days, "day", "days", " from sowing"),
        "spacing": _spacing(own.spacing_cm, imperial),
        "stems of a plant": span(own.stems, "stem", "stems"),
        "sown late for next year": _yes(own.late_for_next_year),
    }
    more = {
        "stems of a plant": _FARMS if fact.memory else f"mostly from memory; {_FARMS}",
        "sown late for next year": "common practice",
    }
    more |= {figure: _differ(fact.disputed, figure) for figure in {d.figure for d in fact.disputed}}
    for name, value in said.items():
        mine = yours.get(name, "")
        if value or mine:
            second = cell(f"yours: {mine}" if mine else "")
            yield (cell(name.capitalize()), cell(value, more=more.get(name, "")), second)


def _differ(disputed: tuple[Disputed, ...], figure: str) -> str:
    told = [
        f"{d.one} ({d.source_one}) / {d.other} ({d.source_other})"
        for d in disputed
        if d.figure == figure
    ]
    return "published, disputed: " + "; ".join(told)


def _caution(crop: str, fact: Fact | None, known: tuple[Caution, ...]) -> Block:
    """The kind's own caution with its source, that none is no promise, and where to read more."""
    hazard = fact.hazard if fact else ""
    if fact is None or not hazard:
        said = (f"None is noted for {crop}.", NOT_SAFE)
    else:
        read = (_source(part) for part in danger_sources(fact.source))
        said = (f"{hazard[0].upper()}{hazard[1:]}.", *read, NOT_SAFE)
    links = [(c.heading, f"{CAUTIONS}#{c.anchor}") for c in known if c.meets(hazard)]
    links.append(("All cautions", CAUTIONS))
    body = table("Read more", ("What to do",), tuple((cell(text, to),) for text, to in links))
    return Block("Caution", "caution", said, body)


def span(ends: Range | None, one: str, many: str, more: str = "") -> str:
    """A range with its unit.

    >>> span((90, 120), "day", "days", " from sowing"), span((1, 1), "stem", "stems"), span(None, "", "")
    ('90-120 days from sowing', '1 stem', '')
    """
    if ends is None:
        return ""
    low, high = (f"{x:g}" for x in ends)
    if low == high:
        return f"{low} {one if low == '1' else many}{more}"
    return f"{low}-{high} {many}{more}"


def weeks_from_frost(ends: Range | None) -> str:
    """Weeks from the last frost in words.

    >>> weeks_from_frost((-4, -2)), weeks_from_frost((0, 2)), weeks_from_frost((1, 1))
    ('4 to 2 weeks before the last frost', 'from the last frost to 2 weeks after it', '1 week after the last frost')
    >>> weeks_from_frost((-1, 1)), weeks_from_frost((-4, 0)), weeks_from_frost((0, 0))
    ('1 week before to 1 week after the last frost', '4 weeks before the last frost to its day', 'at the last frost')
    """
    if ends is None:
        return ""
    low, high = ends
    if low == high:
        return f"{_weeks(low)} {_side(low)} the last frost" if low else "at the last frost"
    if low < 0 < high:
        return f"{_weeks(low)} before to {_weeks(high)} after the last frost"
    if high == 0:
        return f"{_weeks(low)} before the last frost to its day"
    if low == 0:
        return f"from the last frost to {_weeks(high)} after it"
    return f"{abs(low):g} to {_weeks(high)} {_side(low)} the last frost"


def _weeks(n: float) -> str:
    return f"{abs(n):g} {'week' if abs(n) == 1 else 'weeks'}"


def _side(n: float) -> str:
    return "before" if n < 0 else "after"


def _both(metric: str, us: str, imperial: bool) -> str:
    """The farm's own unit first."""
    return f"{us} ({metric})" if imperial else f"{metric} ({us})"


def _degrees(fact: Fact, imperial: bool) -> str:
    if fact.coolest is None or fact.warmest is None:
        return ""
    ends = fact.coolest, fact.warmest
    celsius = "-".join(f"{t:.0f}" for t in ends)
    fahrenheit = "-".join(f"{t * 1.8 + 32:.0f}" for t in ends)
    return _both(f"{celsius} °C", f"{fahrenheit} °F", imperial)


def _light(said: str) -> str:
    return "light or dark" if said == "either" else said


def _depth(mm: float | None, imperial: bool) -> str:
    if mm is None:
        return ""
    if mm == 0:
        return "on the surface"
    return _both(f"{mm:g} mm", f"{mm / 25.4:.2g} in", imperial)


def _spacing(cm: Range | None, imperial: bool) -> str:
    if cm is None:
        return ""
    low, high = cm
    metric = span((round(low), round(high)), "cm", "cm")
    return _both(metric, span((round(low / 2.54), round(high / 2.54)), "in", "in"), imperial)


def _yes(said: bool | None) -> str:
    return "" if said is None else "yes" if said else "no"
