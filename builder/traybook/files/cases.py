"""The explanation of a finding, from the package's own data."""

from __future__ import annotations

from importlib import resources


def read_case(name: str) -> str | None:
    """The Markdown of a finding's case file; None if there is no finding of that name."""
    if not name.replace("-", "").isalnum():
        return None
    case = resources.files("traybook.findings") / "cases" / f"{name}.md"
    return case.read_text(encoding="utf-8") if case.is_file() else None
