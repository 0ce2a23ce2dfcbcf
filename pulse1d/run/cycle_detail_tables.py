"""Details of one speed of the running engine as tables: waves, tuned lengths, bands."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from pulse1d.engine.tuning import TunedLength
from pulse1d.results.sheet import Column, Sheet, number, text
from pulse1d.results.table import Table
from pulse1d.run.attribution import Interference, ReturningWave
from pulse1d.run.cycle_band import CycleBand
from pulse1d.run.cycle_sweep import CaseSweep

ALL = "all"
"""Of a band: every input together."""
BANDED = {
    "torque": "N m",
    "volumetric efficiency": "1",
    "residual": "1",
    "pmep": "Pa",
    "back pressure": "Pa",
    "gas temperature": "K",
}
"""Answers with a band, and their units."""


def _moved(answer: str) -> Callable[[Any], Any]:
    return lambda row: row[3].get(answer)


CASE: Column[Any] = text("case", "name of the design", lambda r: r[0].design.name)
SPEED: Column[Any] = number("speed", "1/min", "of the crankshaft", lambda r: round(60.0 * r[1], 9))
CYLINDER: Column[Any] = text("cylinder", "at whose port", lambda r: r[2])

INTERFERENCE: Sheet[tuple[CaseSweep, float, str, str, float]] = Sheet(
    "interference",
    "Mean pressure added at a port while both valves of its cylinder are open",
    (
        CASE,
        SPEED,
        CYLINDER,
        text("from_cylinder", "whose blow-down adds it", lambda r: r[3]),
        number("pressure", "Pa", "mean over the overlap", lambda r: r[4]),
    ),
)

WAVES: Sheet[tuple[CaseSweep, float, str, ReturningWave]] = Sheet(
    "waves",
    "What each source adds to the pressure at a port",
    (
        CASE,
        SPEED,
        CYLINDER,
        text("source", "of the wave", lambda r: r[3].source),
        number("arrives", "deg", "after the exhaust valve opens", lambda r: r[3].arrives),
        number("strength", "Pa", "largest, with its sign", lambda r: r[3].strength),
        number("in_overlap", "Pa", "mean over the overlap", lambda r: r[3].in_overlap),
    ),
)

WAVE_TRACES: Sheet[tuple[CaseSweep, float, str, ReturningWave, int]] = Sheet(
    "wave_traces",
    "The same over one cycle",
    (
        CASE,
        SPEED,
        CYLINDER,
        text("source", "of the wave", lambda r: r[3].source),
        number("crank_angle", "deg", "after the exhaust valve opens", lambda r: float(r[4])),
        number("pressure", "Pa", "that it adds", lambda r: r[3].pressure[r[4]]),
    ),
)

TUNING: Sheet[tuple[CaseSweep, float, TunedLength]] = Sheet(
    "tuning",
    "Lengths that the trade's rules give, and the part's own",
    (
        CASE,
        SPEED,
        text("rule", "or way", lambda r: r[2].rule),
        number("length", "m", "from the valve to the first joint", lambda r: r[2].length),
        number("returns", "deg", "first echo, after the exhaust valve opens",
               lambda r: r[2].return_after),
    ),
)  # fmt: skip

BANDS: Sheet[tuple[CaseSweep, float, str, dict[str, float]]] = Sheet(
    "bands",
    "Half widths of the 5-95 % bands of the answers, and what each doubtful input moves",
    (
        CASE,
        SPEED,
        text("input", f"that is moved to the edge of its band; {ALL}: half width", lambda r: r[2]),
        *(
            number(name.replace(" ", "_"), unit, "change of it",
                   _moved(name))
            for name, unit in BANDED.items()
        ),
    ),
)  # fmt: skip

SHEETS: tuple[Sheet[Any], ...] = (INTERFERENCE, WAVES, WAVE_TRACES, TUNING, BANDS)


def cycle_detail_tables(
    speed: float,
    waves: Sequence[tuple[CaseSweep, Interference]],
    lengths: Sequence[tuple[CaseSweep, Sequence[TunedLength]]],
    bands: Sequence[tuple[CaseSweep, CycleBand]],
) -> list[Table]:
    """What was told of one speed.

    Parameters
    ----------
    speed : float   [rev/s]
    waves : sequence of (CaseSweep, Interference)   Who sends which wave [SI]
    lengths : sequence of (CaseSweep, tuned lengths)   [SI]
    bands : sequence of (CaseSweep, CycleBand)   [SI]
    Returns
    -------
    tables : list of Table   Those of which something was asked for [SI]
    """
    told = [
        (sweep, speed, cylinder, wave)
        for sweep, found in waves
        for cylinder, own in found.waves.items()
        for wave in own
    ]
    tables = (
        INTERFERENCE.table(row for sweep, found in waves for row in _matrix(sweep, speed, found)),
        WAVES.table(told),
        WAVE_TRACES.table((*one, k) for one in told for k in range(len(one[3].pressure))),
        TUNING.table((sweep, speed, one) for sweep, some in lengths for one in some),
        BANDS.table(row for sweep, band in bands for row in _inputs(sweep, speed, band)),
    )
    return [table for table in tables if table.rows]


def _matrix(
    sweep: CaseSweep, speed: float, found: Interference
) -> Iterator[tuple[CaseSweep, float, str, str, float]]:
    for i, own in enumerate(found.cylinders):
        for j, other in enumerate(found.cylinders):
            if i != j:
                yield sweep, speed, own, other, float(found.matrix[i, j])


def _inputs(
    sweep: CaseSweep, speed: float, band: CycleBand
) -> Iterator[tuple[CaseSweep, float, str, dict[str, float]]]:
    yield sweep, speed, ALL, band.half
    for name in dict.fromkeys(name for shares in band.shares.values() for name in shares):
        moved = {a: shares[name] for a, shares in band.shares.items() if name in shares}
        yield sweep, speed, name, moved
