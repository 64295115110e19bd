"""What a grower asks before sowing again is answered on a phone, from Today, in three taps or fewer."""

from __future__ import annotations

import pytest

from browser import FLAGS, program
from questions import QUESTIONS
from walk import PHONE, Walk


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    path = program()
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=path, args=FLAGS)
        yield chromium
        chromium.close()


@pytest.fixture
def walk(browser, demo_site):
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
    yield Walk(context.new_page(), demo_site[0])
    context.close()


@pytest.mark.parametrize("q", QUESTIONS, ids=lambda q: f"{q.number}-{q.asks.split(',')[0]}")
def test_it_is_answered_in_three_taps(walk, q):
    q.answer(walk)
    assert walk.taps <= 3, q.asks
    assert walk.taps == q.taps, "the number of taps told beside the question"


def test_all_twenty_five_are_asked():
    assert [q.number for q in QUESTIONS] == list(range(1, 26))
