"""A pulse run as tables."""

from __future__ import annotations

from operator import attrgetter
from typing import Any

from pulse1d.results.dataset import TRACES as STATES
from pulse1d.results.sheet import Sheet, count, number, part, text
from pulse1d.results.table import Table
from pulse1d.run.pulse import PulseResult
from pulse1d.run.pulse_record import PER_STATION
from pulse1d.run.readings import Reading
from pulse1d.waves.solve import Trace

STATIONS: Sheet[Reading] = Sheet(
    "stations",
    "What is read off the pressure at every station; empty: the record shows none",
    (
        text("station", "as the case names it", lambda r: r.station),
        number("distance", "m", "from the port along the way", lambda r: r.distance),
        *(number(name, unit, meaning, attrgetter(name)) for name, unit, meaning in PER_STATION),
    ),
)

TRACES: Sheet[tuple[str, Trace, int]] = Sheet(
    "traces",
    "State at every station over time",
    (
        text("station", "as the case names it", lambda r: r[0]),
        number("time", "s", "from the opening", lambda r: r[1].t[r[2]]),
        *(
            number(name, unit, meaning, part(1, name, at=2))
            for name, (unit, meaning) in STATES.items()
        ),
    ),
)

PIPES: Sheet[tuple[str, float, int]] = Sheet(
    "pipes",
    "What the solver marched",
    (
        text("pipe", "between joints and steps of area", lambda r: r[0]),
        number("length", "m", "along the way", lambda r: r[1]),
        count("cells", "in it", lambda r: r[2]),
    ),
)

SHEETS: tuple[Sheet[Any], ...] = (STATIONS, TRACES, PIPES)


def pulse_tables(result: PulseResult) -> list[Table]:
    """Everything that ``pulse1d pulse`` prints or draws traces from.

    Parameters
    ----------
    result : PulseResult   [SI]
    Returns
    -------
    tables : list of Table   Stations, traces, pipes [SI]
    """
    return [
        STATIONS.table(result.readings),
        TRACES.table(
            (name, trace, k)
            for name, trace in result.run.traces.items()
            for k in range(len(trace.t))
        ),
        PIPES.table(
            (name, pipe.length, pipe.cells) for name, pipe in result.meshed.net.pipes.items()
        ),
    ]
