"""A folder that is made afresh and put in place in one go."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from traybook.files.tree import FolderError

#: A site made by the tool holds this file; nothing else is ever replaced.
MARK = Path("data") / "events.csv"


@contextmanager
def fresh_folder(out: Path) -> Iterator[Path]:
    """Give a new folder beside `out`; when all went well it takes its place, else it is removed.

    Until the very end the old one stays as it was. Raises FolderError when `out` can't be written,
    or holds something that is no site of ours.
    """
    out = Path(os.path.abspath(out))
    old = out.with_name(f".{out.name}.old")
    try:
        if old.exists() and not out.exists():
            os.rename(old, out)
        _check(out)
        out.parent.mkdir(parents=True, exist_ok=True)
        fresh = Path(tempfile.mkdtemp(prefix=f".{out.name}.fresh-", dir=out.parent))
        fresh.chmod(0o755)
    except OSError as error:
        raise FolderError(f"{error.filename or out} can't be written: {error.strerror}") from error
    try:
        yield fresh
        _swap(fresh, out, old)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _check(out: Path) -> None:
    if out.exists() and not out.is_dir():
        raise FolderError(f"{out} is a file; name a folder for the site")
    if out.is_dir() and any(out.iterdir()) and not (out / MARK).is_file():
        raise FolderError(
            f"{out} holds something that isn't a site of ours; name an empty or a new folder"
        )


def _swap(fresh: Path, out: Path, old: Path) -> None:
    try:
        shutil.rmtree(old, ignore_errors=True)
        if out.exists():
            os.rename(out, old)
        os.rename(fresh, out)
        shutil.rmtree(old, ignore_errors=True)
    except OSError as error:
        raise FolderError(f"{error.filename or out} can't be written: {error.strerror}") from error
