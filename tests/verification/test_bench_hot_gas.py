"""Verification: hot burned gas and cooled pipes on the bench, against equations solved here.

Nozzle and Fanno duct of burned gas with a cp that varies with temperature (polynomials of an
equilibrium-code calculation, within 0.3 %), Rayleigh line (Shapiro 1953 ch. 7, from memory), and a
pipe cooled through Gnielinski's Nusselt number (1976, from memory).
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq

from tests.bench_ducts import AREA, BORE, FLOW, ROOM, SUCKED_OUT, answer, duct, path

BURNED = {"kind": "burned", "hydrogen to carbon": 1.87, "lambda": 1.0}
R_BURNED = 286.57
CP = (1028.2919, -56.7366, 654.0504, -469.0883, 103.8935)
"""cp = sum a_i (T/1000)^i, 280-1500 K, stoichiometric products of CH1.87 [J/kg/K]."""
POINTS = np.array([300.0, 600.0, 800.0, 1000.0, 1200.0, 1500.0])
MU = CubicSpline(POINTS, 1e-6 * np.array([16.68, 28.60, 35.22, 41.21, 46.74, 54.41]))
K_TH = CubicSpline(POINTS, np.array([0.02489, 0.04608, 0.05985, 0.07324, 0.08616, 0.10463]))


def cp(T: float) -> float:
    return sum(a * (1e-3 * T) ** i for i, a in enumerate(CP))


def enthalpy(T: float) -> float:
    return T * sum(a * (1e-3 * T) ** i / (i + 1) for i, a in enumerate(CP))


def entropy(T: float) -> float:
    return CP[0] * math.log(T) + sum(a * (1e-3 * T) ** i / i for i, a in enumerate(CP) if i)


def temperature(h: float) -> float:
    return float(brentq(lambda T: enthalpy(T) - h, 250.0, 1600.0, xtol=1e-10))


def hot_duct(p0: float, T0: float, p_exit: float, friction: float) -> float:
    """Flux of a lossless mouth and a duct, exact for cp(T): momentum integrated over the speed."""
    h0 = enthalpy(T0)

    def after_mouth(u: float) -> tuple[float, float]:
        T = temperature(h0 - 0.5 * u * u)
        return T, p0 * math.exp((entropy(T) - entropy(T0)) / R_BURNED)

    def length(u: float) -> float:
        # f dx/D = 2 (R T/u^2 - (cp - R)/cp) du/u, from mass, energy and momentum.
        T = temperature(h0 - 0.5 * u * u)
        return 2.0 / u * (R_BURNED * T / (u * u) - (1.0 - R_BURNED / cp(T)))

    def error(u1: float) -> float:
        T1, p1 = after_mouth(u1)
        G = p1 * u1 / (R_BURNED * T1)

        def short(u2: float) -> float:
            return quad(length, u1, u2, epsrel=1e-9)[0] - friction

        u2 = brentq(short, u1, 2.0 * u1, xtol=1e-9)
        return G * R_BURNED * temperature(h0 - 0.5 * u2 * u2) / u2 - p_exit

    u1 = float(brentq(error, 20.0, 260.0, xtol=1e-8))
    T1, p1 = after_mouth(u1)
    return p1 * u1 / (R_BURNED * T1)


@pytest.mark.parametrize(("T0", "dp"), [(600.0, 6974.5), (1000.0, 6974.5), (1000.0, 15e3)])
def test_burned_gas(T0: float, dp: float, tmp_path: Path) -> None:
    bench = {**SUCKED_OUT, "air temperature": f"{T0} K"}
    design = path(tmp_path, [duct(1.0)], bench, surface={"f D": 0.02}, gas=BURNED)
    expected = hot_duct(ROOM, T0, ROOM - dp, 0.5)
    # cp 0.3 % and gamma 0.001 of the fit are worth 2e-4 of flow here; R 1e-4.
    assert answer(design, dp).mdot / AREA == pytest.approx(expected, rel=FLOW)


def gnielinski(Re: float, Pr: float) -> float:
    f = (0.79 * math.log(Re) - 1.64) ** -2
    return 0.125 * f * (Re - 1e3) * Pr / (1.0 + 12.7 * math.sqrt(0.125 * f) * (Pr ** (2 / 3) - 1.0))


def cooled(mdot: float, T0: float, T_w: float, length: float) -> float:
    """Stagnation temperature behind a pipe whose wall is at T_w, entry development included."""

    def slope(s: float, T: np.ndarray) -> list[float]:
        gas = float(T[0])
        Re = 4.0 * mdot / (math.pi * BORE * float(MU(gas)))
        Nu = gnielinski(Re, float(MU(gas)) * cp(gas) / float(K_TH(gas)))
        h = Nu * float(K_TH(gas)) / BORE
        # A mean factor 1 + (D/x)^(2/3) from the entry on is locally 1 + (D/x)^(2/3)/3; x = s^3.
        stretch = 3.0 * s * s + BORE ** (2.0 / 3.0)
        return [-h * stretch * math.pi * BORE * (gas - T_w) / (mdot * cp(gas))]

    return float(solve_ivp(slope, (0.0, length ** (1.0 / 3.0)), [T0], rtol=1e-8).y[0, -1])


def rayleigh_flow(T0: float, T02: float, p_exit: float) -> float:
    """Flux of a lossless mouth and a frictionless pipe that changes T0 to T02, exact for cp(T)."""

    def mouth(u1: float) -> tuple[float, float]:
        T1 = temperature(enthalpy(T0) - 0.5 * u1 * u1)
        p1 = ROOM * math.exp((entropy(T1) - entropy(T0)) / R_BURNED)
        return p1, p1 * u1 / (R_BURNED * T1)

    def error(u1: float) -> float:
        p1, G = mouth(u1)
        u2 = u1 + (p1 - p_exit) / G
        T2 = p_exit * u2 / (G * R_BURNED)
        return enthalpy(T2) + 0.5 * u2 * u2 - enthalpy(T02)

    return mouth(float(brentq(error, 30.0, 260.0, xtol=1e-9)))[1]


def static(G: float, p0: float, T0: float) -> tuple[float, float]:
    """Static pressure and speed of a flux from its stagnation state, exact for cp(T)."""

    def error(u: float) -> float:
        T = temperature(enthalpy(T0) - 0.5 * u * u)
        return p0 * math.exp((entropy(T) - entropy(T0)) / R_BURNED) * u - G * R_BURNED * T

    u = float(brentq(error, 0.0, 400.0, xtol=1e-9))
    return G * R_BURNED * temperature(enthalpy(T0) - 0.5 * u * u) / u, u


@pytest.mark.parametrize("dp", [500.0, 6974.5])
@pytest.mark.parametrize("T_w", [600.0, 900.0])
def test_cooled_pipe(T_w: float, dp: float, tmp_path: Path) -> None:
    """Heat alone, friction vanishing: the fall of T0, the impulse it leaves alone, and the flow."""
    T0 = 1000.0
    bench = {**SUCKED_OUT, "air temperature": f"{T0} K"}
    design = path(
        tmp_path,
        [duct(0.025)] * 40,  # each piece has one gamma: in forty, its steps are below 3e-4
        bench,
        surface={"f D": 1e-9},
        gas=BURNED,
        wall={"temperature": f"{T_w} K"},
    )
    found = answer(design, dp)
    inlet = found.profile.labels.index("runner 1: straight 1")
    G, expected = found.mdot / AREA, cooled(found.mdot, T0, T_w, 1.0)
    ends = [
        static(G, float(found.profile.p0[place]), T) for place, T in ((inlet, T0), (-1, expected))
    ]
    assert ends[1][0] == pytest.approx(ROOM - dp, abs=2e-3 * dp)  # the receiver's; steps of gamma
    # Equal impulse p + G u, to 0.1 % of G u, which heat moves by 3 to 12 %: along the pipe gamma
    # changes by 1 %, and from piece to piece p0 is carried over rather than p.
    impulse = [p + G * u for p, u in ends]
    assert impulse[1] == pytest.approx(impulse[0], abs=1e-3 * G * ends[1][1])
    # The flow in full: 2 % of the fall of T0 (transport good to 5 % moves h by a third of that)
    # is 0.4 % of T0 at most, and flow moves with less than half of it.
    assert pytest.approx(rayleigh_flow(T0, expected, ROOM - dp), rel=2e-3) == G
    heat = next(entry for entry in found.budget if entry.element == "wall heat")
    assert heat.loss_pa < 0.0  # cooling raises the stagnation pressure
