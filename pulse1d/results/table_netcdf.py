"""Tables as groups of one NetCDF file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.results.table import SCHEMA, Field, Table

ROW = "row"
"""The dimension of every table."""
TEXTS = np.dtype("O", metadata={"element_type": str})
"""Texts of any length, also where there is none to tell that by."""


def write_netcdf(tables: Sequence[Table], path: Path, about: Mapping[str, str]) -> None:
    """Write a group a table, a variable a field, with ``units`` and ``long_name``.

    Where nothing can be told a number is not a number, and a text is empty.

    Parameters
    ----------
    tables : sequence of Table   [SI]
    path : Path   [-]
    about : mapping   Where the tables come from, for the file's attributes [-]
    Errors      OSError where it cannot be written.
    Source      NetCDF-4 groups; attribute names as in the CF conventions
    """
    import xarray as xr

    try:
        xr.Dataset(attrs={"format": SCHEMA, **about}).to_netcdf(path, engine="h5netcdf")
        for table in tables:
            data = {
                field.name: (ROW, values(field, table.column(k)), attributes(field))
                for k, field in enumerate(table.fields)
            }
            found = xr.Dataset(data, attrs={"title": table.title})
            found.to_netcdf(path, mode="a", group=table.name, engine="h5netcdf")
    except RuntimeError as error:  # how HDF5 says that the disk is full
        raise OSError(str(error)) from error


def values(field: Field, column: Sequence[Any]) -> Any:
    """A column as an array.

    Parameters
    ----------
    field : Field   [-]
    column : sequence of cells   [SI]
    Returns
    -------
    array : (rows,) array   Counts of which one is missing are floats [SI]
    """
    if field.holds == "text":
        return np.array(["" if cell is None else cell for cell in column], dtype=TEXTS)
    if field.holds == "flag":
        return np.array(column, dtype=bool)
    if field.holds == "count" and None not in column:
        return np.array(column, dtype=np.int64)
    return np.array([np.nan if cell is None else cell for cell in column], dtype=float)


def attributes(field: Field) -> dict[str, str]:
    """What is said of a variable.

    Parameters
    ----------
    field : Field   [-]
    Returns
    -------
    attributes : dict   [-]
    """
    units = {"units": field.unit} if field.unit else {}
    return {**units, "long_name": field.meaning}
