"""A grower's own table of sowings or checks into entry lines."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from traybook.intake.columns import Sheet, sheet_of
from traybook.intake.events import Kept
from traybook.intake.known import CODE, Asked, Known, Sowings
from traybook.intake.model import Trouble
from traybook.intake.sown_line import Facts, sown_text
from traybook.intake.values import Of, UnreadError, count_in, day_in, unknown
from traybook.records.book import Book
from traybook.records.containers import container
from traybook.text.cells import Record
from traybook.text.names import slug

#: Said of a total with no day of its own.
NO_DAY = "in all, no day kept"


@dataclass(slots=True)
class _Row:
    """One row while it is read; what can't be read is told and then unknown."""

    sheet: Sheet
    record: Record
    book: Book
    told: list[Trouble]
    out: list[Kept] = field(default_factory=list)

    def words(self, name: str) -> str:
        """A cell's words on one line; empty when unknown."""
        text = " ".join(self.sheet.cell(self.record, name).split())
        return "" if unknown(text) else text

    def day(self, name: str) -> dt.date | None:
        """A cell's day."""
        try:
            got = day_in(
                self.sheet.cell(self.record, name), self.book.farm.day_first, self.book.as_of
            )
        except UnreadError as odd:
            return self.trouble(name, odd.what, odd.todo)
        if got and got > self.book.as_of:
            return self.trouble(name, f"{got} is still to come", "check the year")
        return got

    def count(self, name: str) -> Of | None:
        """A cell's count."""
        try:
            return count_in(self.sheet.cell(self.record, name))
        except UnreadError as odd:
            return self.trouble(name, odd.what, odd.todo)

    def trouble(self, name: str, what: str, todo: str = "") -> None:
        """Tell of a cell, or of the whole row where its column isn't there."""
        at = self.sheet.at.get(name, -1)
        head = f"{self.sheet.heads[at]}: " if at >= 0 else ""
        self.told.append(Trouble(self.record.row, at + 1, head + what, todo))

    def line(self, verb: str, code: str, on: dt.date, value: str, note: str = "") -> None:
        """Put down an entry."""
        by = self.words("by")
        tails = [re.sub(r"\s*;\s*", ", ", note), f"by {by}" if by else ""]
        said = "; ".join(x for x in (value, *tails) if x)
        self.put(verb, code, on, f"{verb} {code}:{' ' if said else ''}{said}")

    def put(self, verb: str, code: str, on: dt.date, text: str) -> None:
        """Put down an entry's text."""
        kept = Kept(self.record.row, on, 0, verb, (code,), text, self.words("by"), False, "", "", 0)
        self.out.append(kept)


def read_sheet(text: str, book: Book) -> tuple[list[Kept], list[Trouble]]:
    """The lines that a table comes to in this book, and all that could not be taken.

    A sowing without a code that stands in the book already, word for word, keeps the code it has
    there.
    """
    sheet = sheet_of(text)
    if isinstance(sheet, Trouble):
        return [], [sheet]
    told = list(sheet.told)
    sowings = Sowings(book)
    rows = [_Row(sheet, record, book, told) for record in sheet.rows]
    if sheet.checks:
        for row in rows:
            _check(row, sowings)
    else:
        _sown_rows(rows, sowings)
    out = [kept for row in rows for kept in row.out]
    return out, sorted(dict.fromkeys(told), key=lambda t: (t.row, t.column))


# -- a row a sowing


def _sown_rows(rows: Sequence[_Row], sowings: Sowings) -> None:
    """All rows are named first, so that those which stand in the book find theirs."""
    asked = [(row, got) for row in rows if (got := _sowing(row))]
    named = sowings.codes_of([ask for _, (ask, _) in asked])
    for (row, (ask, facts)), code in zip(asked, named, strict=True):
        row.put("sown", code, ask.on, ask.text.replace(CODE, code, 1))
        _life(row, code, ask.on, facts)


def _sowing(row: _Row) -> tuple[Asked, Facts] | None:
    crop, code, on = row.words("crop"), row.words("code"), row.day("sown")
    if not crop and not code:
        return row.trouble(
            "crop", "this row names no crop, so it is left out", "write it in every row"
        )
    if on is None:
        if unknown(row.sheet.cell(row.record, "sown")):
            row.trouble("sown", "no day sown, so the row is left out", "write it, as 2026-03-14")
        return None
    facts = _facts(row, crop)
    facts.crop_in_code = not code or slug(code).startswith(slug(crop) + "-")
    return Asked(code, crop, facts.variety, on, sown_text(CODE, facts, row.book.farm)), facts


def _facts(row: _Row, crop: str) -> Facts:
    seeds, cells = row.count("seeds"), row.count("cells")
    up = row.count("up")
    facts = Facts(
        crop=crop, variety=row.words("variety"), lot=row.words("lot"), place=row.words("place"),
        container=_container(row), seeds=seeds.n if seeds else None, cells=cells.n if cells else None,
        per_cell=_per_cell(row), note=_note(row), by=row.words("by"),
    )  # fmt: skip
    if up and up.of is not None and facts.seeds is None and not facts.container and not cells:
        facts.seeds = up.of
    if facts.cells is not None and not facts.container:
        facts.container = f"{facts.cells} cells"
    return facts


def _container(row: _Row) -> str:
    words = row.words("container")
    if re.fullmatch(r"\d+(?:[.,]\d+)?", words):
        row.trouble(
            "container",
            f"`{words}` alone is no container",
            f"write `{words}-cell tray`, or what it was",
        )
        return ""
    if words and container(words, row.book.farm.bed_names()) is None:
        row.trouble("container", f"`{words}` is no container that is known, so it is kept as a note",
                    "write it as `72-cell tray`, `open tray`, `4 in pots` or `bed 4`")  # fmt: skip
        return ""
    return words


