"""One walk through the built site with a phone: every tap is counted, and only what can be seen is read."""

from __future__ import annotations

import csv
import datetime as dt
import re
from collections.abc import Iterable
from pathlib import Path

PHONE = {"width": 360, "height": 740}
MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
TAPPED = "a, summary, label, button"


def flat(text: str) -> str:
    """Words with single spaces."""
    return " ".join(text.split())


class Walk:
    """A page on a phone that begins on Today, opened from the disk."""

    def __init__(self, page, site: Path):
        self.page, self.site, self.taps = page, site, 0
        page.goto((site / "index.html").as_uri())

    def drawer(self) -> None:
        """Open the list of pages: the three bars at the top, the one thing without words."""
        self._hit(self.page.locator("header label[for=__drawer]"))
        self.page.wait_for_function(
            "document.querySelector('.md-sidebar--primary').getBoundingClientRect().x >= 0"
        )

    def tap(self, words: str) -> None:
        """Tap the first thing that can be seen and says just this, or begins with it and is a fold."""
        exact = re.compile(rf"^\s*{re.escape(words)}\s*$")
        begins = re.compile(rf"^\s*{re.escape(words)}\b")
        drawer = self.page.locator("#__drawer").is_checked()
        shown = self.page.locator(".md-sidebar--primary" if drawer else "main .md-content")
        for found in (
            shown.locator(TAPPED).filter(has_text=exact, visible=True),
            shown.locator("summary").filter(has_text=begins, visible=True),
        ):
            for one in found.all():
                box = one.bounding_box()
                if box and 0 <= box["x"] < PHONE["width"]:
                    self._hit(one)
                    return
        raise AssertionError(f"nothing to tap says {words!r} on {self.page.url}")

    def _hit(self, one) -> None:
        one.click(timeout=5000)
        self.taps += 1
        self.page.wait_for_load_state("load")

    def read(self, heading: str = "") -> str:
        """What can be seen of the page, or under one heading of it."""
        if not heading:
            return flat(self.page.locator("main .md-content").inner_text())
        head = self.page.locator("main h2").filter(
            has_text=re.compile(rf"^\s*{re.escape(heading)}\s*$"), visible=True
        )
        return flat(head.first.evaluate("h => h.closest('section').innerText"))

    def row(self, table: str, words: str) -> str:
        """The first row that holds the words, of the visible table with this caption."""
        for got in self.rows(table):
            if words in got:
                return got
        raise AssertionError(f"no row of {table!r} says {words!r}")

    def rows(self, table: str) -> list[str]:
        """The rows of the visible table whose caption begins so."""
        said = self.page.locator("caption").filter(has_text=re.compile(rf"^\s*{re.escape(table)}"))
        for caption in said.all():
            body = caption.locator("xpath=..").locator("tbody tr")
            if body.count() and body.first.is_visible():
                return [flat(t) for t in body.all_inner_texts()]
        raise AssertionError(f"no table is called {table!r}")

    # What the journal's own tables say, read apart from the pages.

    def data(self, name: str, **wanted: str) -> list[dict[str, str]]:
        """The rows of one of the site's tables that have these values."""
        with (self.site / "data" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            return [r for r in csv.DictReader(file) if all(r[k] == v for k, v in wanted.items())]

    def sowings(self, crop: str, season: int | None = None) -> list[dict[str, str]]:
        """A crop's sowings, by day."""
        more = {} if season is None else {"season": str(season)}
        return sorted(self.data("sowings", crop=crop, **more), key=lambda r: r["sown_on"])

    def lines(self, *verbs: str) -> list[dict[str, str]]:
        """Lines of the day files with these words in front, as they were written."""
        return [r for r in self.data("events") if r["verb"] in verbs]


def total(rows: Iterable[dict[str, str]], column: str) -> int:
    """A column added up; what is empty is nothing."""
    return sum(int(r[column]) for r in rows if r[column])


def date(iso: str) -> dt.date:
    """A day of a table."""
    return dt.date.fromisoformat(iso)


def day(iso: str) -> str:
    """A day as pages write it: `3 Jul 2026`."""
    return f"{short(iso)} {iso[:4]}"


def short(iso: str) -> str:
    """`3 Jul`."""
    return f"{int(iso[8:])} {MONTHS[int(iso[5:7]) - 1]}"
