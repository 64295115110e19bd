"""Published data through the real road: day files on disk in, tables out."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections import Counter

import pytest
from scipy import stats
from scipy.optimize import brentq
from statsmodels.stats.proportion import proportion_confint

from conftest import ROOT, TWO_YEARS
from oracle.farm import generate
from oracle.write import write
from outside import data, made
from outside.road import put, rows_of, texts_of, travel
from outside.spelling import SPELLINGS, by_day
from outside.sums import apart
from traybook.findings.model import Weight
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures

AS_OF = dt.date(2029, 1, 1)
LINES = SPELLINGS["lines in a fence"]
#: The batches are varieties of the root, where the plates are sown so.
VARIETIES = {
    "entries/crops.yaml": b"bean:\n  varieties: [O75, O73]\ncucumber:\n  varieties: [O75, O73]\n"
}
FARMS = {
    "chickweed": (data.chickweed_acts, {}),
    "orobanche": (data.orobanche_acts, {}),
    "orobanche as varieties": (lambda: data.orobanche_acts(varieties=True), VARIETIES),
}


def files_of(name: str, spelling: str = "lines in a fence") -> dict[str, bytes]:
    acts, settings = FARMS[name]
    return SPELLINGS[spelling](by_day(acts())) | settings


@pytest.fixture(scope="module")
def chickweed_texts(tmp_path_factory):
    texts, findings = travel(tmp_path_factory.mktemp("chickweed"), files_of("chickweed"), AS_OF)
    assert findings == ()
    return texts


@pytest.fixture(scope="module")
def chickweed(chickweed_texts):
    (row,) = rows_of(chickweed_texts)["sowings.csv"]
    return row


def hours(row: dict[str, str], *columns: str) -> tuple[float, ...]:
    """A day in the farm is half an hour of the experiment."""
    return tuple(float(row[column]) / 2 for column in columns)


def test_chickweed_came_up(chickweed):
    # source: Ritz, Pipper & Streibig 2013, Eur. J. Agron. 45, 1-6: 40 of 200 after 34 inspections
    assert (chickweed["seeds"], chickweed["emerged"], chickweed["checks"]) == ("200", "40", "34")
    assert chickweed["settled"] == chickweed["in_germination"] == "true"
    # source: statsmodels 0.15.0 and scipy 1.17.1 agree, computed by ourselves
    low, high = proportion_confint(40, 200, method="wilson")
    other = stats.binomtest(40, 200).proportion_ci(0.95, "wilson")
    assert (low, high) == pytest.approx((other.low, other.high))
    assert chickweed["germination"] == "0.2000"
    assert chickweed["germination_low"] == f"{low:.4f}" == "0.1505"
    assert chickweed["germination_high"] == f"{high:.4f}" == "0.2609"


def test_chickweed_took_its_time(chickweed):
    # source: intervals of the data set; the points in them by hand and in plain Python
    assert hours(chickweed, "first_up_after", "first_up_by") == (133, 143)
    assert hours(chickweed, "half_after", "half_by") == (192.5, 200.5)
    # T50 of Farooq et al. 2005, J. Integr. Plant Biol. 47, 187-193: 192.5 + 8 x (20 - 15)/11
    assert hours(chickweed, "half_day") == pytest.approx((196.136364,), abs=0.0025)
    # tenth in (176.5, 182.5], where 2 became 5; ninetieth in (206.5, 216.5], where 32 became 37
    assert hours(chickweed, "tenth_day", "ninetieth_day") == (180.5, 214.5)
    assert hours(chickweed, "mean_days") == (200.275,)
    assert hours(chickweed, "evenness_days") == (34,)


def test_chickweed_before_it_is_rounded(tmp_path):
    loaded = load(put(tmp_path, files_of("chickweed")), AS_OF)
    up = farm_figures(loaded.kept).sowings["chickweed-26-1"].up
    assert up.half.point / 2 == pytest.approx(196.136364, abs=5e-7)
    assert up.mean / 2 == pytest.approx(200.275, abs=1e-9)
    assert (up.tenth.after / 2, up.tenth.by / 2) == (176.5, 182.5)
    assert (up.ninetieth.after / 2, up.ninetieth.by / 2) == (206.5, 216.5)


def test_chickweed_look_by_look(chickweed_texts):
    # source: the second copy of the data, drc/chickweed0, which holds the counts so far
    rows = rows_of(chickweed_texts)["checks.csv"]
    assert len(rows) == 34
    assert [
        (float(r["day"]) / 2, int(r["emerged_so_far"])) for r in rows
    ] == data.chickweed_running()
    assert [int(r["up"]) for r in rows] == [n for _, n in data.chickweed_running()]


def test_chickweed_looked_at_less_often(tmp_path):
    """Without the empty looks the gaps grow; the counts and the mean stay."""
    acts = data.chickweed_acts()
    told = [
        a for i, a in enumerate(acts) if a.verb != "checked" or a.up > acts[i - 1].up or a.up == 40
    ]
    texts, _ = travel(tmp_path, LINES(by_day(told)), AS_OF)
    (row,) = rows_of(texts)["sowings.csv"]
    assert row["emerged"] == "40" and hours(row, "mean_days") == (200.275,)
    assert hours(row, "first_up_after", "first_up_by") == (0, 143)
    # by hand: 2 at 143 and 5 at 182.5, so the fourth at 143 + 39.5 x 2/3
    assert hours(row, "tenth_day") == pytest.approx((169.333,), abs=0.0025)


@pytest.fixture(scope="module")
def plates(tmp_path_factory):
    """Tables of Crowder's plates as four crops."""
    texts, findings = travel(tmp_path_factory.mktemp("plates"), files_of("orobanche"), AS_OF)
    assert findings == ()
    return texts


