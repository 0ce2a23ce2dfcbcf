"""The frame of legs against bars and beams that can be solved by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pulse1d.run.life_frame import beams, end_strains, settle
from pulse1d.run.life_legs import LegShape

E, D, WALL = 150e9, 38e-3, 2e-3
EPS = 1e-2
STILL = np.zeros(3)


def leg(name: str, start: str, end: str, points: list[list[float]]) -> LegShape:
    line = np.linspace(points[0], points[-1], 13)
    length = float(np.linalg.norm(line[-1] - line[0]))
    return LegShape(name, start, end, line, D, WALL, length, np.zeros(12), math.pi * D)


def two(apart: float) -> list[LegShape]:
    return [
        leg("a", "port 1", "J", [[0, 0, 0], [apart, 0, 0]]),
        leg("b", "port 2", "J", [[2 * apart, 0, 0], [apart, 0, 0]]),
    ]


def test_a_bar_between_two_walls_bears_its_whole_expansion() -> None:
    shapes = two(0.2)
    frame = beams(shapes, {"J": np.array([0.2, 0.0, 0.0])}, {"a": E, "b": E})
    moved, loads = settle(frame, {"a": EPS, "b": EPS}, {"port 1": STILL, "port 2": STILL})
    force = E * shapes[0].metal * EPS
    # constrained bar; the SOFT springs that hold what nothing holds take 1e-9 of it
    assert loads["a"][0] == pytest.approx(-force, rel=1e-6)
    assert loads["b"][0] == pytest.approx(force, rel=1e-6)
    assert np.abs(moved["J"]).max() < 1e-9
    assert end_strains(frame[0], loads["a"]) == pytest.approx((EPS, EPS, EPS), rel=1e-6)


def test_ports_that_go_along_leave_no_strain() -> None:
    shapes = two(0.2)
    frame = beams(shapes, {"J": np.array([0.2, 0.0, 0.0])}, {"a": E, "b": E})
    out = np.array([0.2 * EPS, 0.0, 0.0])
    _, loads = settle(frame, {"a": EPS, "b": EPS}, {"port 1": -out, "port 2": out})
    assert max(end_strains(frame[0], loads["a"])) < 1e-6 * EPS  # round-off of stiff terms
    moved, loads = settle(
        frame, {"a": EPS, "b": EPS}, {"port 1": STILL, "port 2": STILL}, free=True
    )
    assert moved["port 2"][0] - moved["port 1"][0] == pytest.approx(0.4 * EPS, rel=1e-6)  # SOFT
    assert max(end_strains(frame[0], loads["a"])) < 1e-4 * EPS  # SOFT springs carry some


def test_a_portal_bends_as_by_hand() -> None:
    # two legs of height h, a bar of length L between their tops that grows by L eps; tops turn.
    # By symmetry each top goes out by u; leg and half bar joined stiffly, one EI:
    # force H and moment M at the top: u = H h3/3EI - M h2/2EI, turn = H h2/2EI - M h/EI, and the
    # bar bends with even moment: turn = M L/2EI; its half gives H L/2EA:
    # L eps/2 = u + H L/(2 EA)
    h, L = 0.3, 0.2
    shapes = [
        leg("a", "port 1", "J", [[0, 0, 0], [0, 0, h]]),
        leg("b", "port 2", "K", [[L, 0, 0], [L, 0, h]]),
        leg("bar", "J", "K", [[0, 0, h], [L, 0, h]]),
    ]
    places = {"J": np.array([0.0, 0.0, h]), "K": np.array([L, 0.0, h])}
    frame = beams(shapes, places, dict.fromkeys(("a", "b", "bar"), E))
    growth = {"a": 0.0, "b": 0.0, "bar": EPS}
    moved, loads = settle(frame, growth, {"port 1": STILL, "port 2": STILL})
    EI, EA = E * shapes[0].inertia, E * shapes[0].metal
    M_of_H = h**2 / 2.0 / (h + L / 2.0)
    give = h**3 / 3.0 / EI - M_of_H * h**2 / 2.0 / EI + L / 2.0 / EA
    H = 0.5 * L * EPS / give
    u = 0.5 * L * EPS - H * L / 2.0 / EA
    # unit loads on straight chords are exact; SOFT takes 1e-9 of the stiffest term, EA/L, which is
    # a hundred times what bends here
    assert moved["K"][0] == pytest.approx(u, rel=1e-5)
    assert loads["b"][0] == pytest.approx(H, rel=1e-5)
    root = H * h - M_of_H * H
    strain = root * 0.5 * (D + 2.0 * WALL) / EI
    assert end_strains(frame[1], loads["b"])[0] == pytest.approx(strain, rel=1e-5)


def test_legs_without_a_place_are_left_out() -> None:
    assert beams(two(0.2), {}, {"a": E, "b": E}) == []


def test_a_weight_bends_two_arms_as_by_hand() -> None:
    # a beam held at both ends, loaded in its middle: w = W (2 L)^3/(192 EI), root moment W 2 L/8
    shapes = two(0.2)
    frame = beams(shapes, {"J": np.array([0.2, 0.0, 0.0])}, {"a": E, "b": E})
    still = {"port 1": STILL, "port 2": STILL}
    weight = np.array([0.0, -100.0, 0.0, 0.0, 0.0, 0.0])
    moved, loads = settle(frame, {"a": 0.0, "b": 0.0}, still, {"J": weight})
    EI = E * shapes[0].inertia
    # unit loads are exact; SOFT takes 1e-9 of EA/L, a hundred times what bends here
    assert moved["J"][1] == pytest.approx(-100.0 * 0.4**3 / (192.0 * EI), rel=1e-5)
    root = 100.0 * 0.4 / 8.0 * 0.5 * (D + 2.0 * WALL) / EI
    assert end_strains(frame[0], loads["a"])[0] == pytest.approx(root, rel=1e-5)
