"""A MkDocs page whose content is set outright: no Markdown is read."""

from __future__ import annotations

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents

from traybook.render.html import Html


class HtmlPage(Page):
    """Holds the HTML, its headings and its title from the start."""

    def __init__(self, title: str, file: File, config: MkDocsConfig, html: Html) -> None:
        """`file` is a generated one; MkDocs keeps the page that is set on it."""
        super().__init__(title, file, config)
        self.html = html

    def read_source(self, config: MkDocsConfig) -> None:
        """There is no source; side columns are not wanted."""
        self.markdown = ""
        self.meta = {
            "title": self.title,
            "hide": ["navigation", "toc"],
            "template": "traybook.html",
            "traybook_scripts": self.html.scripts,
        }

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Set what rendering Markdown would have set."""
        self.content = self.html.body
        self.toc = TableOfContents(
            [AnchorLink(words, anchor, 2) for anchor, words in self.html.headings]
        )
        self.present_anchor_ids = {anchor for anchor, _ in self.html.headings}
        self.links_to_anchors = {}
