"""Building a site into a fresh folder, through MkDocs in memory."""

from __future__ import annotations

import datetime as dt
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from os import environ
from pathlib import Path
from typing import Any

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException
from mkdocs.utils.yaml import yaml_load

from traybook.files.package import config_of, journal_of, theme_folder
from traybook.files.put import open_text
from traybook.files.swap import fresh_folder
from traybook.files.tree import FolderError
from traybook.pipeline import load
from traybook.site.plugin import TraybookPlugin

_THEME: dict[str, Any] = {
    "name": "material",
    "font": False,
    "language": "en",
    "features": ["navigation.tabs", "search.highlight"],
    "palette": [
        {"media": "(prefers-color-scheme: light)", "scheme": "default"},
        {"media": "(prefers-color-scheme: dark)", "scheme": "slate"},
    ],
}


@dataclass(frozen=True, slots=True)
class Built:
    """How many pages were made, how many entries they leave out, and what MkDocs warned of."""

    pages: int
    left_out: int
    warnings: tuple[str, ...]


def build_site(folder: Path, out: Path, as_of: dt.date, own: bool = False) -> Built:
    """Build the site of a farm folder into `out`, which is replaced only when all went well.

    The shared build (`own` False) holds nothing private. Raises FolderError when the folder has no
    mkdocs.yml or something can't be read or written.
    """
    path = config_of(folder)
    if path is None:
        raise FolderError(
            f"there is no mkdocs.yml in {folder}; make one with the lines `site_name: NAME` and `plugins: [traybook]`"
        )
    loaded = load(folder, as_of, own=own)
    with fresh_folder(out) as fresh, _day(as_of), _heard() as warnings:
        try:
            config = _config(path, folder, fresh, loaded.book.farm.name)
            plugin = config.plugins["traybook"]
            assert isinstance(plugin, TraybookPlugin)
            plugin.loaded = loaded
            config.plugins.on_startup(command="build", dirty=False)
            build(config)
            config.plugins.on_shutdown()
        except MkDocsException as error:
            why = "; ".join(warnings) or str(error)
            raise FolderError(f"the site could not be built from {path}: {why}") from error
    left_out = sum(1 for e in loaded.book.entries if e.aside)
    return Built(plugin.pages_made, left_out, tuple(warnings))


def _config(path: Path, folder: Path, site: Path, name: str) -> MkDocsConfig:
    """mkdocs.yml with what a bare one lacks: name, folders, theme, search, flat addresses."""
    with open_text(path) as file:
        said = yaml_load(file) or {}
    lacks: dict[str, Any] = {"site_dir": str(site), "docs_dir": str(journal_of(folder).absolute())}
    if not said.get("site_name"):
        lacks["site_name"] = name or "Traybook"
    if "theme" not in said:
        lacks["theme"] = dict(_THEME, custom_dir=str(theme_folder()))
    named = [next(iter(p)) if isinstance(p, dict) else p for p in said.get("plugins") or []]
    if "traybook" not in named:
        raise FolderError(f"{path} does not name the traybook plugin; add `plugins: [traybook]`")
    if not {"search", "material/search"} & set(named):
        lacks["plugins"] = ["search", *said["plugins"]]
    lacks.setdefault("use_directory_urls", False)
    return load_config(str(path), **lacks)


@contextmanager
def _day(as_of: dt.date) -> Iterator[None]:
    """MkDocs stamps the sitemap with this day, so that two builds are the same bytes."""
    before = environ.get("SOURCE_DATE_EPOCH")
    environ["SOURCE_DATE_EPOCH"] = str(
        int(dt.datetime(*as_of.timetuple()[:3], tzinfo=dt.UTC).timestamp())
    )
    try:
        yield
    finally:
        if before is None:
            del environ["SOURCE_DATE_EPOCH"]
        else:
            environ["SOURCE_DATE_EPOCH"] = before


class _Ear(logging.Handler):
    """Keeps what MkDocs warns of."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record.getMessage())


@contextmanager
def _heard() -> Iterator[list[str]]:
    """Listen to MkDocs for the length of a build, and keep its chatter off the screen."""
    ear, logger = _Ear(), logging.getLogger("mkdocs")
    level, spread = logger.level, logger.propagate
    logger.addHandler(ear)
    logger.propagate = False
    try:
        yield ear.heard
    finally:
        logger.removeHandler(ear)
        logger.setLevel(level)
        logger.propagate = spread
