"""The running engine as text for a terminal of 80 columns: the tables by speed and by case."""

from __future__ import annotations

from collections.abc import Sequence

from pulse1d.cli.cycle_differences import comparison, whose
from pulse1d.cli.text import Column, paragraph, table
from pulse1d.run.cycle_summary import SpeedSummary
from pulse1d.run.cycle_sweep import CaseSweep, by_setting
from pulse1d.run.cycle_warnings import doubts
from pulse1d.run.downstream import described, system
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
NOTE = (
    "v.eff, resid, back, pmep: means of the cylinders. v.eff: fresh mass kept over what the swept "
    "volume holds of the plenum's air. span: largest less smallest residual. back: "
    "mean port pressure above the room's. gas: mean of the flow at the ports. wall: mean of the "
    "pipes. cyc: cycles marched."
)
NOTHING = "outlet open: the same run, for nothing follows this outlet"
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
    groups = list(by_setting(sweeps).values())
    parts = []
    for k, first in enumerate(groups[0]):
        above = about(groups[0][k - 1]) if k else ""
        parts.append(heading(first, "Engine as above." if about(first) == above else about(first)))
        parts += speed_lines(first)
        for one in (own[k] for own in groups[1:] if k < len(own)):
            same_run = one.provenance.key == first.provenance.key
            parts += [paragraph(NOTHING)] if same_run else speed_lines(one)
    parts.append(paragraph(NOTE))
    for k in range(1, len(groups[0])):
        parts += comparison([(own[0], own[k]) for own in groups if k < len(own)])
    return "\n\n".join(parts)


def heading(sweep: CaseSweep, engine: str) -> str:
    """Case, engine, and what follows the outlet.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    engine : str   As told [-]
    Returns
    -------
    text : str   [-]
    """
    found = system(sweep.design)
    if found is not None:
        whose = f"of {sweep.setting.source} " if sweep.setting.source else ""
        engine += f" Behind the outlet stands the system {whose}({described(found)})."
    return f"{sweep.design.name}\n{paragraph(engine)}"


def about(sweep: CaseSweep) -> str:
    """The engine, and how much of it is modelled.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    Returns
    -------
    text : str   [-]
    """
    engine = needs(sweep.design)
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
    return text


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
    label = f"{paragraph(sweep.setting.label)}\n" if sweep.setting.label else ""
    if sweep.answers:
        rows = [SPEED_UNITS, *(speed_row(summary) for summary in sweep.summaries)]
        partly = whose(sweep)
        notes = [
            label + table(SPEEDS, rows),
            *([paragraph(f"Torque and power: {partly}.")] if partly else []),
        ]
    if not all(answer.converged for answer in sweep.answers):
        notes.append(
            paragraph("* not converged: the cycles do not repeat yet; kept, in no average.")
        )
    notes += [
        paragraph(f"{text[0].upper()}{text[1:]}.") for text in doubts(sweep.design, sweep.summaries)
    ]
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
