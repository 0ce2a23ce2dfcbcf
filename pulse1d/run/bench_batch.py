"""Bench flow of many designs at a time, without bands: what a sweep asks for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.errors import InputError
from pulse1d.network.plain import Memory, plain_path
from pulse1d.run.bench import predict_bench
from pulse1d.run.conditions import Setup, bench_setup
from pulse1d.steady.many import solve_many
from pulse1d.steady.path import FAILED

Array = NDArray[np.float64]
MEMORY = Memory()
"""Of the pieces that the last designs of this process had."""
NOT_CONVERGED = "the bench flow of port {port} did not converge"


def predict_many(designs: Sequence[Design]) -> list[dict[str, float] | str]:
    """Mass flow of every port of every design, each port alone.

    Parameters
    ----------
    designs : sequence of Design   Of any cases; those on the same bench are solved together [-]
    Returns
    -------
    flows : list of dict or str   Mass flow by port; or why there is none, ending in a remedy where
        there is one [kg/s, -]
    Source      as ``predict_bench``, which takes designs that need more than single paths: ports
        open beside the tested one, ways that split, calibrations
    """
    found: list[dict[str, float] | str] = ["" for _ in designs]
    packs: dict[tuple[object, ...], tuple[Setup, list[tuple[int, str]], list[Array]]] = {}
    for k, design in enumerate(designs):
        try:
            paths = single_paths(design, MEMORY)
            if paths is None:
                found[k] = one_by_one(design)
                continue
            setup = bench_setup(design)
        except (InputError, ValueError) as error:
            found[k] = reason(error)
            continue
        found[k] = {}
        same = design.case.bench, design.case.gas
        _, owners, rows = packs.setdefault(same, (setup, [], []))
        for port, steps in paths.items():
            owners.append((k, port))
            rows.append(steps)
    for setup, owners, rows in packs.values():
        air = setup.air
        mdot, status = solve_many(rows, air.reverse, air.p_up, air.T0, air.p_down, air.table)
        for (k, port), flow, outcome in zip(owners, mdot, status, strict=True):
            mine = found[k]
            if outcome == FAILED:
                found[k] = NOT_CONVERGED.format(port=port)
            elif isinstance(mine, dict):
                mine[port] = -float(flow) if air.reverse else float(flow)
    return found


def single_paths(design: Design, memory: Memory) -> dict[str, Array] | None:
    """Rows of each port's way to the outlet.

    Parameters
    ----------
    design : Design   [-]
    memory : Memory   Of pieces that other designs have too [-]
    Returns
    -------
    paths : dict or None   By port; None where the design needs more than single paths [SI]
    Errors      PieceError for a piece that cannot be built.
    """
    case = design.case
    if case.calibration.corrections or case.bench.other_ports != "blanked":
        return None
    plain = memory.network(case.layout(case.bench))
    paths = {}
    for port in plain.network.port_names:
        rows = plain_path(plain, port)
        if rows is None:
            return None
        paths[port] = rows
    return paths


def one_by_one(design: Design) -> dict[str, float] | str:
    """Flows of a design by the whole prediction.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    flows : dict or str   As in ``predict_many`` [kg/s]
    Errors      InputError where the bench cannot be posed.
    """
    answers = [result.answer for result in predict_bench(design, samples=0).ports]
    for answer in answers:
        if not answer.converged:
            return NOT_CONVERGED.format(port=answer.port)
    return {answer.port: answer.mdot for answer in answers}


def reason(error: Exception) -> str:
    """One line that says what is wrong and what to do.

    Parameters
    ----------
    error : Exception   [-]
    Returns
    -------
    text : str   [-]
    """
    if isinstance(error, InputError):
        return "; ".join(
            f"{p.message}; {p.remedy}" if p.remedy else p.message for p in error.problems
        )
    return str(error)
