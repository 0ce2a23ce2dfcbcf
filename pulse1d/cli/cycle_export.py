"""The tables of ``pulse1d cycle --export``."""

from __future__ import annotations

from collections.abc import Sequence

from pulse1d.cli.cycle_told import Details
from pulse1d.compare.overlay_tables import overlay_tables
from pulse1d.results.table import Table
from pulse1d.run.cycle_detail_tables import cycle_detail_tables
from pulse1d.run.cycle_sweep import CaseSweep
from pulse1d.run.cycle_tables import cycle_tables


def every_table(sweeps: Sequence[CaseSweep], told: Details) -> list[Table]:
    """Speeds, then what was told of one of them.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    told : Details   [SI]
    Returns
    -------
    tables : list of Table   [SI]
    """
    laid = [(one.design.name, found) for one, found in told.overlays if found is not None]
    kind = told.measured.kind if told.measured is not None else ""
    return [
        *cycle_tables(sweeps),
        *cycle_detail_tables(told.speed, told.waves, told.lengths, told.bands),
        *overlay_tables(kind, told.cylinder, laid),
    ]