# source: Crowder 1978, Appl. Statist. 27, 34-37, table 3: germinated and sown of the four cells
CELLS = {
    "o75 bean": (99, 272),
    "o75 cucumber": (201, 295),
    "o73 bean": (49, 123),
    "o73 cucumber": (75, 141),
}
# source: the same table added up by root
ROOTS = {"bean": (148, 395), "cucumber": (276, 436)}
WHOLE = (424, 831)


def test_orobanche_plate_by_plate(plates):
    rows = rows_of(plates)["sowings.csv"]
    assert len(rows) == 21
    seen = Counter((r["crop"].casefold(), int(r["emerged"]), int(r["seeds"])) for r in rows)
    assert seen == Counter((f"{s} {r}".casefold(), y, n) for s, r, y, n in data.orobanche())
    for row in rows:
        y, n = int(row["emerged"]), int(row["seeds"])
        low, high = proportion_confint(y, n, method="wilson")
        other = stats.binomtest(y, n).proportion_ci(0.95, "wilson")
        assert row["germination"] == f"{y / n:.4f}"
        for one, two in ((low, high), (other.low, other.high)):
            assert row["germination_low"] == f"{abs(one):.4f}"
            assert row["germination_high"] == f"{two:.4f}"
        assert row["in_germination"] == "true" and row["germination_estimated"] == "false"
    (none,) = [r for r in rows if r["emerged"] == "0"]
    assert (none["seeds"], none["germination"], none["germination_low"]) == (
        "4",
        "0.0000",
        "0.0000",
    )
    # source: statsmodels 0.15.0, computed by ourselves: 0 of 4, 0-.4899
    assert none["germination_high"] == "0.4899"


def test_orobanche_cell_by_cell(plates):
    tables = rows_of(plates)
    for rows in (tables["sowings.csv"], tables["crops.csv"]):
        up, seeds = Counter(), Counter()
        for row in rows:
            up[row["crop"].casefold()] += int(row["emerged"])
            seeds[row["crop"].casefold()] += int(row["seeds"])
        assert {crop: (up[crop], seeds[crop]) for crop in up} == CELLS
        assert (up.total(), seeds.total()) == WHOLE
    for row in tables["crops.csv"]:
        y, n = CELLS[row["crop"].casefold()]
        assert row["germination"] == f"{y / n:.4f}"
    # source: shares of the cells, Crowder's table by ourselves: .3640 .6814 .3984 .5319
    assert sorted(r["germination"] for r in tables["crops.csv"]) == [
        "0.3640", "0.3984", "0.5319", "0.6814",
    ]  # fmt: skip


def test_orobanche_batches_as_varieties(tmp_path):
    texts, findings = travel(tmp_path, files_of("orobanche as varieties"), AS_OF)
    assert findings == ()
    tables = rows_of(texts)
    up, seeds = Counter(), Counter()
    for row in tables["sowings.csv"]:
        up[f"{row['variety']} {row['crop']}".casefold()] += int(row["emerged"])
        seeds[f"{row['variety']} {row['crop']}".casefold()] += int(row["seeds"])
    assert {cell: (up[cell], seeds[cell]) for cell in up} == CELLS
    crops = {r["crop"]: (int(r["emerged"]), int(r["seeds"])) for r in tables["crops.csv"]}
    assert crops == ROOTS


