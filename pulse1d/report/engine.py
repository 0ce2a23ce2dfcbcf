"""The running engine: curves over speed, pressure at the ports, and who disturbs whom."""

from __future__ import annotations

import math
from functools import partial

from pulse1d.plots.cycle_pressure import port_pressure_figure
from pulse1d.plots.cycle_speeds import speeds_figure
from pulse1d.plots.interference import interference_figure
from pulse1d.report.blocks import Block, Grid, Picture, Section, Words
from pulse1d.report.evidence import Evidence
from pulse1d.report.words import KELVIN
from pulse1d.run.attribution import Interference
from pulse1d.run.cycle_summary import SpeedDifference, differences, mean_difference
from pulse1d.run.cycle_sweep import CaseSweep
from pulse1d.run.saved_cycles import Cycles


def engine(evidence: Evidence) -> Section | None:
    """Speeds and their differences, then one speed closer.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section or None   None where no speed is saved [-]
    """
    cycles = evidence.cycles
    if cycles is None:
        return None
    curves = [
        (setting.label, [(one.design.name, one.summaries) for one in sweeps])
        for setting, sweeps in cycles.groups
    ]
    blocks: list[Block] = [
        Picture(
            "Over speed: torque, filling, back pressure",
            "Curves of torque, volumetric efficiency and mean back pressure against speed for "
            "every design; numbers in the tables below.",
            partial(speeds_figure, curves),
        )
    ]
    for _, sweeps in cycles.groups:
        blocks += [_speeds(one) for one in sweeps]
        blocks += [_less(sweeps[0], other) for other in sweeps[1:]]
    if cycles.without:
        blocks.append(Words(f"Not run on the engine: {', '.join(cycles.without)}.", "note"))
    return Section("engine", "On the engine", tuple(blocks))


def pulses(evidence: Evidence) -> Section | None:
    """Port pressure against crank angle, and the map of interference, at one speed.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section or None   None where no speed is saved of all designs [-]
    """
    cycles, speed = evidence.cycles, evidence.speed
    if cycles is None or speed is None:
        return None
    setting, sweeps = cycles.groups[0]
    cases = [(one.design, a) for one in sweeps for a in one.answers if a.speed == speed]
    told = f"{60.0 * speed:.5g} rev/min"
    blocks: list[Block] = [
        Picture(
            f"Pressure at the ports over a cycle, {told}",
            "Port pressure of every cylinder against crank angle after its exhaust valve opens, "
            "one line a design; the overlap of the valves is marked.",
            partial(port_pressure_figure, cases, where=setting.label),
        )
    ]
    found = cycles.interference(speed)
    if found:
        blocks.append(
            Picture(
                f"Who disturbs whom at {told}",
                "Matrix of cylinders, one a design: what the blow-down of the column's cylinder "
                "adds to the pressure at the row's port; numbers in the table below.",
                partial(interference_figure, found, 60.0 * speed, setting.label),
                on_paper=True,
            )
        )
        blocks += [_matrix(name, one) for name, one in found]
    else:
        blocks.append(Words("Who disturbs whom was not told apart at this speed.", "note"))
    return Section("pulses", "Pulses at the ports", tuple(blocks))


def _matrix(name: str, found: Interference) -> Grid:
    names, kpa = found.cylinders, 1e-3 * found.matrix
    rows = [
        (
            row,
            *("·" if i == j else f"{kpa[i, j]:+.2f}" for j in range(len(names))),
        )
        for i, row in enumerate(names)
    ]
    title = f"{name}: what each blow-down (column) adds at a port (row) during overlap, kPa"
    return Grid(title, ("at cylinder", *names), tuple(rows))


def speed_of(cycles: Cycles | None, asked: float | None) -> float | None:
    """The speed that is looked at closer.

    Parameters
    ----------
    cycles : Cycles or None   [SI]
    asked : float or None   That the user named [rev/s]
    Returns
    -------
    speed : float or None   Else the middle one of those with interference told, or of all; None
        where the designs share none [rev/s]
    """
    if cycles is None:
        return None
    speeds = cycles.speeds
    if asked is not None:
        return asked if asked in speeds else None
    told = [speed for speed in speeds if cycles.interference(speed)]
    chosen = told or speeds
    return chosen[len(chosen) // 2] if chosen else None


def _speeds(one: CaseSweep) -> Grid:
    rows = [
        (
            f"{s.rev_per_min:.5g}",
            f"{s.torque.brake:.1f}",
            f"{1e-3 * s.torque.power:.1f}",
            f"{1e-5 * s.torque.bmep:.2f}",
            f"{100 * s.volumetric_efficiency:.1f}",
            f"{100 * s.residual:.1f}",
            f"{1e-3 * s.back_pressure:.1f}",
            f"{1e-5 * s.pmep:.2f}",
            f"{s.T_gas - KELVIN:.0f}",
            f"{s.T_wall - KELVIN:.0f}",
        )
        for s in one.summaries
    ]
    where = f", {one.setting.label}" if one.setting.label else ""
    return Grid(
        f"{one.design.name}{where}: over speed, cylinders modelled",
        (
            "rev/min", "torque N\u00a0m", "power kW", "bmep bar", "v.eff %", "residual %",
            "back kPa", "pmep bar", "gas °C", "wall °C",
        ),
        tuple(rows),
        texts=0,
    )  # fmt: skip


def _less(base: CaseSweep, other: CaseSweep) -> Grid:
    found = [row for row in differences(base.summaries, other.summaries) if row.converged]
    rows = [(f"{row.rev_per_min:.5g}", *_figures(row)) for row in found]
    if len(found) > 1:
        rows.append(("mean", *_figures(mean_difference(found))))
    where = f", {other.setting.label}" if other.setting.label else ""
    return Grid(
        f"{other.design.name} less {base.design.name} (the base){where}",
        (
            "rev/min", "torque N\u00a0m", "torque %", "v.eff points", "residual points", "back kPa",
            "pmep bar",
        ),
        tuple(rows),
        texts=0,
        last_is_sum=len(found) > 1,
    )  # fmt: skip


def _figures(row: SpeedDifference) -> tuple[str, ...]:
    return (
        "–" if math.isnan(row.torque) else f"{row.torque:+.2f}",
        "–" if math.isnan(row.torque_share) else f"{100 * row.torque_share:+.2f}",
        f"{100 * row.volumetric_efficiency:+.2f}",
        f"{100 * row.residual:+.2f}",
        f"{1e-3 * row.back_pressure:+.2f}",
        f"{1e-5 * row.pmep:+.3f}",
    )
