"""Catalyst brick: constants of the square channel, laminar and inertial loss, heat."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.typing import NDArray
from pydantic import ValidationError
from scipy.linalg import eigh

from pulse1d.gas import state
from pulse1d.gas.air import dry_air
from pulse1d.geometry.sections import Round
from pulse1d.heat.convection import NU_LAMINAR, SQUARE
from pulse1d.losses import CatalystBrick, K_channels, K_contraction, Station
from pulse1d.losses.brick import BETA, F_RE, K_ENTRY
from pulse1d.losses.element import COLUMN
from pulse1d.run.wall_balance import MAT, STEFAN, Outside, balance_walls
from pulse1d.steady.march import TRACE, march
from pulse1d.waves.walls import COLUMNS, D_H, H_SUM, OUTER, Q_SUM, T_WALL

Array = NDArray[np.float64]

AIR = dry_air().table
CAN = Round(bore=0.1)
BRICK = CatalystBrick(length="90 mm", cell_density="400 cpsi", wall="6.5 thou", washcoat="25 um")


# --- constants of the square channel, worked out anew -------------------------------------------


def square_profile(terms: int, points: int) -> tuple[Array, Array]:
    """Velocity of developed flow in the unit square on Gauss points, and their weights."""
    odd = np.arange(1, 2 * terms, 2)
    m, n = np.meshgrid(odd, odd, indexing="ij")
    w = 16.0 / (math.pi**4 * m * n * (m**2 + n**2))
    x, weight = np.polynomial.legendre.leggauss(points)
    wave = np.sin(math.pi * np.outer(odd, 0.5 * (x + 1.0)))
    return wave.T @ w @ wave, 0.25 * np.outer(weight, weight)


def test_constants_of_the_square_channel() -> None:
    """f Re, momentum and K from Poisson's equation in a sine series (exact to the digits printed);
    150 terms leave 1e-6 of the mean."""
    u, weight = square_profile(150, 200)
    mean = float((weight * u).sum())
    assert 2.0 / mean == pytest.approx(F_RE, abs=0.01)
    beta = float((weight * u**2).sum()) / mean**2
    assert beta == pytest.approx(BETA, abs=1e-4)
    alpha = float((weight * u**3).sum()) / mean**3
    # Lundgren et al. 1964, from memory: K = 2 (alpha - beta), momentum and energy of the profile
    assert 2.0 * (alpha - beta) == pytest.approx(K_ENTRY, abs=5e-4)


def test_nusselt_number_of_the_square_channel() -> None:
    """First eigenvalue of laplace(theta) = -4 Nu u/u_mean theta, Galerkin with 12 x 12 sines."""
    u, weight = square_profile(60, 80)
    u = u / (weight * u).sum()
    odd = np.arange(1, 24, 2)
    x, _ = np.polynomial.legendre.leggauss(80)
    wave = np.sin(math.pi * np.outer(odd, 0.5 * (x + 1.0)))
    basis = np.einsum("ip,jq->ijpq", wave, wave).reshape(len(odd) ** 2, -1)
    m, n = np.meshgrid(odd, odd, indexing="ij")
    stiff = np.diag(0.25 * math.pi**2 * (m**2 + n**2).ravel())
    mass = (basis * (weight * u).ravel()) @ basis.T
    Nu = eigh(stiff, mass, eigvals_only=True)[0] / 4.0
    assert SQUARE * NU_LAMINAR == pytest.approx(Nu, abs=2e-3)  # 2.976, printed to four digits


# --- pressure -----------------------------------------------------------------------------------


def rows(T_w: float = 0.0, brick: CatalystBrick = BRICK) -> Array:
    (element,) = brick.elements(Station(CAN, 1e-4, f_fixed=0.03, T_w=T_w))
    return np.array(element.steps, dtype=float)


def marched(steps: Array, U: float, T0: float, reverse: bool = False) -> tuple[float, float, float]:
    """Fall of p0, T0 behind, Re in the channels, at a frontal velocity and 1 bar."""
    p0 = 1e5
    mdot = U * CAN.area * p0 / (287.05 * T0)
    trace = np.zeros((len(steps), len(TRACE)))
    p, T, *_ = march(steps, 0, len(steps), reverse, mdot, p0, T0, -1.0, AIR, -1, 0.0, trace)
    return p0 - p, T, float(trace[1, TRACE.index("Re")])


@pytest.mark.parametrize("T0", [300.0, 700.0])
@pytest.mark.parametrize("reverse", [False, True])
def test_laminar_and_inertial_part(T0: float, reverse: bool) -> None:
    """dp = a mu U + b rho U^2, a by Hagen and Poiseuille's law of the square channel; the gas
    thins by dp/p on its way, which bounds the difference; 2e-4: M^2 in the channels."""
    D, s = BRICK.side, (BRICK.side / BRICK.pitch) ** 2
    mu, rho = float(state.mu(T0, AIR)), 1e5 / (float(AIR[0]) * T0)
    a = 0.5 * F_RE * BRICK.length / (D * D * s)
    heads = K_channels(s) + K_contraction(s) + (1.0 - s) ** 2
    b = 0.5 * heads / s**2
    found = []
    for U in (2.0, 5.0, 10.0):
        dp, _, Re = marched(rows(), U, T0, reverse)
        assert 20.0 < Re < 2000.0
        assert dp == pytest.approx(a * mu * U + b * rho * U * U, rel=dp / 1e5 + 2e-4)
        found.append(dp / U)
    assert found[1] > found[0]  # the inertial part is there


def test_hagen_poiseuille_alone() -> None:
    """A crawl through long channels: inertia is below 1e-3 of the loss at Re 3 and L/D of 800."""
    long = BRICK.model_copy(update={"length": 0.8})
    dp, _, Re = marched(rows(brick=long), 0.03, 300.0)
    s = (BRICK.side / BRICK.pitch) ** 2
    exact = 0.5 * F_RE * float(state.mu(300.0, AIR)) * 0.03 / s * 0.8 / BRICK.side**2
    assert Re < 5.0
    assert dp == pytest.approx(exact, rel=2e-3)


def test_geometry() -> None:
    """400 cells a square inch of 0.05 in, 6.5 mil walls: 0.0415 in of channel, common practice."""
    bare = BRICK.model_copy(update={"washcoat": 0.0})
    assert bare.pitch == pytest.approx(0.05 * 0.0254, rel=1e-12)
    assert bare.side == pytest.approx((0.05 - 0.0065) * 0.0254, rel=1e-9)
    front, channels, back = rows(brick=bare)
    assert channels[COLUMN["A_1"]] == pytest.approx(CAN.area * 0.87**2, rel=1e-9)
    assert front[COLUMN["A_1"]] == back[COLUMN["A_2"]] == CAN.area
    assert (front[COLUMN["jet"]], front[COLUMN["jet_rev"]]) == pytest.approx(
        (back[COLUMN["jet_rev"]], back[COLUMN["jet"]]), rel=1e-12
    )
    # outside over wetted perimeter: 4/D of the can over 4 a n of the channels
    wetted = 4.0 * bare.side * bare.cell_density
    assert channels[COLUMN["outer"]] == pytest.approx(40.0 / wetted, rel=1e-9)
    assert channels[COLUMN["f_fixed"]] == channels[COLUMN["eps"]] == 0.0  # the can's wall is none


def test_closed_channels_are_refused() -> None:
    with pytest.raises(ValidationError, match=r"leave .* of a 1\.27 mm cell open"):
        CatalystBrick(length=0.1, cell_density=62e4, wall=1.2e-3)
    with pytest.raises(ValidationError):
        CatalystBrick(length=0.1, cell_density=0.0, wall=1e-4)


# --- heat ---------------------------------------------------------------------------------------


def test_gas_leaves_at_the_bricks_temperature() -> None:
    _, T, Re = marched(rows(T_w=600.0), 0.5, 900.0)
    D = BRICK.side
    NTU = 4.0 * 2.976 * BRICK.length / (D * Re * float(state.prandtl(600.0, AIR)))
    assert NTU > 10.0  # exp(-10) of 300 K is 14 mK
    assert abs(T - 600.0) < 300.0 * math.exp(-0.7 * NTU) + 1e-3  # Re falls as the gas cools


def test_heat_by_the_number_of_transfer_units() -> None:
    """At 10 K between gas and wall properties move by 1 %, so ln(T - T_w) is good to 1 %."""
    short = BRICK.model_copy(update={"length": 0.03})
    _, T, Re = marched(rows(600.0, short), 12.0, 610.0)
    NTU = 4.0 * 2.976 * short.length / (BRICK.side * Re * float(state.prandtl(605.0, AIR)))
    assert 0.5 < NTU < 3.0
    assert math.log(10.0 / (T - 600.0)) == pytest.approx(NTU, rel=0.01)


OUTSIDE = Outside(20.0, 0.7, 320.0, 2e-3, 24.0)
PERIOD = 0.04


def summed(outer: list[float]) -> tuple[Array, Array]:
    """A wall table after a cycle of random h and gas temperature; the h-weighted gas mean."""
    random = np.random.default_rng(5)
    n, moments = len(outer), 200
    table = np.zeros((COLUMNS, n))
    table[D_H], table[T_WALL], table[OUTER] = 1.1e-3, 700.0, outer
    h = random.uniform(50.0, 400.0, (moments, n)) * 4.0 / table[D_H]
    T = random.uniform(600.0, 1300.0, (moments, n))
    dt = PERIOD / moments
    table[H_SUM], table[Q_SUM] = dt * h.sum(0), dt * (h * (table[T_WALL] - T)).sum(0)
    return table, (h * T).sum(0) / h.sum(0)


def test_wall_balance_of_a_body_of_channels() -> None:
    """Without loss to the outside the wall takes the gas's own mean, and no heat over the cycle;
    with it, heat in is heat out through the mat; a kept wall is left alone."""
    table, mean = summed([1e-13, 3e-3, -1.0])
    before = table.copy()
    arrays = SimpleNamespace(wall=(table,), place={}, nodes=[None] * 5)
    balance_walls(arrays, OUTSIDE, PERIOD)  # type: ignore[arg-type]
    T_w = table[T_WALL]
    assert T_w[0] == pytest.approx(mean[0], rel=1e-9)  # 1e-13 of outside, and round-off
    heat = before[Q_SUM] + before[H_SUM] * (T_w - before[T_WALL])
    assert abs(heat[0]) < 1e-9 * before[H_SUM, 0] * 300.0
    assert T_w[2] == before[T_WALL, 2]
    q = -0.25 * before[D_H, 1] * heat[1] / PERIOD  # per wetted area [W/m2]
    T_o = T_w[1] - q / 3e-3 * MAT
    out = 20.0 * (T_o - 320.0) + 0.7 * STEFAN * (T_o**4 - 320.0**4)
    assert q > 0.0
    assert q / 3e-3 == pytest.approx(out, rel=1e-6)  # Newton ends at 1e-6 K
    assert mean[1] - 50.0 < T_w[1] < mean[1]  # a brick stays near its gas
