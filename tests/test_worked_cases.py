"""The design's worked cases, and more with answers worked by hand."""

from __future__ import annotations

import pytest

from kit import one_sowing, tables

# Expected numbers: by hand from the rules of the ledger; Wilson limits by statsmodels
# proportion_confint(method="wilson"), rounded to whole percents.


def share(s):
    up = s.up
    return tuple(round(100 * x) for x in (up.share.value, up.share.low, up.share.high))


def stand(s, name):
    return next(x for x in s.account.stands if x.name == name)


def test_losses_are_added_back_and_shown():
    _, s = one_sowing("72 seeds", (8, "checked x: 31 up"), (12, "checked x: 44 up, 2 lost"))
    assert (s.up.emerged, s.up.count.standing, s.up.count.lost) == (46, 44, 2)
    assert share(s) == (64, 52, 74)


def test_losses_alone_change_what_stands_not_what_came_up():
    _, s = one_sowing("72 seeds", (8, "checked x: 44 up"), (12, "checked x: 5 lost"))
    assert (s.up.emerged, s.up.count.standing) == (44, 39)


def test_sprouted_seeds_leave_the_paper():
    _, s = one_sowing("50 seeds, damp paper", (5, "checked x: 18 sprouted, 18 to tray"))
    assert (s.up.emerged, s.up.count.standing, s.sowing.measure) == (18, 0, "sprouted")
    assert share(s) == (36, 24, 50)
    assert not s.up.settled, "32 seeds still lie on the paper"


PAPER = (
    (5, "checked x: 8 sprouted, 8 to 72-cell tray"),
    (8, "checked x: 15 to 72-cell tray"),
    (12, "checked x: 9 to 72-cell tray, 3 seeds mouldy\nfinished x: paper, 15 seeds thrown"),
)


def test_paper_in_three_goes():
    _, s = one_sowing("50 seeds, damp paper", *PAPER)
    assert s.up.emerged == 32
    assert share(s) == (64, 50, 76)
    assert s.up.half.point == pytest.approx(6.6)
    assert s.account.seeds_lost == 18
    assert s.up.settled and s.account.finished_on is None


def test_alive_in_the_tray_is_not_emergence():
    _, s = one_sowing("50 seeds, damp paper", *PAPER, (15, "checked x: 29 alive in the tray"))
    tray = stand(s, "72-cell tray")
    assert (s.up.emerged, tray.alive, tray.entered) == (32, 29, 32)


def test_open_tray_pricked_out_in_two_goes_closes():
    _, s = one_sowing(
        "open tray, 250 seeds",
        (8, "checked x: 90 up"),
        (10, "checked x: 172 up, 4 lost"),
        (12, "checked x: 180 up"),
        (14, "pricked out x: 120"),
        (16, "checked x: 66 up, 2 lost"),
        (18, "pricked out x: 48, 18 left"),
        (20, "spare x: 18; allow which-stand"),
    )
    assert s.up.emerged == 192 == s.potted + s.up.count.lost + s.account.spare
    assert (s.potted, s.up.count.lost, s.account.spare) == (168, 6, 18)
    assert s.up.count.standing == 0
    assert s.up.count.closes
    assert share(s) == (77, 71, 82)


def test_thinnings_came_up_too():
    _, s = one_sowing(
        "36 cells, 2 per cell",
        (8, "checked x: 60 seedlings"),
        (10, "thinned x: 26 out"),
        (12, "checked x: 36 seedlings"),
    )
    assert (s.up.emerged, s.sowing.seeds, s.up.estimated) == (62, 72, False)
    assert share(s) == (86, 76, 92)


def test_cells_with_two_seeds_are_estimated():
    _, s = one_sowing(
        "32 cells, 2 per cell",
        (8, "checked x: 30 cells"),
        (10, "checked x: 4 lost (in cells with a twin)"),
        (12, "checked x: 30 cells"),
    )
    assert s.up.cells_up == 30
    # p = 1 - sqrt(1 - 30/32) = .75: group testing, Thompson 1962, from memory
    assert s.up.share.value == pytest.approx(0.75)
    assert s.up.estimated and s.up.emerged == 48


