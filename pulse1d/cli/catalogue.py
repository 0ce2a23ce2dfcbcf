"""Every table that a verb exports, in the order in which it does."""

from __future__ import annotations

from typing import Any

from pulse1d.compare import against_tables, overlay_tables, parts_tables
from pulse1d.plots import placed_tables
from pulse1d.results.sheet import Sheet
from pulse1d.run import (
    bench_tables,
    cycle_detail_tables,
    cycle_tables,
    explain_tables,
    geometry_tables,
    life_tables,
    pulse_tables,
    session_tables,
)
from pulse1d.study import study_tables

CATALOGUE: dict[str, tuple[Sheet[Any], ...]] = {
    "check": (*geometry_tables.SHEETS, *placed_tables.SHEETS),
    "bench": bench_tables.SHEETS,
    "reduce": session_tables.SHEETS,
    "parts": parts_tables.SHEETS,
    "compare": against_tables.COMPARE_SHEETS,
    "fit": against_tables.FIT_SHEETS,
    "pulse": pulse_tables.SHEETS,
    "cycle": (*cycle_tables.SHEETS, *cycle_detail_tables.SHEETS, *overlay_tables.SHEETS),
    "life": life_tables.SHEETS,
    "sweep": study_tables.SWEEP_SHEETS,
    "search": study_tables.SEARCH_SHEETS,
    "explain": explain_tables.SHEETS,
}
