"""Tables in four kinds of file: what goes in comes out, and files appear whole or not at all."""

from __future__ import annotations

import csv
import errno
import json
import math
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pulse1d.errors import InputError
from pulse1d.results import table_files
from pulse1d.results.sheet import Sheet, count, flag, number, part, text
from pulse1d.results.table import Cell, Field, Table, cell, write_tables
from pulse1d.results.table_csv import guarded, unguarded
from pulse1d.results.table_files import SUFFIXES

FIELDS = (
    Field("name", "", "a text"),
    Field("length", "m", "a number"),
    Field("pieces", "1", "a count", "count"),
    Field("sound", "1", "a flag", "flag"),
)
ABOUT = {"verb": "check", "files": "[]"}
WORDS = st.text(
    st.characters(exclude_categories=("Cs", "Cc")) | st.sampled_from("=+-@'\", ;"), max_size=8
)
ROWS = st.lists(
    st.tuples(
        WORDS,
        st.none() | st.floats(allow_nan=False, allow_infinity=False),
        st.none() | st.integers(-(2**53), 2**53),
        st.booleans(),
    ),
    max_size=4,
)
"""Whole numbers up to 2^53, which a float of NetCDF still holds where a count is missing."""
HARD: list[tuple[Cell, ...]] = [
    ('=1+1, "quoted"', 0.1 + 0.2, 2**53, True),
    ("-", -0.0, -1, False),
    ("'=x", 5e-324, None, True),
    ("löß", None, 0, False),
]


def read(path: Path, name: str) -> list[tuple[Any, ...]]:
    """The rows of a table in a file, as another program would read them."""
    if path.suffix == ".json":
        tables = json.loads(path.read_text(encoding="utf-8"))["tables"]
        return [tuple(row) for table in tables if table["name"] == name for row in table["rows"]]
    if path.suffix == ".csv":
        with path.open(newline="", encoding="utf-8") as file:
            _, *rows = csv.reader(file)
        return [
            (
                unguarded(row[0]),
                float(row[1]) if row[1] else None,
                int(row[2]) if row[2] else None,
                {"true": True, "false": False}[row[3]],
            )
            for row in rows
        ]
    if path.suffix == ".parquet":
        from pyarrow import parquet

        return list(zip(*parquet.read_table(path).to_pydict().values(), strict=True))
    import xarray as xr

    with xr.open_dataset(path, group=name, engine="h5netcdf") as found:
        columns = [found[field.name].values.tolist() for field in FIELDS]
    return [
        tuple(None if isinstance(v, float) and math.isnan(v) else v for v in row)
        for row in zip(*columns, strict=True)
    ]


