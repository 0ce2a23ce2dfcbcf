"""A measured curve against the running engine as a table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulse1d.compare.overlay import Overlay
from pulse1d.results.sheet import Sheet, count, number, text
from pulse1d.results.table import Table

Row = tuple[str, str, str, Overlay]

MEASURED: Sheet[Row] = Sheet(
    "measured",
    "Predicted less measured",
    (
        text("case", "name of the design", lambda r: r[0]),
        text("kind", "pressure or torque", lambda r: r[1]),
        text("cylinder", "at whose port; empty: torque", lambda r: r[2]),
        count("rows", "compared", lambda r: r[3].rows),
        number("rms_pressure", "Pa", "of the residual",
               lambda r: r[3].rms if r[1] == "pressure" else None),
        number("mean_pressure", "Pa", "of the residual",
               lambda r: r[3].mean if r[1] == "pressure" else None),
        number("rms_torque", "N m", "of the residual",
               lambda r: r[3].rms if r[1] == "torque" else None),
        number("mean_torque", "N m", "of the residual",
               lambda r: r[3].mean if r[1] == "torque" else None),
        number("shift", "deg", "by which the prediction comes late", lambda r: r[3].shift),
        number("correlation", "1", "once shifted", lambda r: r[3].correlation),
        number("amplitude", "1", "predicted over measured, once shifted",
               lambda r: r[3].amplitude),
    ),
)  # fmt: skip

SHEETS: tuple[Sheet[Any], ...] = (MEASURED,)


def overlay_tables(kind: str, cylinder: str, laid: Sequence[tuple[str, Overlay]]) -> list[Table]:
    """How far prediction and measurement lie apart.

    Parameters
    ----------
    kind : str   pressure or torque [-]
    cylinder : str   Where pressure was measured [-]
    laid : sequence of (case, Overlay)   [SI]
    Returns
    -------
    tables : list of Table   One or none [SI]
    """
    at = cylinder if kind == "pressure" else ""
    return [MEASURED.table((case, kind, at, found) for case, found in laid)] if laid else []
