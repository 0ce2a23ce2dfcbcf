"""Centre lines of a part's legs in space as a table: what the plan is drawn from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulse1d.case.design import Design
from pulse1d.plots.placed import PlacedLeg, placed
from pulse1d.results.sheet import Sheet, count, flag, number, text
from pulse1d.results.table import Table

LINES: Sheet[tuple[Design, PlacedLeg, int, bool]] = Sheet(
    "centre_lines",
    "Centre lines in the flange's axes: x along the row of ports, y up, z out of the head",
    (
        text("case", "name of the design", lambda r: r[0].name),
        text("leg", "runner or trunk", lambda r: r[1].name),
        count("point", "along the leg, from 1", lambda r: r[2] + 1),
        number("x", "m", "of the point", lambda r: r[1].points[r[2], 0]),
        number("y", "m", "of the point", lambda r: r[1].points[r[2], 1]),
        number("z", "m", "of the point", lambda r: r[1].points[r[2], 2]),
        number("diameter", "m", "of the circle of equal area", lambda r: r[1].wide[r[2]]),
        flag("stated", "all of the part's places follow from the case", lambda r: r[3]),
    ),
)

SHEETS: tuple[Sheet[Any], ...] = (LINES,)


def placed_tables(designs: Sequence[Design]) -> list[Table]:
    """Where the legs of designs lie.

    Parameters
    ----------
    designs : sequence of Design   [SI]
    Returns
    -------
    tables : list of Table   One [SI]
    """
    found = [(design, placed(design)) for design in designs]
    return [
        LINES.table(
            (design, leg, k, not part.notes)
            for design, part in found
            for leg in part.legs
            for k in range(len(leg.points))
        )
    ]
