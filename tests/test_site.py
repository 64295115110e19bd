"""The built site: links, privacy, words of the grower, and the swap."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import os
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlparse

import pytest

from conftest import ROOT, TWO_YEARS, make
from traybook.files.tree import FolderError
from traybook.site.build import build_site

DAY = dt.date(2026, 6, 1)


class Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: set[str] = set()

    def handle_starttag(self, tag, attrs):
        got = dict(attrs)
        self.ids |= {got["id"]} if got.get("id") else set()
        for name in ("href", "src"):
            if got.get(name) and tag in ("a", "link", "script", "img"):
                self.links.append(got[name])


def read(page: Path) -> Links:
    found = Links()
    found.feed(page.read_text("utf-8"))
    return found


def broken_links(site: Path) -> list[tuple[str, str]]:
    pages = {p: read(p) for p in site.rglob("*.html") if p.name != "404.html"}
    out = []
    for page, found in pages.items():
        for link in found.links:
            url = urlparse(link)
            if url.scheme or url.netloc:
                out += [(page.name, link)] if url.scheme not in ("https", "http") else []
                continue
            target = (page.parent / unquote(url.path)).resolve() if url.path else page
            if not target.exists() or (
                url.fragment and target in pages and url.fragment not in pages[target].ids
            ):
                out.append((page.name, link))
    return out


@pytest.mark.parametrize("which", ["demo_site", "two_years_site"])
def test_every_link_leads_somewhere_and_nothing_is_warned_of(which, request):
    site, built = request.getfixturevalue(which)
    assert broken_links(site) == []
    assert built.warnings == ()


def test_no_address_of_another_host_is_loaded(demo_site):
    site, _ = demo_site
    for page in site.rglob("*.html"):
        for link in read(page).links:
            url = urlparse(link)
            assert not url.netloc or not link.endswith((".js", ".css", ".woff2", ".png")), (
                page,
                link,
            )


def test_a_bare_farm_has_all_pages(two_years_site):
    site, _ = two_years_site
    for address in ("index", "crops", "sowings", "seasons", "crops/stock", "sowings/stock-25-1", "seasons/2026",
                    "seasons/2025", "how-figures-are-worked-out", "sowings/stock-26-9"):  # fmt: skip
        assert (site / f"{address}.html").is_file(), address
    assert "now called stock-26-1" in (site / "sowings/stock-26-9.html").read_text("utf-8")
    # raw entries are never published
    assert not list(site.rglob("2025-03-01*"))


def test_a_season_stands_beside_the_one_before(two_years_site):
    page = (two_years_site[0] / "seasons/2026.html").read_text("utf-8")
    assert "60 of 72 (83 %, " in page
    assert "In 2025" in page and "40 of 72 (56 %, 29-80)" in page


def test_nothing_private_is_in_any_byte(two_years_site):
    site, _ = two_years_site
    for path in site.rglob("*"):
        if path.is_file():
            data = path.read_bytes()
            for word in (b"PLANTEDTOKEN", b"aster-25-1", b"Secretbuyer"):
                assert word not in data, (path, word)


def test_findings_stay_at_home_but_what_was_left_out_is_said(two_years_site):
    site, _ = two_years_site
    assert not (site / "data/findings.csv").exists()
    assert "stock-26-7" in (site / "data/events.csv").read_text("utf-8"), (
        "nothing is left out of events.csv"
    )
    assert "stock-26-7" not in (site / "crops/stock.html").read_text("utf-8")


def test_what_a_grower_writes_is_only_ever_words(two_years_site):
    page = (two_years_site[0] / "sowings/stock-25-1.html").read_text("utf-8")
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(&#34;note&#34;)" in page
    assert "{{ 7 * 7 }}" in page and 'href="javascript' not in page


def test_search_knows_the_crops(demo_site):
    index = json.loads((demo_site[0] / "search/search_index.json").read_text("utf-8"))
    titles = " ".join(d["title"] for d in index["docs"])
    assert "Larkspur" in titles and "lisianthus-26-1" in titles


def test_two_builds_are_the_same_bytes(farm, tmp_path):
    def build(name: str) -> dict[str, str]:
        out = tmp_path / name
        build_site(farm, out, DAY)
        return {
            p.relative_to(out).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
            for p in sorted(out.rglob("*"))
            if p.is_file()
        }

    assert build("one") == build("two")


def test_a_failed_build_leaves_the_last_good_site(farm, monkeypatch):
    out = farm / "site"
    build_site(farm, out, DAY)
    before = (out / "index.html").read_bytes()

    def fail(*args, **kwargs):
        raise RuntimeError("in the middle")

    monkeypatch.setattr("traybook.site.build.build", fail)
    with pytest.raises(RuntimeError):
        build_site(farm, out, DAY)
    assert (out / "index.html").read_bytes() == before
    assert [p.name for p in farm.iterdir() if p.name.startswith(".site")] == []


def test_a_second_build_replaces_the_first(farm):
    out = farm / "site"
    build_site(farm, out, DAY)
    (farm / "entries/2026-04-01.md").write_text("sown ammi-26-1: 40 seeds\n", encoding="utf-8")
    build_site(farm, out, DAY)
    assert (out / "sowings/ammi-26-1.html").is_file()


def test_a_folder_that_is_no_site_is_never_replaced(farm, tmp_path):
    precious = tmp_path / "precious"
    precious.mkdir()
    (precious / "letter.txt").write_text("dear", encoding="utf-8")
    with pytest.raises(FolderError, match="isn't a site of ours"):
        build_site(farm, precious, DAY)
    assert (precious / "letter.txt").read_text("utf-8") == "dear"


def test_an_empty_farm_says_how_to_begin(tmp_path):
    folder = make(tmp_path, {"mkdocs.yml": TWO_YEARS["mkdocs.yml"]})
    (folder / "entries").mkdir()
    built = build_site(folder, folder / "site", DAY)
    page = (folder / "site/index.html").read_text("utf-8")
    assert "Nothing has been sown here yet" in page and "sown larkspur" in page
    assert built.warnings == () and broken_links(folder / "site") == []


def test_a_broken_folder_builds(tmp_path):
    from test_broken_folder import Folder

    made = Folder(4)
    folder = make(tmp_path, {"mkdocs.yml": TWO_YEARS["mkdocs.yml"]})
    for name, data in made.files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    assert build_site(folder, folder / "site", dt.date(2026, 1, 1)).warnings == ()
    assert broken_links(folder / "site") == []


def test_plain_mkdocs_makes_the_shared_build(tmp_path):
    env = os.environ | {"NO_MKDOCS_2_WARNING": "1"}
    run = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "-d", str(tmp_path / "site")],
        cwd=ROOT, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert "WARNING" not in run.stderr
    assert (tmp_path / "site/sowings/larkspur-26-2.html").is_file()
    assert (tmp_path / "site/data/sowings.csv").is_file()


def test_names_that_share_an_address_share_a_page(tmp_path):
    folder = make(
        tmp_path,
        {
            "mkdocs.yml": TWO_YEARS["mkdocs.yml"],
            "entries/2026-03-01.md": "sown ammi (white): 40 seeds\nsown ammi white: 40 seeds\nsown X.26.1: 30 seeds\n"
            "sown x-26-1: 20 seeds\nsown \u00c9chinops-26-1: 10 seeds, was ammi-white-26-1\nsown !!!-26-1: 5 seeds\n",
            "entries/2026-03-09.md": "checked x_26_1: 12 up\nchecked echinops-26-1: 4 up\n",
        },
    )
    assert build_site(folder, folder / "site", DAY).warnings == ()
    assert broken_links(folder / "site") == []
    assert "12 of 30" in (folder / "site/sowings/x-26-1.html").read_text("utf-8")
    assert "4 of 10" in (folder / "site/sowings/echinops-26-1.html").read_text("utf-8")
