"""A small farm on disk, and the command run in it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from click.testing import CliRunner, Result

from traybook.cli.main import main
from traybook.files.tree import read_entries
from traybook.pipeline import Loaded, load_files

AS_OF = dt.date(2026, 4, 10)
FARM = {
    "entries/farm.yaml": "people: [jo, mw]\ndates: day first\n"
    "places:\n  cold frame: {light: daylight}\nbeds: [bed 4, bed 5]\n",
    "entries/crops.yaml": "sweet pea:\n  days to sprout: 10-21\n  varieties: [Linnet Blush]\n"
    "statice:\n  days to sprout: 8-18\nstock:\n  days to sprout: 5-10\n",
    "entries/2024/2024-03-01.md": "---\nsown foxglove-24-1: 60 seeds, open tray\n---\n",
    "entries/2026/2026-03-01.md": """---
sown sweet-pea-26-1: Linnet Blush, 36-cell tray, 1 per cell
sown statice-26-1: Harbour Violet, 72-cell tray, 1 per cell
sown stock-26-1: Iron Rose, 72 seeds, open tray
sown stock-26-2: Ash Lantern, 40 seeds, open tray
---
The first day without a coat.
""",
    "entries/2026/2026-03-20.md": "---\nchecked statice-26-1: 40 up\nchecked stock-26-1: 50 up\n---\n",
    "entries/2026/2026-04-09-mw.md": "---\nnoted: frost\n---\n",
}


def made(folder: Path, **more: str) -> Path:
    """The farm in a folder."""
    for name, text in {**FARM, **more}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())
    return folder


def run(folder: Path, *words: str, text: str | None = None, as_of: dt.date = AS_OF) -> Result:
    """Run `traybook WORDS` in the farm; anything that raises, raises."""
    args = [words[0], "--farm", str(folder), "--as-of", str(as_of), *words[1:]]
    return CliRunner().invoke(main, args, input=text, catch_exceptions=False)


def day(folder: Path, on: str, who: str = "") -> str:
    """A day file's text; empty where there is none."""
    path = folder / "entries" / on[:4] / f"{on}{who}.md"
    return path.read_bytes().decode() if path.exists() else ""


def snapshot(folder: Path) -> dict[str, bytes]:
    """Every file's bytes."""
    return {str(p): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def loaded(folder: Path, as_of: dt.date = AS_OF) -> Loaded:
    return load_files(read_entries(folder), as_of)
