"""Has anything in a farm's folder changed?"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

Seen = frozenset[tuple[str, int, int]]
_WATCHED = ("entries", "journal", "mkdocs.yml")


def snapshot(folder: Path) -> Seen:
    """Names, sizes and times of all that a site rests on; files that vanish meanwhile are passed over."""
    return frozenset(_walk([folder / name for name in _WATCHED]))


def _walk(paths: list[Path]) -> Iterator[tuple[str, int, int]]:
    for path in paths:
        try:
            if path.is_dir():
                yield from _walk(
                    [Path(e.path) for e in os.scandir(path) if not e.name.startswith(".")]
                )
            elif path.exists():
                state = path.stat()
                yield str(path), state.st_size, state.st_mtime_ns
        except OSError:
            continue


@contextmanager
def scratch() -> Iterator[Path]:
    """A folder that is gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="traybook-") as folder:
        yield Path(folder)