def test_seedlings_beat_cells():
    _, s = one_sowing("32 cells, 2 per cell", (8, "checked x: 31 cells, 50 seedlings"))
    assert (s.up.cells_up, s.up.emerged, s.up.estimated) == (31, 50, False)
    assert share(s) == (78, 67, 86)


def test_a_partial_move_leaves_both_parts_where_sown():
    _, s = one_sowing(
        "50 cells, 1 per cell, on the shelf",
        (8, "checked x: 41 up"),
        (10, "moved x: half (20) to frame"),
        (12, "checked x: 23 up on the shelf"),
    )
    assert s.up.emerged == 43
    assert {(p.place, p.standing) for p in s.account.main.parts} == {("shelf", 23), ("frame", 20)}
    assert s.up.count.taken == 0


def test_deaths_in_the_bed_are_not_germination():
    _, s = one_sowing(
        "128 seeds",
        (8, "checked x: 100 up"),
        (30, "planted out x: 90 to bed 4"),
        (40, "checked x: 30 lost to frost in the bed"),
        (45, "checked x: 60 alive"),
    )
    bed = stand(s, "bed 4")
    assert (s.up.emerged, s.planted, bed.alive, bed.lost, s.alive) == (100, 90, 60, 30, 60)


def test_potted_on_twice_counts_once():
    loaded, s = one_sowing(
        "128 seeds",
        (8, "checked x: 81 up"),
        (20, "potted on x: 78 into 50s"),
        (30, "potted on x: 40 from 50s into 4 in pots"),
    )
    assert (s.up.emerged, s.potted) == (81, 78)
    rows = [(r["plants"], r["from"], r["into"]) for r in tables(loaded)["pottings.csv"]]
    assert rows == [("78", "sown", "50s"), ("40", "50s", "4 in pots")]


def test_winter_survival_leaves_emergence_alone():
    _, s = one_sowing(
        "120 seeds",
        (8, "checked x: 95 up"),
        (190, "planted out x: 90 to bed 3; allow which-stand"),
        (380, "checked x: 71 alive"),
    )
    assert (s.up.emerged, s.planted, s.alive) == (95, 90, 71)


def test_a_tray_of_two_is_a_sample():
    loaded, s = one_sowing(
        "2 x 128s, 1 per cell",
        (8, "checked x: tray 1: 101 of 128"),
        (12, "checked x: 198 of 256"),
    )
    assert s.up.emerged == 198
    assert share(s) == (77, 72, 82)
    assert s.up.half.point is None, "a sample and a count have no half day between them"
    sample = next(r for r in tables(loaded)["checks.csv"] if r["sample_of"])
    assert (sample["up"], sample["sample_of"], sample["emerged_so_far"]) == ("101", "128", "")


# -- as many again, worked by hand


def test_a_fall_nothing_explains_is_missing_and_comes_back_first():
    loaded, s = one_sowing(
        "72 seeds", (8, "checked x: 61 up"), (11, "checked x: 52 up"), (14, "checked x: 54 up")
    )
    assert (s.up.emerged, s.up.count.missing, s.up.at_least) == (61, 7, True)
    assert [f.name for f in loaded.findings] == ["unexplained-fall"]
    _, s = one_sowing(
        "72 seeds", (8, "checked x: 61 up"), (11, "checked x: 52 up"), (14, "checked x: 64 up")
    )
    assert (s.up.emerged, s.up.count.missing, s.up.at_least) == (64, 0, True)


def test_takings_without_a_count_are_evidence():
    _, s = one_sowing("72 seeds", (30, "planted out x: 60 to bed 1"))
    assert (s.up.emerged, s.up.count.standing, s.up.checks) == (60, 0, 0)
    assert s.up.settled and not s.up.in_germination, "no count, so it enters no pooled figure"


def test_a_visit_past_what_was_sown_waits_whole():
    loaded, s = one_sowing(
        "72 seeds",
        (8, "checked x: 70 up"),
        (12, "checked x: 10 lost"),
        (14, "checked x: 70 up\nsold x: 3"),
        (16, "checked x: 61 up"),
    )
    assert (s.up.emerged, s.account.sold, s.left_out) == (71, 0, 2)
    finding = loaded.findings[0]
    assert finding.name == "more-than-sown"
    assert "70 + 10 lost earlier = 80, but 72 were sown" in finding.message


