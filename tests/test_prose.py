"""A grower's prose: a few marks are shown, and nothing typed ever becomes anything but words."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traybook.render.prose import prose

HEADING = '<p class="tb-heading" role="heading" aria-level="3">'


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("First warm day.\nTunnel open by nine.", "<p>First warm day. Tunnel open by nine.</p>"),
        ("## Mice ##\nall over", f"{HEADING}Mice</p><p>all over</p>"),
        ("- two trays\n- one pot,\n  the blue one", "<ul><li>two trays</li><li>one pot, the blue one</li></ul>"),
        ("To do\n* sow\n* *prick out*", "<p>To do</p><ul><li>sow</li><li><em>prick out</em></li></ul>"),
        ("1. sow\n2. wait", '<ol start="1"><li>sow</li><li>wait</li></ol>'),
        ("14. March, mild", '<ol start="14"><li>March, mild</li></ol>'),
        ("Frost on the\n14. and again", "<p>Frost on the 14. and again</p>"),
        ("**all** of _it_, **not *one* left**",
         "<p><strong>all</strong> of <em>it</em>, <strong>not <em>one</em> left</strong></p>"),
        # words, not marks
        ("#3 tray, 5 * 3 * 2, sweet_pea_26, 2*3*4", "<p>#3 tray, 5 * 3 * 2, sweet_pea_26, 2*3*4</p>"),
        ("*a **b* c**", "<p>*a <strong>b* c</strong></p>"),
        ("[x](javascript:alert(1)) http://a.b", "<p>[x](javascript:alert(1)) http://a.b</p>"),
        ("**<script>x</script>**", "<p><strong>&lt;script&gt;x&lt;/script&gt;</strong></p>"),
        ('# <b onload="x">', f"{HEADING}&lt;b onload=&#34;x&#34;&gt;</p>"),
        ("", ""),
    ],
)  # fmt: skip
def test_marks_are_shown_and_the_rest_is_words(typed, shown):
    assert str(prose(typed)) == shown


class Tags(HTMLParser):
    """Every tag with its attributes, the words, and whether tags close in order."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags, self.words, self.open = set(), "", []

    def handle_starttag(self, tag, attrs):
        self.tags.add((tag, tuple(name for name, _ in attrs)))
        self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words += data


ALLOWED = {("p", ()), ("p", ("class", "role", "aria-level")), ("ul", ()), ("ol", ("start",)), ("li", ()),
           ("em", ()), ("strong", ())}  # fmt: skip
MARKED = st.lists(st.sampled_from(
    ["*", "**", "_", "# ", "- ", "1. ", "12) ", " ", "\n", "a", "Bee", "<b>", "&lt;", "&", '"', "'>", "[x](y)", "`", "\\"]),
    max_size=40).map("".join)  # fmt: skip


@given(st.one_of(MARKED, st.text(max_size=200)))
def test_whatever_is_typed_only_known_tags_come_out_and_no_word_is_lost(typed):
    found = Tags()
    found.feed(str(prose(typed)))
    found.close()
    assert found.tags <= ALLOWED
    assert found.open == []
    letters = re.compile(r"[^\W\d_]+")
    assert "".join(letters.findall(found.words)) == "".join(letters.findall(typed))
