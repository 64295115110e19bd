"""One shared site for the tests that only look."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from hypothesis import settings

# How fast something is, is measured elsewhere: on a busy machine a deadline fails by itself.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

ROOT = Path(__file__).resolve().parent.parent
TWO_YEARS = {
    "mkdocs.yml": "site_name: Two Years\nplugins: [traybook]\n",
    "entries/2025-03-01.md": """---
sown stock-25-1: Iron Rose, 72 seeds, 72-cell tray, warm shelf
---
A <script>alert('prose')</script> day.
""",
    "entries/2025-03-12.md": """---
checked stock-25-1: 40 up; <script>alert("note")</script> & {{ 7 * 7 }} [x](javascript:alert(1))
sown zinnia-25-1: 50 seeds
---
""",
    "entries/2025-04-10.md": """---
planted out stock-25-1: 36 to bed 1 at 20 cm, 4 rows
sold stock-25-1: 2 to Secretbuyer
finished stock-25-1: season over
private noted stock-25-1: PLANTEDTOKEN in a note
private sown aster-25-1: 30 seeds, PLANTEDTOKEN
checked aster-25-1: 20 up
finished zinnia-25-1: nothing came
---
""",
    "entries/2026-03-01.md": """---
sown stock-26-1:
  variety: Iron Rose
  seeds: 72
  in: 72-cell tray
  place: cellar floor
  was: stock-26-9
lesson stock: keep it cool
---
""",
    "entries/2026-03-14.md": """---
checked stock-26-1: 60 up
checked stock-26-7: 12 up
finished stock-26-1: sold out of room
---
""",
}


@pytest.fixture
def farm(tmp_path):
    """A farm of two seasons outside the repository; returns its folder."""
    return make(tmp_path / "farm", TWO_YEARS)


def make(folder: Path, texts: dict[str, str]) -> Path:
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory):
    """The demo farm's shared site, and what MkDocs warned of."""
    from traybook.site.build import build_site

    folder = tmp_path_factory.mktemp("demo")
    for name in ("mkdocs.yml", "entries", "journal", "site_templates"):
        source = ROOT / name
        target = folder / name
        shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
    out = folder / "site"
    return out, build_site(folder, out, dt.date(2026, 11, 25))


@pytest.fixture(scope="session")
def two_years_site(tmp_path_factory):
    """The made farm's shared site, from a bare mkdocs.yml and no journal/."""
    from traybook.site.build import build_site

    folder = make(tmp_path_factory.mktemp("two") / "farm", TWO_YEARS)
    out = folder / "site"
    return out, build_site(folder, out, dt.date(2026, 6, 1))
