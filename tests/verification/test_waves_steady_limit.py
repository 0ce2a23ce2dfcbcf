"""Verification: the wave solver marched to rest against the network of closed elements.

The two share the loss coefficients but not the way to a solution: one marches cells and boundary
solutions in time, the other solves flows and pressures at once over elements with exact ducts.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import pulse1d
from pulse1d.run.bench import predict_bench
from pulse1d.run.march import march_bench

HEAD = """format: pulse1d case 1
about: {name: steady limit}
bench: {adapter: {edge radius: 10 mm}}
"""
STRAIGHT = """surface: smooth
head: {ports: [{name: 1}]}
runners: [{port: 1, section: {shape: round, bore: 38 mm}, to: outlet,
  pieces: [{kind: straight, length: 800 mm}]}]
"""
BENT = """head: {ports: [{name: 1}]}
runners: [{port: 1, section: {shape: round, bore: 38 mm}, to: outlet, pieces: [
  {kind: straight, length: 200 mm}, {kind: bend, angle: 90 deg, radius: 57 mm},
  {kind: straight, length: 200 mm}]}]
"""
TWO_INTO_ONE = """head: {ports: [{name: 1}, {name: 2}]}
runners:
  - {port: 1, section: {shape: round, bore: 38 mm}, to: {joint: c, angle: 30 deg},
    pieces: [{kind: straight, length: 200 mm}]}
  - {port: 2, section: {shape: round, bore: 38 mm}, to: {joint: c, angle: 30 deg},
    pieces: [{kind: straight, length: 200 mm}]}
trunks: [{from: c, to: outlet, section: {shape: round, bore: 38 mm},
  pieces: [{kind: straight, length: 300 mm}]}]
joints: [{name: c, kind: merge}]
"""
WITHIN = 0.002
"""Allowed difference of flow: at 5 mm a bend's loss is spread over whole cells, and a joint's
reference state stands half a cell away; both are below 1e-4 here, the rest is left for the
march's own stop."""


@pytest.mark.parametrize(
    "case", [STRAIGHT, BENT, TWO_INTO_ONE], ids=["straight", "bent", "dead leg"]
)
def test_marched_flow(tmp_path: Path, case: str) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(HEAD + case)
    design = pulse1d.load(path)
    result = predict_bench(design, samples=0)
    for marched, port in zip(march_bench(design, result, 5e-3), result.ports, strict=True):
        assert marched.steady
        assert marched.mdot == pytest.approx(port.answer.mdot, rel=WITHIN)
