"""Serving the own build on the grower's machine, made anew when an entry changes."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from traybook.files.clock import today
from traybook.files.tree import FolderError
from traybook.files.watch import scratch, snapshot
from traybook.pages.words import left_out
from traybook.site.build import build_site

#: Where a page asks which build it is of.
BUILT = "/built-now"
_EVERY = 0.3


class Preview:
    """Builds, watches and serves; `built` counts the builds, `say` gets a line for each."""

    def __init__(
        self, folder: Path, say: Callable[[str], None], as_of: dt.date | None = None
    ) -> None:
        """Nothing is built or served yet; without `as_of` it goes with the days."""
        self.folder, self.say, self.as_of = folder, say, as_of
        self.built = 0
        self.stopped = threading.Event()

    def run(self, port: int) -> None:
        """Serve until stopped. Raises FolderError when there is nothing to serve from the start."""
        with scratch() as place:
            site = place / "site"
            seen = snapshot(self.folder)
            self._build(site)
            server = ThreadingHTTPServer(
                ("127.0.0.1", port), partial(_Handler, preview=self, directory=str(site))
            )
            threading.Thread(target=server.serve_forever, daemon=True).start()
            self.say(f"open http://127.0.0.1:{server.server_port}/ (Ctrl-C ends it)")
            try:
                self._watch(site, seen)
            finally:
                server.shutdown()
                server.server_close()

    def _watch(self, site: Path, seen: object) -> None:
        """Poll the folder; a new day is a change too."""
        day = today()
        while not self.stopped.wait(_EVERY):
            now = snapshot(self.folder)
            if now == seen and today() == day:
                continue
            seen, day = now, today()
            try:
                self._build(site)
            except FolderError as error:
                self.say(f"not built: {error}; the last good pages stay")

    def _build(self, site: Path) -> None:
        made = build_site(self.folder, site, self.as_of or today(), own=True)
        self.built += 1
        left = f", {left_out(made.left_out)}: see Put right" if made.left_out else ""
        self.say(f"{made.pages} pages made{left}")


class _Handler(SimpleHTTPRequestHandler):
    """Files of the site, never kept by the browser, and the number of the build."""

    def __init__(self, *args: Any, preview: Preview, **options: Any) -> None:
        self.preview = preview
        super().__init__(*args, **options)

    def do_GET(self) -> None:
        """The number of the build, or a file."""
        if self.path.split("?")[0] != BUILT:
            super().do_GET()
            return
        body = str(self.preview.built).encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/plain")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def end_headers(self) -> None:
        """Add that nothing is to be kept."""
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - the library's own name
        """Say nothing of every request."""
