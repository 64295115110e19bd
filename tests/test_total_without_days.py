"""A total whose days nobody kept: it counts for shares and says nothing of speed."""

from __future__ import annotations

import pytest

from kit import one_sowing, tables

TOTAL = "checked x: 58 of 72 in all, no day kept"


@pytest.mark.parametrize(
    "said",
    [
        "58 of 72 in all, no day kept",
        "58/72, no day kept",
        "58 up, day not known",
        "58 of 72 in total, day not kept",
    ],
)
def test_it_counts_and_has_no_speed(said):
    loaded, s = one_sowing("72 seeds, open tray", (60, f"checked x: {said}"))
    up = s.up
    assert loaded.findings == ()
    assert (up.emerged, up.share.value, up.settled, up.in_germination) == (58, 58 / 72, True, True)
    assert (up.first_after, up.first_by, up.half, up.tenth, up.ninetieth) == (None,) * 5
    assert (up.mean, up.even) == (None, None)
    (row,) = tables(loaded)["checks.csv"]
    assert (row["day"], row["up"], row["emerged_so_far"]) == ("", "58", "58")


def test_looks_with_a_day_keep_theirs():
    _, s = one_sowing(
        "72 seeds, open tray", (5, "checked x: 10 up"), (9, "checked x: 40 up"), (60, TOTAL)
    )
    assert (s.up.emerged, s.up.first_after, s.up.first_by) == (58, 0, 5)
    assert (s.up.half.after, s.up.half.by) == (5, 9)  # 29 of 58 were there by day 9
    assert s.up.half.point == pytest.approx(5 + 19 * 4 / 30)
    assert (s.up.ninetieth, s.up.mean) == (None, None)  # 52 of 58 came on days nobody kept


def test_it_is_of_all_that_came_up_not_of_what_stands():
    _, s = one_sowing("72 seeds, open tray", (20, "checked x: 50 up"), (20, "potted on x: 50 into 9 cm pots"),
                      (21, "checked x: 2 lost"), (60, TOTAL))  # fmt: skip
    assert s.up.emerged == 58
    assert s.account.main.closes
    assert s.account.main.taken == 50


def test_none_at_all():
    _, s = one_sowing("72 seeds, open tray", (60, "checked x: 0 of 72 in all, no day kept"))
    assert (s.up.emerged, s.up.share.value, s.up.settled, s.up.first_by) == (0, 0, True, None)
