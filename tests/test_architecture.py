"""What keeps the house in order: layers, size of modules, who touches the disk and the clock."""

import ast
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from importlinter.cli import EXIT_STATUS_SUCCESS, lint_imports

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "builder" / "traybook"
MODULES = sorted(PACKAGE.rglob("*.py"))

MOST_LINES = 400

TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml", "requirements.lock",
    "requirements-test.lock", "Makefile", "mkdocs.yml", ".ci", ".gitignore", "journal", "entries",
    "builder", "site_templates", "tests", "bench",
}  # fmt: skip

# Only files touches the disk and the clock.
DOOR = "files"
# These are handed folders and pass them on to files.
HOLDS_PATHS = {"cli", "pipeline", "site"}

DISK_MODULES = {
    "fcntl", "fileinput", "filecmp", "glob", "importlib.resources", "linecache", "mmap", "os",
    "pkgutil", "shelve", "shutil", "socket", "sqlite3", "subprocess", "tempfile", "urllib.request",
    "zipfile",
}  # fmt: skip
DISK_METHODS = {
    "chmod", "exists", "expanduser", "glob", "hardlink_to", "is_dir", "is_file", "is_symlink",
    "iterdir", "lstat", "mkdir", "open", "read_bytes", "read_text", "readlink", "rglob", "rmdir",
    "samefile", "stat", "symlink_to", "touch", "unlink", "write_bytes", "write_text",
}  # fmt: skip
CLOCK_METHODS = {"now", "today", "utcnow"}
PURE_PATHS = {"PurePath", "PurePosixPath", "PureWindowsPath"}
# Stopwatches: they tell no date.
STOPWATCHES = {"monotonic", "perf_counter", "process_time"}


def package_of(module: Path) -> str:
    """The part of traybook that a module belongs to: `ledger` for ledger/stands.py."""
    return module.relative_to(PACKAGE).with_suffix("").parts[0]


def name_of(module: Path) -> str:
    return module.relative_to(ROOT).as_posix()


def imports(tree: ast.AST) -> Iterator[tuple[ast.stmt, str, str]]:
    """(statement, module, name taken from it or "") of each import."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node, alias.name, "") for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            yield from ((node, node.module or "", alias.name) for alias in node.names)


def names_from_files(tree: ast.AST) -> set[str]:
    """Names by which a module calls what traybook.files offers."""
    return {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
        if f"{node.module}.{alias.name}.".startswith(f"traybook.{DOOR}.")
    }


def import_is_outside(package: str, module: str, name: str) -> bool:
    may_hold_paths = package in HOLDS_PATHS
    if module == "pathlib":
        return not may_hold_paths and name not in PURE_PATHS
    if module == "os" and may_hold_paths:
        return name not in {"environ", "fspath", "PathLike"}
    if module == "time":
        return name not in STOPWATCHES
    if (module, name) == ("io", "open"):
        return True
    return not {module, module.partition(".")[0], f"{module}.{name}"}.isdisjoint(DISK_MODULES)


def call_is_outside(call: ast.Call, ours: set[str]) -> bool:
    if isinstance(call.func, ast.Name):
        return call.func.id == "open" and "open" not in ours
    if not isinstance(call.func, ast.Attribute):
        return False
    base = call.func.value
    if isinstance(base, ast.Name) and base.id in ours:
        return False
    return call.func.attr in DISK_METHODS | CLOCK_METHODS


def reaches_outside(source: str, package: str) -> list[int]:
    """Lines on which a module of `package` touches the disk or asks for today's date."""
    if package == DOOR:
        return []
    tree = ast.parse(source)
    ours = names_from_files(tree)
    lines = {
        node.lineno
        for node, module, name in imports(tree)
        if import_is_outside(package, module, name)
    }
    calls = (node for node in ast.walk(tree) if isinstance(node, ast.Call))
    return sorted(lines | {call.lineno for call in calls if call_is_outside(call, ours)})


def test_layers_and_doors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert lint_imports(no_cache=True) == EXIT_STATUS_SUCCESS


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_module_is_short(module: Path) -> None:
    assert len(module.read_text("utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize("module", [m for m in MODULES if m.stem == "__init__"], ids=name_of)
def test_init_holds_a_docstring_only(module: Path) -> None:
    tree = ast.parse(module.read_text("utf-8"))
    assert ast.get_docstring(tree)
    assert len(tree.body) == 1


def test_every_folder_of_modules_is_a_package() -> None:
    # The layers don't see a folder without __init__.py.
    folders = {module.parent for module in MODULES}
    assert [name_of(f) for f in sorted(folders) if not (f / "__init__.py").exists()] == []


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_only_files_touches_disk_and_clock(module: Path) -> None:
    assert reaches_outside(module.read_text("utf-8"), package_of(module)) == []


@pytest.mark.parametrize(
    "line",
    [
        "open('x')",
        "path.read_text()",
        "path.open()",
        "import os",
        "import os.path",
        "from os import path",
        "import shutil, re",
        "from importlib import resources",
        "from importlib.resources import files",
        "from pathlib import Path",
        "import pathlib",
        "from io import open",
        "import time",
        "from time import time",
        "date.today()",
        "datetime.datetime.now()",
    ],
)
def test_a_reach_for_disk_or_clock_is_seen(line: str) -> None:
    assert reaches_outside(line, "ledger") == [1]


@pytest.mark.parametrize(
    ("line", "package"),
    [
        ("import os, shutil, time; open('x')", "files"),
        ("from pathlib import Path; Path(folder)", "cli"),
        ("from os import environ", "site"),
        ("from pathlib import PurePosixPath", "records"),
        ("from datetime import date; date(2026, 1, 2)", "ledger"),
        ("from io import StringIO", "exports"),
        ("from time import perf_counter", "site"),
        ("from traybook.files import clock; clock.today()", "cli"),
    ],
)
def test_what_is_allowed_is_left_alone(line: str, package: str) -> None:
    assert reaches_outside(line, package) == []


@pytest.mark.skipif(not (ROOT / ".git").exists(), reason="not a checkout")
def test_top_level_holds_nothing_else() -> None:
    # safe.directory: a clone may belong to someone else than who runs the tests.
    git = ["git", "-c", "safe.directory=*", "-C", str(ROOT), "ls-files", "-z"]
    listed = subprocess.run(
        [*git, "--cached", "--others", "--exclude-standard"], check=True, capture_output=True
    )
    paths = listed.stdout.decode().split("\0")
    assert {path.split("/")[0] for path in paths if path} <= TOP_LEVEL
