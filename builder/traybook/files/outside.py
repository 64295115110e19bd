"""A file from elsewhere, as text."""

from __future__ import annotations

from pathlib import Path

from traybook.files.tree import FolderError
from traybook.text.decode import decode

_BOOKS = (".xlsx", ".xls", ".xlsm", ".ods", ".numbers")


def read_table(path: Path) -> str:
    """The text of a CSV file, whatever letters it was saved in.

    Raises FolderError when it can't be read, or is a spreadsheet's own file.
    """
    try:
        with open(path, "rb") as file:
            data = file.read()
    except OSError as error:
        raise FolderError(f"{path} can't be read: {error.strerror}") from error
    got = decode(data)
    if path.suffix.lower() in _BOOKS or data[:2] == b"PK":
        raise FolderError(
            f"{path.name} is a spreadsheet's own file; save the sheet as CSV (Save as, CSV UTF-8) and import that"
        )
    if got.binary or not got.text.strip():
        raise FolderError(f"{path.name} holds no text; save the table as CSV and import that")
    return got.text
