"""The wheel, installed away from the repository, in a farm folder of its own."""

from __future__ import annotations

import csv
import datetime as dt
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

from conftest import ROOT, TWO_YEARS, make
from traybook.exports.tables import own_tables, shared_tables
from traybook.pipeline import load
from traybook.rollup.farm import farm_figures

DAY = dt.date(2026, 6, 1)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Built with the locked tools, with no network."""
    out = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "wheel", "--quiet"]
    subprocess.run(
        [*pip, "--no-build-isolation", "--no-deps", "--no-index", "-w", str(out), str(ROOT)],
        check=True,
    )
    (made,) = out.glob("traybook-*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> Path:
    """A fresh environment: Traybook from the wheel, its libraries from where the tests run."""
    folder = tmp_path_factory.mktemp("env")
    venv.create(folder, with_pip=False)
    bin_ = folder / ("Scripts" if os.name == "nt" else "bin")
    python = next(p for p in (bin_ / "python", bin_ / "python.exe") if p.exists())
    site = Path(
        subprocess.run(
            [python, "-c", "import sysconfig; print(sysconfig.get_paths()['purelib'])"],
            check=True, capture_output=True, text=True,
        ).stdout.strip()
    )  # fmt: skip
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(site)
    # the editable install of the environment that runs the tests is on no path here, only its libraries are
    (site / "libraries.pth").write_text(sysconfig.get_paths()["purelib"] + "\n", encoding="utf-8")
    return python


def run(python: Path, folder: Path, *args: str) -> subprocess.CompletedProcess[str]:
    command = [str(python), "-m", "traybook.cli.main", *args]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


def test_the_wheel_holds_what_it_needs(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    for name in (
        "traybook/site_templates/theme/css/traybook.css",
        "traybook/site_templates/theme/main.html",
        "traybook/site_templates/pages/sowing.html.jinja",
        "traybook/journal/how-to-write-entries.md",
        "traybook/findings/cases/unknown-code.md",
    ):
        assert name in names
    assert not [n for n in names if "entries/" in n and "how-to" not in n], "the demo stays at home"


def test_a_farm_folder_elsewhere(installed, tmp_path):
    folder = make(tmp_path / "farm", TWO_YEARS)
    where = subprocess.run(
        [str(installed), "-c", "import traybook; print(traybook.__file__)"],
        cwd=folder, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    assert str(ROOT) not in where

    proof = run(installed, folder, "proof", "--as-of", str(DAY), "--as", "short")
    assert proof.returncode == 1, proof.stderr
    assert "entries/2026-03-14.md:3:9: error: no sowing has the code `stock-26-7`" in proof.stdout

    for args, own in (([], False), (["--own"], True)):
        out = tmp_path / f"tables{own}"
        assert (
            run(
                installed, folder, "export", "--to", str(out), "--as-of", str(DAY), *args
            ).returncode
            == 0
        )
        loaded = load(folder, DAY, own=own)
        figures = farm_figures(loaded.kept)
        want = (
            own_tables(figures, loaded.findings) if own else shared_tables(figures, loaded.findings)
        )
        assert {p.name: p.read_text("utf-8") for p in out.iterdir()} == want

    made = run(installed, folder, "site", "--as-of", str(DAY))
    assert made.returncode == 0, made.stderr
    assert (folder / "site/sowings/stock-25-1.html").is_file()
    rows = list(csv.DictReader((folder / "site/data/sowings.csv").read_text("utf-8").splitlines()))
    assert [r["code"] for r in rows] == ["stock-25-1", "zinnia-25-1", "stock-26-1"]

    why = run(installed, folder, "why", "unknown-code")
    assert why.returncode == 0 and "No sowing has this code" in why.stdout


def test_folders_that_cannot_be_used_get_one_sentence_and_2(installed, tmp_path):
    for args in (("proof",), ("export", "--to", "out"), ("site",)):
        got = run(installed, tmp_path, *args)
        assert got.returncode == 2 and got.stdout == ""
        assert got.stderr.count("\n") == 1 and "Traceback" not in got.stderr
    folder = make(tmp_path / "farm", TWO_YEARS)
    (folder / "taken").write_text("a file", encoding="utf-8")
    for args in (("export", "--to", "taken/here"), ("site", "--to", "taken"), ("proof", "--as-of", "2026-02-30"),
                 ("why", "no-such-finding"), ("export",)):  # fmt: skip
        got = run(installed, folder, *args)
        assert got.returncode == 2 and "Traceback" not in got.stderr, args
    assert (folder / "taken").read_text("utf-8") == "a file"
