"""Speed of the wave kernel against PyClaw, a general-purpose finite-volume package, in one run.

``python benchmarks/peer_waves.py --json`` prints, as medians of alternating runs on one thread:
``mcell_s`` (million cell updates per second of the plain Euler kernel at N = 1000), ``ratio_n1000``
and ``ratio_n10000`` (kernel over PyClaw's Roe solver, same Sod problem; ``ratio_hlle_...`` over its
HLLE), ``ratio_full_physics`` (a network with area, friction, wall heat, two gases, joint and ends,
over PyClaw's plain Euler by Roe),
``error_n400`` of both, cost against N and against the number of pipes, first-compile and cached
start times, and ``work_precision`` (error and CPU time of each limiter). Without PyClaw
(``pip install clawpack``, needs gfortran) the ratios are null, and a message says so.
``--plot FILE`` draws the work-precision figure.
"""

from __future__ import annotations

import argparse
import json
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from pulse1d.gas.air import dry_air
from pulse1d.gas.burned import burned_gas
from pulse1d.waves.advance import advance
from pulse1d.waves.assemble import assemble
from pulse1d.waves.edges import LIMITERS
from pulse1d.waves.exact_riemann import GasState, riemann_exact
from pulse1d.waves.pipes import Chamber, Closed, ConstantGas, Free, Joint, Net, Pipe, TwoGases
from pulse1d.waves.solve import first_rate, solve

SOD_END = 0.2
ROUNDS = 5


def sod(cells: int) -> Net:
    """Sod's shock tube on [0, 1] with a gas constant of 1."""
    pipe = Pipe(
        1.0,
        area=1.0,
        cells=cells,
        p=lambda x: np.where(x < 0.5, 1.0, 0.1),
        T=lambda x: np.where(x < 0.5, 1.0, 0.8),
    )
    ends = {("a", "start"): Free(), ("a", "stop"): Free()}
    return Net({"a": pipe}, ends, gas=ConstantGas(1.4, 1.0))


def marched(net: Net, t_end: float, limiter: str = "mc") -> tuple[float, int, Any]:
    """Wall time of the kernel alone, its steps, and the arrays behind it."""
    arrays = assemble(net)
    none = np.zeros(0)
    record = (none, none, np.zeros(0, np.int64), none, np.zeros((0, 0, 4)),
              np.zeros((0, 2, len(arrays.cells[0]))), np.zeros(2))  # fmt: skip
    counts = np.zeros(4)
    rate = first_rate(arrays)
    start = time.perf_counter()
    advance(
        0.0, t_end, 0.9, 5, 10**9, arrays.legs, arrays.cells, arrays.work, arrays.shape,
        arrays.wall, arrays.ends, arrays.nodes, arrays.gases, record, int(arrays.mode),
        LIMITERS.index(limiter), arrays.two_gases, arrays.is_closed, arrays.heated, counts, rate,
    )  # fmt: skip
    return time.perf_counter() - start, int(counts[2]), arrays


def kernel_speed(cells: int, repeat: int = 1) -> float:
    """Million cell updates per second on Sod."""
    done, spent = 0, 0.0
    for _ in range(repeat):
        seconds, steps, _ = marched(sod(cells), SOD_END)
        done, spent = done + steps * cells, spent + seconds
    return 1e-6 * done / spent


def exact_sod(cells: int) -> np.ndarray:
    """Exact cell averages of density at the end of Sod's problem."""
    solution = riemann_exact(GasState(1.0, 0.0, 1.0, 1.4), GasState(0.125, 0.0, 0.1, 1.4))
    return np.asarray(solution.averages(np.linspace(-0.5, 0.5, cells + 1), SOD_END)[0])


