"""The work behind ``pulse1d cycle``: cases over their speeds, details of one, pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import typer

from pulse1d.case.design import Design
from pulse1d.case.measured_csv import Measured
from pulse1d.cli.progress import Watch
from pulse1d.compare.overlay import Overlay, lay_pressure, lay_torque
from pulse1d.engine.tuning import TunedLength
from pulse1d.errors import InputError, Problem
from pulse1d.run.attribution import Interference
from pulse1d.run.attribution import interference as attributed
from pulse1d.run.cycle_band import CycleBand, cycle_band
from pulse1d.run.cycle_summary import SpeedSummary
from pulse1d.run.cycle_sweep import CaseSweep, sweep
from pulse1d.run.cycle_tuning import tuning as tuned
from pulse1d.run.engine_net import needs
from pulse1d.waves.solve import WaveError

TYPICAL = 12
"""Cycles after which a speed is shown as nearly done; most repeat after 8 to 15."""


@dataclass(frozen=True)
class Details:
    """What is told of one speed."""

    speed: float
    """[rev/s]"""
    outcome: str
    cases: tuple[tuple[CaseSweep, SpeedSummary], ...]
    """Those that reached it."""
    waves: tuple[tuple[CaseSweep, Interference], ...]
    lengths: tuple[tuple[CaseSweep, tuple[TunedLength, ...]], ...]
    bands: tuple[tuple[CaseSweep, CycleBand], ...]
    overlays: tuple[tuple[CaseSweep, Overlay | None], ...]
    measured: Measured | None
    cylinder: str
    reason: str
    """Why waves could not be told apart; else empty."""


def run_cases(
    designs: Sequence[Design],
    speeds: Sequence[float],
    cylinder: str | None,
    output: Path | None,
    fresh: bool,
) -> tuple[list[CaseSweep], bool]:
    """March every case over the speeds, after all of them were found to be able to run.

    Parameters
    ----------
    designs : sequence of Design   [-]
    speeds : sequence of float   Rising [rev/s]
    cylinder : str or None   That the user named [-]
    output : Path or None   Folder of the results [-]
    fresh : bool   March saved speeds again [-]
    Returns
    -------
    sweeps, stopped : list of CaseSweep, bool   Whether the user stopped them [SI]
    Errors      InputError naming what cases lack, or a cylinder that none has.
    """
    problems = []
    for design in designs:
        try:
            names = modelled(design)
        except InputError as error:
            problems += error.problems
            continue
        if cylinder is not None and cylinder not in names:
            message = f"--cylinder: {cylinder!r} is not a cylinder of {design.path}"
            problems.append(Problem(message, f"it has {', '.join(names)}"))
    if problems:
        raise InputError(problems)
    sweeps: list[CaseSweep] = []
    with Watch("marching", float(len(designs) * len(speeds))) as watch:
        for design in designs:

            def told(k: int, cycle: int) -> bool:
                return watch(len(sweeps) * len(speeds) + k + min(cycle / TYPICAL, 0.9))

            sweeps.append(sweep(design, speeds, output=output, fresh=fresh, watch=told))
            if watch.stopped:
                break
        return sweeps, watch.stopped


def modelled(design: Design) -> list[str]:
    """Cylinders that have a port in the case.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    names : list of str   [-]
    Errors      InputError where the case lacks what an engine needs.
    """
    order = needs(design).firing_order
    ports = design.case.head.ports
    return [one for port in ports for one in (port.cylinders or (port.name,)) if one in order]


def details(
    sweeps: Sequence[CaseSweep],
    speed: float,
    named: bool,
    cylinder: str | None,
    measured: Measured | None,
    stopped: bool,
    *,
    waves: bool,
    tuning: bool,
    bands: bool,
) -> Details:
    """Everything told of one speed.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    speed : float   [rev/s]
    named : bool   Whether the user chose it; else a stopped run takes another [-]
    cylinder : str or None   That the user named [-]
    measured : Measured or None   To lay over [SI]
    stopped : bool   Whether the run was stopped; no waves are marched then [-]
    waves, tuning, bands : bool   What is asked for [-]
    Returns
    -------
    details : Details   [SI]
    """
    reached = [answer.speed for answer in sweeps[0].answers]
    if stopped and not named and reached and speed not in reached:
        speed = reached[len(reached) // 2]
    cases = tuple(
        (one, summary)
        for one in sweeps
        for summary in one.summaries
        if summary.answer.speed == speed
    )
    name = cylinder or (cases[0][1].answer.cylinders[0].cylinder if cases else "")
    found: list[tuple[CaseSweep, Interference]] = []
    reason = ""
    if waves and not stopped:
        try:
            found += ((one, attributed(one.design, speed)) for one, _ in cases)
        except KeyboardInterrupt:
            stopped = True
        except WaveError as error:
            reason = str(error)
    complete = not reason and all(one.complete for one in sweeps)
    return Details(
        speed,
        "interrupted" if stopped else "done" if complete else "not converged",
        cases,
        tuple(found),
        tuple((one, tuned(one.design, summary)) for one, summary in cases) if tuning else (),
        tuple((one, cycle_band(one.design, summary.answer)) for one, summary in cases)
        if bands and not stopped
        else (),
        laid_over(sweeps, cases, name, measured),
        measured,
        name,
        reason,
    )


def laid_over(
    sweeps: Sequence[CaseSweep],
    cases: Sequence[tuple[CaseSweep, SpeedSummary]],
    cylinder: str,
    measured: Measured | None,
) -> tuple[tuple[CaseSweep, Overlay | None], ...]:
    """The measurement against each case.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    cases : sequence of (sweep, summary)   At the speed of the details [SI]
    cylinder : str   Where pressure was measured [-]
    measured : Measured or None   [SI]
    Returns
    -------
    overlays : tuple of (sweep, Overlay or None)   [SI]
    """
    if measured is None:
        return ()
    if measured.kind == "torque":
        return tuple(
            (one, lay_torque(one.summaries, measured.x, measured.y))
            for one in sweeps
            if one.answers
        )
    return tuple(
        (one, lay_pressure(own, measured.x, measured.y))
        for one, summary in cases
        for own in summary.answer.cylinders
        if own.cylinder == cylinder
    )


def draw(
    sweeps: Sequence[CaseSweep], told: Details, plot: Path, interference: bool, waves: bool
) -> None:
    """Draw what was asked for and say so.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   [SI]
    told : Details   With at least one case [SI]
    plot : Path   [-]
    interference, waves : bool   What is asked for [-]
    """
    from pulse1d.plots.cycle_pressure import draw_port_pressure
    from pulse1d.plots.cycle_speeds import draw_speeds

    drawn = [plot, plot.with_stem(f"{plot.stem}-speeds")]
    pairs = [(one.design, summary.answer) for one, summary in told.cases]
    draw_port_pressure(pairs, plot, told.measured, told.cylinder)
    curves = [(one.design.name, one.summaries) for one in sweeps if one.answers]
    draw_speeds(curves, drawn[1], told.measured)
    if interference and told.waves:
        from pulse1d.plots.interference import draw_interference

        drawn.append(plot.with_stem(f"{plot.stem}-interference"))
        matrices = [(one.design.name, found) for one, found in told.waves]
        draw_interference(matrices, 60.0 * told.speed, drawn[-1])
    if waves and told.waves:
        from pulse1d.plots.cycle_waves import draw_cycle_waves
        from pulse1d.run.cycle_waves import waves_dataset

        for k, (design, answer) in enumerate(pairs):
            drawn.append(plot.with_stem(f"{plot.stem}-waves{f'-{k + 1}' if k else ''}"))
            draw_cycle_waves(waves_dataset(design, answer, told.cylinder), drawn[-1])
    typer.echo(f"drawn: {', '.join(map(str, drawn))}", err=True)