@pytest.mark.parametrize("suffix", SUFFIXES)
@settings(max_examples=25, deadline=None)
@example(rows=HARD)
@example(rows=[])
@given(rows=ROWS)
def test_what_goes_in_comes_out(
    suffix: str, rows: list[tuple[Cell, ...]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("t") / f"a{suffix}"
    table = Table("pieces", "Pieces", FIELDS, tuple(rows))
    assert write_tables([table], path, ABOUT) == [path]
    assert os.listdir(path.parent) == [path.name]
    found = read(path, "pieces")
    assert found == rows
    assert [str(row[1]) for row in found] == [str(row[1]) for row in rows]  # -0.0 equals 0.0


def test_units_and_meanings_go_along(tmp_path: Path) -> None:
    import xarray as xr
    from pyarrow import parquet

    table = Table("pieces", "Pieces", FIELDS, tuple(HARD))
    for suffix in SUFFIXES:
        write_tables([table], tmp_path / f"a{suffix}", ABOUT)
    headings = (tmp_path / "a.csv").read_bytes().split(b"\r\n")[0]  # RFC 4180 ends lines so
    assert headings == b"name,length [m],pieces [1],sound [1]"
    found = json.loads((tmp_path / "a.json").read_text(encoding="utf-8"))
    assert found["schema"] == "pulse1d tables 1"
    assert found["about"] == ABOUT
    assert found["tables"][0]["title"] == "Pieces"
    assert found["tables"][0]["fields"][1] == {"name": "length", "unit": "m", "meaning": "a number"}
    schema = parquet.read_schema(tmp_path / "a.parquet")
    assert schema.metadata[b"verb"] == b"check"
    assert schema.field("length").metadata == {b"units": b"m", b"long_name": b"a number"}
    assert [str(kind) for kind in schema.types] == ["string", "double", "int64", "bool"]
    with xr.open_dataset(tmp_path / "a.nc", engine="h5netcdf") as root:
        assert root.attrs == {"format": "pulse1d tables 1", **ABOUT}
    with xr.open_dataset(tmp_path / "a.nc", group="pieces", engine="h5netcdf") as group:
        assert group.attrs["title"] == "Pieces"
        assert group["length"].attrs == {"units": "m", "long_name": "a number"}


@given(st.text(st.sampled_from("=+-@'\t\r\n\" aä＝") | st.characters(), max_size=6))
@example("\t1")
@example("' =1")
def test_no_text_stays_a_formula_and_each_comes_back(text: str) -> None:
    # signs after which spreadsheets compute: common practice against formulas in CSV, no source
    assert guarded(text)[:1] not in tuple("=+-@\t\r\n＝＋－＠")
    assert guarded(text).lstrip()[:1] not in tuple("=+-@＝＋－＠")
    assert unguarded(guarded(text)) == text


def test_several_tables_share_a_file_or_get_one_each(tmp_path: Path) -> None:
    tables = [Table(name, "T", FIELDS, tuple(HARD[:n])) for n, name in ((1, "one"), (2, "two"))]
    for suffix, names in {
        ".csv": ["a-one.csv", "a-two.csv"],
        ".parquet": ["a-one.parquet", "a-two.parquet"],
        ".nc": ["a.nc"],
        ".json": ["a.json"],
    }.items():
        paths = write_tables(tables, tmp_path / f"a{suffix}", ABOUT)
        assert [path.name for path in paths] == names
        for n, name in ((1, "one"), (2, "two")):
            assert read(paths[(n - 1) % len(paths)], name) == HARD[:n]
    assert len(os.listdir(tmp_path)) == 6


@pytest.mark.parametrize("there", ["a.csv", "a-one.csv", "a-two.csv"])
def test_what_is_there_stays(tmp_path: Path, there: str) -> None:
    (tmp_path / there).symlink_to(tmp_path / "nowhere")
    tables = [Table(name, "T", FIELDS, ()) for name in ("one", "two")]
    with pytest.raises(InputError, match="exists already"):
        write_tables(tables, tmp_path / "a.csv", ABOUT)
    assert os.listdir(tmp_path) == [there]


@pytest.mark.parametrize(
    ("name", "message"),
    [("a.ods", "ends in none of"), ("a", "ends in none of"), ("none/a.csv", "no folder")],
)
def test_a_bad_path_is_refused(tmp_path: Path, name: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        write_tables([], tmp_path / name, ABOUT)


def test_parquet_without_its_package_names_the_remedy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow.parquet", None)
    with pytest.raises(InputError, match=r"pulse1d\[parquet\]"):
        write_tables([Table("one", "T", FIELDS, ())], tmp_path / "a.parquet", ABOUT)


class Links:
    """os.link that fails, or is interrupted, from the nth call on."""

    def __init__(self, good: int, error: BaseException) -> None:
        self.left, self.error, self.real = good, error, os.link

    def __call__(self, source: Path, target: Path) -> None:
        if self.left == 0:
            raise self.error
        self.left -= 1
        self.real(source, target)


@pytest.mark.parametrize(
    ("error", "shown"),
    [
        (FileExistsError(errno.EEXIST, "taken meanwhile"), InputError),
        (KeyboardInterrupt(), KeyboardInterrupt),
    ],
)
def test_all_files_or_none(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    error: BaseException,
    shown: type[BaseException],
) -> None:
    monkeypatch.setattr(os, "link", Links(1, error))
    tables = [Table(name, "T", FIELDS, ()) for name in ("one", "two")]
    with pytest.raises(shown):
        write_tables(tables, tmp_path / "a.csv", ABOUT)
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_a_full_disk_leaves_nothing(tmp_path: Path, suffix: str) -> None:
    # in a process of its own: the limit on a file's size stands for a full disk
    code = (
        "import resource, signal, sys; from pathlib import Path\n"
        "from pulse1d.errors import InputError\n"
        "from pulse1d.results.table import Field, Table, write_tables\n"
        "rows = tuple((0.37 * k,) for k in range(40_000))\n"
        "table = Table('a', 'A', (Field('x', 'm', 'x'),), rows)\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, 50_000))\n"
        "try: write_tables([table], Path(sys.argv[1]), {})\n"
        "except InputError as error: print(error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / f"a{suffix}")], capture_output=True, text=True
    )
    assert "not exported" in done.stdout, done.stderr
    assert os.listdir(tmp_path) == []


def test_a_file_system_without_links_is_written_to_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "link", Links(0, PermissionError(errno.EPERM, "no links here")))
    table = Table("one", "T", FIELDS, tuple(HARD))
    assert read(write_tables([table], tmp_path / "a.json", ABOUT)[0], "one") == HARD
    monkeypatch.setattr(table_files, "refuse_existing", lambda paths: None)  # it came meanwhile
    with pytest.raises(InputError, match="exists"):
        write_tables([], tmp_path / "a.json", ABOUT)
    assert read(tmp_path / "a.json", "one") == HARD


def test_values_become_plain_cells() -> None:
    field = Field("x", "m", "x")
    assert cell(field, np.float64(2.5)) == 2.5
    assert type(cell(field, np.float64(2.5))) is float
    assert [cell(field, v) for v in (math.nan, math.inf, None)] == [None] * 3
    assert cell(Field("n", "1", "n", "count"), np.int64(3)) == 3
    assert cell(Field("t", "", "t"), 5) == "5"
    assert cell(Field("f", "1", "f", "flag"), np.True_) is True
    with pytest.raises(ValueError, match="yes or no"):
        cell(Field("f", "1", "f", "flag"), None)


def test_a_sheet_reads_its_rows() -> None:
    class Pipe:
        name, lengths = "a", (1.0, 2.0)

    sheet: Sheet[tuple[Pipe, int]] = Sheet(
        "pipes",
        "Pipes",
        (
            text("pipe", "its name", part(0, "name")),
            number("length", "m", "of the piece", part(0, "lengths", at=1)),
            count("place", "from 1", lambda r: r[1] + 1),
            flag("last", "the last one", lambda r: r[1] == 1),
        ),
    )
    table = sheet.table((Pipe(), k) for k in range(2))
    assert table.rows == (("a", 1.0, 1, False), ("a", 2.0, 2, True))
    assert [field.heading for field in table.fields] == [
        "pipe", "length [m]", "place [1]", "last [1]",
    ]  # fmt: skip
