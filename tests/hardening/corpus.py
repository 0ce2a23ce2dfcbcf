"""What the fuzzer starts from: every shipped file, sound and broken, and small made ones beside."""

from __future__ import annotations

import hashlib
import math
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

from pulse1d.case.reader import read_yaml
from pulse1d.errors import InputError
from tests.hardening.mutate_bytes import mutate_bytes
from tests.hardening.mutate_table import mutate_table
from tests.hardening.mutate_tree import Tree, emit, mutate_tree

ROOT = Path(__file__).parents[2]
TEXT = ("case", "readings", "study")
"""Kinds of YAML files; damage to them is to bytes or to what they say."""
CALIBRATION = """format: pulse1d calibration 1
source: invented
corrections:
  - {cause: bend K, sigmas: -0.3, spread: 0.8}
  - {cause: junction K, offset: 0.02}
  - {cause: roughness, factor: 1.2}
correlations:
  - {between: [bend K, roughness], r: -0.4}
"""


@dataclass(frozen=True)
class Seed:
    """A file to damage, and the file that is loaded then: itself, or one that names it."""

    kind: str
    """case, readings, study, measured, results or journal."""
    victim: Path
    main: Path
    weight: int = 1


def lay_out(folder: Path) -> list[Seed]:
    """A copy of all files in a folder, and the seeds among them."""
    for name in ("pump", "rig", "single", "v8", "broken", "broken_readings", "broken_studies"):
        shutil.copytree(ROOT / "cases" / name, folder / name)
    for path in (ROOT / "pulse1d" / "case" / "shipped").glob("*.yaml"):
        shutil.copy(path, folder / "pump" / path.name)
    return [*_yaml(folder), *_beside(folder), *_stored(folder)]


def _yaml(folder: Path) -> Iterator[Seed]:
    for path in sorted(folder.glob("*/*.yaml")):
        text = path.read_bytes()
        kind = next((k for k in TEXT if f"pulse1d {k}".encode() in text), "case")
        if b"pulse1d bench readings" in text or path.parent.name == "broken_readings":
            kind = "readings" if b"rows:" in text else "case"
        weight = 1 if path.parent.name.startswith("broken") else 6
        if path.name == "head.yaml":
            for case in sorted(path.parent.glob("*.yaml"))[:12]:
                if b"head: head.yaml" in case.read_bytes():
                    yield Seed("case", path, case, 2 if weight > 1 else 1)
                    break
            continue
        yield Seed(kind, path, path, weight)
        base = next((line for line in text.splitlines() if line.startswith(b"based on:")), None)
        if base is not None and weight > 1:
            name = base.partition(b":")[2].split(b"#")[0].strip().decode()
            if (path.parent / name).is_file():
                yield Seed("case", path.parent / name, path, 2)


def _beside(folder: Path) -> Iterator[Seed]:
    """Calibration, table and measured curves."""
    pump, bad = folder / "pump", folder / "broken_readings"
    (pump / "calibration.yaml").write_text(CALIBRATION)
    main = pump / "calibrated.yaml"
    text = "format: pulse1d case 1\nbased on: tubular.yaml\ncalibration: calibration.yaml\n"
    main.write_text(text)
    yield Seed("case", pump / "calibration.yaml", main, 6)
    yield Seed("case", main, main, 2)
    for path in sorted(bad.glob("*.yaml")):
        if b"rows: table.csv" in path.read_bytes():
            yield Seed("readings", bad / "table.csv", path)
    sound = read_yaml(pump / "readings_log_tubular.yaml").data
    (pump / "table.csv").write_text(sound["rows"])
    (pump / "readings_csv.yaml").write_text(emit({**sound, "rows": "table.csv"}))
    yield Seed("readings", pump / "table.csv", pump / "readings_csv.yaml", 6)
    angles = (f"{5 * k},{110 + 20 * math.sin(k / 9):.2f}" for k in range(144))
    torque = (f"{500 * k},{150 + k}" for k in range(2, 10))
    for name, heading, rows in (
        ("port.csv", "crank angle [deg],pressure [kPa abs]", angles),
        ("torque.csv", "speed [1/min],torque [N m]", torque),
    ):
        (pump / name).write_text("\n".join((heading, *rows)) + "\n")
        yield Seed("measured", pump / name, pump / name, 6)


def _stored(folder: Path) -> Iterator[Seed]:
    """A results file and a journal as the tool writes them."""
    from pulse1d.case.design import load
    from pulse1d.run.cycle_sweep import sweep
    from pulse1d.study.journal import Journal
    from pulse1d.study.outcome import Outcome

    swept = sweep(load(folder / "single" / "plain.yaml"), [40.0], output=folder / "stored")
    yield Seed("results", swept.path, swept.path, 6)
    path = folder / "stored" / "journal.sqlite"
    with Journal(path, "study") as journal:
        for k in range(30):
            key = hashlib.sha256(str(k).encode()).hexdigest()
            answers = {} if k % 7 == 3 else {"mean flow": k / 3.0}
            failure = "" if answers else "x"
            journal.append([Outcome(key, {"length": 0.1 * k}, answers, failure, 0.1)])
    yield Seed("journal", path, path, 6)


def tree_of(path: Path) -> Tree | None:
    """What a YAML file says; None for another file and a broken one."""
    try:
        return read_yaml(path, defer=True).data if path.suffix == ".yaml" else None
    except InputError:
        return None


def damage(
    random: Random, raw: bytes, other: bytes, tree: Tree | None, lent: Tree | None, table: bool
) -> bytes:
    """A mutant of a file: of what it says where it is YAML, of its table, or of its bytes."""
    if table and random.random() < 0.7:
        return mutate_table(random, raw.decode("utf-8", "replace")).encode("utf-8", "replace")
    if tree is None or lent is None or random.random() < 0.35:
        return mutate_bytes(random, raw, other)
    if isinstance(tree.get("rows"), str) and random.random() < 0.5:
        tree = {**tree, "rows": mutate_table(random, tree["rows"])}
        if random.random() < 0.6:
            return emit(tree).encode("utf-8", "replace")
    raw = emit(mutate_tree(random, tree, lent)).encode("utf-8", "replace")
    return mutate_bytes(random, raw, other) if random.random() < 0.05 else raw
