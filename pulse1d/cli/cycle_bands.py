"""The bands of one speed of the running engine, as text."""

from __future__ import annotations

from collections.abc import Mapping

from pulse1d.cli.text import Column, paragraph, table
from pulse1d.run.cycle_band import CycleBand, band_of_difference, figures
from pulse1d.run.cycle_summary import SpeedSummary
from pulse1d.run.cycle_sweep import CaseSweep

BANDS = (
    Column("answer", 21, left=True),
    Column("value", 8),
    Column("+-", 7),
    Column("", 6, left=True),
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
DIFFERENCE_NOTE = (
    "An input that is off is off in both, so much of it cancels. Beyond the band: what only one of "
    "the two parts has, such as a weld or a core of its own."
)
DIFFERENT = {"%": "points", "degC": "K"}
"""Units of differences, where they are others."""
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
    values = figures(sweep.design, summary.answer)
    rows = band_rows(values, band, True)
    title = f"{sweep.design.name} at {60.0 * summary.answer.speed:g} rev/min: 5-95 % bands"
    return title + "\n" + table(BANDS, rows)


def difference_band_lines(
    base: tuple[CaseSweep, SpeedSummary, CycleBand],
    other: tuple[CaseSweep, SpeedSummary, CycleBand],
) -> str:
    """The table of one case less another with its bands.

    Parameters
    ----------
    base, other : (sweep, summary, band)   At one speed [SI]
    Returns
    -------
    text : str   [-]
    """
    ours, theirs = (figures(one.design, summary.answer) for one, summary, _ in (base, other))
    values = {name: theirs[name] - ours[name] for name in theirs}
    rows = band_rows(values, band_of_difference(base[2], other[2]), False)
    title = paragraph(
        f"{other[0].design.name} less {base[0].design.name} (the base) at "
        f"{base[1].rev_per_min:g} rev/min: 5-95 % bands",
        0,
    )
    return f"{title}\n{table(BANDS, rows)}"


def band_rows(
    values: Mapping[str, float], band: CycleBand, absolute: bool
) -> list[tuple[str, str, str, str, str]]:
    """Rows of a table of bands.

    Parameters
    ----------
    values : mapping   Answer to value [SI]
    band : CycleBand   Of the same answers [SI]
    absolute : bool   Values, not differences: temperatures from 0 degC, no signs [-]
    Returns
    -------
    rows : list of cells   [-]
    """
    rows = []
    for name, value in values.items():
        unit, factor, shift = UNITS[name]
        told = f"{factor * value + shift:.4g}" if absolute else f"{factor * value:+.3g}"
        ranked = sorted(band.shares[name].items(), key=lambda item: -abs(item[1]))[:NAMED]
        causes = ", ".join(f"{what} {factor * change:+.3g}" for what, change in ranked)
        half = f"{factor * band.half[name]:.3g}"
        rows.append((name, told, half, unit if absolute else DIFFERENT.get(unit, unit), causes))
    return rows
