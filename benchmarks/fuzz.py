"""Damaged inputs by the thousand: cases, readings, studies, tables, results and journals.

``python benchmarks/fuzz.py --minutes 10 --json`` tries mutants of every shipped file in one process
until the time is over and prints ``inputs``, ``seconds``, ``cpu_s``, ``outcomes``, ``found`` (kinds
of defect with their counts) and ``peak_mb`` above the start. Defects are kept in ``--output`` (a
temporary folder if left out): the input, and what it led to. Mutants whose error is a new one are
mutated on. A second, idle process starts the first one anew should an input end it.
"""

from __future__ import annotations

import argparse
import faulthandler
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.hardening.corpus import Seed, damage, lay_out, tree_of
from tests.hardening.mutate_tree import Tree
from tests.hardening.tried import Verdict, tried, warm

MEMORY = 1_500_000_000
"""Memory that an input may take above what the process has at its start [bytes]."""
HARD_S = 60.0
"""Wall time after which an input that no signal reaches ends the process [s]."""
MORE = 0.2
"""Share of the cases of which more than a bench flow is asked."""
KEPT = 5
"""Inputs kept of one kind of defect."""
MOST_GROWN = 3000
"""Mutants that are mutated on, at the most."""


def main() -> None:
    """Fuzz, or watch over a process that does."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    parser.add_argument("--output", type=Path)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--child", type=float, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    output = asked.output or Path(tempfile.mkdtemp(prefix="fuzz"))
    output.mkdir(parents=True, exist_ok=True)
    if asked.child is not None:
        fuzz(asked.seed, asked.child, output)
        return
    ends, rounds = time.time() + 60.0 * asked.minutes, 0
    while time.time() < ends:
        command = [sys.executable, __file__, "--seed", str(asked.seed + rounds)]
        command += ["--output", str(output), "--child", str(ends)]
        done = subprocess.run(command, stderr=(output / "stderr.txt").open("ab"), check=False)
        rounds += 1
        if done.returncode:
            ended(output, done.returncode)
    record = summary(output)
    if asked.json:
        print(json.dumps(record, indent=1))
    else:
        print("\n".join(f"{name}: {value}" for name, value in record.items()))


def fuzz(seed: int, ends: float, output: Path) -> None:
    """Try mutants until a time of day."""
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        seeds = lay_out(Path(folder).resolve())
        victims = {one.victim for one in seeds}
        said = {path: tree_of(path) for path in victims}
        raws = {path: path.read_bytes() for path in victims}
        for name in ("pump/tubular.yaml", "pump/log.yaml", "v8/pair.yaml", "single/diesel.yaml"):
            warm(Path(name))
        for one in seeds:
            tried(one.kind, one.main)
        start = peak()
        limit = _address_space() + MEMORY
        resource.setrlimit(resource.RLIMIT_AS, (limit, resource.getrlimit(resource.RLIMIT_AS)[1]))
        _loop(Random(seed), seeds, said, raws, ends, output, start)


def _loop(
    random: Random,
    seeds: list[Seed],
    said: dict[Path, Tree | None],
    raws: dict[Path, bytes],
    ends: float,
    output: Path,
    start: float,
) -> None:
    pool = [one for one in seeds for _ in range(one.weight)]
    seen: set[str] = set()
    grown: list[tuple[Seed, bytes]] = []
    counts: Counter[str] = Counter()
    began, said_at, slowest = time.time(), time.time(), 0.0
    while time.time() < ends:
        one, other = random.choice(pool), random.choice(pool)
        raw, tree = raws[one.victim], said.get(one.victim)
        if grown and random.random() < 0.25:
            one, raw = random.choice(grown)
            tree = None
        table = one.victim.suffix == ".csv"
        mutant = damage(random, raw, raws[other.victim], tree, said.get(other.victim), table)
        one.victim.unlink()  # a new file: readers know open ones by their place on disk
        one.victim.write_bytes(mutant)
        (output / "now").write_text(f"{one.kind} {one.victim.name} {one.main.name}")
        (output / "now.input").write_bytes(mutant)
        faulthandler.dump_traceback_later(HARD_S, exit=True)
        began_one = time.process_time()
        more = one.kind == "case" and random.random() < MORE
        verdict = tried("more" if more else one.kind, one.main)
        slowest = max(slowest, time.process_time() - began_one)
        faulthandler.cancel_dump_traceback_later()
        for beside in one.victim.parent.glob(f"{one.victim.name}-*"):
            beside.unlink()
        one.victim.write_bytes(raws[one.victim])
        counts[f"{one.kind} {verdict.outcome}"] += 1
        if verdict.outcome == "FOUND":
            keep(output, one, mutant, verdict)
        elif f"{one.kind} {verdict.sign}" not in seen and len(grown) < MOST_GROWN:
            seen.add(f"{one.kind} {verdict.sign}")
            grown.append((one, mutant))
        if time.time() > said_at + 10.0:
            said_at = time.time()
            _say(output, counts, said_at - began, start, slowest, len(seen))
    _say(output, counts, time.time() - began, start, slowest, len(seen))


def keep(output: Path, seed: Seed, mutant: bytes, verdict: Verdict) -> None:
    """A defect's input and what it led to, the first few of a kind."""
    name = "".join(c if c.isalnum() else "_" for c in verdict.sign)[:80]
    folder = output / "found" / name
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "count").open("a") as file:
        file.write("x")
    k = len(list(folder.glob("*.txt")))
    if k < KEPT:
        (folder / f"{k}{seed.victim.suffix}").write_bytes(mutant)
        told = f"{seed.kind}, {seed.victim}, loaded by {seed.main}\n{verdict.sign}\n{verdict.told}"
        (folder / f"{k}.txt").write_text(told, encoding="utf-8", errors="replace")