def full_physics(cells: int, pipes: int = 4) -> Net:
    """Tapered, rough, cooled pipes of burned gas and air into one joint and a chamber."""
    air, burned = dry_air(), burned_gas(1.87)
    nets = {
        f"runner {k}": Pipe(
            0.6, diameter=lambda x: 0.036 + 0.008 * x, cells=cells, T=lambda x: 900.0 - 300.0 * x,
            p=lambda x, k=k: 101325.0 * (1.0 + 0.3 * np.exp(-(((x - 0.2 - k / 50) / 0.05) ** 2))),
            Y=lambda x: np.where(x < 0.4, 1.0, 0.0), roughness=1e-5, T_wall=600.0,
        )
        for k in range(pipes)
    }  # fmt: skip
    nets["tail"] = Pipe(1.0, diameter=0.06, cells=cells, T=600.0, roughness=1e-5, T_wall=500.0)
    side = np.radians(15.0)
    directions = [
        (-np.cos(side), np.sin(side) * np.cos(turn), np.sin(side) * np.sin(turn))
        for turn in 2.0 * np.pi * np.arange(pipes) / pipes
    ]
    joint = Joint(
        (*((f"runner {k}", "stop") for k in range(pipes)), ("tail", "start")),
        (*directions, (1.0, 0.0, 0.0)),
    )
    ends = {(f"runner {k}", "start"): Closed() for k in range(pipes)}
    chamber = Chamber((("tail", "stop"),), 2e-3, 101325.0, 600.0)
    return Net(nets, ends, (joint, chamber), TwoGases(air, burned))


def full_speed(cells: int, pipes: int = 4) -> float:
    """Million cell updates per second of the full-physics network."""
    net = full_physics(cells, pipes)
    seconds, steps, _ = marched(net, 4e-3)
    return 1e-6 * steps * cells * (pipes + 1) / seconds


def pyclaw_sod(cells: int, riemann: str) -> tuple[float, float] | None:
    """PyClaw's cell updates per second and L1 density error on Sod; None where it is missing."""
    try:
        from clawpack import pyclaw
        from clawpack import riemann as solvers
    except ImportError:
        return None
    rp = {"roe": solvers.euler_with_efix_1D, "hlle": solvers.euler_hlle_1D}[riemann]
    solver = pyclaw.ClawSolver1D(rp)
    solver.limiters = pyclaw.limiters.tvd.MC
    solver.bc_lower[0] = solver.bc_upper[0] = pyclaw.BC.extrap
    solver.cfl_desired, solver.cfl_max, solver.max_steps = 0.9, 1.0, 10**7
    x = pyclaw.Dimension(0.0, 1.0, cells, name="x")
    domain = pyclaw.Domain([x])
    state = pyclaw.State(domain, 3)
    state.problem_data.update({"gamma": 1.4, "gamma1": 0.4, "efix": True})
    centre = state.grid.x.centers
    p = np.where(centre < 0.5, 1.0, 0.1)
    state.q[0] = np.where(centre < 0.5, 1.0, 0.125)
    state.q[1], state.q[2] = 0.0, p / 0.4
    solution = pyclaw.Solution(state, domain)
    solver.dt_initial = 0.2 / cells / 1.2
    solver.setup(solution)
    start = time.perf_counter()
    status = solver.evolve_to_time(solution, SOD_END)
    seconds = time.perf_counter() - start
    error = float(np.mean(np.abs(solution.state.q[0] - exact_sod(cells))))
    return 1e-6 * cells * status["numsteps"] / seconds, error


def alternating(ours: Callable[[], float], theirs: Callable[[], float | None]) -> Any:
    """Median speeds of two codes run in turn, and the median of the ratios pair by pair."""
    pairs = [(ours(), theirs()) for _ in range(ROUNDS)]
    if any(other is None for _, other in pairs):
        return statistics.median(own for own, _ in pairs), None, None
    return (
        statistics.median(own for own, _ in pairs),
        statistics.median(other for _, other in pairs),
        statistics.median(own / other for own, other in pairs),
    )


def speed_of(found: tuple[float, float] | None) -> float | None:
    """The speed of a PyClaw run, if there was one."""
    return found[0] if found else None


def work_precision() -> dict[str, list[dict[str, float]]]:
    """Error and CPU time of each limiter on Sod, meshes 100 to 1600."""
    found: dict[str, list[dict[str, float]]] = {}
    for limiter in LIMITERS:
        if limiter == "none":
            continue
        found[limiter] = []
        for cells in (100, 200, 400, 800, 1600):
            net = sod(cells)
            marched(net, SOD_END, limiter)
            times = [marched(net, SOD_END, limiter) for _ in range(3)]
            arrays = times[-1][2]
            rho = arrays.cells[0][arrays.place["a"]]
            found[limiter].append(
                {
                    "cells": cells,
                    "l1_rho": float(np.mean(np.abs(rho - exact_sod(cells)))),
                    "ms": 1e3 * statistics.median(t[0] for t in times),
                }
            )
    return found