def test_the_highest_count_of_a_day_is_the_check():
    _, s = one_sowing("72 seeds", (8, "checked x: 31 up\nchecked x: 44 up"))
    assert (s.up.emerged, s.up.checks) == (44, 1)


def test_an_unmarked_loss_before_first_up_is_seeds():
    _, s = one_sowing("72 seeds", (5, "checked x: 12 lost to mice"), (9, "checked x: 40 up"))
    assert (s.up.emerged, s.account.seeds_lost, s.up.count.lost) == (40, 12, 0)


def test_lost_whole_to_mice_stays_out_of_germination():
    _, s = one_sowing(
        "72 seeds", (5, "checked x: none up, all lost to mice"), (9, "finished x: mice")
    )
    assert (s.up.emerged, s.up.settled, s.up.in_germination) == (0, True, False)
    _, s = one_sowing("72 seeds", (25, "checked x: none up"), (40, "finished x: nothing came"))
    assert s.up.in_germination and s.outcome == "failed"


def test_half_and_rest_and_all():
    _, s = one_sowing(
        "40 seeds",
        (8, "checked x: 31 up"),
        (20, "potted on x: half into 9 cm pots"),
        (30, "planted out x: all from pots to bed 2"),
        (31, "sold x: rest"),
    )
    # half of 31 is rounded down to 15; the 16 left where sown are the rest
    assert (s.potted, s.planted, s.account.sold, s.good) == (15, 15, 16, 31)


def test_estimates_bound_first_up_and_count_nothing():
    _, s = one_sowing(
        "200 seeds", (4, "checked x: none up"), (7, "checked x: ~60 up"), (12, "checked x: 150 up")
    )
    assert (s.up.emerged, s.up.checks) == (150, 2)
    assert (s.up.first_after, s.up.first_by) == (4, 7)
    assert (s.up.half.after, s.up.half.by) == (4, 12)


def test_all_cells_full_is_at_least():
    _, s = one_sowing("72-cell tray, 2 per cell", (12, "checked x: 72 cells"))
    # 72 of 72 with two seeds each: Wilson's lower limit .9493 turned, 1 - sqrt(1 - .9493) = .7749
    assert s.up.share.low == pytest.approx(0.77494, abs=1e-5)
    assert (s.up.value_known, s.up.emerged, s.up.at_least, s.up.estimated) == (
        False,
        72,
        True,
        True,
    )


def test_cells_of_unknown_filling_have_a_stand_and_no_germination():
    _, s = one_sowing("72-cell tray", (12, "checked x: 58"))
    assert s.sowing.seeds is None and s.up.share is None
    assert (s.up.emerged, s.up.counted_in) == (58, "cells")
    assert s.up.cell_share.value == pytest.approx(58 / 72)


def test_runts_spare_and_left_close_the_tray():
    _, s = one_sowing(
        "128-cell tray, 1 per cell",
        (8, "checked x: 110 up"),
        (24, "pricked out x: 90 into 72s, 6 runts, 4 spare, 10 left"),
    )
    c = s.up.count
    assert (c.emerged, c.taken, c.lost, c.standing, c.missing) == (110, 94, 6, 10, 0)
    assert s.good == 4 and s.good_so_far


def test_spare_beside_a_planting_comes_from_where_the_planting_came():
    """Never counted: 41 planted and 3 spare show that 44 came up; none of them leaves the bed."""
    _, s = one_sowing(
        "50 seeds",
        (9, "checked x: first seen"),
        (40, "planted out x: 41 to bed 4, 3 spare"),
        (60, "checked x: 41 alive in bed 4"),
    )
    assert (s.up.emerged, s.account.spare, s.good, stand(s, "bed 4").alive) == (44, 3, 44, 41)


