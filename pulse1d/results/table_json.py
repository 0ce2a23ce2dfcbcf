"""Tables as one JSON object."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from pulse1d.results.table import SCHEMA, Table


def write_json(tables: Sequence[Table], path: Path, about: Mapping[str, str]) -> None:
    """Write ``{"schema", "about", "tables": [{"name", "title", "fields", "rows"}]}``.

    Each field: ``name``, ``unit``, ``meaning``; each row: its cells in the order of the fields,
    null where nothing can be told.

    Parameters
    ----------
    tables : sequence of Table   [SI]
    path : Path   [-]
    about : mapping   Where the tables come from [-]
    Source      RFC 8259
    """
    record = {
        "schema": SCHEMA,
        "about": dict(about),
        "tables": [
            {
                "name": table.name,
                "title": table.title,
                "fields": [
                    {"name": field.name, "unit": field.unit, "meaning": field.meaning}
                    for field in table.fields
                ],
                "rows": table.rows,
            }
            for table in tables
        ],
    }
    with path.open("x", encoding="utf-8") as file:
        json.dump(record, file, ensure_ascii=False, allow_nan=False)
        file.write("\n")
