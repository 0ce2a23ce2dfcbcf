"""The bench by the wave solver, marched until it is steady: a second opinion on the network."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.gas.spec import resolve
from pulse1d.run.bench import BenchResult
from pulse1d.run.mesh import wave_net
from pulse1d.waves.pipes import Open, TwoGases
from pulse1d.waves.solve import WaveRun, solve

CELL = 10e-3
"""Cell length unless asked otherwise [m]."""
STEADY = 2e-5
"""Relative change of the mean flow from one chunk to the next that counts as none."""
CHUNK = 0.03
"""Length of a chunk: some ten transits of a runner [s]."""
CHUNKS = 40


@dataclass(frozen=True)
class Marched:
    """One port marched to steady state, SI."""

    port: str
    mdot: float
    """Positive from port to outlet."""
    steady: bool
    time: float
    cells: int


def march_bench(design: Design, result: BenchResult, cell: float = CELL) -> list[Marched]:
    """Every port of a bench prediction by the wave solver, each alone.

    Parameters
    ----------
    design : Design   [-]
    result : BenchResult   Says conditions and ports [SI]
    cell : float   Cell length [m]
    Returns
    -------
    marched : list of Marched   [SI]
    """
    return [march_port(design, result, port.answer.port, cell) for port in result.ports]


def march_port(design: Design, result: BenchResult, port: str, cell: float) -> Marched:
    """One port by the wave solver, its neighbours closed, from rest to steady flow.

    Parameters
    ----------
    design, result, port, cell : as in ``march_bench``
    Returns
    -------
    marched : Marched   [SI]
    """
    air, bench = result.setup.air, result.setup.bench
    network = design.network_on(bench)
    gas = TwoGases(resolve(design.case.gas, bench.room.pressure, bench.room.temperature))
    layout = network.layout
    section = network.port(port).section or network.legs[network.runner_index(port)].section_start
    station = network.legs[network.runner_index(port)].station
    K_port = layout.entry.inflow(replace(station, section=section))[0]
    last = network.legs[(network.chain(port) or [network.runner_index(port)])[-1]]
    K_outlet = layout.outlet.inflow(replace(last.station, section=last.section_end))[0]
    meshed = wave_net(
        design,
        network,
        cell=cell,
        gas=gas,
        p=air.p_down,
        T=air.T0,
        ends_at_ports={port: Open(air.p_port, air.T0, K=K_port)},
        end_at_outlet=Open(air.p_outlet, air.T0, K=K_outlet),
        developing=not air.reverse,
    )
    outlet, length = meshed.chains[port][-1]
    area = float(np.asarray(meshed.net.pipes[outlet].area)[-1])
    run: WaveRun | None = None
    flow, steady, chunk = 0.0, False, 0
    while not steady and chunk < CHUNKS:
        chunk += 1
        run = solve(meshed.net, CHUNK, probes={"out": (outlet, length)}, times=200, restart=run)
        trace = run.traces["out"]
        before, flow = flow, area * float(np.mean((trace.rho * trace.u)[-100:]))
        steady = abs(flow - before) < STEADY * abs(flow)
    cells = sum(pipe.cells for pipe in meshed.net.pipes.values())
    return Marched(port, flow, steady, chunk * CHUNK, cells)


def march_all(results: list[BenchResult], cell: float = CELL) -> list[list[Marched]]:
    """Several bench predictions by the wave solver.

    Parameters
    ----------
    results : list of BenchResult   Ports one at a time, others blanked, no head in series [SI]
    cell : float   Cell length [m]
    Returns
    -------
    marched : list of lists of Marched   One list a result [SI]
    Errors      InputError for a test that is not of that kind.
    """
    for result in results:
        if result.together or result.lift is not None or result.setup.bench.other_ports == "open":
            raise InputError(
                [
                    Problem(
                        "--march solves ports one at a time, others blanked, without the head",
                        "drop --together and --lift, and blank the other ports",
                    )
                ]
            )
    return [march_bench(result.design, result, cell) for result in results]
