"""What is odd in farm.yaml and crops.yaml besides keys that are no settings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from traybook.findings.model import Finding, offer
from traybook.text.flow import Broken, Items, Pairs, Value, read
from traybook.text.lines import Line
from traybook.text.names import fold, near
from traybook.text.scalars import day_of_year
from traybook.text.source import Piece, Span

Held = Value | list[Line] | None
_YES_NO = ("yes", "no", "true", "false", "y", "n", "on", "off")
_ONE_OF = {
    "units": ("metric", "imperial", "us", "feet"),
    "dates": ("day first", "month first"),
    "count in": ("cells", "seedlings", "cell", "seedling"),
    "harvest unit": ("stems", "bunches", "stem", "bunch"),
    "light": ("light", "dark", "either"),
    "sown late for next year": _YES_NO,
}
_WITHIN = {
    "latitude": (-90.0, 90.0),
    "longitude": (-180.0, 180.0),
    "bunch size": (1.0, 1000.0),
    "seeds per gram": (0.001, 1e6),
    "keeps": (1.0, 50.0),
}
_PLACE_KEYS = ("temperature", "temp", "light", "heat", "trays", "tray room", "room")
_BED_KEYS = ("length", "width", "kind", "rows")
_LENGTH = re.compile(
    r"(?:surface|none|no\b)|\d+(?:\.\d+)?\s*(?:mm|cm|in|inch|inches|\")?$", re.IGNORECASE
)


def _doubt(at: Span, message: str, help_: str) -> Finding:
    return Finding("unread-setting", message, at, help_)


def lines_odd(lines: Iterable[Line]) -> Iterator[Finding]:
    """Braces that never close, and lines indented under one that already says something."""
    for top in lines:
        for line in top.walk():
            if line.value is None or not line.value.text:
                continue
            got = read(line.value, line.below)
            if isinstance(got, Broken):
                yield _doubt(
                    line.value.at,
                    "these braces or quotes could not be read",
                    "close them, or write it without",
                )
            elif got is None and line.below:
                yield _doubt(line.below[0].whole.at, f"this line is indented under `{line.head.text}`, so it sets nothing",
                             "take out the blanks before it")  # fmt: skip


def values_odd(pairs: Iterable[tuple[str, Piece, Held]]) -> Iterator[Finding]:
    """Values that their setting can't take; each pair is the setting's name, its key as written and
    what it holds."""
    for name, key, held in pairs:
        value = held if isinstance(held, Piece) and held.text else None
        if name in _ONE_OF and value is not None and fold(value.text) not in _ONE_OF[name]:
            yield _one_of(name, value)
        elif name in _WITHIN and held is not None:
            yield from _number(name, key, value)
        elif name == "cover" and value is not None and not _LENGTH.match(value.text.strip()):
            yield _doubt(
                value.at, f"`{value.text}` is no depth", "write it as `5 mm`, or `surface`"
            )
        elif name in ("places", "beds"):
            yield from _table_keys(held, _PLACE_KEYS if name == "places" else _BED_KEYS)
        elif name in ("last frost", "first frost") and value is not None:
            yield from _frost(value)
        elif name == "frost dates":
            yield from _frosts(held)
        elif name == "publish":
            yield from _publish(held)


def _one_of(name: str, value: Piece) -> Finding:
    known = _ONE_OF[name][:3] if name == "light" else _ONE_OF[name][:2]
    close = offer(near(value.text, known, 1)) or "write " + " or ".join(f"`{k}`" for k in known)
    return _doubt(
        value.at, f"`{name}` is {' or '.join(f'`{k}`' for k in known)}, not `{value.text}`", close
    )


def _number(name: str, key: Piece, value: Piece | None) -> Iterator[Finding]:
    found = re.match(r"-?\d+(?:[.,]\d+)?", value.text) if value else None
    if not found:
        yield _doubt(
            (value or key).at, f"no number could be read for `{name}`", "write it in figures"
        )
        return
    low, high = _WITHIN[name]
    if not low <= float(found.group().replace(",", ".")) <= high:
        most = f"between {low:g} and {high:g}" if low < 0 else f"{low:g} or more"
        yield _doubt((value or key).at, f"`{name}` is {most}", "check the number")


def pairs_of(held: Held) -> list[tuple[Piece, Held]]:
    """A mapping's own pairs, in either of its forms."""
    if isinstance(held, Pairs):
        return list(held.pairs)
    if not isinstance(held, list):
        return []
    out: list[tuple[Piece, Held]] = []
    for line in held:
        got = read(line.value, line.below) if line.value and line.value.text else None
        out.append(
            (line.head, line.below if not (line.value and line.value.text) else got or line.value)
        )
    return out


def _table_keys(held: Held, known: tuple[str, ...]) -> Iterator[Finding]:
    for _, facts in pairs_of(held):
        for key, _value in pairs_of(facts):
            if fold(key.text) not in known and near(key.text, known):
                yield _doubt(
                    key.at,
                    f"`{key.text}` is nothing that is known of a place or bed",
                    offer(near(key.text, known)),
                )


def _frost(value: Piece) -> Iterator[Finding]:
    if value.text and day_of_year(value.text) is None:
        yield _doubt(value.at, f"`{value.text}` is no day", "write it as `8 May`")


def _frosts(held: Held) -> Iterator[Finding]:
    for key, facts in pairs_of(held):
        if fold(key.text) not in ("average", "usual") and not re.fullmatch(r"\d{4}", key.text):
            yield _doubt(
                key.at,
                f"`{key.text}` is no year",
                offer(near(key.text, ["average"])) or "write a year, or `average`",
            )
        for name, value in pairs_of(facts):
            if fold(name.text) not in ("last", "first", "last frost", "first frost"):
                yield _doubt(name.at, f"`{name.text}` is no frost", "write `last` or `first`")
            elif isinstance(value, Piece):
                yield from _frost(value)


def _publish(held: Held) -> Iterator[Finding]:
    for key, value in pairs_of(held):
        if (
            fold(key.text) == "people"
            and isinstance(value, Piece)
            and near(value.text, ["initials"])
            and fold(value.text) != "initials"
        ):
            yield _doubt(value.at, f"`{value.text}` says nothing about people", offer(["initials"]))


def twice(pairs: Iterable[tuple[str, Piece, Held]]) -> Iterator[Finding]:
    """A setting that stands twice: the last one is used."""
    seen: set[str] = set()
    for name, key, _ in pairs:
        if fold(name) in seen:
            yield _doubt(
                key.at, f"`{key.text}` stands twice here; this one is used", "keep the right one"
            )
        seen.add(fold(name))


def no_facts(key: Piece, held: Held) -> Iterator[Finding]:
    """A kind whose facts are no mapping."""
    if isinstance(held, Piece | Items) and not (isinstance(held, Piece) and not held.text):
        yield _doubt(
            held.at,
            f"what is said of `{key.text}` needs a name",
            "as `days to sprout: 5-10` on a line of its own",
        )
