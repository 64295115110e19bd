"""Every kind of page in a real browser: narrow and wide, light and dark, from a server and from disk."""

from __future__ import annotations

import pytest

from browser import FLAGS, program, served

PAGES = (
    "index.html", "standing-now.html", "by-place.html", "beds.html", "crops.html", "crops/larkspur.html", "sowings.html",
    "sowings/sweet-pea-26-1.html", "sowings/nigella-26-1.html", "seasons.html", "seasons/2026.html", "diary.html",
    "diary/2026-05.html", "words-of-an-entry.html", "how-figures-are-worked-out.html", "how-to-write-entries.html",
    "cautions.html", "seasons/2025.html",
)  # fmt: skip


CUT_OFF = """() => [...document.querySelectorAll('.tb-table')].filter(t => t.scrollWidth > t.clientWidth)
    .map(t => t.innerText.slice(0, 60))"""


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    path = program()
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=path, args=FLAGS)
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def address(demo_site):
    with served(demo_site[0]) as base:
        yield base


def opened(browser, width: int, scheme: str = "light"):
    """A page, and what it complains of or asks of other hosts."""
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
    page = context.new_page()
    heard: list[str] = []
    page.on("console", lambda m: heard.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: heard.append(str(e)))
    page.on(
        "request",
        lambda r: (
            heard.append(r.url)
            if not r.url.startswith(("http://127.0.0.1", "data:", "blob:", "file:"))
            else None
        ),
    )
    return page, heard


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (360, "dark"), (1280, "light")])
def test_every_page_kind_is_quiet_and_fits(browser, address, width, scheme):
    page, heard = opened(browser, width, scheme)
    for name in PAGES:
        page.goto(address + name)
        assert page.locator("h1").first.is_visible(), name
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
        assert page.evaluate(CUT_OFF) == [], (name, "a table is wider than its place")
    assert heard == []
    page.context.close()


def test_links_and_buttons_of_the_main_column_can_be_hit(browser, address):
    page, _ = opened(browser, 360)
    small = """() => [...document.querySelectorAll('.md-content .tb-links a, .md-content th a, summary')]
        .filter(a => a.offsetParent).map(a => [a.textContent.trim(), a.getBoundingClientRect().height])
        .filter(x => x[1] < 43.5)"""
    for name in PAGES:
        page.goto(address + name)
        assert page.evaluate(small) == [], name
    page.context.close()


def test_charts_are_drawn_when_they_come_into_view(browser, address):
    page, heard = opened(browser, 360)
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url))
    page.goto(address + "sowings/snapdragon-26-1.html")
    page.wait_for_timeout(300)
    assert not [u for u in asked if "plotly" in u], "not before it is seen"
    page.locator(".tb-chart").scroll_into_view_if_needed()
    page.wait_for_selector(".tb-chart .main-svg", timeout=15000)
    assert page.locator(".tb-chart").first.bounding_box()["width"] <= 360
    assert heard == []
    page.context.close()


def test_a_figure_opens_to_its_lines(browser, address):
    page, _ = opened(browser, 360)
    page.goto(address + "sowings/scabious-26-1.html")
    first = page.locator("details.tb-from").first
    assert not first.locator("ol").is_visible()
    first.locator("summary").click()
    assert "missing until something explains it" in first.locator("ol").inner_text()
    page.context.close()


def test_search_finds_from_a_server_and_from_disk(browser, address, demo_site):
    for start in (address + "index.html", (demo_site[0] / "index.html").as_uri()):
        page, heard = opened(browser, 1280)
        page.goto(start)
        page.wait_for_timeout(300)
        page.click(".md-search__input")
        page.keyboard.type("snapdragon", delay=30)
        page.wait_for_selector(".md-search-result__item", timeout=15000)
        assert "Snapdragon" in page.locator(".md-search-result__list").inner_text()
        assert heard == []
        page.context.close()


def test_what_stood_in_a_bed_before_opens_at_a_tap_and_is_printed(browser, address):
    page, heard = opened(browser, 360)
    page.goto(address + "beds.html")
    first = page.locator("details.tb-before").first
    assert not first.locator("table").is_visible()
    first.locator("summary").click()
    assert first.locator("tbody tr").count() > 1 and first.locator("table").is_visible()
    page.reload()
    page.emulate_media(media="print")
    assert page.locator("details.tb-before tbody tr").last.bounding_box()["height"] > 0
    assert heard == []
    page.context.close()


