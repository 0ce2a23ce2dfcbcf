"""Speed of the bench-flow prediction: medians, as measured on this machine.

``python benchmarks/bench_flow.py --json`` prints ``solve_ms`` (one port from Python, compiled),
``batch_ms`` (one port in the batch kernel, one thread's time on one core), ``band_10000_s`` (10 000
samples of a four-port case, all cores), ``help_s`` and ``bench_warm_s`` (whole processes, warm).
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numba

import pulse1d
from pulse1d.network.path import single_path
from pulse1d.run.conditions import bench_setup
from pulse1d.steady.path import solve_path, solve_samples
from pulse1d.uncertainty.causes import cause_keys, effect_table
from pulse1d.uncertainty.sampling import normal_samples

CASE = Path(__file__).parents[1] / "cases" / "pump" / "log.yaml"
RUNS = 7


def median_s(run: Callable[[], object], runs: int = RUNS) -> float:
    """Median wall time of a call after one warm-up."""
    run()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def process_s(*arguments: str) -> float:
    """Median wall time of a whole process."""
    command = [sys.executable, "-m", "pulse1d", *arguments]
    return median_s(lambda: subprocess.run(command, check=True, capture_output=True))


def solves() -> tuple[float, float]:
    """Mean time of a port's solve from Python, and in the batch kernel on one thread [ms]."""
    design = pulse1d.load(CASE)
    air = bench_setup(design).air
    single, batch = [], []
    threads = numba.get_num_threads()
    numba.set_num_threads(1)
    for port in design.network.port_names:
        path = single_path(design.network, port, design.keys)
        assert path is not None
        rows = path.rows
        known = (rows.steps, air.reverse, air.p_up, air.T0, air.p_down, 0.0, air.table)
        causes = cause_keys(rows.effects)
        effects, z = effect_table(rows.effects, causes), normal_samples(causes, 2000, 1)
        single.append(median_s(lambda k=known: [solve_path(*k) for _ in range(200)]) / 200)
        batch.append(median_s(lambda k=known, e=effects, z=z: solve_samples(*k, e, z)) / 2000)
    numba.set_num_threads(threads)
    return 1e3 * statistics.mean(single), 1e3 * statistics.mean(batch)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    as_json = parser.parse_args().json
    design = pulse1d.load(CASE)
    solve_ms, batch_ms = solves()
    figures = {
        "solve_ms": solve_ms,
        "batch_ms": batch_ms,
        "band_10000_s": median_s(lambda: pulse1d.predict_bench(design, samples=10_000), 3),
        "help_s": process_s("--help"),
        "bench_warm_s": process_s("bench", str(CASE)),
    }
    if as_json:
        print(json.dumps(figures, indent=1))
        return
    for name, value in figures.items():
        print(f"{name:14s} {value:9.4f}")


if __name__ == "__main__":
    main()