@pytest.fixture(scope="module")
def plainly(tmp_path_factory):
    """sowings.csv of each farm in the first spelling."""
    folder = tmp_path_factory.mktemp("plainly")
    return {
        name: travel(folder / name.replace(" ", "-"), files_of(name), AS_OF)[0]["sowings.csv"]
        for name in FARMS
    }


@pytest.mark.parametrize("spelling", SPELLINGS)
@pytest.mark.parametrize("name", FARMS)
def test_the_same_in_other_words(name, spelling, plainly, tmp_path):
    """No column of sowings.csv hangs on files, so not a byte may differ."""
    texts, findings = travel(tmp_path, files_of(name, spelling), AS_OF)
    assert texts["sowings.csv"] == plainly[name]
    if spelling != "notebook":
        assert findings == ()


@pytest.mark.parametrize("name", ["notebook.md", "2026-03.md"])
def test_a_notebook_is_no_error(name, tmp_path):
    lines = "sown aster-26-1: 60 seeds, on 2026-03-01\nchecked aster-26-1: 20 up, on 2026-03-11\n"
    _, findings = travel(tmp_path, {f"entries/{name}": lines.encode()}, AS_OF)
    assert [f for f in findings if f.weight is Weight.ERROR] == []


def made_farm(folder, own):
    return load(put(folder, made.files()), made.AS_OF, own=own)


def two_years_farm(folder, own):
    files = {name: text.encode() for name, text in TWO_YEARS.items()}
    return load(put(folder, files), dt.date(2026, 6, 1), own=own)


def demo_farm(_folder, own):
    return load(ROOT, dt.date(2026, 12, 31), own=own)


def random_farm(seed):
    def farm(folder, own):
        write(generate(seed), folder, seed)
        return load(folder, dt.date(2026, 11, 1), own=own)

    return farm


@pytest.mark.parametrize("own", [False, True], ids=["shared", "own"])
@pytest.mark.parametrize(
    "farm",
    [made_farm, two_years_farm, demo_farm, *map(random_farm, range(100, 105))],
    ids=["made", "two years", "demo", *(f"random {n}" for n in range(100, 105))],
)
def test_crops_are_the_sums_of_sowings(farm, own, tmp_path):
    texts = texts_of(farm(tmp_path, own))
    rows = rows_of(texts)
    assert rows["crops.csv"], "there is something to add"
    assert apart(texts["sowings.csv"], texts["crops.csv"]) == []
    # every share holds its value, and none is left empty but where only its lower end is known
    for r in rows["crops.csv"]:
        if r["germination_low"]:
            low, high = float(r["germination_low"]), float(r["germination_high"])
            assert low <= float(r["germination"] or high) <= high
            assert r["germination"] or high == 1.0 or int(r["emerged"]) > int(r["seeds"])
    # and a sowing's stems are those of its harvests
    cut = Counter()
    for row in csv.DictReader(io.StringIO(texts["harvests.csv"])):
        cut[row["code"]] += int(row["stems"] or 0)
    assert {r["code"]: int(r["stems"] or 0) for r in rows["sowings.csv"]} == {
        r["code"]: cut[r["code"]] for r in rows["sowings.csv"]
    }


@pytest.mark.parametrize(("own", "want"), [(False, made.BY_HAND), (True, made.OWN)])
def test_the_made_farm_by_hand(own, want, tmp_path):
    loaded = made_farm(tmp_path, own)
    assert loaded.findings == ()
    rows = rows_of(texts_of(loaded))["crops.csv"]
    columns = ("sowings", "seeds", "emerged", "good", "planted_out", "stems")
    got = {
        (r["crop"], r["season"], r["measure"]): (
            *(int(r[c]) for c in columns),
            r["stems_per_plant"],
        )
        for r in rows
    }
    assert got == want
    (cells,) = [
        r for r in rows if (r["crop"], r["season"], r["measure"]) == ("stock", "2026", "up")
    ]
    p, rho = brentq(made.stock_score, 0.01, 0.99, args=(float(cells["spread"]),)), cells["spread"]
    assert cells["germination"] == f"{p:.4f}", f"60 of 72 seeds and 64 of 72 cells of two, at {rho}"
    if not own:
        for column, hand in (("good_share", made.GOOD_SHARE), ("half_day", made.HALF_DAY)):
            by_key = {(r["crop"], r["season"], r["measure"]): r[column] for r in rows}
            assert {key: by_key[key] for key in hand} == hand
