"""How fast studies are: steady designs in bulk, the store, and waves on two cores.

The peer of the steady sweep is the compiled solve by itself, of the store its own first rows, of
two workers one worker; each in the same run.
"""

from __future__ import annotations

import argparse
import json
import resource
import shutil
import statistics
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from numba import set_num_threads

from pulse1d.case.design import Design, load
from pulse1d.network.plain import Memory
from pulse1d.run.bench_batch import predict_many, single_paths
from pulse1d.run.conditions import bench_setup
from pulse1d.steady.many import solve_many
from pulse1d.study.evaluator import evaluator
from pulse1d.study.load import load_study
from pulse1d.study.plan import points_of

CASES = Path(__file__).parents[1] / "cases"
CHUNK = 500


def varied(base: Design, k: int) -> Design:
    """The base with its last straights a little longer: every leg differs from every other's."""
    runners = []
    for runner in base.case.runners:
        last = runner.pieces[-1].model_copy(update={"length": 0.05 + 1e-6 * k})
        runners.append(runner.model_copy(update={"pieces": (*runner.pieces[:-1], last)}))
    return replace(base, case=base.case.model_copy(update={"runners": tuple(runners)}))


def steady(count: int) -> dict[str, float]:
    """Milliseconds a design of four ports, all and the solve alone, on one thread."""
    set_num_threads(1)
    base = load(CASES / "pump/tubular.yaml")
    predict_many([base])
    start = time.perf_counter()
    for first in range(0, count, CHUNK):
        predict_many([varied(base, k) for k in range(first, min(first + CHUNK, count))])
    whole = (time.perf_counter() - start) / count
    memory, air = Memory(), bench_setup(base).air
    rows = [
        steps
        for k in range(CHUNK)
        for steps in (single_paths(varied(base, k), memory) or {}).values()
    ]
    times = []
    for _ in range(5):
        start = time.perf_counter()
        solve_many(rows, air.reverse, air.p_up, air.T0, air.p_down, air.table)
        times.append((time.perf_counter() - start) / CHUNK)
    solve = statistics.median(times)
    return {
        "steady_ms_per_design": 1e3 * whole,
        "steady_solve_ms_per_design": 1e3 * solve,
        "steady_overhead_over_solve": whole / solve - 1.0,
    }


STEADY_STUDY = """\
format: pulse1d study 1
about: {{name: bench of a benchmark}}
base: {base}
parameters:
  length: {{path: runners/*/tail/length, range: [40 mm, 140 mm]}}
  cone: {{path: trunks/collector and pipe/cone/length, range: [40 mm, 90 mm]}}
plan: {{kind: sobol, points: {points}}}
compute: {{bench: {{}}}}
objectives: [{{answer: mean flow, aim: most}}]
"""
WAVE_STUDY = """\
format: pulse1d study 1
about: {{name: waves of a benchmark}}
base: {base}
parameters:
  length: {{path: runners/*/tail/length, range: [40 mm, 140 mm], steps: {points}}}
plan: {{kind: grid}}
compute: {{cycle: {{speeds: [2500, 3500]}}}}
objectives: [{{answer: mean torque, aim: most}}]
"""


def swept(text: str, points: int, workers: int) -> tuple[float, list[int], int]:
    """Seconds of a sweep in a folder of its own, sizes of its journal, and outcomes that failed."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(CASES / "pump", folder / "pump", ignore=shutil.ignore_patterns("*.results"))
        path = folder / "pump" / "study.yaml"
        path.write_text(text.format(base="tubular.yaml", points=points), encoding="utf-8")
        study = load_study(path)
        asked = points_of(study)
        start = time.perf_counter()
        with evaluator(study, workers=workers) as evaluate:
            evaluate.compute(asked)
            failed = evaluate.failed
        seconds = time.perf_counter() - start
        sizes = [one.stat().st_size for one in path.parent.rglob("*.sqlite")]
    return seconds, sizes, failed


def sweeps(points: int) -> dict[str, float]:
    """A steady sweep and waves, by one worker and by two; starting the processes is counted."""
    found: dict[str, float] = {}
    found["sweep_s"], sizes, failed = swept(STEADY_STUDY, points, 2)
    found |= {"sweep_points": points, "sweep_failed": failed}
    found["journal_bytes_per_point"] = sum(sizes) / points
    found["sweep_designs_per_min"] = 60.0 * points / found["sweep_s"]
    found["peak_memory_mb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    one, _, _ = swept(WAVE_STUDY, 40, 1)
    two, _, _ = swept(WAVE_STUDY, 40, 2)
    return found | {"waves_1_s": one, "waves_2_s": two, "waves_efficiency": one / two / 2.0}


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--points", type=int, default=50_000)
    asked = parser.parse_args()
    found = {**steady(4000), **sweeps(asked.points)}
    if asked.json:
        json.dump(found, sys.stdout, indent=1)
        print()
        return
    for name, value in found.items():
        print(f"{name:28} {value:.5g}")


if __name__ == "__main__":
    main()
