"""Pages through the templates. The one door to jinja2."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass

import jinja2

from traybook.pages.model import Page
from traybook.pages.words import day, weekday
from traybook.render.prose import prose

_HEADING = re.compile(r'<h2 id="([^"]+)">(.*?)</h2>', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


class LinkError(Exception):
    """A page of ours leads nowhere: a mistake in the tool."""


@dataclass(frozen=True, slots=True)
class Html:
    """A page's own part of the document: its body, its headings as (anchor, words), and the scripts under
    js/ that it needs beside those of every page."""

    body: str
    headings: tuple[tuple[str, str], ...]
    scripts: tuple[str, ...] = ()


class Renderer:
    """Renders pages; every link is turned relative and must lead somewhere."""

    def __init__(self, templates: Mapping[str, str], addresses: Collection[str]) -> None:
        """`templates` are texts by name; `addresses` all that may be led to, pages and files."""
        self.addresses = frozenset(addresses)
        self.env = jinja2.Environment(
            loader=jinja2.DictLoader(dict(templates)),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.env.filters["day"] = day
        self.env.filters["weekday"] = weekday
        self.env.filters["prose"] = prose

    def render(self, page: Page) -> Html:
        """One page. Raises LinkError when it leads to an address that isn't there."""

        def to(address: str) -> str:
            path, hash_, anchor = address.partition("#")
            if path not in self.addresses:
                raise LinkError(f"{page.address} leads to {path}, which isn't there")
            start = posixpath.dirname(page.address) or "."
            return posixpath.relpath(path, start) + hash_ + anchor

        body = self.env.get_template(f"{page.template}.html.jinja").render(page=page, to=to)
        headings = tuple((a, _TAG.sub("", words).strip()) for a, words in _HEADING.findall(body))
        return Html(body, headings, page.scripts)
