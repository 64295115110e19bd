"""What the tool brings along: templates, theme and manual pages, installed or in the repository."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def brought(name: str) -> Path:
    """A folder of the tool's own (`site_templates` or `journal`)."""
    inside = _PACKAGE / name
    return inside if inside.is_dir() else _PACKAGE.parent.parent / name


def theme_folder() -> Path:
    """Theme overrides, styles and scripts; everything in it is published."""
    return brought("site_templates") / "theme"


def page_templates() -> dict[str, str]:
    """The Jinja templates of pages, by file name."""
    folder = brought("site_templates") / "pages"
    return {p.name: p.read_text(encoding="utf-8") for p in sorted(folder.glob("*.jinja"))}


def chart_library() -> Path:
    """The chart script that the plotly package carries; the package itself isn't loaded."""
    spec = find_spec("plotly")
    assert spec is not None
    assert spec.submodule_search_locations
    return Path(spec.submodule_search_locations[0]) / "package_data" / "plotly.min.js"


def manual_pages() -> dict[str, Path]:
    """The hand-written pages of the manual, by file name."""
    return {p.name: p for p in sorted(brought("journal").glob("*.md"))}


def journal_of(farm: Path) -> Path:
    """The farm's own journal/ if it has one, else the manual pages the tool brings."""
    own = farm / "journal"
    return own if own.is_dir() else brought("journal")


def config_of(farm: Path) -> Path | None:
    """The farm's mkdocs.yml, if there is one."""
    path = farm / "mkdocs.yml"
    return path if path.is_file() else None


def handbook_texts() -> tuple[str, str, str]:
    """The handbook's texts: the table of kinds and what is disputed as CSV, the cautions."""
    folder = _PACKAGE / "handbook"
    kinds, disputed, cautions = (
        (folder / name).read_text(encoding="utf-8")
        for name in ("crops.csv", "disputed.csv", "cautions.md")
    )
    return kinds, disputed, cautions
