"""Strains from heat against closed forms and a second way of reckoning each."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from pulse1d.durability.bimetal import bimetal_curvature, through_wall
from pulse1d.durability.flange_slip import end_slip, slip_with_slots, slot_left
from pulse1d.durability.materials import material
from pulse1d.durability.metal import Material, Table
from pulse1d.durability.seam import ring_stiffness, tube_end_stiffness
from pulse1d.durability.strain import expansion, mechanical, mismatch, restraint
from pulse1d.durability.stud_sway import stud_follow, stud_sway_strain
from pulse1d.durability.swing import mismatch_swing

C = 273.15


def steady(alpha: float) -> Material:
    """A metal of one expansion at all temperatures."""
    return replace(material("304"), alpha_mean=Table((293.15,), (alpha,), ("test",)))


def test_bar_between_springs() -> None:
    """Timoshenko, Strength of Materials: fully held alpha dT; sprung ends by equilibrium."""
    steel = steady(18e-6)
    free = mismatch(steel, 650.0 + C, steel, 293.15)
    assert mechanical(free, restraint(math.inf, 1.0)) == pytest.approx(18e-6 * 630.0, rel=1e-12)
    E, A, L, k_left, k_right = 150e9, 2e-4, 0.45, 3e7, 8e7
    k = E * A / L
    # Ends u_0, u_1 of a hot bar: springs against its push, k L eps of a held bar.
    u = np.linalg.solve([[k + k_left, -k], [-k, k + k_right]], k * L * free * np.array([-1.0, 1.0]))
    taken = free - (u[1] - u[0]) / L
    in_series = 1.0 / (1.0 / k_left + 1.0 / k_right)
    assert mechanical(free, restraint(in_series, k)) == pytest.approx(taken, rel=1e-12)  # round-off


def test_restraint_has_its_limits() -> None:
    assert mechanical(-0.004, 0.5, -1e-4) == pytest.approx(0.0021, rel=1e-12)  # sign is no help
    assert restraint(0.0, 1.0) == 0.0
    assert restraint(1.0, 0.0) == 1.0
    with pytest.raises(ValueError, match="0 or more, and not both 0"):
        restraint(0.0, 0.0)
    with pytest.raises(ValueError, match=r"restraint of 1\.2 is not within"):
        mechanical(0.01, 1.2)


def test_bimetal_of_equal_halves() -> None:
    """Timoshenko 1925: 3 eps/(2 h) for equal thickness and modulus (from memory); exact."""
    assert bimetal_curvature(1e-3, 1e-3, 1e-3, 2e11, 2e11) == pytest.approx(
        1.5e-3 / 2e-3, rel=1e-12
    )


@pytest.mark.parametrize(("t_1", "t_2", "E_1", "E_2"), [(1.5, 10, 200, 150), (3, 1, 105, 200)])
def test_bimetal_by_fibres(t_1: float, t_2: float, E_1: float, E_2: float) -> None:
    """Plane section, no force, no moment: a two by two system over exact integrals."""
    t_1, t_2, E_1, E_2 = 1e-3 * t_1, 1e-3 * t_2, 1e9 * E_1, 1e9 * E_2
    eps, h = 4e-3, t_1 + t_2
    EA = E_1 * t_1 + E_2 * t_2
    ES = E_1 * t_1**2 / 2 + E_2 * (h**2 - t_1**2) / 2
    EI = E_1 * t_1**3 / 3 + E_2 * (h**3 - t_1**3) / 3
    push = E_2 * eps * np.array([t_2, (h**2 - t_1**2) / 2])
    _, kappa = np.linalg.solve([[EA, ES], [ES, EI]], push)
    # 1e-9: the system's condition leaves that much.
    assert bimetal_curvature(eps, t_1, t_2, E_1, E_2) == pytest.approx(kappa, rel=1e-9)


def test_wall_with_a_gradient() -> None:
    """Plate held flat: alpha dT/(2 (1 - nu)) = 18e-6 50/1.4."""
    assert through_wall(steady(18e-6), 900.0, 850.0) == pytest.approx(6.43e-4, rel=1e-3)  # digits


def test_tube_end_against_the_shell_equation() -> None:
    """D w'''' + E t/R^2 w = 0 from an end moved by 1, slope held, by collocation to 1e-6; what is
    left out far away is e^-12, 6e-6."""
    E, outside, t, nu = 150e9, 42e-3, 1.5e-3, 0.3
    R = 0.5 * (outside - t)
    D = E * t**3 / (12.0 * (1.0 - nu**2))
    unit = (D * R**2 / (E * t)) ** 0.25  # length in which the equation is w'''' + w = 0

    def slopes(_: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack((y[1], y[2], y[3], -y[0]))

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0] - 1.0, a[1], b[0], b[1]])

    s = np.linspace(0.0, 12.0 * math.sqrt(2.0), 100)
    found = solve_bvp(slopes, ends, s, np.zeros((4, 100)), tol=1e-6, max_nodes=20_000)
    assert found.success
    k = D * abs(found.y[3, 0]) / unit**3
    assert tube_end_stiffness(E, outside, t) == pytest.approx(k, rel=1e-5)


