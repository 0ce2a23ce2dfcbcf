"""Verification: bench flow of single paths against closed forms solved here.

Every expected value comes from this file and ``tests/bench_ducts.py``: isentropic nozzle, Fanno
duct and sudden expansion of a perfect gas (NACA Report 1135; Shapiro 1953 ch. 5-7, from memory).
The air of the references is R = 287.05 J/kg/K, gamma = 1.4; dry air of the package has gamma 1.4007
at 20 degC, which is worth up to 1e-4 of flow at 60 inH2O: hence 0.05 % where gamma is assumed.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.optimize import brentq

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


def fanno_duct(p0: float, p_exit: float, friction: float) -> tuple[float, float, float]:
    """Flux, inlet and exit Mach numbers of a lossless mouth and a duct with f L/D = friction."""

    def exit_mach(M1: float) -> float:
        return float(brentq(lambda M: fanno(M) - fanno(M1) + friction, M1, 1.0, xtol=1e-15))

    def error(M1: float) -> float:
        M2 = exit_mach(M1)
        G = flux(M1, p0, T_ROOM)
        p2 = G / M2 * math.sqrt(R * T_ROOM / (GAMMA * (1.0 + 0.2 * M2 * M2)))
        return p2 - p_exit

    largest = float(brentq(lambda M: fanno(M) - friction, 0.05, 0.9999, xtol=1e-15))
    if error(largest * (1.0 - 1e-9)) > 0.0:
        return flux(largest, p0, T_ROOM), largest, 1.0
    M1 = float(brentq(error, 1e-4, largest * (1.0 - 1e-9), xtol=1e-15))
    return flux(M1, p0, T_ROOM), M1, exit_mach(M1)


@pytest.mark.parametrize(
    ("inches", "G"),
    [(10, 76.424), (20, 106.608), (25, 118.360), (28, 124.730), (36, 139.813), (60, 174.086)],
)
def test_ideal_nozzle(inches: float, G: float, tmp_path: Path) -> None:
    """The printed table of mass flux at bench depressions; Bernoulli is 3.9 % off at 28."""
    dp = inches * INCH_WATER
    assert flux(mach_of_ratio(ROOM / (ROOM - dp)), ROOM, T_ROOM) == pytest.approx(G, abs=6e-4)
    found = answer(path(tmp_path, [], SUCKED_OUT), dp)
    assert found.mdot / AREA == pytest.approx(G, rel=FLOW)
    assert found.mach_max == pytest.approx(mach_of_ratio(ROOM / (ROOM - dp)), rel=FLOW)
    # An ideal nozzle's effective area is its own; gamma at T0 against gamma at T, squared small.
    assert found.cda == pytest.approx(AREA, rel=1e-4)


def test_ideal_nozzle_blown(tmp_path: Path) -> None:
    """Blown, the bench's pressure is the upstream one and the room holds the exit."""
    for inches in (10, 28, 60):
        p0 = ROOM + inches * INCH_WATER
        G = flux(mach_of_ratio(p0 / ROOM), p0, T_ROOM)
        found = answer(path(tmp_path, []), inches * INCH_WATER)
        assert found.mdot / AREA == pytest.approx(G, rel=FLOW)


def test_choked_nozzle(tmp_path: Path) -> None:
    design = path(tmp_path, [], SUCKED_OUT)
    flows = [answer(design, dp) for dp in (46e3, 49e3, 70e3, 100e3)]
    assert [found.choked for found in flows] == [False, True, True, True]  # p*/p0 = .5283: 47.8 kPa
    sonic = flux(1.0, ROOM, T_ROOM)
    for found in flows[1:]:
        assert found.mdot / AREA == pytest.approx(sonic, rel=FLOW)
        assert found.mdot == pytest.approx(flows[1].mdot, rel=1e-12)  # level: nothing else enters


