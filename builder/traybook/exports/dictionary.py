"""The data dictionary for machines: every table's columns with type and constraints."""

from __future__ import annotations

import json
from typing import Any

from traybook.rollup.columns import COLUMNS, ROWS, Column

#: Form of a column -> its type and what holds for every value, in the open Table Schema's words.
_TYPES: dict[str, dict[str, Any]] = {
    "text": {"type": "string"},
    "date": {"type": "date", "format": "%Y-%m-%d"},
    "year": {"type": "year"},
    "yes/no": {"type": "boolean", "trueValues": ["true"], "falseValues": ["false"]},
    "count": {"type": "integer", "constraints": {"minimum": 0}},
    "number": {"type": "number"},
    "share": {"type": "number", "constraints": {"minimum": 0, "maximum": 1}},
    "days": {"type": "number", "unit": "days"},
}


def columns_json() -> str:
    """All tables as one JSON text.

    A table's `fields` follow the open Table Schema: name, description, type, format, constraints.
    """
    tables = [
        {
            "name": name.removesuffix(".csv"), "path": name, "description": ROWS[name],
            "schema": {"fields": [_field(c) for c in columns], "missingValues": [""]},
        }
        for name, columns in COLUMNS.items()
    ]  # fmt: skip
    about = {
        "description": "UTF-8 CSV with a header row, lines ended by a line feed. Text that begins with = + - @ "
        "or ' has one ' in front.",
        "tables": tables,
    }
    return json.dumps(about, indent=1, ensure_ascii=False) + "\n"


def _field(column: Column) -> dict[str, Any]:
    kind = _TYPES.get(column.form, {"type": "string", "constraints": {"enum": list(column.words)}})
    limits = dict(kind.get("constraints", {})) | ({"required": True} if column.filled else {})
    rest = {k: v for k, v in kind.items() if k != "constraints"}
    field = {"name": column.name, "description": column.meaning, **rest}
    return field | ({"constraints": limits} if limits else {})
