"""Verification: the response of a one-pipe study is the Fanno line, point by point.

A lossless mouth and a pipe of fixed Darcy factor, sucked; the closed form is solved here, for a
perfect gas of gamma 1.4 and R = 287.05 J/kg/K (Shapiro 1953 ch. 6, from memory).
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.optimize import brentq

from pulse1d.study.answers import answers_of
from pulse1d.study.load import load_study
from pulse1d.study.plan import points_of
from pulse1d.study.space import design_at

P0, T0, R, GAMMA = 101325.0, 293.15, 287.05, 1.4
DEPRESSION = 7e3
"""About 28 inH2O [Pa]."""
FLOW = 5e-4
"""As for single designs: 1e-4 for the air's gamma, the rest is what a bench solver must hold."""
CASE = """\
format: pulse1d case 1
about: {name: pipe}
bench: {depression: 7 kPa, fixed end: outlet, direction: sucked, adapter: {ideal: true}}
head: {ports: [{name: 1}]}
surface: {f D: 0.02}
runners:
  - port: 1
    section: {shape: round, bore: 40 mm}
    pieces: [{kind: straight, length: 500 mm}]
    to: outlet
"""
STUDY = """\
format: pulse1d study 1
about: {name: pipe}
base: case.yaml
parameters:
  length: {path: runners/1/straight 1/length, range: [10 mm, 3 m], steps: 5}
  bore: {path: runners/1/section/bore, choices: [25 mm, 40 mm, 2 in]}
  friction: {path: surface/f D, values: [0.01, 0.03]}
compute: {bench: {}}
"""


def fanno(M: float) -> float:
    """f L/D to M = 1."""
    return (1.0 - M * M) / (GAMMA * M * M) + (GAMMA + 1.0) / (2.0 * GAMMA) * math.log(
        (GAMMA + 1.0) * M * M / (2.0 + (GAMMA - 1.0) * M * M)
    )


def flux(friction: float) -> float:
    """Mass flux of a mouth and a duct of f L/D = friction into P0 - DEPRESSION [kg/m2/s]."""

    def exit_mach(M1: float) -> float:
        return float(brentq(lambda M: fanno(M) - fanno(M1) + friction, M1, 1.0, xtol=1e-15))

    def mass_flux(M1: float) -> float:
        return P0 * math.sqrt(GAMMA / (R * T0)) * M1 * (1.0 + 0.2 * M1 * M1) ** -3.0

    def error(M1: float) -> float:
        M2 = exit_mach(M1)
        p2 = mass_flux(M1) / M2 * math.sqrt(R * T0 / (GAMMA * (1.0 + 0.2 * M2 * M2)))
        return p2 - (P0 - DEPRESSION)

    largest = float(brentq(lambda M: fanno(M) - friction, 0.05, 0.9999, xtol=1e-15))
    return mass_flux(float(brentq(error, 1e-4, largest * (1.0 - 1e-9), xtol=1e-15)))


def test_every_point_lies_on_the_fanno_line(tmp_path: Path) -> None:
    (tmp_path / "case.yaml").write_text(CASE, encoding="utf-8")
    (tmp_path / "study.yaml").write_text(STUDY, encoding="utf-8")
    study = load_study(tmp_path / "study.yaml")
    points = points_of(study)
    assert len(points) == 30
    seen = set()
    for point in points:
        L, D, f = (float(point[name]) for name in ("length", "bore", "friction"))
        volume = flux(f * L / D) * 0.25 * math.pi * D * D * R * T0 / P0
        flow = answers_of(study, design_at(study, point))["mean flow"]
        seen.add(flow)
        assert flow == pytest.approx(volume, rel=FLOW), point
    assert len(seen) == 30
