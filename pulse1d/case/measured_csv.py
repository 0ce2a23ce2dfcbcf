"""A measured curve of the running engine: two columns of a .csv file.

Either port pressure against crank angle or torque against speed. Each heading carries its unit in
brackets; the columns may stand in any order.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pulse1d import units
from pulse1d.case.document import MAX_PROBLEMS
from pulse1d.case.files import read_text
from pulse1d.case.rows_csv import Cells, Decimals, Source, cut
from pulse1d.errors import InputError, UnitError

Array = NDArray[np.float64]

KINDS = {"crank angle": "pressure", "speed": "torque"}
OWN_UNITS = {
    "speed": {"1/min": 1.0 / 60.0, "rev/min": 1.0 / 60.0, "rpm": 1.0 / 60.0, "1/s": 1.0},
    "torque": {"N m": 1.0, "Nm": 1.0, "N*m": 1.0, "lbf ft": 1.3558179483314004},
}
"""Foot-pound of force from the exact foot, pound and standard gravity."""
EXAMPLE = '"crank angle [deg], pressure [kPa abs]" or "speed [1/min], torque [N m]"'
FEWEST = {"pressure": 20, "torque": 1}
"""Rows below which nothing can be said of a shift (judgement)."""
LARGEST = 1e12
"""Beyond any angle, speed, pressure or torque in any of their units."""
_HEADING = re.compile(r"(.*\S)\s*\[(.+)\]")


@dataclass(frozen=True)
class Measured:
    """A measured curve."""

    path: Path
    kind: str
    """"pressure" or "torque"."""
    x: Array
    """Crank angle after the cylinder's own firing top dead centre [deg], or speed [rev/s]."""
    y: Array
    """[Pa] absolute, or [N m]."""


def read_measured(path: Path) -> Measured:
    """Read a measured curve.

    Parameters
    ----------
    path : Path   The .csv file [-]
    Returns
    -------
    measured : Measured   In rising order [SI, deg]
    Errors      InputError with file and line: headings that are not known, units, numbers.
    """
    text = read_text(path)
    source = Source(path, 1, text, text)
    cells = cut(source)
    if cells.problems:
        raise InputError(list(cells.problems))
    columns = _columns(cells)
    across = next((name for name in KINDS if name in columns), None)
    if across is None or set(columns) != {across, KINDS[across]}:
        message = f"the headings are {', '.join(columns) or 'none that are known'}"
        raise InputError([source.problem(cells.heading_line, message, f"write {EXAMPLE}")])
    up = KINDS[across]
    table = _numbers(cells, [columns[across][0], columns[up][0]])
    scales = np.array([columns[across][1], columns[up][1]])
    if len(table) < FEWEST[up]:
        message = f"{len(table)} rows are too few to compare a {up}"
        raise InputError([source.problem(cells.heading_line, message, f"give {FEWEST[up]}")])
    x, y = (table * scales).T
    if across == "crank angle":
        x = np.degrees(x) % 720.0
    order = np.argsort(x, kind="stable")
    return Measured(path, up, x[order], y[order])


def _columns(cells: Cells) -> dict[str, tuple[int, float]]:
    """Place of each known column, and what its unit is in SI."""
    found: dict[str, tuple[int, float]] = {}
    for place, heading in enumerate(cells.headings):
        match = _HEADING.fullmatch(heading)
        name = (match.group(1) if match else heading).lower()
        try:
            if match is None:
                raise UnitError(f"the heading {heading!r} has no unit in brackets")
            if name in found:
                raise UnitError(f"the heading {heading!r} stands twice")
            found[name] = place, _scale(name, match.group(2))
        except UnitError as error:
            raise InputError(
                [cells.source.problem(cells.heading_line, str(error), f"write {EXAMPLE}")]
            ) from error
    return found


def _scale(name: str, unit: str) -> float:
    if name in OWN_UNITS:
        known = OWN_UNITS[name]
        if unit not in known:
            raise UnitError(f"{unit!r} is no unit of {name} known here: {', '.join(known)}")
        return known[unit]
    if name == "crank angle":
        return units.parse(f"1 {unit}", "angle")
    if name == "pressure":
        return units.parse_absolute(f"1 {unit}")
    raise UnitError(f"there is no column {name!r} here")


def _numbers(cells: Cells, places: list[int]) -> Array:
    """The numbers of some columns, every cell that is none reported."""
    wanted = [(line, row[place]) for line, row in cells.rows for place in places]
    decimals = Decimals(wanted, cells.separator)
    values, problems = [], []
    for line, cell in wanted:
        number, message, remedy = decimals.read(cell)
        values.append(float(number) if number else math.nan)
        if abs(values[-1]) > LARGEST:
            message, remedy = f"{number} is too large a number", "check its digits and the unit"
        if message:
            problems.append(cells.source.problem(line, message, remedy))
    if problems:
        raise InputError(problems[:MAX_PROBLEMS])
    return np.array(values).reshape(-1, len(places))
