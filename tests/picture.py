"""Takes the README's picture: the demo's page of a sowing, and notes the words it shows."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from browser import FLAGS, program, served
from traybook.site.build import build_site

ROOT = Path(__file__).resolve().parent.parent
PICTURE = ROOT / "tests/pictures/sowing.png"
WORDS = PICTURE.with_suffix(".txt")
PAGE = "sowings/larkspur-26-2.html"


def words(site: Path) -> str:
    """A fingerprint of all that the page says."""
    html = (site / PAGE).read_text("utf-8").split("<article", 1)[1].split("</article>", 1)[0]
    text = " ".join(re.sub(r"<[^>]+>", " ", html).split())
    return hashlib.sha256(text.encode()).hexdigest()


def main() -> None:
    """Build the demo, photograph the page, note its words."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder:
        site = Path(folder) / "site"
        build_site(ROOT, site, dt.date(2026, 11, 25))
        PICTURE.parent.mkdir(exist_ok=True)
        with served(site) as base, sync_playwright() as play:
            chromium = play.chromium.launch(executable_path=program(), args=FLAGS)
            page = chromium.new_page(viewport={"width": 900, "height": 1000})
            page.goto(base + PAGE)
            page.wait_for_timeout(500)
            page.screenshot(path=PICTURE)
            chromium.close()
        WORDS.write_text(words(site) + "\n", encoding="utf-8")
    print(f"wrote {PICTURE.relative_to(ROOT)}")  # noqa: T201 - a command's answer


if __name__ == "__main__":
    main()
