"""The bands of one speed of the running engine, as text."""

from __future__ import annotations

from pulse1d.cli.text import Column, table
from pulse1d.run.cycle_band import CycleBand, figures
from pulse1d.run.cycle_summary import SpeedSummary
from pulse1d.run.cycle_sweep import CaseSweep

BANDS = (
    Column("answer", 22, left=True),
    Column("value", 7),
    Column("+-", 6),
    Column("", 5, left=True),
    Column("most from", 28, left=True),
)
UNITS = {
    "torque": ("N m", 1.0, 0.0),
    "volumetric efficiency": ("%", 100.0, 0.0),
    "residual": ("%", 100.0, 0.0),
    "pmep": ("bar", 1e-5, 0.0),
    "back pressure": ("kPa", 1e-3, 0.0),
    "gas temperature": ("degC", 1.0, -273.15),
}
"""Unit, factor and shift of the shown numbers."""
NAMED = 3


def band_lines(sweep: CaseSweep, summary: SpeedSummary, band: CycleBand) -> str:
    """The table of answers with their 5-95 % bands.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    summary : SpeedSummary   Of the speed [SI]
    band : CycleBand   Of the same [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = []
    for name, value in figures(sweep.design, summary.answer).items():
        unit, factor, shift = UNITS[name]
        ranked = sorted(band.shares[name].items(), key=lambda item: -abs(item[1]))[:NAMED]
        causes = ", ".join(f"{what} {factor * change:+.3g}" for what, change in ranked)
        half = f"{factor * band.half[name]:.3g}"
        rows.append((name, f"{factor * value + shift:.4g}", half, unit, causes))
    title = f"{sweep.design.name} at {60.0 * summary.answer.speed:g} rev/min: 5-95 % bands"
    return title + "\n" + table(BANDS, rows)
