"""Files of bench readings: what loads, what is refused and how, and ``pulse1d reduce``."""

from __future__ import annotations

import time
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pulse1d.case.readings import load_readings, load_reduced
from pulse1d.errors import InputError
from pulse1d.measure.reading import Session
from tests.broken_files import refused

FOLDER = Path(__file__).parents[2] / "cases" / "broken_readings"
EXPECTED: dict[str, Any] = tomllib.loads((FOLDER / "expected.toml").read_text(encoding="utf-8"))
SOUND: list[str] = EXPECTED.pop("sound")
BESIDE: list[str] = EXPECTED.pop("beside")
HEAD = (FOLDER / "base.yaml").read_text(encoding="utf-8").partition("rows:")[0]
ALONE = HEAD.replace(", case: part.yaml", "")
"""The same head without a case, to stand in a folder of its own."""
TABLE = [
    "order,what,part,port,remount,meter,test pressure [inH2O],meter pressure [inH2O],note",
    '1,leak,log,1,1,range 4,28.0,0.02,"tape, not plate"',
    "2,part,log,1,1,range 4,28.1,2.05,",
    "3,part,log,1,2,range 4,27.9,2.1,",
]


def load(folder: Path, rows: str, head: str = ALONE) -> Session:
    path = folder / "mine.yaml"
    path.write_text(head + rows, encoding="utf-8")
    return load_readings(path)


def block(lines: list[str]) -> str:
    return "rows: |\n" + "".join(f"  {line}\n" for line in lines)


def cells(lines: list[str]) -> Iterator[list[str]]:
    import csv

    return csv.reader(lines)


def test_no_file_is_left_without_an_entry() -> None:
    there = {path.name for path in FOLDER.iterdir()} - {"expected.toml"}
    assert there == {*EXPECTED, *SOUND, *BESIDE}


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_says_what_is_wrong_where_and_what_to_do(name: str) -> None:
    refused(load_readings, FOLDER, name, EXPECTED[name])


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_opens_with_a_comment_that_says_what_is_wrong(name: str) -> None:
    assert (FOLDER / name).read_bytes().startswith(b"# ")


@pytest.mark.parametrize("name", SOUND)
def test_what_the_bad_ones_are_made_from_is_sound(name: str) -> None:
    session = load_readings(FOLDER / name)
    assert [reading.what for reading in session.readings] == ["leak", "check", "part", "part"]
    assert session.name == Path(name).stem


def test_readings_are_in_si_and_know_their_lines(tmp_path: Path) -> None:
    session = load(tmp_path, block(TABLE))
    leak, first, _ = session.readings
    lines = (tmp_path / "mine.yaml").read_text(encoding="utf-8").splitlines()
    assert lines[first.line - 1].strip() == TABLE[2]
    assert leak.note == "tape, not plate"
    # 249.09 Pa an inch of water (Perry's, from memory; as units.txt says): one product, round-off
    assert first.test_pressure == pytest.approx(28.1 * 249.09, rel=1e-14)
    assert first.meter_reading == pytest.approx(2.05 * 249.09, rel=1e-14)
    room = session.header.room
    assert (first.T_part, first.T_meter) == (room.temperature, room.temperature)
    assert (first.p_room, first.humidity) == (room.pressure, room.humidity)


VARIANTS = {
    "semicolons": lambda lines: [";".join(row) for row in cells(lines)],
    "tabs": lambda lines: ["\t".join(row) for row in cells(lines)],
    "decimal commas, semicolons": lambda lines: [
        ";".join(row).replace(".", ",") for row in cells(lines)
    ],
    "decimal commas, tabs": lambda lines: [
        "\t".join(row).replace(".", ",") for row in cells(lines)
    ],
    "every cell in quotes": lambda lines: [
        ",".join(f'"{cell}"' for cell in row) for row in cells(lines)
    ],
    "spaces around cells": lambda lines: [
        " , ".join(f'"{cell}"' if "," in cell else cell for cell in row) for row in cells(lines)
    ],
}