def ended(output: Path, code: int) -> None:
    """An input that ended the process."""
    kind, victim, main = (output / "now").read_text().split(" ")
    seed = Seed(kind, Path(victim), Path(main))
    keep(output, seed, (output / "now.input").read_bytes(), Verdict("FOUND", f"ended with {code}"))


def _say(
    output: Path, counts: Counter[str], seconds: float, start: float, slowest: float, signs: int
) -> None:
    record = {
        "seconds": seconds, "cpu_s": time.process_time(),
        "counts": counts, "peak_mb": (peak() - start) / 1e6,
        "slowest_s": slowest, "outcomes_told_apart": signs,
    }  # fmt: skip
    (output / f"run-{os.getpid()}.json").write_text(json.dumps(record))


def summary(output: Path) -> dict[str, object]:
    """What all processes of a run came to."""
    runs = [json.loads(path.read_text()) for path in output.glob("run-*.json")]
    counts = sum((Counter(run["counts"]) for run in runs), Counter())
    found = {p.parent.name: len(p.read_text()) for p in sorted(output.glob("found/*/count"))}
    return {
        "inputs": counts.total(),
        "seconds": round(sum(run["seconds"] for run in runs), 1),
        "cpu_s": round(sum(run["cpu_s"] for run in runs), 1),
        "outcomes": dict(sorted(counts.items())),
        "told_apart": max((run["outcomes_told_apart"] for run in runs), default=0),
        "found": found,
        "peak_mb": round(max((run["peak_mb"] for run in runs), default=0.0), 1),
        "slowest_s": round(max((run["slowest_s"] for run in runs), default=0.0), 2),
        "output": str(output),
    }


def peak() -> float:
    """Most memory that this process has held [bytes]."""
    return 1024.0 * resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def _address_space() -> int:
    with open("/proc/self/statm", encoding="ascii") as file:
        return int(file.read().split()[0]) * os.sysconf("SC_PAGE_SIZE")


if __name__ == "__main__":
    main()
