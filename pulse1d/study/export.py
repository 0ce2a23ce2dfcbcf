"""A sweep's dataset as a table for other programs: CSV, Parquet, or NetCDF under another name."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pulse1d.errors import InputError, Problem
from pulse1d.results.store import save

if TYPE_CHECKING:
    from xarray import Dataset

SUFFIXES = (".csv", ".parquet", ".nc")


def export_path(path: Path) -> Path:
    """The path of an export, refused where it cannot become one.

    Parameters
    ----------
    path : Path   That the user named [-]
    Returns
    -------
    path : Path   [-]
    Errors      InputError for another ending, a file that is there, or a package that is not.
    """
    if path.suffix.lower() not in SUFFIXES:
        message = f"--export: {path.name!r} ends in none of {', '.join(SUFFIXES)}"
        raise InputError([Problem(message, "end it in one of them")])
    if path.exists():
        raise InputError([Problem("the file exists already", "choose another name", str(path))])
    if path.suffix.lower() == ".parquet":
        try:
            import pyarrow.parquet  # noqa: F401
        except ImportError as error:
            remedy = 'pip install "pulse1d[parquet]", or export .csv'
            raise InputError([Problem("--export: Parquet needs pyarrow", remedy)]) from error
    return path


def export(dataset: Dataset, path: Path) -> None:
    """Write a sweep as a table: a column for each variable, SI, one row a point.

    In CSV the headings carry the units, such as ``length [m]``, and a missing answer is empty. In
    Parquet ``units`` and ``long_name`` stand in each field's metadata.

    Parameters
    ----------
    dataset : xarray.Dataset   From ``sweep_dataset`` [SI]
    path : Path   From ``export_path`` [-]
    Errors      InputError when the file cannot be written.
    """
    try:
        if path.suffix.lower() == ".csv":
            _csv(dataset, path)
        elif path.suffix.lower() == ".parquet":
            _parquet(dataset, path)
        else:
            save(dataset, path)
    except OSError as error:
        path.unlink(missing_ok=True)
        message = f"not exported: {error.strerror or error}"
        raise InputError([Problem(message, "name another place", str(path))]) from error


def heading(name: str, units: str) -> str:
    """A column's heading.

    Parameters
    ----------
    name, units : str   [-]
    Returns
    -------
    heading : str   Such as "length [m]"; the name alone for texts [-]
    """
    return f"{name} [{units}]" if units else name


def _csv(dataset: Dataset, path: Path) -> None:
    columns = {
        heading(str(name), found.attrs.get("units", "")): found.values.tolist()
        for name, found in dataset.data_vars.items()
    }
    with path.open("x", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(columns)
        for row in zip(*columns.values(), strict=True):
            writer.writerow("" if value != value else value for value in row)


def _parquet(dataset: Dataset, path: Path) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    fields, arrays = [], []
    for name, found in dataset.data_vars.items():
        values: Any = found.values.tolist()
        array = pa.array(values, from_pandas=True)
        about = {key: str(found.attrs.get(key, "")) for key in ("units", "long_name")}
        fields.append(pa.field(str(name), array.type, metadata=about))
        arrays.append(array)
    about = {str(name): str(value) for name, value in dataset.attrs.items()}
    pq.write_table(pa.Table.from_arrays(arrays, schema=pa.schema(fields, metadata=about)), path)