@pytest.mark.parametrize(
    ("inches", "M1", "M2", "mdot"),
    [
        (10, 0.152999, 0.154305, 0.078355),
        (28, 0.255719, 0.262324, 0.127732),
        (60, 0.372078, 0.395959, 0.178039),
    ],
)
def test_fanno_duct_sucked(
    inches: float, M1: float, M2: float, mdot: float, tmp_path: Path
) -> None:
    """1 m of 40 mm pipe, f_D = 0.02, bell mouth: printed values, and this file's own solution."""
    dp = inches * INCH_WATER
    G, M_in, M_out = fanno_duct(ROOM, ROOM - dp, 0.5)
    assert (G * AREA, M_in, M_out) == pytest.approx((mdot, M1, M2), abs=6e-7)
    found = answer(path(tmp_path, [duct(1.0)], SUCKED_OUT, surface={"f D": 0.02}), dp)
    assert found.mdot == pytest.approx(mdot, rel=FLOW)
    place = found.profile.labels.index("runner 1: straight 1")
    assert found.profile.M[place] == pytest.approx(M1, rel=FLOW)
    assert found.mach_max == pytest.approx(M2, rel=FLOW)


@pytest.mark.parametrize("inches", [1, 10, 28, 60, 200])
def test_fanno_duct_blown(inches: float, tmp_path: Path) -> None:
    dp = inches * INCH_WATER
    G, _, M2 = fanno_duct(ROOM + dp, ROOM, 0.5)
    found = answer(path(tmp_path, [duct(1.0)], surface={"f D": 0.02}), dp)
    assert found.mdot / AREA == pytest.approx(G, rel=FLOW)
    assert found.mach_max == pytest.approx(M2, rel=2.0 * FLOW)  # M of the exit: slope (1 - M^2)


def test_fanno_duct_backwards(tmp_path: Path) -> None:
    """A path of constant section between lossless ends passes the same either way."""
    case = {"surface": {"f D": 0.02}, "outlet": {"ideal": True, "flanged": True}}
    ways = [
        answer(path(tmp_path, [duct(1.0)], bench, **case), 28 * INCH_WATER)
        for bench in (SUCKED_OUT, {"fixed end": "port", "direction": "sucked"})
    ]
    assert ways[1].mdot == pytest.approx(-ways[0].mdot, rel=1e-9)  # the solver's 1e-10 of pressure
    assert ways[1].mdot == pytest.approx(-0.127732, rel=FLOW)


def test_choked_fanno_duct(tmp_path: Path) -> None:
    """Found, named, and level beyond: M1 .597695, exit 44946 Pa, G 200.83 kg/m2/s."""
    G, M1, M2 = fanno_duct(ROOM, 1.0, 0.5)
    assert (M1, M2) == pytest.approx((0.597695, 1.0), abs=6e-7)
    assert pytest.approx(200.83, abs=6e-3) == G
    design = path(tmp_path, [duct(1.0)], SUCKED_OUT, surface={"f D": 0.02})
    # 3 % of the exit pressure on either side: there the flow is within 5e-4 of its maximum, since
    # flow is quadratic in pressure at the sonic point.
    below, above = (answer(design, ROOM - share * 44946.0) for share in (1.03, 0.97))
    assert (below.choked, above.choked) == (False, True)
    assert below.mdot < above.mdot
    for dp in (60e3, 80e3, 101e3):
        found = answer(design, dp)
        assert found.choked
        assert found.mdot == pytest.approx(above.mdot, rel=1e-12)  # level
        assert any("choked at" in warning for warning in found.warnings)
    assert above.mdot / AREA == pytest.approx(G, rel=FLOW)
    assert above.mach_max == pytest.approx(1.0, abs=1e-3)


def test_choked_fanno_duct_blown(tmp_path: Path) -> None:
    """A choked duct's flow still rises with the bench's pressure: in proportion to it."""
    design = path(tmp_path, [duct(1.0)], surface={"f D": 0.02})
    for dp in (150e3, 300e3):
        G, _, M2 = fanno_duct(ROOM + dp, ROOM, 0.5)
        assert M2 == 1.0
        found = answer(design, dp)
        assert found.choked
        assert found.mdot / AREA == pytest.approx(G, rel=FLOW)


