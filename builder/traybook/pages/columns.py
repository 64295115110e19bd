"""What the columns of the tables mean, for readers."""

from __future__ import annotations

from traybook.pages.addresses import COLUMNS_FILE, COLUMNS_PAGE, FIGURES
from traybook.pages.model import Block, Link, Page, cell, table
from traybook.rollup.columns import COLUMNS, ROWS, Column
from traybook.text.names import slug

_FORMS = {
    "text": "text",
    "date": "date, as 2026-03-14",
    "year": "year",
    "yes/no": "true or false",
    "count": "whole number",
    "number": "number",
    "share": "share from 0 to 1",
    "days": "days",
}


def columns_page(own: bool) -> Page:
    """Every table with its columns; findings.csv in the own build only."""
    return Page(
        template="list",
        address=COLUMNS_PAGE,
        title="What the columns mean",
        lead=(
            "The tables are CSV in UTF-8 with a row of names. What is not known is empty, never nought.",
            "Shares have four decimals, days two.",
        ),
        blocks=tuple(_block(name) for name in COLUMNS if own or name != "findings.csv"),
        links=(
            Link("The same for machines (JSON)", COLUMNS_FILE),
            Link("How figures are worked out", FIGURES),
        ),
    )


def _block(name: str) -> Block:
    rows = tuple((cell(c.name), cell(c.meaning), cell(_form(c))) for c in COLUMNS[name])
    body = table(f"Columns of {name}", ("Column", "Meaning", "Form"), rows)
    return Block(name, slug(name), (ROWS[name].capitalize() + ".",), body)


def _form(column: Column) -> str:
    form = ", ".join(column.words) if column.words else _FORMS[column.form]
    return form + (", always filled" if column.filled else "")
