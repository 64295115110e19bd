"""Which file a line of a table belongs in."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

from traybook.intake.events import Kept
from traybook.intake.restore import reads_on
from traybook.records.settings import Farm
from traybook.text.names import slug


def placed(lines: Sequence[Kept], farm: Farm, as_of: dt.date) -> dict[str, list[Kept]]:
    """The lines by the file they belong in, files in the order of names.

    A line goes back to the file where it stood; where the table doesn't say, to a file of its day
    and of whoever signed it, so that the order of the day stays.
    """
    out: dict[str, list[Kept]] = {}
    last: dict[dt.date | None, str] = {}
    for kept in lines:
        path = kept.path or _new_path(kept, last.get(kept.on, ""), farm, as_of)
        last[kept.on] = max(path, last.get(kept.on, ""))
        out.setdefault(path, []).append(kept)
    return {path: sorted(out[path], key=lambda k: k.line) for path in sorted(out)}


def _new_path(kept: Kept, after: str, farm: Farm, as_of: dt.date) -> str:
    """A file of the line's day and signature that comes no earlier than the day's last one."""
    if kept.on is None:
        return "entries/no-day.md"
    who = slug(kept.by) if kept.by and not _signed(kept) else ""
    secret = kept.private and "private" not in kept.text.casefold()
    name = f"{'private/' if secret else ''}{home_of(kept, farm, as_of)}{'-' if who else ''}{who}.md"
    for n in range(1, 1000):
        path = f"entries/{kept.on.year}/{'' if n == 1 else f'more-{n:03}/'}{name}"
        if path >= after:
            return path
    return after


def _signed(kept: Kept) -> bool:
    return bool(re.search(rf"\bby:?\s+{re.escape(kept.by)}\b", kept.text, re.IGNORECASE))


def home_of(kept: Kept, farm: Farm, as_of: dt.date) -> dt.date:
    """The day of a file in which the line is of its day: that day, or one of the week after where
    it says `yesterday` or a day of the week."""
    assert kept.on is not None
    week = [kept.on + dt.timedelta(days=n) for n in range(8)]
    return next((day for day in week if reads_on(kept, day, farm, as_of)), kept.on)
