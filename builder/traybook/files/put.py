"""Writing whole files that the tool makes (never a grower's own)."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TextIO

from traybook.files.tree import FolderError


def put_texts(folder: Path, texts: Mapping[str, str]) -> list[Path]:
    """Write texts by name into a folder, made if need be, each file whole or not at all.

    Raises FolderError when the folder or a file can't be written.
    """
    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            path = folder / name
            fresh = path.with_name(f".{path.name}.part")
            with open(fresh, "wb") as file:
                file.write(text.encode("utf-8"))
            os.replace(fresh, path)
            written.append(path)
    except OSError as error:
        where = error.filename or folder
        raise FolderError(f"{where} can't be written: {error.strerror}") from error
    return written


def read_given(path: Path) -> bytes:
    """A file that was named to be read. Raises FolderError when it can't be."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise FolderError(f"{path} can't be read: {error.strerror}") from error


def open_text(path: Path) -> TextIO:
    """A text file of ours or of the farm's settings, to read."""
    return open(path, encoding="utf-8")