@pytest.mark.parametrize("write", VARIANTS.values(), ids=VARIANTS)
def test_the_same_table_written_otherwise_is_the_same_session(tmp_path: Path, write: Any) -> None:
    assert load(tmp_path, block(write(TABLE))) == load(tmp_path, block(TABLE))


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=["no mark", "byte-order mark"])
def test_a_csv_file_beside_it_is_the_same_session(tmp_path: Path, mark: str, ends: str) -> None:
    text = mark + ends.join([TABLE[0], "", *TABLE[1:], ",,,", ""])
    (tmp_path / "table.csv").write_bytes(text.encode("utf-8"))
    inline, beside = load(tmp_path, block(TABLE)), load(tmp_path, "rows: table.csv\n")
    assert [reading.line for reading in beside.readings] == [3, 4, 5]
    moved = [
        replace(reading, line=old.line)
        for reading, old in zip(beside.readings, inline.readings, strict=True)
    ]
    assert tuple(moved) == inline.readings
    assert beside.header == inline.header


def test_a_spreadsheet_keeps_its_own_headings(tmp_path: Path) -> None:
    own = "Nr,What,Manifold,Port,Remount,Meter,P test,dP (gauge),Remarks"
    mapping = (
        "columns:\n  order: {heading: Nr}\n  part: {heading: Manifold}\n"
        "  test pressure: {heading: P test, unit: inH2O}\n"
        "  meter pressure: {heading: dP (gauge), unit: inH2O}\n"
        "ignored columns: [Remarks]\n"
    )
    mapped, plain = load(tmp_path, mapping + block([own, *TABLE[1:]])), load(tmp_path, block(TABLE))
    bare = [replace(reading, note="", line=0) for reading in plain.readings]
    assert [replace(reading, line=0) for reading in mapped.readings] == bare


@pytest.mark.parametrize(
    ("heading", "cell", "field", "value"),
    [
        ("part temperature [degC]", "21.5", "T_part", 294.65),
        ("part temperature [degF]", "68", "T_part", 293.15),
        ("meter temperature [K]", "300", "T_meter", 300.0),
        ("barometer [hPa]", "995", "p_room", 99500.0),
        ("barometer [inHg]", "29.92", "p_room", 29.92 * 3386.389),
        ("barometer [kPa abs]", "99.5", "p_room", 99500.0),
        ("humidity [%]", "45", "humidity", 0.45),
        ("humidity [-]", "0.45", "humidity", 0.45),
        ("Part_Temperature [degC]", "21.5", "T_part", 294.65),
    ],
)
def test_units_of_the_air(
    tmp_path: Path, heading: str, cell: str, field: str, value: float
) -> None:
    head = "order,part,port,meter,test pressure [Pa],meter pressure [Pa]," + heading
    session = load(tmp_path, block([head, f"1,log,1,range 4,7000,500,{cell}"]))
    # offsets of 273.15 and 459.67 leave some units in the last place
    assert getattr(session.readings[0], field) == pytest.approx(value, rel=1e-13)


@pytest.mark.parametrize(
    ("meter", "heading", "cell", "value"),
    [
        ("kind: critical nozzle, throat: 8 mm", "meter inlet pressure [kPa abs]", "300", 3e5),
        ("kind: flow meter, reads: mass flow", "meter flow [kg/h]", "360", 0.1),
        ("kind: flow meter, reads: actual volume flow", "meter flow [L/s]", "100", 0.1),
    ],
)
def test_each_kind_of_meter_has_its_column(
    tmp_path: Path, meter: str, heading: str, cell: str, value: float
) -> None:
    rated = "kind: calibrated plate, rated flow: 300 CFM, rated pressure: 6 inH2O"
    head = f"order,part,port,meter,test pressure [Pa],{heading}"
    rows = block([head, f"1,log,1,range 4,7000,{cell}"])
    session = load(tmp_path, rows, ALONE.replace(rated, meter))
    # powers of ten and 3600: round-off of one or two products
    assert session.readings[0].meter_reading == pytest.approx(value, rel=1e-14)


