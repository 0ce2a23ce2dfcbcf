"""Tables for other programs: named fields with units, rows of plain cells, four kinds of file.

Values are SI. A cell that holds nothing cannot be told, or has no limit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

Cell = str | float | int | bool | None
Kind = Literal["text", "number", "count", "flag"]

SCHEMA = "pulse1d tables 1"


@dataclass(frozen=True)
class Field:
    """A column of a table."""

    name: str
    unit: str
    """SI; "" of a text, "1" of what has no dimension."""
    meaning: str
    kind: Kind = "number"
    """What stands in it; a field without a unit is a text whatever this says."""

    @property
    def holds(self) -> Kind:
        """What stands in it."""
        return self.kind if self.unit else "text"

    @property
    def heading(self) -> str:
        """Name and unit, such as "length [m]"; the name alone of a text."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True)
class Table:
    """Rows under their fields."""

    name: str
    """One word: part of a file's name."""
    title: str
    fields: tuple[Field, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def column(self, k: int) -> list[Cell]:
        """The cells of one field, from top to bottom."""
        return [row[k] for row in self.rows]


def cell(field: Field, value: Any) -> Cell:
    """A value as a plain cell of its field.

    Parameters
    ----------
    field : Field   [-]
    value : any   numpy's numbers too [SI]
    Returns
    -------
    cell : str, float, int, bool or None   None for a number that is not finite [SI]
    Errors      ValueError for a flag that is neither true nor false.
    """
    if field.holds == "flag":
        if value is None:
            raise ValueError(f"{field.name}: a flag says yes or no")
        return bool(value)
    if value is None:
        return None
    if field.holds == "text":
        return str(value)
    number = float(value)
    if not math.isfinite(number):
        return None
    return int(number) if field.holds == "count" else number


def write_tables(tables: Sequence[Table], path: Path, about: Mapping[str, str]) -> list[Path]:
    """Write tables to new files, all of them whole or none.

    Parameters
    ----------
    tables : sequence of Table   Names differ [SI]
    path : Path   Its ending says how: .csv and .parquet, a file a table; .nc, a group a table;
        .json, one object [-]
    about : mapping   Where the tables come from; CSV has no place for it [-]
    Returns
    -------
    paths : list of Path   That were written [-]
    Errors      InputError for another ending, a file that is there, a place that cannot be written
                to, or a package that is not installed.
    """
    from pulse1d.results.table_files import new_path, placed, target_paths, writer_of

    new_path(path)
    targets = target_paths(path, [table.name for table in tables])
    write = writer_of(path)
    groups = [[table] for table in tables] if len(targets) > 1 else [list(tables)]

    def each(passing: Sequence[Path]) -> None:
        for group, file in zip(groups, passing, strict=True):
            write(group, file, about)

    placed(targets, each)
    return targets