def test_ring_against_hoop_stress() -> None:
    """p per length on a hoop: T = p R, strain T/(E A), step R strain."""
    E, t, w, R, p = 169e9, 10e-3, 20e-3, 21e-3, 1e5
    step = R * (p * R / (E * t * w))
    assert ring_stiffness(E, t, w, 2.0 * R) == pytest.approx(p / step, rel=1e-12)  # round-off


@pytest.mark.parametrize(
    ("alpha", "celsius", "growth", "beyond", "slip"),
    [
        (18.5e-6, 650, 5.24, 4.31, 2.16),
        (13.5e-6, 650, 3.83, 2.90, 1.45),
        (18.0e-6, 750, 5.91, 4.98, 2.49),
        (12.2e-6, 650, 3.46, 2.53, 1.26),
    ],
)
def test_bar_on_an_aluminium_head(
    alpha: float, celsius: float, growth: float, beyond: float, slip: float
) -> None:
    """450 mm bar, head at 110 degC and 23e-6/K, worked apart from this code; half of the last
    printed digit."""
    bar, head, T = steady(alpha), steady(23e-6), celsius + C
    mm = 450.0
    assert mm * expansion(bar, T) == pytest.approx(growth, abs=0.005)
    assert mm * mismatch(bar, T, head, 110.0 + C) == pytest.approx(beyond, abs=0.005)
    assert 1e3 * end_slip(0.45, bar, T, head, 110.0 + C) == pytest.approx(slip, abs=0.005)


@pytest.mark.parametrize(
    ("name", "celsius", "slip"),
    [("304", 650, 2.16), ("simo ductile iron", 650, 1.45), ("409", 650, 1.26)],
)
def test_bars_of_the_materials_file(name: str, celsius: float, slip: float) -> None:
    """Same table with the tables of the package: 3 %, the note took rounded expansions."""
    found = end_slip(0.45, material(name), celsius + C, material("aluminium head"), 110.0 + C)
    assert 1e3 * found == pytest.approx(slip, rel=0.03)


def test_slots_part_the_bar_until_they_close() -> None:
    bar, head, T, Th = steady(18e-6), steady(23e-6), 650.0 + C, 110.0 + C
    whole = end_slip(0.45, bar, T, head, Th)
    assert slip_with_slots(0.45, bar, T, head, Th, 0, 3e-3) == whole
    parted = slip_with_slots(0.45, bar, T, head, Th, 3, 3e-3)
    assert parted == pytest.approx(whole / 4.0, rel=1e-12)  # four equal pieces
    assert slot_left(3e-3, parted) > 0.0
    just = 2.0 * parted
    assert slip_with_slots(0.45, bar, T, head, Th, 3, just) == pytest.approx(parted, rel=1e-9)
    # Half a closed cut: three of them took half of what they could.
    shut = slip_with_slots(0.45, bar, T, head, Th, 3, 0.5 * just)
    assert shut == pytest.approx(whole - 1.5 * 0.5 * just, rel=1e-12)
    assert parted < shut < whole
    with pytest.raises(ValueError, match="must be 0 or more"):
        end_slip(-0.1, bar, T, head, Th)


def test_a_stud_cannot_follow_half_a_millimetre() -> None:
    """M8 over 12 mm of grip: more than 10 GPa of bending were it elastic (worked note)."""
    strain = stud_sway_strain(0.5e-3, 8e-3, 12e-3)
    assert strain * 200e9 > 10e9
    assert strain == pytest.approx(6.0 * 0.5 * 4.0 / 12.0**2, rel=1e-12)  # 6 d r/L^2
    assert stud_follow(0.4e-3, 9e-3, 8e-3) == 0.0
    assert stud_follow(-0.7e-3, 9e-3, 8e-3) == pytest.approx(0.2e-3, rel=1e-9)
    with pytest.raises(ValueError, match="a stud of 8 mm does not fit a 7 mm hole"):
        stud_follow(0.0, 7e-3, 8e-3)
    with pytest.raises(ValueError, match="grip above 0"):
        stud_sway_strain(1e-3, 8e-3, 0.0)


def test_swing_takes_both_ends_of_a_cycle() -> None:
    steel = steady(18e-6)
    tube = np.array([20.0, 500.0, 650.0, 300.0, 60.0]) + C
    flange = np.array([20.0, 100.0, 300.0, 320.0, 150.0]) + C
    swing = mismatch_swing(steel, tube, steel, flange)
    assert (swing.at_most, swing.at_least) == (1, 4)
    assert swing.range == pytest.approx(18e-6 * (400.0 + 90.0), rel=1e-12)  # round-off