def test_several_pressures_are_read_only_when_said_so(tmp_path: Path) -> None:
    rows = block([*TABLE, "4,part,log,1,3,range 4,20.0,1.4,"])
    with pytest.raises(InputError, match="several pressures: true"):
        load(tmp_path, rows)
    head = ALONE.replace("  meter inlet:", "  several pressures: true\n  meter inlet:")
    assert len(load(tmp_path, rows, head).readings) == 4


def test_a_leak_may_be_read_at_another_pressure(tmp_path: Path) -> None:
    session = load(tmp_path, block([*TABLE, "4,leak,log,1,3,range 4,10.0,0,"]))
    assert session.readings[-1].meter_reading == 0.0


@pytest.mark.parametrize("rows", ["../table.csv", "deeper/../../table.csv", "link.csv"])
def test_a_table_outside_the_folder_tree_is_refused(tmp_path: Path, rows: str) -> None:
    (tmp_path / "table.csv").write_text("\n".join(TABLE), encoding="utf-8")
    folder = tmp_path / "session"
    (folder / "deeper").mkdir(parents=True)
    (folder / "link.csv").symlink_to(tmp_path / "table.csv")
    with pytest.raises(InputError, match="lies outside the folder"):
        load(folder, f"rows: {rows}\n")


def test_a_case_outside_the_folder_tree_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "session"
    folder.mkdir()
    (tmp_path / "part.yaml").write_bytes((FOLDER / "part.yaml").read_bytes())
    with pytest.raises(InputError, match="lies outside the folder"):
        load(folder, block(TABLE), HEAD.replace("part.yaml", "../part.yaml"))


@pytest.mark.parametrize(("count", "sound"), [(20_000, True), (20_001, False)])
def test_most_rows(tmp_path: Path, count: int, sound: bool) -> None:
    head = "order,part,port,meter,test pressure [Pa],meter pressure [Pa]"
    lines = [head, *(f"{k},log,1,range 4,7000,500" for k in range(1, count + 1))]
    (tmp_path / "table.csv").write_text("\n".join(lines), encoding="utf-8")
    if sound:
        assert len(load(tmp_path, "rows: table.csv\n").readings) == count
    else:
        with pytest.raises(InputError, match=r"table\.csv:20002: more than 20000 rows"):
            load(tmp_path, "rows: table.csv\n")


def test_one_slip_in_many_rows_is_told_once_with_its_lines(tmp_path: Path) -> None:
    head = "order,part,port,meter,test pressure [Pa],meter pressure [Pa]"
    lines = [head, "1,log,1,range 4,7000,500"]
    lines += [f"{k},log,1,range 4,7000,text" for k in range(2, 303)]
    lines += ["303,log,1,range 4,7000,500", "304,log,1,range 4,7000,word"]
    with pytest.raises(InputError) as caught:
        load(tmp_path, block(lines))
    (problem,) = caught.value.problems
    first = ALONE.count("\n") + 4
    assert problem.line == first
    lines_told = f"line {first + 1} to {first + 300}, {first + 302}"
    assert problem.message.endswith(f"; likewise in 301 rows more, {lines_told}")


def test_slips_of_headings_ports_and_cells_are_told_at_once(tmp_path: Path) -> None:
    (tmp_path / "part.yaml").write_bytes((FOLDER / "part.yaml").read_bytes())
    lines = [
        "order,part,port,meter,test pressure [Pa],meter pressure [inWater]",
        "1,log,1,range 4,7000,500",
        "2,log,9,range 4,7000,500",
        "3,log,1,range 4,70,00,500",
        "4,log,1,range 4,few,500",
    ]
    with pytest.raises(InputError) as caught:
        load(tmp_path, block(lines), HEAD)
    told = [(problem.text, problem.message) for problem in caught.value.problems]
    wanted = (
        (0, "unit 'inWater' is not known"),
        (2, "port '9' is not in part.yaml"),
        (3, "the row has 7 cells"),
        (4, "'few' is not a number"),
    )
    assert len(told) == len(wanted)
    for (text, message), (row, words) in zip(told, wanted, strict=True):
        assert text == lines[row]
        assert words in message