def test_two_plantings_in_one_line():
    loaded, s = one_sowing(
        "128 seeds",
        (8, "checked x: 100 up"),
        (
            40,
            "planted out x: 60 to bed 4 at 9 in x 9 in, 4 rows, 30 to bed 5 at 6 in, 5 rows, 10 spare",
        ),
    )
    rows = tables(loaded)["plantings.csv"]
    assert [(r["bed"], r["plants"], r["rows"], r["in_row_cm"]) for r in rows] == [
        ("bed 4", "60", "4", "22.86"),
        ("bed 5", "30", "5", "15.24"),
    ]
    # 60 plants at 22.86 cm in 4 rows: 60 x 22.86 / 4 = 342.9 cm
    assert rows[0]["length_m"] == "3.43"
    assert s.good == 100


def test_a_bed_and_then_its_number_of_plants_is_one_planting():
    _, s = one_sowing(
        "128 seeds",
        (8, "checked x: 100 up"),
        (40, "planted out x: bed 2, 78 plants, 9 in apart, 4 rows"),
    )
    (planting,) = s.account.plantings
    assert (planting.plants, planting.bed, planting.rows) == (78, "bed 2", 4)
    assert planting.spacing_mm == pytest.approx(228.6)


def test_cells_and_seedlings_in_a_mapping_are_two_tallies():
    loaded, s = one_sowing("36 cells, 2 per cell", (8, "checked x:\n  cells: 33\n  seedlings: 56"))
    assert loaded.findings == ()
    assert (s.up.cells_up, s.up.emerged, s.up.counted_in) == (33, 56, "seedlings")


def test_settled_after_two_quiet_counts_past_the_give_up_day():
    crops = {"crops": "x:\n  days to sprout: 7-14\n"}
    # half = sqrt(98) = 9.90, t90 = 9.90 x 9^(1/8) = 13.03, given up at 26.06 -> 27
    _, s = one_sowing("72 seeds", (20, "checked x: 50 up"), (28, "checked x: 50"), **crops)
    assert s.up.give_up == 27 and not s.up.settled, "the earlier count came before the give-up day"
    _, s = one_sowing(
        "72 seeds", (28, "checked x: 50 up"), (30, "checked x: 50"), (33, "checked x: 50"), **crops
    )
    assert s.up.settled
    _, s = one_sowing("72 seeds", (28, "checked x: 50 up"), (33, "checked x: 51"), **crops)
    assert not s.up.settled


def test_the_five_looks_of_the_trade_notes():
    """Cumulative 5, 24, 45, 57, 60 of 72 on days 6, 8, 10, 13, 17, worked by hand:
    half 8 + 2 x 6/21 = 8.57, mean (5x6 + 19x8 + 21x10 + 12x13 + 3x17)/60 = 9.98."""
    looks = ((6, 5), (8, 24), (10, 45), (13, 57), (17, 60))
    _, s = one_sowing("72 seeds", *((d, f"checked x: {n} up") for d, n in looks))
    assert share(s)[0] == 83
    assert s.up.half.point == pytest.approx(8 + 2 * 6 / 21)
    assert s.up.mean == pytest.approx(599 / 60)
    assert (s.up.first_after, s.up.first_by) == (0, 6)


def test_season_is_the_year_of_the_first_cut():
    late = {"crops": "x:\n  sown late for next year: yes\n"}
    for day, sown_late, season in ((183, True, 2026), (184, True, 2027), (184, False, 2026)):
        # day 183 after 1 March 2026 is 31 August, 184 is 1 September
        texts = late if sown_late else {}
        from kit import DAY0, dt, farm_figures, load_texts

        on = DAY0 + dt.timedelta(days=day)
        files = {f"entries/{on}.md": "sown x-26-1: 72 seeds\n"} | {
            f"entries/{n}.yaml": t for n, t in texts.items()
        }
        s = farm_figures(load_texts(files).kept).sowings["x-26-1"]
        assert s.sowing.season == season


def test_harvest_by_crop_goes_to_the_only_planted_sowing():
    _, s = one_sowing(
        "72 seeds",
        (8, "checked x: 60 up"),
        (40, "planted out x: 50 to bed 1"),
        (90, "harvested x: 5 bunches of 10, 4 over, 3 rejected"),
        (97, "harvested x: 60 stems, of which 10 rejected"),
    )
    assert (s.cut.stems, s.cut.rejected, s.cut.at_least) == (54 + 50, 13, False)
    assert s.stems_per_plant == pytest.approx(104 / 50)
