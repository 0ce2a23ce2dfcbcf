"""A table as a Parquet file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from pulse1d.results.table import SCHEMA, Table


def write_parquet(tables: Sequence[Table], path: Path, about: Mapping[str, str]) -> None:
    """Write one table; ``units`` and ``long_name`` stand in each field's metadata.

    Parameters
    ----------
    tables : sequence of Table   One [SI]
    path : Path   [-]
    about : mapping   Where it comes from, for the file's metadata [-]
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    (table,) = tables
    types = {"text": pa.string(), "number": pa.float64(), "count": pa.int64(), "flag": pa.bool_()}
    fields = [
        pa.field(
            field.name,
            types[field.holds],
            metadata={"units": field.unit, "long_name": field.meaning},
        )
        for field in table.fields
    ]
    arrays = [pa.array(table.column(k), field.type) for k, field in enumerate(fields)]
    told = {"schema": SCHEMA, "name": table.name, "title": table.title, **about}
    found = pa.Table.from_arrays(arrays, schema=pa.schema(fields, metadata=told))
    pq.write_table(found, path)
