"""The built site when it is opened from a folder on disk."""

from __future__ import annotations

import datetime as dt

from conftest import TWO_YEARS, make
from traybook.site.build import build_site


def test_the_search_index_is_there_as_a_script(two_years_site):
    site, _ = two_years_site
    script = (site / "search/search_index.js").read_text("utf-8")
    assert script == "var __index = " + (site / "search/search_index.json").read_text("utf-8")


def test_the_stand_in_for_a_worker_comes_before_the_themes_script(two_years_site):
    page = (two_years_site[0] / "sowings/stock-25-1.html").read_text("utf-8")
    assert 0 < page.index("js/from-disk.js") < page.index("javascripts/bundle")


def test_a_farm_without_search_builds(tmp_path):
    folder = make(tmp_path, TWO_YEARS)
    off = "site_name: Two\nplugins:\n  - traybook\n  - search:\n      enabled: false\n"
    (folder / "mkdocs.yml").write_text(off, encoding="utf-8")
    build_site(folder, folder / "site", dt.date(2026, 6, 1))
    assert not (folder / "site/search/search_index.js").exists()
