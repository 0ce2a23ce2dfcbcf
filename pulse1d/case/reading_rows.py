"""Rows of a table of bench readings: text to numbers in SI, and what is wrong in each row."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from pulse1d import units
from pulse1d.case.document import listed, nearest
from pulse1d.case.reading_columns import COUNT, METER_COLUMNS, TEXT, Column
from pulse1d.case.reading_told import Off, Topic, grouped, wrong_by_one_factor
from pulse1d.case.rows_csv import Cells, Decimals
from pulse1d.errors import Problem, UnitError
from pulse1d.measure.meters import beyond_scale
from pulse1d.measure.reading import Reading
from pulse1d.measure.spec import (
    CriticalNozzle,
    FlowMeter,
    Meter,
    PartNote,
    RoomAir,
    SetUp,
)

WHAT = ("part", "leak", "check")
DIMENSIONS = {"mass flow": "mass flow"}
"""Quantity that a flow meter of each kind of reading shows; volume flow unless listed."""
LIKELY = {
    "part temperature": (230.0, 430.0),
    "meter temperature": (230.0, 430.0),
    "barometer": (5e4, 1.2e5),
}
"""What the air of a bench room can be [K, Pa]: -43 to 157 degC; from 5500 m to below the sea's
level. Beyond, the unit of the column is wrong."""
WRONG_UNIT = 0.5
"""Share of the test pressure that a slip of the hand does not reach [-]."""
_DEGREES = "a bench's air lies between -43 and 157 degC"
_ROOM = "a barometer reads 500 to 1200 hPa; give the station's own pressure"
STATED = "stated test pressure"
"""Topic of rows that were not read at it."""
MOST_GUESSES = 200
"""Most different words of a table that are compared with what was meant; bounds the time."""
SHOWN = 60
"""Longest word of a cell that a message repeats [characters]."""


@dataclass(frozen=True)
class Known:
    """What the head of the file says that rows refer to; None where it could not be read."""

    parts: Mapping[str, PartNote | None] | None
    meters: Mapping[str, Meter | None] | None
    set_up: SetUp | None
    room: RoomAir | None


@dataclass(frozen=True)
class RowsRead:
    """Readings of every sound row, and the problems of the others."""

    readings: tuple[Reading, ...]
    problems: tuple[Problem, ...]
    ports: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    """Part to the ports that rows name, sound or not, each with the line where it is first."""


def read_rows(cells: Cells, columns: Mapping[str, Column], known: Known) -> RowsRead:
    """Every row as a reading.

    Parameters
    ----------
    cells : Cells   The table [-]
    columns : mapping of str to Column   By standard name [-]
    known : Known   Parts, meters, set-up and room [SI]
    Returns
    -------
    rows : RowsRead   A row with a problem gives no reading [SI]
    """
    numeric = [column.index for column in columns.values() if column.dimension != TEXT]
    decimals = Decimals(
        ((line, row[index]) for line, row in cells.rows for index in numeric), cells.separator
    )
    guesses = _Guesses()
    readings: list[Reading] = []
    problems: list[tuple[Topic, Problem]] = []
    ports: dict[str, dict[str, int]] = {}
    offs: list[Off] = []
    for line, row in cells.rows:
        reader = _Row(cells, columns, known, decimals, guesses, line, row)
        reading = reader.reading()
        problems += reader.problems
        if reading is not None and not reader.problems:
            readings.append(reading)
        ports.setdefault(reader.text("part"), {}).setdefault(reader.text("port"), line)
        offs += [reader.off] if reader.off else []
    told: list[Problem] = []
    if offs and known.set_up is not None:
        set_up, unit = known.set_up, columns["test pressure"].unit
        alike, message, remedy = wrong_by_one_factor(
            offs, set_up.test_pressure, unit, set_up.tolerance
        )
        if alike:
            told = [cells.source.problem(cells.heading_line, message, remedy)]
            problems = [
                (topic, problem)
                for topic, problem in problems
                if topic[0] != STATED or problem.line not in alike
            ]
    told += grouped(problems, len(cells.rows))
    return RowsRead(tuple(readings), tuple(told), ports)


class _Guesses:
    """What the words of a table may have meant, each looked up once."""

    def __init__(self) -> None:
        self.found: dict[tuple[str, str], str | None] = {}

    def near(self, column: str, word: str, choices: Iterable[str]) -> str | None:
        """The most alike of some words; None once too many were looked up."""
        key = column, word
        if key not in self.found and len(self.found) < MOST_GUESSES:
            self.found[key] = nearest(word, choices)
        return self.found.get(key)


class _Row:
    """One row being read."""

    def __init__(
        self,
        cells: Cells,
        columns: Mapping[str, Column],
        known: Known,
        decimals: Decimals,
        guesses: _Guesses,
        line: int,
        row: tuple[str, ...],
    ) -> None:
        self.cells, self.columns, self.known = cells, columns, known
        self.decimals, self.guesses, self.line, self.row = decimals, guesses, line, row
        self.problems: list[tuple[Topic, Problem]] = []
        self.off: Off | None = None

    def told(self, column: str, message: str, remedy: str) -> None:
        problem = self.cells.source.problem(self.line, message, remedy)
        self.problems.append(((column, remedy), problem))

    def reading(self) -> Reading | None:
        """The reading; None where a cell could not be read."""
        what = self.text("what") or "part"
        if what not in WHAT:
            near = self.guesses.near("what", what, WHAT)
            remedy = f"did you mean {near!r}?" if near else "write part, leak or check"
            self.told("what", f"what {what[:SHOWN]!r} is not known", remedy)
        part = self.name("part", self.known.parts, needed=what == "part")
        port = self.text("port")
        if not port and what == "part" and "port" in self.columns:
            self.told("port", "port is empty", "write the port that was read")
        meter = self.name("meter", self.known.meters, needed=True)
        order, remount = self.count("order"), self.count("remount", 1)
        test_pressure = self.positive("test pressure")
        shown = self.meter_reading(what, meter)
        part_air = self.air("part temperature", lambda room: room.temperature)
        meter_air = self.air("meter temperature", lambda room: room.temperature)
        barometer = self.air("barometer", lambda room: room.pressure)
        humidity = self.air("humidity", lambda room: room.humidity)
        self.near_the_test_pressure(what, test_pressure)
        if order is None or remount is None or test_pressure is None or shown is None:
            return None
        if part_air is None or meter_air is None or barometer is None or humidity is None:
            return None
        return Reading(
            line=self.line,
            order=order,
            what=what,
            part=part,
            port=port,
            remount=remount,
            meter=meter,
            test_pressure=test_pressure,
            meter_reading=shown,
            T_part=part_air,
            T_meter=meter_air,
            p_room=barometer,
            humidity=humidity,
            note=self.text("note"),
        )

    def text(self, name: str) -> str:
        column = self.columns.get(name)
        return self.row[column.index] if column else ""

    def name(self, column: str, choices: Mapping[str, object] | None, needed: bool) -> str:
        """A word that must be one of the head of the file."""
        word = self.text(column)
        if not word and (not needed or column not in self.columns):
            return ""
        if not word:
            self.told(column, f"{column} is empty", f"write one of {listed(choices or ())}")
        elif choices is not None and word not in choices:
            near = self.guesses.near(column, word, choices)
            remedy = f"did you mean {near!r}? " if near else ""
            message = f"{column} {word[:SHOWN]!r} is not under '{column}s:'"
            self.told(column, message, f"{remedy}{column}s are {listed(choices)}")
        return word

    def count(self, name: str, default: int | None = None) -> int | None:
        """A whole number from 1."""
        if name not in self.columns or (not self.text(name) and default is not None):
            return default
        text = self.text(name)
        if text.isascii() and text.isdigit() and 0 < len(text) < 10 and int(text) > 0:
            return int(text)
        shown = repr(text[:40]) if text else "empty"
        self.told(name, f"{name} is {shown}", "write a whole number from 1")
        return None

    def number(self, name: str) -> float | None:
        """A quantity in SI; None where it cannot be read."""
        column = self.columns.get(name)
        if column is None or column.dimension in ("", TEXT, COUNT):
            return None
        number, message, remedy = self.decimals.read(self.row[column.index])
        if number:
            try:
                return column.value(number)
            except UnitError as error:
                message, _, remedy = str(error).partition("; ")
        self.told(name, f"{name}: {message}", remedy)
        return None

    def positive(self, name: str, zero: bool = False) -> float | None:
        """A pressure or flow above 0, or from 0."""
        value = self.number(name)
        if value is not None and (value < 0.0 or (value == 0.0 and not zero)):
            remedy = "write its size; the direction stands under 'set-up:'"
            if value == 0.0:
                remedy = "read it again; only a leak row may show no flow"
            self.told(name, f"{name} is {self.text(name)}, not above 0", remedy)
            return None
        return value

    def meter_reading(self, what: str, meter: str) -> float | None:
        """What the meter shows, from the column of its kind."""
        spec = (self.known.meters or {}).get(meter)
        if spec is None:
            for name in METER_COLUMNS:
                if self.text(name):
                    self.positive(name, zero=True)
            return None
        name = meter_column(spec)
        column = self.columns.get(name)
        if not any(other in self.columns for other in METER_COLUMNS):
            return None
        if column is None or not self.text(name):
            message = f"{name} is empty, and meter {meter!r} is a {spec.kind}"
            self.told(name, message, f"write its reading in a column {name!r}")
            return None
        if isinstance(spec, FlowMeter) and column.dimension:
            shown = DIMENSIONS.get(spec.reads, "volume flow")
            if column.dimension != shown:
                message = f"meter {meter!r} reads {spec.reads}, the column holds {column.dimension}"
                self.told(name, message, f"put the unit right, such as {units.EXAMPLE[shown]}")
                return None
        for other in METER_COLUMNS:
            if other != name and self.text(other):
                message = f"{other} has a value, but meter {meter!r} is a {spec.kind}"
                self.told(other, message, f"leave the cell empty; its reading stands in {name!r}")
        value = self.positive(name, zero=what == "leak")
        if value is not None and (beyond := beyond_scale(spec, value)):
            message, _, remedy = beyond.partition("; ")
            self.told(name, f"{name} {self.text(name)}: {message}", remedy)
        return value

    def air(self, name: str, of_room: Callable[[RoomAir], float]) -> float | None:
        """A state of the air: from its cell, else the room's."""
        column = self.columns.get(name)
        if column is None or not column.dimension or not self.text(name):
            return of_room(self.known.room) if self.known.room is not None else None
        value = self.number(name)
        if value is None:
            return None
        low, high = LIKELY.get(name, (0.0, 1.0))
        if not low <= value <= high:
            shown = f"{self.text(name)} {column.unit}".strip()
            remedy = {"humidity": "relative humidity lies between 0 and 100 %", "barometer": _ROOM}
            self.told(name, f"{name} {shown} cannot be", remedy.get(name, _DEGREES))
            return None
        return value

    def near_the_test_pressure(self, what: str, value: float | None) -> None:
        """A part must be read at the stated test pressure, unless several are read."""
        set_up = self.known.set_up
        if set_up is None or value is None or what == "leak" or set_up.several_pressures:
            return
        self.off = Off(self.line, value / set_up.test_pressure)
        off = value / set_up.test_pressure - 1.0
        if abs(off) > set_up.tolerance * (1.0 + 1e-9):
            unit = self.columns["test pressure"].unit
            stated = units.to(set_up.test_pressure, unit, "pressure")
            again = f"read the row again within {100 * set_up.tolerance:.3g} %"
            if abs(off) > WRONG_UNIT:
                again = f"check the number and the column's unit, [{unit}]"
            self.told(
                STATED,
                f"test pressure {self.text('test pressure')} {unit} lies {100 * off:+.1f} % off "
                f"the stated {stated:.4g} {unit}",
                f"{again}, or write 'several pressures: true' under 'set-up:'",
            )


def meter_column(meter: Meter) -> str:
    """The column that a meter's reading stands in.

    Parameters
    ----------
    meter : Meter   [-]
    Returns
    -------
    name : str   [-]
    """
    if isinstance(meter, CriticalNozzle):
        return "meter inlet pressure"
    return "meter flow" if isinstance(meter, FlowMeter) else "meter pressure"
