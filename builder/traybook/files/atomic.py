"""Writing into a grower's own files: the old file or the new one, never half of it.

Two guards: programs of ours take turns by a lock on the entries folder, and a file is put in place
only if its bytes are still those that were read, whoever else may have written in it.
"""

from __future__ import annotations

import contextlib
import os
import stat
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from traybook.files.tree import FolderError

try:
    import fcntl
except ImportError:  # Windows has no fcntl
    fcntl = None  # type: ignore[assignment]

_PATIENCE_SECONDS = 30.0
_PAUSE_SECONDS = 0.01
_STALE_SECONDS = 60.0
TRIES = 5


class ChangedError(Exception):
    """Another program wrote in the file after it was read; nothing was written."""


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold a farm's entries for one program at a time; others wait for up to half a minute.

    The lock is the system's own on the folder, so a program that is killed lets go of it. Where
    there is none, a hidden file stands for it. Raises FolderError when it can't be had.
    """
    entries = folder / "entries"
    if not entries.is_dir():
        raise FolderError(
            f"there is no entries/ folder in {folder}; make one, or name the farm's folder"
        )
    with _by_system(entries) if fcntl else _by_file(entries):
        yield


@contextlib.contextmanager
def _by_system(entries: Path) -> Iterator[None]:
    handle = os.open(entries, os.O_RDONLY)
    try:
        _wait(lambda: _flock(handle))
        yield
    finally:
        os.close(handle)


def _flock(handle: int) -> bool:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True  # a file system without locks: the comparison of bytes still guards
    return True


@contextlib.contextmanager
def _by_file(entries: Path) -> Iterator[None]:
    lock = entries / ".traybook.lock"
    _wait(lambda: _made(lock))
    try:
        yield
    finally:
        lock.unlink(missing_ok=True)


def _made(lock: Path) -> bool:
    """True when the lock file is ours; one that was left behind a minute ago is moved away."""
    try:
        os.close(os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
    except FileExistsError:
        with contextlib.suppress(OSError):
            if time.time() - lock.stat().st_mtime > _STALE_SECONDS:
                os.replace(lock, lock.with_name(f".traybook.lock.{os.getpid()}.part"))
        return False
    return True


def _wait(try_once: Callable[[], bool]) -> None:
    until = time.monotonic() + _PATIENCE_SECONDS
    while not try_once():
        if time.monotonic() > until:
            raise FolderError(
                "another program has been writing in entries/ for half a minute; try again when it is done"
            )
        time.sleep(_PAUSE_SECONDS)


def read(path: Path) -> bytes | None:
    """A file's bytes; None when there is no such file. Raises FolderError when it can't be read."""
    try:
        with open(path, "rb") as file:
            return file.read()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise FolderError(f"{path} can't be read: {error.strerror}") from error


def put(path: Path, old: bytes | None, new: bytes) -> None:
    """Put `new` in the place of a file whose bytes are `old` (None: there is no file).

    It is written beside the file, brought to the disk, put in place in one step and read back;
    the file's mode stays. Raises ChangedError when the file holds anything else than `old`,
    FolderError when it can't be written.
    """
    path = Path(os.path.realpath(path))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if old is not None and not os.access(path, os.W_OK):
            raise FolderError(f"{path} can't be written: it is read-only")
        fresh = path.with_name(f".{path.name}.{os.getpid()}.part")
        try:
            _write(fresh, new, None if old is None else stat.S_IMODE(path.stat().st_mode))
            if read(path) != old:
                raise ChangedError(str(path))
            _place(fresh, path, old is None)
        finally:
            fresh.unlink(missing_ok=True)
        _to_disk(path.parent)
    except FileNotFoundError as error:
        raise ChangedError(str(path)) from error
    except OSError as error:
        raise FolderError(f"{error.filename or path} can't be written: {error.strerror}") from error
    if read(path) != new:
        raise ChangedError(str(path))


def _write(fresh: Path, data: bytes, mode: int | None) -> None:
    fresh.unlink(missing_ok=True)
    handle = os.open(
        fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666
    )
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if mode is not None:
        fresh.chmod(mode)


def _place(fresh: Path, path: Path, is_new: bool) -> None:
    """One step; a file that has come up meanwhile under a new file's name is never replaced."""
    if is_new:
        try:
            os.link(fresh, path)
        except FileExistsError as error:
            raise ChangedError(str(path)) from error
        except OSError:
            os.replace(fresh, path)  # a file system without links
        return
    os.replace(fresh, path)


def _to_disk(folder: Path) -> None:
    """The folder's new list of names too; not every system lets a folder be opened."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def rewrite(path: Path, make: Callable[[bytes | None], bytes]) -> bytes:
    """Change a file by `make` (old bytes in, new bytes out); on a lost race it is read anew.

    Returns the new bytes. Raises ChangedError when others were quicker every time.
    """
    for left in range(TRIES, 0, -1):
        old = read(path)
        new = make(old)
        try:
            put(path, old, new)
        except ChangedError:
            if left == 1:
                raise
            time.sleep(_PAUSE_SECONDS)
        else:
            break
    return new
