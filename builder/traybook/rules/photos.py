"""Photos that lines name: at hand, missing, or outside entries/."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator

from traybook.findings.model import Finding, offer
from traybook.ledger.keep import Kept
from traybook.rules.around import Around
from traybook.text.names import fold, near

_ABSOLUTE = re.compile(r"[/\\~]|[A-Za-z]:|\w+://")


def photos(kept: Kept, around: Around) -> Iterator[Finding]:
    """Each photo named is looked for beside the day's file, in entries/photos/ and in entries/."""
    if around.photos is None:
        return
    by_name = {fold(p): p for p in around.photos}
    away = {fold(p) for p in around.away}
    seen: set[tuple[str, int]] = set()
    for entry in kept.book.entries:
        for name, at in entry.event.photos:
            if (at.path, at.start) in seen:
                continue
            seen.add((at.path, at.start))
            folder = posixpath.dirname(at.path)
            tried = [fold(posixpath.normpath(posixpath.join(f, name)))
                     for f in (folder, f"{folder}/photos", "entries/photos", "entries")]  # fmt: skip
            outside = _ABSOLUTE.match(name) or not tried[0].startswith("entries/")
            if outside or any(t in away for t in tried):
                yield Finding("photo-outside", f"`{name}` lies outside entries/, so it is not shown", at,
                              "put a copy into entries/photos/ and name that")  # fmt: skip
            elif not any(t in by_name for t in tried):
                names = {posixpath.basename(p) for p in around.photos}
                help_ = (
                    offer(near(name, sorted(names)))
                    or "put it into entries/photos/, or beside this file"
                )
                yield Finding("photo-missing", f"no `{name}` lies beside this file or in entries/photos/", at, help_)  # fmt: skip
