"""The sweeps behind ``pulse1d cycle``: every design over the speeds, in front of what it stands."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import typer

from pulse1d.case.design import Design
from pulse1d.cli.progress import Watch
from pulse1d.errors import InputError, Problem
from pulse1d.run.attribution import own_ports
from pulse1d.run.cycle_sweep import CaseSweep, sweep
from pulse1d.run.cycle_warnings import too_fast
from pulse1d.run.engine_net import needs
from pulse1d.run.settings import Setting

TYPICAL = 12
"""Cycles after which a speed is shown as nearly done; most repeat after 8 to 15."""


def run_cases(
    settings: Sequence[tuple[Setting, Sequence[Design]]],
    speeds: Sequence[float],
    output: Path | None,
    fresh: bool,
) -> tuple[list[CaseSweep], bool]:
    """March every design over the speeds, setting by setting.

    Parameters
    ----------
    settings : sequence of (Setting, designs)   [-]
    speeds : sequence of float   Rising [rev/s]
    output : Path or None   Folder of the results [-]
    fresh : bool   March saved speeds again, but none twice [-]
    Returns
    -------
    sweeps, stopped : list of CaseSweep, bool   Whether the user stopped them [SI]
    """
    every = [(setting, design) for setting, designs in settings for design in designs]
    sweeps: list[CaseSweep] = []
    with Watch("marching", float(len(every) * len(speeds))) as watch:
        for setting, design in every:

            def told(k: int, cycle: int) -> bool:
                return watch(len(sweeps) * len(speeds) + k + min(cycle / TYPICAL, 0.9))

            again = fresh and all(one.design.digest != design.digest for one in sweeps)
            sweeps.append(
                sweep(design, speeds, output=output, fresh=again, watch=told, setting=setting)
            )
            if watch.stopped:
                break
        return sweeps, watch.stopped


def check(designs: Sequence[Design], cylinder: str | None, waves: bool) -> None:
    """Find out before anything is marched whether all designs can run.

    Parameters
    ----------
    designs : sequence of Design   [-]
    cylinder : str or None   That the user named [-]
    waves : bool   Whether waves are to be told apart [-]
    Errors      InputError naming what cases lack, or a cylinder that one has not.
    """
    problems = []
    for design in designs:
        try:
            names = modelled(design)
            if waves:
                own_ports(design)
        except InputError as error:
            problems += error.problems
            continue
        if cylinder is not None and cylinder not in names:
            message = f"--cylinder: {cylinder!r} is not a cylinder of {design.path}"
            problems.append(Problem(message, f"it has {', '.join(names)}"))
    if problems:
        raise InputError(problems)


def warn(designs: Sequence[Design], speeds: Sequence[float]) -> None:
    """Say on stderr, before anything is marched, where pistons would run too fast.

    Parameters
    ----------
    designs : sequence of Design   With engines [-]
    speeds : sequence of float   [rev/s]
    """
    said = [(design.path, text) for design in designs for text in too_fast(design, speeds)]
    for path, text in dict.fromkeys(said):
        typer.echo(f"warning: {path}: {text}", err=True)


def modelled(design: Design) -> list[str]:
    """Cylinders that have a port in the case or in its other bank.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    names : list of str   [-]
    Errors      InputError where the case lacks what an engine needs.
    """
    engine, ports = needs(design), design.case.head.ports
    own = [one for port in ports for one in (port.cylinders or (port.name,))]
    return [one for one in (*own, *engine.other_bank.values()) if one in engine.firing_order]
