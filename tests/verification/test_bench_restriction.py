"""Verification: a measured restriction in series with a duct, as a head on the bench.

Expected flows join an isentropic throat to a Fanno line (NACA Report 1135; Shapiro 1953 ch. 5-7,
from memory) at gamma = 1.4; dry air of the package has 1.4007: hence 0.05 %.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.optimize import brentq

import pulse1d
from tests.bench_ducts import (
    AREA,
    FLOW,
    GAMMA,
    INCH_WATER,
    ROOM,
    SUCKED_OUT,
    T_ROOM,
    R,
    answer,
    duct,
    fanno,
    flux,
    mach_of_ratio,
    path,
)


def restriction(area: float) -> dict[str, str]:
    return {"kind": "restriction", "effective area": f"{1e6 * area:.12g} mm2"}


def throat_then_duct(CdA: float, dp: float, friction: float) -> float:
    """Flow of a throat that keeps its jet's static pressure, then a duct of f L/D [kg/s]."""

    def exit_pressure(M: float) -> float:
        mdot = CdA * flux(M, ROOM, T_ROOM)
        p = ROOM / (1.0 + 0.2 * M * M) ** 3.5
        # Static pressure and mass flow fix the duct's Mach number: m = M sqrt(g (1 + 0.2 M^2)).
        m = mdot * math.sqrt(R * T_ROOM) / (AREA * p)
        M1 = math.sqrt((math.sqrt(1.0 + 0.8 * m * m / GAMMA) - 1.0) / 0.4)
        M2 = M1
        if fanno(M1) <= friction or M1 >= 1.0:
            return 0.0
        if friction > 0.0:
            M2 = brentq(lambda x: fanno(x) - fanno(M1) + friction, M1, 1.0, xtol=1e-15)
        return mdot / (AREA * M2) * math.sqrt(R * T_ROOM / (GAMMA * (1.0 + 0.2 * M2 * M2)))

    M = float(brentq(lambda M: exit_pressure(M) - (ROOM - dp), 1e-4, 0.9999, xtol=1e-15))
    return CdA * flux(M, ROOM, T_ROOM)


@pytest.mark.parametrize("friction", [0.0, 0.5])
@pytest.mark.parametrize("CdA", [200e-6, 500e-6, 900e-6])
def test_restriction_in_series(CdA: float, friction: float, tmp_path: Path) -> None:
    pieces = [restriction(CdA), *([duct(1.0)] if friction else [])]
    design = path(tmp_path, pieces, SUCKED_OUT, surface={"f D": 0.02})
    for inches in (10, 28, 60):
        expected = throat_then_duct(CdA, inches * INCH_WATER, friction)
        assert answer(design, inches * INCH_WATER).mdot == pytest.approx(expected, rel=FLOW)


def test_choked_restriction(tmp_path: Path) -> None:
    design = path(tmp_path, [restriction(500e-6), duct(1.0)], SUCKED_OUT, surface={"f D": 0.02})
    for dp in (65e3, 100e3):
        found = answer(design, dp)
        assert found.choked
        assert "restriction" in found.mach_where
        assert found.mdot == pytest.approx(500e-6 * flux(1.0, ROOM, T_ROOM), rel=FLOW)


def test_head_measured_on_the_bench(tmp_path: Path) -> None:
    """A head that passed 200 CFM at 28 inH2O passes it again, alone and under those conditions."""
    head = {"flow": {"kind": "restriction", "flow": "200 CFM", "depression": "28 inH2O"}}
    design = path(tmp_path, [duct(0.5)], SUCKED_OUT, surface={"f D": 0.02}, head=head)
    result = pulse1d.predict_bench(design, lift=0.010, samples=0)
    rho = ROOM / (R * T_ROOM)
    measured = rho * 200.0 * 4.7194745e-4
    assert result.head_alone is not None
    assert result.head_alone.mdot == pytest.approx(measured, rel=FLOW)
    CdA = measured / flux(mach_of_ratio(ROOM / (ROOM - 6974.5)), ROOM, T_ROOM)
    both = result.ports[0].answer
    assert both.mdot == pytest.approx(throat_then_duct(CdA, 6974.5, 0.25), rel=FLOW)
    # Parts in series never pass more than either alone.
    part = result.ports[0].part_alone
    assert part is not None
    assert both.mdot < min(part.mdot, result.head_alone.mdot)
