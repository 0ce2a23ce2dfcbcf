"""The running engine as text for a terminal of 80 columns: the tables by speed and by case."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean

from pulse1d.cli.text import Column, paragraph, table
from pulse1d.run.cycle_summary import SpeedDifference, SpeedSummary, differences
from pulse1d.run.cycle_sweep import CaseSweep
from pulse1d.run.engine_net import needs

SPEEDS = (
    Column("speed", 5),
    Column("torque", 6),
    Column("power", 5),
    Column("bmep", 5),
    Column("v.eff", 5),
    Column("resid", 5),
    Column("span", 4),
    Column("back", 5),
    Column("pmep", 5),
    Column("gas", 4),
    Column("wall", 4),
    Column("cyc", 3),
)
SPEED_UNITS = ["1/min", "N m", "kW", "bar", "%", "%", "%", "kPa", "bar", "degC", "degC", ""]
MORE = (
    Column("speed", 6),
    Column("torque", 8),
    Column("", 7),
    Column("v.eff", 8),
    Column("residual", 8),
    Column("back", 8),
    Column("pmep", 8),
    Column("", 1),
)
MORE_UNITS = ["1/min", "N m", "%", "points", "points", "kPa", "bar", ""]
NOTE = (
    "v.eff, resid, back, pmep: means of the cylinders; span: largest less smallest residual. back: "
    "mean port pressure above the room's. gas: mean of the flow at the ports. wall: mean of the "
    "pipes. cyc: cycles marched."
)
KELVIN = 273.15


def report(sweeps: Sequence[CaseSweep]) -> str:
    """Every case's table by speed, and the differences to the first.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   The first is the base [SI]
    Returns
    -------
    text : str   [-]
    """
    parts = []
    for sweep in sweeps:
        parts += [heading(sweep), *speed_lines(sweep)]
    parts.append(paragraph(NOTE))
    for other in sweeps[1:]:
        parts += difference_lines(sweeps[0], other)
    return "\n\n".join(parts)


def heading(sweep: CaseSweep) -> str:
    """Case, engine, and how much of it is modelled.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    Returns
    -------
    text : str   [-]
    """
    design, engine = sweep.design, needs(sweep.design)
    charge, plenum = engine.charge, engine.plenum
    text = (
        f"{engine.cylinders} cylinder{'s' if engine.cylinders > 1 else ''}, "
        f"{1e3 * engine.bore:.4g} x {1e3 * engine.stroke:.4g} mm, "
        f"{1e3 * engine.displacement:.4g} L, compression {engine.compression_ratio:.4g}, fires "
        f"{'-'.join(engine.firing_order)}; {charge.fuel}, lambda {charge.lambda_:.4g}; plenum "
        f"{1e-3 * plenum.pressure:.5g} kPa abs, {plenum.temperature - KELVIN:.4g} degC."
    )
    if sweep.answers and (count := len(sweep.answers[0].cylinders)) < engine.cylinders:
        text += f" {count} of {engine.cylinders} cylinders modelled: a bank, not the engine."
    return f"{design.name}\n{paragraph(text)}"


def whose(sweep: CaseSweep) -> str:
    """Whose torque and power are told, where it is not the whole engine's.

    Parameters
    ----------
    sweep : CaseSweep   [-]
    Returns
    -------
    text : str   Empty for a whole engine [-]
    """
    count = needs(sweep.design).cylinders
    modelled = len(sweep.answers[0].cylinders) if sweep.answers else count
    if modelled == count:
        return ""
    return f"of the {modelled} cylinders modelled, not of the engine"


def speed_lines(sweep: CaseSweep) -> list[str]:
    """The table by speed with its notes.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    Returns
    -------
    lines : list of str   [-]
    """
    notes = []
    if sweep.answers:
        rows = [SPEED_UNITS, *(speed_row(summary) for summary in sweep.summaries)]
        partly = whose(sweep)
        notes = [
            table(SPEEDS, rows),
            *([paragraph(f"Torque and power: {partly}.")] if partly else []),
        ]
    if not all(answer.converged for answer in sweep.answers):
        notes.append(
            paragraph("* not converged: the cycles do not repeat yet; kept, in no average.")
        )
    notes += [
        paragraph(f"Not finished at {60.0 * speed:g} rev/min: {reason}")
        for speed, reason in sweep.failed
    ]
    if sweep.reused:
        many = "speed" if sweep.reused == 1 else "speeds"
        notes.append(paragraph(f"{sweep.reused} {many} read from {sweep.path}"))
    return notes


def speed_row(summary: SpeedSummary) -> list[str]:
    """One speed's line.

    Parameters
    ----------
    summary : SpeedSummary   [SI]
    Returns
    -------
    cells : list of str   [-]
    """
    torque, answer = summary.torque, summary.answer
    return [
        f"{summary.rev_per_min:.5g}",
        f"{torque.brake:.1f}",
        f"{1e-3 * torque.power:.1f}",
        f"{1e-5 * torque.bmep:.2f}",
        f"{100.0 * summary.volumetric_efficiency:.1f}",
        f"{100.0 * summary.residual:.1f}",
        f"{100.0 * summary.residual_spread:.1f}",
        f"{1e-3 * summary.back_pressure:.1f}",
        f"{1e-5 * summary.pmep:.2f}",
        f"{summary.T_gas - KELVIN:.0f}",
        f"{summary.T_wall - KELVIN:.0f}",
        f"{answer.cycles}{'' if answer.converged else '*'}",
    ]


def difference_lines(base: CaseSweep, other: CaseSweep) -> list[str]:
    """One case against the base.

    Parameters
    ----------
    base, other : CaseSweep   [SI]
    Returns
    -------
    lines : list of str   [-]
    """
    rows = differences(base.summaries, other.summaries)
    if not rows:
        return [paragraph(f"{other.design.name}: no speed in common with the base.", 0)]
    text = paragraph(f"{other.design.name} less {base.design.name} (the base)", 0)
    partly, theirs = whose(base), whose(other)
    lines = [MORE_UNITS, *(difference_row(row) for row in rows)]
    good = [row for row in rows if row.converged]
    if len(good) > 1:
        lines.append(mean_row(good))
    notes = "torque %: of the base's."
    if len(good) > 1:
        notes += " mean: of the speeds at which both converged."
    if partly or theirs:
        notes += f" Torque: base {partly or 'whole'}; other {theirs or 'whole'}."
    return [f"{text}\n{table(MORE, lines)}", paragraph(notes)]


def difference_row(row: SpeedDifference) -> list[str]:
    """One speed's differences.

    Parameters
    ----------
    row : SpeedDifference   [SI]
    Returns
    -------
    cells : list of str   [-]
    """
    return [f"{row.rev_per_min:.5g}", *_figures(row), "" if row.converged else "*"]


def mean_row(rows: Sequence[SpeedDifference]) -> list[str]:
    """The mean of some speeds.

    Parameters
    ----------
    rows : sequence of SpeedDifference   Converged ones [SI]
    Returns
    -------
    cells : list of str   [-]
    """

    def mean(name: str) -> float:
        return fmean(getattr(row, name) for row in rows)

    names = ("torque", "torque_share", "volumetric_efficiency", "residual", "back_pressure", "pmep")
    return ["mean", *_figures(SpeedDifference(0.0, True, *(mean(name) for name in names))), ""]


def _figures(row: SpeedDifference) -> list[str]:
    return [
        f"{row.torque:+.2f}",
        "-" if math.isnan(row.torque_share) else f"{100.0 * row.torque_share:+.2f}",
        f"{100.0 * row.volumetric_efficiency:+.2f}",
        f"{100.0 * row.residual:+.2f}",
        f"{1e-3 * row.back_pressure:+.2f}",
        f"{1e-5 * row.pmep:+.3f}",
    ]
