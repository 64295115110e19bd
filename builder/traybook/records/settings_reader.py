"""How every settings file is read: key by key, and what can't be read is a doubt."""

from __future__ import annotations

import re

from traybook.findings.model import Finding, offer
from traybook.records.settings_odd import lines_odd
from traybook.text.fences import Row
from traybook.text.flow import Broken, Items, Pairs, Value, read
from traybook.text.lines import Line, tree
from traybook.text.names import fold, near
from traybook.text.scalars import length_mm
from traybook.text.source import Piece, Source


def pairs(lines: list[Line]) -> list[tuple[Piece, Value | list[Line] | None]]:
    """A settings mapping: key and what stands under or after it."""
    out: list[tuple[Piece, Value | list[Line] | None]] = []
    for line in lines:
        value: Value | list[Line] | None = line.value
        if line.value is not None and line.value.text:
            got = read(line.value, line.below)
            value = line.value if got is None or isinstance(got, Broken) else got
        elif line.below:
            value = line.below
        out.append((line.head, value))
    return out


def names(value: Value | list[Line] | None) -> tuple[str, ...]:
    """A list in any of its forms: flow, dashes, keys of a mapping, or commas."""
    if isinstance(value, list):
        return tuple(x.head.text.strip("'\"") for x in value)
    if isinstance(value, Items):
        return tuple(v.text for v in value.values if isinstance(v, Piece))
    if isinstance(value, Pairs):
        return tuple(k.text for k, _ in value.pairs)
    return tuple(x.strip() for x in value.text.split(",") if x.strip()) if value else ()


def table(value: Value | list[Line] | None) -> dict[str, dict[str, str]]:
    """Names, each with its own small facts."""
    if isinstance(value, list) and not any(x.dash for x in value):
        return {k.text: facts(v) for k, v in pairs(value)}
    if isinstance(value, Pairs):
        return {k.text: facts(v) for k, v in value.pairs}
    return {name: {} for name in names(value)}


def facts(value: Value | list[Line] | None) -> dict[str, str]:
    if isinstance(value, list):
        return {k.text: v.text for k, v in pairs(value) if isinstance(v, Piece)}
    if isinstance(value, Pairs):
        return {k.text: v.text for k, v in value.pairs if isinstance(v, Piece)}
    return {}


def word(value: Value | list[Line] | None) -> str:
    return value.text.strip() if isinstance(value, Piece) else ""


def real(value: Value | list[Line] | None) -> float | None:
    found = re.match(r"-?\d+(?:[.,]\d+)?", word(value))
    if not found:
        return None
    number = float(found.group().replace(",", "."))
    return -number if re.search(r"\d\s*°?\s*[sw]\b", word(value), re.I) else number


def yes_or_no(value: Value | list[Line] | None) -> bool | None:
    """True or False as it says, None where it says neither."""
    said = fold(word(value))
    if said in ("yes", "true", "y", "on"):
        return True
    return False if said in ("no", "false", "n", "off") else None


def _with_colon(line: Line) -> str:
    first, _, rest = line.whole.text.partition(" ")
    return f"write `{first}: {rest}`" if rest else "put a colon after it, and say what it is"


class SettingsReader:
    """Reads a settings file key by key; what can't be read is a doubt and keeps its default."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.findings: list[Finding] = []

    def top(self) -> list[tuple[Piece, Value | list[Line] | None]]:
        rows = [Row(n) for n in range(1, self.source.lines + 1)]
        lines = [
            x for x in tree(self.source, rows) if not re.fullmatch(r"-{3,}|\.{3}", x.whole.text)
        ]
        for line in [x for x in lines if x.value is None]:
            self.doubt(line.whole, "this line has no colon, so it sets nothing", _with_colon(line))
        self.findings += lines_odd(lines)
        return pairs([x for x in lines if x.value is not None])

    def doubt(self, at: Piece, message: str, help_: str = "") -> None:
        self.findings.append(Finding("unread-setting", message, at.at, help_))

    def known(self, key: Piece, keys: tuple[str, ...]) -> str:
        name = next((k for k in keys if fold(k) == fold(key.text)), "")
        if not name:
            self.doubt(
                key,
                f"`{key.text}` is no setting here",
                offer(near(key.text, keys)) or "take it out, or look for its name in the manual",
            )
        return name


def number_range(text: str) -> tuple[float, float] | None:
    found = re.match(r"(\d+(?:\.\d+)?)(?:\s*(?:-|to)\s*(\d+(?:\.\d+)?))?", text)
    if not found:
        return None
    low, high = float(found[1]), float(found[2] or found[1])
    return (low, high) if 0 < low <= high else None


def weeks_range(text: str) -> tuple[float, float] | None:
    """Weeks from a day, minus before it, the earlier one first.

    >>> weeks_range("-4 to -2"), weeks_range("0 to +1 weeks"), weeks_range("2 to 4 weeks before")
    ((-4.0, -2.0), (0.0, 1.0), (-4.0, -2.0))
    >>> weeks_range("-3"), weeks_range("1-2 weeks after the last frost"), weeks_range("in May")
    ((-3.0, -3.0), (1.0, 2.0), None)
    """
    said = re.sub(r"^(\d+)\s*[-–]\s*(?=\d)", r"\1 to ", text.strip().lower())
    number = r"([-−–+]?\d+(?:\.\d+)?)"
    found = re.fullmatch(
        rf"{number}(?:\s*to\s*{number})?\s*(?:weeks?|wks?)?\s*(before|after)?(?: the last frost)?",
        said,
    )
    if not found:
        return None
    ends = [float(re.sub("[−–]", "-", x)) for x in (found[1], found[2] or found[1])]
    if found[3] == "before":
        ends = [-abs(x) for x in ends]
    return min(ends), max(ends)


def spacing_range(text: str) -> tuple[float, float] | None:
    """Centimetres between plants, of a length with its unit or a range of them.

    >>> spacing_range("25 cm"), spacing_range("9-12 in"), spacing_range('9"'), spacing_range("25")
    ((25.0, 25.0), (22.86, 30.48), (22.86, 22.86), None)
    """
    found = re.fullmatch(
        r"(\d+(?:\.\d+)?)(?:\s*(?:-|to)\s*(\d+(?:\.\d+)?))?\s*(mm|cm|m|in|inch|inches|\")(?: apart)?",
        text.strip().lower(),
    )
    if not found:
        return None
    ends = [length_mm(f"{n} {found[3]}", "cm") for n in (found[1], found[2] or found[1])]
    low, high = (round((mm or 0) / 10, 3) for mm in ends)
    return (low, high) if 0 < low <= high else None
