"""Load a file of bench readings: head and rows to a session, every problem reported in one pass."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import Field, TypeAdapter, ValidationError

from pulse1d.case import kinds
from pulse1d.case.design import Design, load
from pulse1d.case.document import MAX_PROBLEMS, Document, Place, listed, nearest, shown
from pulse1d.case.files import inside
from pulse1d.case.kinds import refuse_other
from pulse1d.case.problems import validate
from pulse1d.case.reader import read_yaml
from pulse1d.case.reading_columns import ColumnNote, find_columns
from pulse1d.case.reading_head import head_problems
from pulse1d.case.reading_rows import Known, RowsRead, read_rows
from pulse1d.case.reading_told import Topic, grouped
from pulse1d.case.rows_csv import Source, cut, find_rows
from pulse1d.errors import InputError, Problem
from pulse1d.measure.reading import Reading, Session
from pulse1d.measure.reduce import Reduction, reduce
from pulse1d.measure.spec import Header, Meter, PartNote, RoomAir, SetUp
from pulse1d.spec import FROM_TEXT

T = TypeVar("T")
METER: TypeAdapter[Meter] = TypeAdapter(Meter)
"""Made once: a file may hold many meters."""


class ReadingsFile(Header):
    """A readings file: its head, and the rows below it."""

    columns: dict[str, ColumnNote] = Field(default_factory=dict)
    """Own headings of a spreadsheet, by the standard name of the column."""
    ignored_columns: tuple[str, ...] = ()
    """Headings of a spreadsheet that are no readings."""
    rows: str
    """The table itself, or the name of a .csv file."""


def load_readings(path: str | Path) -> Session:
    """Read a file of bench readings, with the table that it holds or names.

    Parameters
    ----------
    path : str or Path   The YAML file; its ``rows`` may name a .csv file of its folder tree [-]
    Returns
    -------
    session : Session   Readings in the order of the rows [SI]
    Errors      InputError with every problem found, each with file, line, text and remedy.
    Limits      20 000 rows, a megabyte a file
    """
    path = Path(path)
    if path.suffix.lower() == ".csv":
        message = "a table alone does not say which bench, parts and meters it is of"
        remedy = f"name it in a readings file by 'rows: {path.name}'; 'pulse1d new FILE.yaml "
        raise InputError([Problem(message, f"{remedy}--readings' writes one", shown(path))])
    document = read_yaml(path, defer=True)
    what, remedy = "bench readings", "name the file of readings"
    refuse_other(document, kinds.READINGS, what, remedy, ("rows", "set-up"))
    known = _known(document.data)
    rows, source, problems = _rows(document, known)
    problems += head_problems(document, rows.readings, _alone)
    problems += _case_problems(document, known, rows.ports, source)
    kept = problems[:MAX_PROBLEMS]
    file = validate(ReadingsFile, document, checks=(lambda _: kept,))
    names = set(Header.model_fields)
    header = Header.model_validate({name: getattr(file, name) for name in names})
    return Session(header=header, readings=rows.readings, name=path.stem)


def in_file(path: str | Path, error: InputError) -> InputError:
    """Problems that know only the line of a reading, with its file and its text.

    Parameters
    ----------
    path : str or Path   The file that the session was loaded from [-]
    error : InputError   From what was done with the session [-]
    Returns
    -------
    error : InputError   [-]
    """
    source = find_rows(read_yaml(Path(path), defer=True))
    found: list[Problem] = []
    of_rows: list[tuple[Topic, Problem]] = []
    for problem in error.problems:
        if problem.file or problem.line is None:
            found.append(problem if problem.file else replace(problem, file=shown(Path(path))))
        else:
            placed = source.problem(problem.line, problem.message, problem.remedy)
            of_rows.append((("", problem.remedy), placed))
    return InputError([*found, *grouped(of_rows, 0)])


def load_reduced(path: str | Path) -> Reduction:
    """Read a file of bench readings and reduce it.

    Parameters
    ----------
    path : str or Path   As for ``load_readings`` [-]
    Returns
    -------
    reduction : Reduction   [SI]
    Errors      InputError as from ``load_readings``; of rows that cannot be reduced with their file
                and text.
    """
    session = load_readings(path)
    try:
        return reduce(session)
    except InputError as error:
        raise in_file(path, error) from error


def _rows(document: Document, known: Known) -> tuple[RowsRead, Source | None, list[Problem]]:
    """The rows as far as they can be read."""
    nothing = RowsRead((), ())
    if not isinstance(document.data.get("rows"), str):
        return nothing, None, []
    source: Source | None = None
    try:
        source = find_rows(document)
        cells = cut(source)
    except InputError as error:
        return nothing, source, list(error.problems)
    notes = _each(ColumnNote, document.data.get("columns"))
    ignored = _alone(tuple[str, ...], document.data.get("ignored columns", ())) or ()
    sound = {name: note for name, note in notes.items() if note is not None}
    columns = find_columns(document, cells, sound, ignored)
    rows = read_rows(cells, columns.found, known)
    problems = [*cells.problems, *columns.problems, *rows.problems]
    sequence = sequence_problems(rows.readings, source)
    problems += grouped([(("", p.remedy), p) for p in sequence], len(cells.rows))
    what = columns.found.get("what")
    if what and cells.rows and all(row[what.index] in ("leak", "check") for _, row in cells.rows):
        message, remedy = "no row is a reading of a part", "add rows whose 'what' is part"
        problems.append(source.problem(cells.heading_line, message, remedy))
    return rows, source, problems


def sequence_problems(readings: Iterable[Reading], source: Source) -> list[Problem]:
    """Rows that contradict each other: read twice under one number, or remounts out of order.

    Parameters
    ----------
    readings : iterable of Reading   [SI]
    source : Source   The table they stand in [-]
    Returns
    -------
    problems : list of Problem   [-]
    """
    problems: list[Problem] = []
    by_order: dict[int, Reading] = {}
    latest: dict[tuple[str, str], Reading] = {}
    for reading in sorted(readings, key=lambda reading: (reading.order, reading.line)):
        first = by_order.setdefault(reading.order, reading)
        if first is not reading:
            same = _key(first) == _key(reading)
            problems.append(
                source.problem(
                    reading.line,
                    f"the row stands twice, first on line {first.line}"
                    if same
                    else f"order {reading.order} stands twice, first on line {first.line}",
                    "delete one, or give each reading its own order",
                )
            )
            continue
        if reading.what != "part":
            continue
        before = latest.setdefault((reading.part, reading.port), reading)
        if reading.remount < before.remount:
            problems.append(
                source.problem(
                    reading.line,
                    f"remount {reading.remount} of {reading.part} port {reading.port} was read "
                    f"after remount {before.remount} on line {before.line}",
                    "number remounts in the order they were made, or put 'order' right",
                )
            )
        latest[reading.part, reading.port] = reading
    return problems


def _key(reading: Reading) -> tuple[str, str, str, int]:
    return reading.what, reading.part, reading.port, reading.remount


def _case_problems(
    document: Document,
    known: Known,
    ports_read: Mapping[str, Mapping[str, int]],
    source: Source | None,
) -> list[Problem]:
    """Cases that are not there or do not load, and rows on ports that their case does not have."""
    problems: list[Problem] = []
    loaded: dict[Path, Design | InputError] = {}
    for key, note in (known.parts or {}).items():
        if note is None or note.case is None:
            continue
        place: Place = ("parts", key, "case")
        file, line = document.mark(place)
        try:
            path = inside(document.path.parent, file, note.case, line)
        except InputError as error:
            problems += error.problems
            continue
        design = loaded[path] if path in loaded else loaded.setdefault(path, _loaded(path))
        if isinstance(design, InputError):
            message = f"case {note.case!r} does not load: {design.problems[0].message}"
            remedy = f"mend it first, see 'pulse1d check {note.case}'; or name another"
            problems.append(document.problem(place, message, remedy))
            continue
        ports = design.network.port_names
        for port, line in ports_read.get(key, {}).items():
            if port in (*ports, ""):
                continue
            near = nearest(port, ports)
            remedy = (f"did you mean {near!r}? " if near else "") + f"its ports are {listed(ports)}"
            message = f"port {port!r} is not in {note.case}, the case of {key!r}"
            assert source is not None
            problems.append(source.problem(line, message, remedy))
    return problems


def _loaded(path: Path) -> Design | InputError:
    try:
        return load(path)
    except InputError as error:
        return error


def _known(data: dict[str, Any]) -> Known:
    """What rows refer to, as far as the head can be read; the schema tells what is wrong there."""
    meters: dict[str, Meter | None] | None = None
    if isinstance(data.get("meters"), list):
        items = [item for item in data["meters"] if isinstance(item, dict)]
        names = [str(item.get("name")) for item in items]
        times = Counter(names)
        meters = {
            name: _alone(Meter, item) if times[name] == 1 else None
            for name, item in zip(names, items, strict=True)
        }
    parts = _each(PartNote, data.get("parts")) if isinstance(data.get("parts"), dict) else None
    return Known(
        parts, meters, _alone(SetUp, data.get("set-up")), _alone(RoomAir, data.get("room", {}))
    )


def _each(model: type[T], data: Any) -> dict[str, T | None]:
    items = data.items() if isinstance(data, dict) else ()
    return {str(key): _alone(model, item) for key, item in items}


def _alone(model: Any, data: Any) -> Any:
    """A spec made from a part of a file; None where that part is wrong."""
    try:
        adapter = METER if model is Meter else TypeAdapter(model)
        return adapter.validate_python(data, context=FROM_TEXT)
    except (ValidationError, InputError):
        return None
