"""What a site needs besides, to be searched when it is opened from a folder on disk."""

from __future__ import annotations

from pathlib import Path

_INDEX = Path("search") / "search_index.json"


def index_as_script(site: Path) -> None:
    """Lay the search index down once more as a script; without an index there is nothing to do.

    A page opened from disk may load scripts but read no JSON, and the theme asks for this file then.
    """
    index = site / _INDEX
    if index.is_file():
        text = index.read_text(encoding="utf-8")
        index.with_suffix(".js").write_bytes(f"var __index = {text}".encode())