def test_sudden_expansion_at_the_end(tmp_path: Path) -> None:
    """40 to 60 mm, then the room: momentum with the small duct's pressure on the step."""
    wide = AREA * (60.0 / 40.0) ** 2
    pieces = [{"kind": "step", "to": {"shape": "round", "bore": "60 mm"}}]
    design = path(tmp_path, pieces, SUCKED_OUT)
    for inches in (10, 28, 60):
        p_exit = ROOM - inches * INCH_WATER

        def error(M1: float, p_exit: float = p_exit) -> float:
            G = flux(M1, ROOM, T_ROOM)
            p1 = ROOM / (1.0 + 0.2 * M1 * M1) ** 3.5
            force = p1 * wide + AREA * GAMMA * p1 * M1 * M1

            def exit_force(M2: float) -> float:
                T2 = T_ROOM / (1.0 + 0.2 * M2 * M2)
                p2 = G * AREA / wide * math.sqrt(R * T2 / GAMMA) / M2
                return p2 * wide * (1.0 + GAMMA * M2 * M2) - force

            M2 = brentq(exit_force, 1e-5, 1.0)
            T2 = T_ROOM / (1.0 + 0.2 * M2 * M2)
            return G * AREA / wide * math.sqrt(R * T2 / GAMMA) / M2 - p_exit

        M1 = float(brentq(error, 1e-3, 0.99))
        found = answer(design, inches * INCH_WATER)
        assert found.mdot / AREA == pytest.approx(flux(M1, ROOM, T_ROOM), rel=FLOW)


@pytest.mark.parametrize("inches", [0.1, 10, 28, 60])
def test_budget(inches: float, tmp_path: Path) -> None:
    """Exit kinetic energy and duct loss, each from a closed form; together the depression."""
    dp = inches * INCH_WATER
    found = answer(path(tmp_path, [duct(1.0)], SUCKED_OUT, surface={"f D": 0.02}), dp)
    budget = {entry.element: entry for entry in found.budget}
    G, M1, M2 = fanno_duct(ROOM, ROOM - dp, 0.5)
    exit_loss = (ROOM - dp) * ((1.0 + 0.2 * M2 * M2) ** 3.5 - 1.0)
    # Flow to 1e-4 at most (gamma), losses with its square; gamma itself in p0/p.
    assert budget["exit kinetic energy"].loss_pa == pytest.approx(exit_loss, rel=FLOW)
    p01, p02 = ROOM, ROOM - dp + exit_loss
    assert budget["runner 1: straight 1"].loss_pa == pytest.approx(p01 - p02, rel=FLOW)
    assert budget["entry 1"].loss_pa == pytest.approx(0.0, abs=1e-9 * dp)
    assert sum(entry.loss_pa for entry in found.budget) == pytest.approx(dp, rel=1e-9)
    # K on the duct's inlet head: 0.5 and the compressible growth of this file's own solution.
    head = 0.5 * G * G * R * T_ROOM / (1.0 + 0.2 * M1 * M1) * (1.0 + 0.2 * M1 * M1) ** 3.5 / ROOM
    assert budget["runner 1: straight 1"].k == pytest.approx((p01 - p02) / head, rel=2.0 * FLOW)


def test_stated_loss_at_bench_speed(tmp_path: Path) -> None:
    """A K in a duct of one section is a Fanno length: d ln p0 = -(gamma M^2/2) dK."""
    for K in (0.1, 0.6, 2.0, 20.0):
        G, _, _ = fanno_duct(ROOM, ROOM - 28 * INCH_WATER, K)
        design = path(tmp_path, [{"kind": "loss", "K": K}], SUCKED_OUT)
        assert answer(design, 28 * INCH_WATER).mdot / AREA == pytest.approx(G, rel=FLOW)
