"""The MkDocs plugin: a farm's pages and tables join the site, in memory."""

from __future__ import annotations

from pathlib import Path, PurePosixPath
from typing import Any

from mkdocs.config import config_options as c
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel

from traybook.advice.learnt import Learnt
from traybook.exports.calendar import calendar
from traybook.exports.dictionary import columns_json
from traybook.exports.schema import schemas
from traybook.exports.tables import own_tables, shared_tables
from traybook.files.cases import read_case
from traybook.files.clock import today
from traybook.files.offline import index_as_script
from traybook.files.package import chart_library, manual_pages, page_templates, theme_folder
from traybook.files.tree import FolderError
from traybook.pages.addresses import CALENDAR, COLUMNS_FILE
from traybook.pages.build import build_pages
from traybook.pages.model import Page
from traybook.pipeline import Loaded, load
from traybook.render.html import Renderer
from traybook.rollup.farm import farm_figures
from traybook.site.page import HtmlPage

log = get_plugin_logger("traybook")


def _cases(loaded: Loaded) -> dict[str, str]:
    """The explanations of what was found; the shared build needs none."""
    names = {f.name for f in loaded.findings} if loaded.book.own else set()
    return {name: case for name in sorted(names) if (case := read_case(name))}


class TraybookConfig(Config):
    """What mkdocs.yml may say under `traybook`."""

    farm = c.Type(str, default=".")


class TraybookPlugin(BasePlugin[TraybookConfig]):
    """Makes the shared pages of a farm's entries.

    `loaded` may be handed in by our own build, which knows the day; plain MkDocs loads here.
    """

    loaded: Loaded | None = None
    pages_made = 0

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Our theme files come after the farm's own folder and before the theme's."""
        folder = str(theme_folder())
        if folder not in config.theme.dirs:
            config.theme.dirs.insert(1 if config.theme.custom_dir else 0, folder)
        if "attr_list" not in config.markdown_extensions:
            config.markdown_extensions.append("attr_list")  # the manual names its paragraphs
        return config

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        """Add the pages and the tables; nothing is written anywhere but into the site."""
        loaded = self.loaded or self._load(config)
        config.extra["traybook_own"] = loaded.book.own
        figures = farm_figures(loaded.kept)
        learnt = Learnt(figures)
        pages = build_pages(figures, loaded.findings, _cases(loaded), learnt)
        texts = own_tables if loaded.book.own else shared_tables
        tables = {f"data/{n}": t for n, t in texts(figures, loaded.findings).items()}
        tables[COLUMNS_FILE] = columns_json()
        tables[CALENDAR] = calendar(learnt)
        tables |= {f"schema/{n}": t for n, t in schemas().items()}
        self._manual(files, config)
        known = {p.address for p in pages} | set(tables) | {f.dest_uri for f in files}
        renderer = Renderer(page_templates(), known)
        for page in pages:
            self._add(page, renderer, files, config)
        for name, text in tables.items():
            self._replace(files, File.generated(config, name, content=text))
        if any(p.charts for p in pages):
            script = File.generated(config, "js/plotly.min.js", abs_src_path=str(chart_library()))
            self._replace(files, script)
        if config.nav is None:
            config.nav = self._nav(files, pages)
        self.pages_made = len(pages)
        return files

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Last of all, when search has written its index."""
        index_as_script(Path(config.site_dir))

    def _load(self, config: MkDocsConfig) -> Loaded:
        folder = Path(config.config_file_path or ".").parent / self.config.farm
        try:
            return load(folder, today(), own=False)
        except FolderError as error:
            raise PluginError(str(error)) from None

    def _add(self, page: Page, renderer: Renderer, files: Files, config: MkDocsConfig) -> None:
        source = str(PurePosixPath(page.address).with_suffix(".md"))
        level = InclusionLevel.INCLUDED if page.nav else InclusionLevel.NOT_IN_NAV
        file = File.generated(config, source, content="", inclusion=level)
        HtmlPage(page.nav or page.title, file, config, renderer.render(page))
        self._replace(files, file)

    def _replace(self, files: Files, file: File) -> None:
        """Ours stands, whatever a journal holds at its address."""
        other = files.get_file_from_path(file.src_uri)
        if other is not None:
            files.remove(other)
        files.append(file)

    def _manual(self, files: Files, config: MkDocsConfig) -> None:
        """The manual's pages are always there, since figures lead to them."""
        for name, path in manual_pages().items():
            if files.get_file_from_path(name) is None:
                files.append(File.generated(config, name, abs_src_path=str(path)))

    def _nav(self, files: Files, pages: tuple[Page, ...]) -> list[dict[str, Any]]:
        """Our pages in their order, those under another below it; the manual, hand-written pages and what
        stands under Manual, under one name."""
        entries = [
            (p, {p.nav: str(PurePosixPath(p.address).with_suffix(".md"))}) for p in pages if p.nav
        ]
        manual = [e for p, e in entries if p.nav == "Words" or p.under == "Manual"]
        names = {src for _, entry in entries for src in entry.values()}
        hand = sorted(
            (
                f.src_uri
                for f in files.documentation_pages()
                if "/" not in f.src_uri and f.src_uri not in names
            ),
            reverse=True,
        )
        ours: list[dict[str, Any]] = []
        for page, entry in entries:
            below = [e for p, e in entries if p.under == page.nav]
            if page.nav != "Words" and not page.under:
                ours.append({page.nav: [entry, *below]} if below else entry)
        return [*ours, {"Manual": [*hand, *manual]}]