def test_text_and_tables_stand_without_scripts(browser, address):
    context = browser.new_context(viewport={"width": 360, "height": 900}, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + "crops/larkspur.html")
    assert "62 of 72 (86 %, 76-92)" in page.locator("main").inner_text()
    context.close()


ASK = "#ask-up"


def answer(page) -> str:
    return page.locator(f"{ASK} [role=status]").inner_text()


def test_how_many_to_sow_is_looked_up_in_the_table_below(browser, address):
    """Every row and chance says what its cell says; between rows it is the next, and it says so."""
    page, heard = opened(browser, 360)
    page.goto(address + "crops/snapdragon.html")
    page.locator(f"{ASK} summary").click()
    rows = page.locator(f"{ASK} tbody tr")
    names = page.locator(f"{ASK} option").all_inner_texts()
    assert len(names) == 4 and rows.count() > 20
    for i in (0, 7, 12, rows.count() - 1):
        plants = rows.nth(i).locator("th").inner_text()
        page.get_by_label("Good plants wanted").fill(plants)
        for j, name in enumerate(names):
            page.get_by_label("How sure").select_option(name)
            number, _, more = rows.nth(i).locator("td").nth(j).inner_text().partition("\n")
            said = answer(page)
            assert f"{name}: {number.strip()}" in said, (plants, name)
            assert more.strip() in said and "next number" not in said and said.startswith(plants)
    page.get_by_label("Good plants wanted").fill("52")
    page.get_by_label("How sure").select_option(names[2])
    sixty = rows.filter(has=page.locator("th", has_text="60")).first.locator("td").nth(2)
    assert sixty.inner_text().split("\n")[0].strip() in answer(page)
    assert answer(page).endswith("That is for 60, the next number in the table.")
    assert heard == []
    page.context.close()


@pytest.mark.parametrize(("typed", "said"), [
    ("301", "The table ends at 300 plants"), ("0", "whole number of plants"), ("", "whole number of plants"),
    ("2.5", "whole number of plants"), ("1", "1 good plant, "),
])  # fmt: skip
def test_what_cannot_be_looked_up_is_said(browser, address, typed, said):
    page, heard = opened(browser, 360)
    page.goto(address + "crops/snapdragon.html")
    page.get_by_label("Good plants wanted").fill(typed)
    assert said in answer(page)
    assert heard == []
    page.context.close()


def test_the_questions_are_for_a_finger_a_keyboard_and_a_screen_reader(browser, address):
    page, heard = opened(browser, 360)
    page.goto(address + "crops/snapdragon.html")
    first = page.get_by_label("Good plants wanted")
    first.focus()
    for part in (first, page.get_by_label("How sure")):
        assert part.bounding_box()["height"] >= 44
    before = answer(page)
    page.keyboard.press("ArrowUp")
    assert answer(page) != before and answer(page).startswith("51 good plants")
    page.keyboard.press("Enter")
    assert page.url.endswith("crops/snapdragon.html"), "nothing is sent anywhere"
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")
    assert "19 times in 20" in answer(page)
    assert page.locator(f"{ASK} [aria-live=polite]").count() == 1
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert heard == []
    page.context.close()


def test_the_script_is_asked_for_only_where_the_questions_are(browser, address):
    page, _ = opened(browser, 1280)
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url))
    for name, wanted in (("crops.html", False), ("index.html", False), ("crops/snapdragon.html", True)):  # fmt: skip
        asked.clear()
        page.goto(address + name)
        assert any("how-many.js" in u for u in asked) == wanted, name
    page.context.close()


def test_without_scripts_and_on_paper_the_table_of_numbers_stands(browser, address):
    context = browser.new_context(viewport={"width": 360, "height": 900}, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + "crops/snapdragon.html")
    assert not page.locator(f"{ASK} form").is_visible()
    page.locator(f"{ASK} summary").click()
    assert page.locator(f"{ASK} tbody tr").last.is_visible()
    context.close()
    page, _ = opened(browser, 1280)
    page.goto(address + "crops/snapdragon.html")
    page.emulate_media(media="print")
    assert not page.locator(f"{ASK} form").is_visible()
    assert page.locator(f"{ASK} tbody tr").last.bounding_box()["height"] > 0
    page.context.close()
