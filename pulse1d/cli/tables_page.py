"""The page that lists every table; run ``python -m pulse1d.cli.tables_page`` to write it anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pulse1d.cli.catalogue import CATALOGUE
from pulse1d.results.sheet import Sheet

SHIPPED = Path(__file__).parents[1] / "TABLES.md"

HEAD = """# Tables

`--export FILE` writes the tables behind an answer for other programs; every verb below has it. The ending says how. A file that exists is left alone, and what is written is written whole or not at all.

| ending | what it becomes |
| --- | --- |
| `.csv` | RFC 4180, UTF-8, a file a table: `FILE.csv` where there is one, else `FILE-name.csv`; headings such as `loss [Pa]` |
| `.parquet` | a file a table, named likewise; `units` and `long_name` in each field's metadata (`pip install "pulse1d[parquet]"`) |
| `.nc` | one NetCDF-4 file, a group a table, `units` and `long_name` of each variable |
| `.json` | one object: `schema` (`pulse1d tables 1`), `about`, `tables` of `name`, `title`, `fields`, `rows` |

Values are SI with all their digits, apart from crank angles in degrees and engine speeds in rev/min (`1/min`), as everyone has them. Dimensionless columns have the unit `1`: shares and gains are ratios, not per cent. Where units differ from row to row (`SI`, `own`), the row names them. Columns without a unit are texts. An empty cell (null; in NetCDF not a number, or an empty text) is something that cannot be told, was not asked for, or has no limit. Flags are true or false.

Version, verb, and name and SHA-256 of the files that were read stand in the object `about`, in the attributes of the NetCDF file and in the metadata of each Parquet file. CSV has no place for them.

A text that a spreadsheet could take for a formula (`=`, `+`, `-`, `@`, tab or line end in front, behind blanks or apostrophes too) gets an apostrophe before it in CSV, and only there; strip one apostrophe where such a sign follows it to have the text back.

```python
import xarray

ports = xarray.open_dataset("FILE.nc", group="ports").to_dataframe()
ports["flow"], xarray.open_dataset("FILE.nc", group="ports")["flow"].attrs["units"]
```

A table without rows is left out where its question was not asked or does not arise. Waves over distance and time are no tables: they stand in the results that `pulse` saves.

This page is written by `python -m pulse1d.cli.tables_page`.
"""  # noqa: E501


def page() -> str:
    """The whole page.

    Returns
    -------
    text : str   [-]
    """
    parts, told = [HEAD], dict[int, str]()
    for verb, sheets in CATALOGUE.items():
        parts.append(f"## {verb}\n")
        for sheet in sheets:
            if (known := told.get(id(sheet))) is not None:
                parts.append(f"### `{sheet.name}`\n\nAs under {known}.\n")
                continue
            told[id(sheet)] = verb
            parts.append(_sheet(sheet))
    return "\n".join(parts)


def _sheet(sheet: Sheet[Any]) -> str:
    lines = [f"### `{sheet.name}`\n", f"{sheet.title}."]
    if sheet.more:
        lines.append(f"First {sheet.more}; then:")
    lines += ["", "| column | unit | what |", "| --- | --- | --- |"]
    for field in (column.field for column in sheet.columns):
        unit = {"text": "text", "flag": "flag"}.get(field.holds, f"`{field.unit}`")
        lines.append(f"| `{field.name}` | {unit} | {field.meaning} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    SHIPPED.write_text(page(), encoding="utf-8")
