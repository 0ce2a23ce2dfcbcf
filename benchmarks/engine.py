"""Speed of the firing engine, as measured on this machine.

``python benchmarks/engine.py --json`` prints ``sweep_s`` (20 speeds of a four-cylinder case, cells
of 10 mm, cycles repeating to 0.1 %, two processes from their start on, compiled code cached),
``cycles_mean`` (cycles to repeat), ``ms_per_cycle`` (one core) and ``kernel_share`` of it (the rest
is Python), ``ms_per_cycle_by_cell`` (cell in mm), ``us_per_cell_step`` of the same meshes, and
``ms_per_cycle_by_cylinders``.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

import pulse1d
import pulse1d.waves.solve as wave_solve
from pulse1d.case.design import Design
from pulse1d.run.cycle import CycleMarch, march_cycle
from pulse1d.run.engine_net import engine_net
from pulse1d.run.sweep_speeds import run_speeds

CASES = Path(__file__).parents[1] / "cases"
CASE = "pump/tubular"
SPEEDS = np.linspace(1500.0, 6250.0, 20) / 60.0
SPEED = 50.0
BY_CYLINDERS = {1: "single/plain", 4: CASE}
CYCLES = 5


def design_of(name: str, cell: float = 0.010) -> Design:
    """A shipped case on a mesh of its own."""
    design = pulse1d.load(CASES / f"{name}.yaml")
    numerics = design.case.numerics.model_copy(update={"cell": cell})
    return replace(design, case=design.case.model_copy(update={"numerics": numerics}))


def part(speeds: Sequence[float]) -> list[tuple[int, bool]]:
    """Cycles of each speed, and whether it repeated; one process's share of a sweep."""
    answers = run_speeds(design_of(CASE), list(speeds), tolerance=1e-3)
    return [(answer.cycles, answer.converged) for answer in answers]


def sweep() -> tuple[float, float, int]:
    """Wall time of the sweep on two processes [s], mean cycles, speeds that did not repeat."""
    start = time.perf_counter()
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        found = [row for rows in pool.map(part, (SPEEDS[0::2], SPEEDS[1::2])) for row in rows]
    wall = time.perf_counter() - start
    cycles = statistics.mean(c for c, _ in found)
    return wall, cycles, sum(not done for _, done in found)


def cycle_ms(design: Design) -> tuple[float, float, int, int]:
    """Median time of a cycle [ms], the kernel's share of it, cells, steps of the last cycle."""
    march = CycleMarch(engine_net(design, SPEED), SPEED)
    inner, total = [0.0], []
    plain: Callable[..., Any] = wave_solve.advance

    def timed(*arguments: Any) -> Any:
        start = time.perf_counter()
        answer = plain(*arguments)
        inner[0] += time.perf_counter() - start
        return answer

    march.march()
    wave_solve.advance = timed
    try:
        for _ in range(CYCLES):
            start = time.perf_counter()
            march.march()
            march.criteria()
            march.settle_walls()
            total.append(time.perf_counter() - start)
    finally:
        wave_solve.advance = plain
    run = march.run
    assert run is not None
    cells = sum(len(x) for x in run.arrays.x.values())
    return 1e3 * statistics.median(total), inner[0] / sum(total), cells, run.steps


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    as_json = parser.parse_args().json
    march_cycle(design_of(CASE, 0.040), SPEED, most=1)  # compiles where nothing is cached
    sweep_s, cycles, restless = sweep()
    ms, share, _, _ = cycle_ms(design_of(CASE))
    by_cell, by_step = {}, {}
    for cell in (0.020, 0.010, 0.005):
        taken, _, cells, steps = cycle_ms(design_of(CASE, cell))
        key = f"{1e3 * cell:g}"
        by_cell[key], by_step[key] = taken, 1e3 * taken / (cells * steps)
    by_cylinders = {str(n): cycle_ms(design_of(name))[0] for n, name in BY_CYLINDERS.items()}
    figures: dict[str, Any] = {
        "sweep_s": sweep_s,
        "cycles_mean": cycles,
        "speeds_not_converged": restless,
        "ms_per_cycle": ms,
        "kernel_share": share,
        "ms_per_cycle_by_cell": by_cell,
        "us_per_cell_step": by_step,
        "ms_per_cycle_by_cylinders": by_cylinders,
    }
    if as_json:
        print(json.dumps(figures, indent=1))
        return
    for name, value in figures.items():
        text = value if isinstance(value, dict) else f"{value:.4g}"
        print(f"{name:26s} {text}")


if __name__ == "__main__":
    main()