@pytest.mark.parametrize(
    ("unit", "read", "fits"), [("mmHg", 28.0, "inH2O"), ("kPa", 28.0, "inH2O"), ("Pa", 7.0, "kPa")]
)
def test_a_heading_with_a_wrong_unit_is_told_once(
    tmp_path: Path, unit: str, read: float, fits: str
) -> None:
    head = f"order,part,port,meter,test pressure [{unit}],meter pressure [Pa]"
    rows = [f"{k},log,1,range 4,{read * (1 + 1e-3 * (k % 3))},500" for k in range(1, 26)]
    with pytest.raises(InputError) as caught:
        load(tmp_path, block([head, *rows]))
    (problem,) = caught.value.problems
    assert problem.text == head
    assert "25 of 25 rows read " in problem.message
    assert f"heading's unit, [{unit}]: with [{fits}] they would fit" in problem.remedy
    assert "several pressures" not in str(problem)


def test_pressures_off_by_no_one_factor_are_no_matter_of_units(tmp_path: Path) -> None:
    head = "order,part,port,meter,test pressure [inH2O],meter pressure [Pa]"
    rows = [f"{k},log,1,range 4,{18 + k},500" for k in range(1, 6)]
    with pytest.raises(InputError, match="several pressures: true") as caught:
        load(tmp_path, block([head, *rows]))
    assert "heading" not in str(caught.value)


@pytest.mark.parametrize(
    ("meter", "heading", "most"),
    [
        ("rated pressure: 6 inH2O, full scale: 6 inH2O", "meter pressure [inH2O]", 6.6),
        ("MASS, high: 400 kg/h", "meter flow [kg/h]", 440.0),
    ],
)
def test_no_gauge_reads_far_beyond_its_scale(
    tmp_path: Path, meter: str, heading: str, most: float
) -> None:
    rated = "kind: calibrated plate, rated flow: 300 CFM, rated pressure: 6 inH2O"
    meter = meter.replace("rated pressure", rated[: rated.index("rated pr")] + "rated pressure")
    meter = meter.replace("MASS", "kind: flow meter, reads: mass flow")
    head = ALONE.replace(rated, meter)
    lines = [f"order,part,port,meter,test pressure [inH2O],{heading}"]
    lines += [f"1,log,1,range 4,28,{0.999 * most}", f"2,log,1,range 4,28,{1.001 * most}"]
    with pytest.raises(InputError, match=r"cannot read 110 % of its .*") as caught:
        load(tmp_path, block(lines), head)
    (problem,) = caught.value.problems
    assert problem.text == lines[2]
    assert "decimal sign" in problem.remedy
    # within a tenth of its last mark a gauge may be read, with a remark
    assert load(tmp_path, block(lines[:2]), head).readings[0].order == 1


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("room: {temperature: 1000 degC}", "temperature of room cannot be"),
        ("reference: {temperature: 90 degC}", "temperature of reference cannot be"),
        ("reference: {pressure: 1e-3 kPa abs}", "pressure of reference cannot be"),
        ("instruments: {test pressure: 28 inH2O}", "limit of test pressure is not below .* line"),
        ("instruments: {temperature: 400 K}", "limit of temperature is over 20 K"),
        ("instruments: {barometer: 2000 hPa}", "limit of barometer is over 100 hPa"),
        ("check plate: {flow: 200 CFM, uncertainty: 100 %}", "uncertainty is over 20 %"),
    ],
)
def test_what_no_bench_can_be_is_refused(tmp_path: Path, written: str, message: str) -> None:
    # found by mutating files: tracebacks, and uncertainties that were not numbers
    with pytest.raises(InputError, match=message) as caught:
        load(tmp_path, f"{written}\n{block(TABLE)}")
    (problem,) = caught.value.problems
    assert problem.text == written