def start_time(cold: bool) -> float:
    """Wall time of a process that runs one small problem, with or without a compiled cache."""
    code = (
        "import numpy as np; from pulse1d.waves.pipes import *; "
        "from pulse1d.waves.solve import solve; "
        "ends = {('a', 'start'): Closed(), ('a', 'stop'): Open()}; "
        "solve(Net({'a': Pipe(1.0, diameter=0.04)}, ends), 1e-3)"
    )
    import os
    import tempfile

    environment = dict(os.environ)
    with tempfile.TemporaryDirectory() as folder:
        if cold:
            environment["NUMBA_CACHE_DIR"] = folder
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, env=environment)
        return time.perf_counter() - start


def memory_growth() -> float:
    """Growth of peak memory from a short run to one twenty times as long [MiB]."""
    net = full_physics(50)
    solve(net, 1e-3, times=10)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    solve(net, 2e-2, times=10)
    return (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024.0


def measure() -> dict[str, Any]:
    """All figures."""
    kernel_speed(100)
    full_speed(50)
    figures: dict[str, Any] = {}
    for cells, repeat in ((1000, 5), (10_000, 1)):
        own, roe, ratio = alternating(
            lambda n=cells, r=repeat: kernel_speed(n, r),
            lambda n=cells: speed_of(pyclaw_sod(n, "roe")),
        )
        figures[f"mcell_s_n{cells}"], figures[f"pyclaw_roe_n{cells}"] = own, roe
        figures[f"ratio_n{cells}"] = ratio
        _, hlle, ratio = alternating(
            lambda n=cells, r=repeat: kernel_speed(n, r),
            lambda n=cells: speed_of(pyclaw_sod(n, "hlle")),
        )
        figures[f"pyclaw_hlle_n{cells}"], figures[f"ratio_hlle_n{cells}"] = hlle, ratio
    figures["mcell_s"] = figures["mcell_s_n1000"]
    full, _, ratio = alternating(lambda: full_speed(400), lambda: speed_of(pyclaw_sod(1000, "roe")))
    figures["mcell_s_full_physics"], figures["ratio_full_physics"] = full, ratio
    _, _, arrays = marched(sod(400), SOD_END)
    rho = arrays.cells[0][arrays.place["a"]]
    figures["error_n400"] = float(np.mean(np.abs(rho - exact_sod(400))))
    peer = pyclaw_sod(400, "roe")
    figures["error_n400_pyclaw"] = peer[1] if peer else None
    figures["us_per_step_by_cells"] = {
        n: 1e6 * n / (1e6 * kernel_speed(n, 3)) for n in (250, 500, 1000, 2000, 4000)
    }
    figures["us_per_step_by_pipes"] = {
        k: 1e6 * 50 * (k + 1) / (1e6 * full_speed(50, k)) for k in (2, 4, 8, 12)
    }
    figures["memory_growth_mib"] = memory_growth()
    figures["start_cold_s"], figures["start_cached_s"] = start_time(True), start_time(False)
    figures["work_precision"] = work_precision()
    return figures


def draw(figures: dict[str, Any], path: Path) -> None:
    """Work-precision figure: error against CPU time, one line a limiter."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(7.0, 5.0), layout="constrained")
    axes = figure.subplots()
    marks = "os^vDP"
    for mark, (limiter, rows) in zip(marks, figures["work_precision"].items(), strict=False):
        axes.loglog(
            [r["ms"] for r in rows], [r["l1_rho"] for r in rows], marker=mark, label=limiter
        )
    axes.set_xlabel("CPU time [ms]")
    axes.set_ylabel("L1 error of density [-]")
    axes.set_title("Sod's shock tube, 100 to 1600 cells", loc="left")
    axes.grid(alpha=0.3, which="both")
    axes.legend(frameon=False)
    figure.savefig(path, dpi=150)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--plot", type=Path)
    options = parser.parse_args()
    figures = measure()
    if figures["ratio_n1000"] is None:
        print(
            "PyClaw is not here (pip install clawpack, needs gfortran): no ratios", file=sys.stderr
        )
    if options.plot:
        draw(figures, options.plot)
    if options.json:
        print(json.dumps(figures, indent=1))
        return
    for name, value in figures.items():
        if name != "work_precision":
            print(f"{name:24s} {value}")


if __name__ == "__main__":
    main()