def _per_cell(row: _Row) -> str:
    words = row.words("per cell")
    if words and not re.fullmatch(r"\d{1,2}(?:\s*(?:-|–|to)\s*\d{1,2})?", words):
        return (
            row.trouble("per cell", f"`{words}` is no number of seeds a cell", "write 2, or 2-3")
            or ""
        )
    return re.sub(r"\s*(?:–|to)\s*", "-", words)


def _note(row: _Row) -> str:
    """The words of the row, and those that no entry has a place for."""
    held = row.words("container")
    odd = held if held and not re.fullmatch(r"[\d.,]+", held) else ""
    odd = "" if odd and container(odd, row.book.farm.bed_names()) else odd
    half = row.words("half")
    parts = [row.words("notes"), f"in {odd}" if odd else "", f"half up {half}" if half else ""]
    return re.sub(r"\s*;\s*", ", ", "; ".join(p for p in parts if p)) if any(parts) else ""


def _life(row: _Row, code: str, sown: dt.date, facts: Facts) -> None:
    """What else the row says of a sowing, in the order of days."""
    first = _first_up(row, sown)
    potted, planted = _taken(row, "potted"), _taken(row, "planted")
    finished = row.day("finished")
    if first:
        row.line("checked", code, first, "first seen")
    last = max(d for d in (sown, first, potted[0], planted[0], finished) if d)
    _total(row, code, facts, row.day("date"), last)
    if potted[0]:
        row.line("potted on", code, potted[0], str(potted[1]) if potted[1] else "")
    if planted[0]:
        bed = row.words("bed")
        value = " ".join(
            x for x in (str(planted[1]) if planted[1] else "", f"to {bed}" if bed else "") if x
        )
        row.line("planted out", code, planted[0], value)
    if finished:
        row.line("finished", code, finished, "")


def _first_up(row: _Row, sown: dt.date) -> dt.date | None:
    """A day, or the number of days after sowing."""
    words = row.words("first up")
    if re.fullmatch(r"\d{1,3}", words):
        return sown + dt.timedelta(days=int(words))
    return row.day("first up")


def _taken(row: _Row, name: str) -> tuple[dt.date | None, int | None]:
    """When and how many; the count's column may hold the day instead."""
    words, on = row.words(name), f"{name} on"
    when = row.day(on)
    if re.search(r"\d\D+\d", words):
        return when or row.day(name), None
    n = row.count(name)
    if n and when is None:
        row.trouble(name, f"{n.n} {name}, and no day for it", f"add a column `{on}`")
    return when, n.n if n else None


def _total(row: _Row, code: str, facts: Facts, on: dt.date | None, last: dt.date) -> None:
    """How many came up: a count of its day, or a total with no day."""
    up, lost = row.count("up"), row.count("lost")
    if up and not _fits(row, up, facts):
        up = None
    if up is None and lost is None:
        return
    parts = [] if up is None else [f"{up.n} of {up.of}" if up.of else f"{up.n} up"]
    if on is None and up is not None:
        parts[0] += f" {NO_DAY}"
    parts += [f"{lost.n} lost"] if lost and lost.n else []
    if parts:
        row.line("checked", code, on or last, ", ".join(parts))


def _fits(row: _Row, up: Of, facts: Facts) -> bool:
    """A count is no more than was sown, and out of what was sown."""
    sown = facts.seeds if facts.seeds is not None else facts.cells
    if up.of is not None and up.n > up.of:
        row.trouble(
            "up", f"{up.n} is more than {up.of}", "check both numbers; the count is left out"
        )
    elif up.of is not None and sown is not None and up.of not in (facts.seeds, facts.cells):
        row.trouble(
            "up",
            f"this is out of {up.of}, but {sown} were sown",
            "check both numbers; the count is left out",
        )
    elif facts.seeds is not None and up.n > facts.seeds:
        row.trouble(
            "up",
            f"{up.n} is more than the {facts.seeds} sown",
            "check both numbers; the count is left out",
        )
    else:
        return True
    return False


# -- a row a check


def _check(row: _Row, sowings: Sowings) -> None:
    on = row.day("date")
    if on is None:
        if unknown(row.sheet.cell(row.record, "date")):
            row.trouble("date", "no day, so the row is left out", "write the day, as 2026-03-14")
        return None
    fits = sowings.fitting(row.words("code"), row.words("crop"), row.words("variety"), on)
    if len(fits) != 1:
        return _unsure(row, fits, on)
    up, left, lost = row.count("up"), row.count("left"), row.count("lost")
    parts = [f"{up.n} of {up.of}" if up.of else f"{up.n} up"] if up else []
    parts += [f"{left.n} left"] if left else []
    parts += [f"{lost.n} lost"] if lost and lost.n else []
    note = row.words("notes")
    if parts or note:
        row.line("checked", fits[0].code, on, ", ".join(parts) or note, note if parts else "")
    else:
        row.trouble("up", "nothing was counted, so the row is left out")
    return None


def _unsure(row: _Row, fits: Sequence[Known], on: dt.date) -> None:
    name = "code" if row.words("code") else "crop"
    said = " ".join(x for x in (row.words("code"), row.words("crop"), row.words("variety")) if x)
    if not said:
        row.trouble(name, "this row names no sowing", "write its code, as `larkspur-26-1`")
    elif not fits:
        row.trouble(
            name,
            f"no sowing of `{said}` lived on {on}",
            "import the sowings first, or check the name",
        )
    else:
        codes = ", ".join(f"`{k.code}`" for k in fits)
        row.trouble(name, f"`{said}` fits {codes}", "add a column `code` that says which")