def test_many_meters_do_not_cost_their_square() -> None:
    from pulse1d.case.readings import _known

    started = time.process_time()
    known = _known({"meters": [{"name": f"range {k}"} for k in range(30_000)]})
    assert known.meters is not None
    assert len(known.meters) == 30_000
    # under 0.2 s where this was written; compared in pairs 11 s
    assert time.process_time() - started < 5.0


def test_unknown_parts_in_every_row_are_told_soon(tmp_path: Path) -> None:
    parts = "".join(f"  party{i:05d}: {{name: x}}\n" for i in range(500))
    head = ALONE.replace("parts:\n", f"parts:\n{parts}")
    rows = [f"{k},party{k}z,1,range 4,7000,500" for k in range(1, 5001)]
    lines = ["order,part,port,meter,test pressure [Pa],meter pressure [Pa]", *rows]
    started = time.process_time()
    with pytest.raises(InputError, match="did you mean 'party") as caught:
        load(tmp_path, block(lines), head)
    # words beyond the first 200 are not compared: their rows share a line
    assert len(caught.value.problems) <= 200
    assert sum("likewise in 4799 rows more" in p.message for p in caught.value.problems) == 1
    # 0.9 s where this was written; each word compared with each part 27 s
    assert time.process_time() - started < 10.0


def test_a_case_that_many_parts_name_is_loaded_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pulse1d.case.design import Design
    from pulse1d.case.design import load as load_case

    calls: list[Path] = []

    def counted(path: Path) -> Design:
        calls.append(path)
        return load_case(path)

    monkeypatch.setattr("pulse1d.case.readings.load", counted)
    (tmp_path / "part.yaml").write_bytes((FOLDER / "part.yaml").read_bytes())
    more = "".join(f"  p{i}: {{name: x, case: part.yaml}}\n" for i in range(50))
    load(tmp_path, block(TABLE), HEAD.replace("parts:\n", f"parts:\n{more}"))
    assert len(calls) == 1


def test_a_cell_without_end_is_called_too_long(tmp_path: Path) -> None:
    long = [*TABLE, "4,part,log,1,3,range 4,27.9,2.1," + "n" * 140_000]
    with pytest.raises(InputError, match="a cell holds more than 131072 characters"):
        load(tmp_path, block(long))


def test_a_line_that_announces_the_separator_is_passed_over(tmp_path: Path) -> None:
    rows = [
        ";".join(cell if "," not in cell else f'"{cell}"' for cell in row) for row in cells(TABLE)
    ]
    (tmp_path / "table.csv").write_text("\n".join(["sep=;", *rows]), encoding="utf-8")
    session = load(tmp_path, "rows: table.csv\n")
    assert [reading.line for reading in session.readings] == [3, 4, 5]


@pytest.mark.parametrize(
    ("name", "text", "message", "remedy"),
    [
        ("table.csv", "order;part\n1;log\n", "a table alone does not say", "rows: table.csv"),
        ("case.yaml", "format: pulse1d case 1\nhead: {}\n", "this is a case file", "readings"),
    ],
)
def test_another_file_handed_over_is_named_once(
    tmp_path: Path, name: str, text: str, message: str, remedy: str
) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=message) as caught:
        load_readings(tmp_path / name)
    (problem,) = caught.value.problems
    assert remedy in problem.remedy


def test_a_unit_in_round_brackets_is_shown_how_to_stand(tmp_path: Path) -> None:
    lines = [TABLE[0].replace("test pressure [inH2O]", "test pressure (inH2O)"), *TABLE[1:]]
    with pytest.raises(InputError) as caught:
        load(tmp_path, block(lines))
    remedy = "write the unit in square brackets: 'test pressure [inH2O]'"
    assert caught.value.problems[0].remedy == remedy


def test_a_row_that_cannot_be_reduced_is_told_with_its_file(tmp_path: Path) -> None:
    lines = [*TABLE, "4,part,log,1,3,range 4,27.9,2000000,"]
    load(tmp_path, block(lines))
    with pytest.raises(InputError) as caught:
        load_reduced(tmp_path / "mine.yaml")
    (problem,) = caught.value.problems
    assert problem.file.endswith("mine.yaml")
    assert problem.text == lines[-1]
