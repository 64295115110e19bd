"""A headless Chromium, and a server of a folder, for the tests that open the site."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]  # fmt: skip


def program() -> str:
    """Where the browser is; the tests are skipped without one, but never on the build machine."""
    found = shutil.which("chromium") or shutil.which("google-chrome")
    if found is None and os.environ.get("CI"):
        raise FileNotFoundError("chromium is not installed")
    if found is None:
        pytest.skip("no chromium here")
    return found


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *args) -> None:
        pass


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The folder at an address of this machine."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
