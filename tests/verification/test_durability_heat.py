"""Metal temperatures against closed forms: lumped, slab series, fins, radiation, heat balance."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from pulse1d.durability.heat_cells import stored
from pulse1d.durability.materials import material
from pulse1d.durability.metal import Material, Table
from pulse1d.durability.transient import Link, Node, Schedule, march, peak_difference

C = 273.15
STEP = 1e-7
"""Of a temperature rise: steps at 1e-11 each, thousands of them."""


def metal(rho: float, cp: float, k: float) -> Material:
    """One without tables: the closed forms know none."""
    flat = {"cp": Table((300.0,), (cp,), ("",)), "k": Table((300.0,), (k,), ("",))}
    return replace(material("304"), rho=rho, **flat)


STEEL = metal(7900.0, 500.0, 20.0)


def lone(name: str, thickness: float, h: float, of: Material = STEEL, layers: int = 1) -> Node:
    return Node(name, thickness, of, 1173.15, h, 0.0, 0.0, 323.15, layers=layers)


def test_a_lump_warms_and_cools_exponentially() -> None:
    node = replace(lone("a", 1.5e-3, 150.0), h_out=15.0)
    done = march([node], [], Schedule(120.0, 60.0, 200.0))
    rate = 165.0 / (7900.0 * 500.0 * 1.5e-3)
    end = (150.0 * 1173.15 + 15.0 * 323.15) / 165.0
    on = done.t <= 180.0
    warm = end + (293.15 - end) * np.exp(-rate * done.t)
    assert np.abs(done.T[0] - warm)[on].max() < STEP * 800.0
    late = done.t[~on] - 180.0
    peak = end + (293.15 - end) * math.exp(-rate * 180.0)
    cool = 323.15 + (peak - 323.15) * np.exp(-15.0 / 165.0 * rate * late)
    assert np.abs(done.T[0][~on] - cool).max() < STEP * 800.0


def test_motored_air_keeps_its_share_on_cool_down() -> None:
    done = march([lone("a", 1.5e-3, 150.0)], [], Schedule(60.0, 0.0, 90.0, motored=0.4))
    rate, T_60 = 0.4 * 150.0 / (7900.0 * 500.0 * 1.5e-3), done.T[0][done.t == 60.0][0]
    assert done.T[0][-1] == pytest.approx(323.15 + (T_60 - 323.15) * math.exp(-90.0 * rate))


def slab(Bi: float, Fo: float, terms: int = 40) -> tuple[float, float, float]:
    """Series of a slab heated on one face, insulated on the other: gas face, far face, mean."""
    face = far = mean = 0.0
    for n in range(terms):
        low, high = n * math.pi, (n + 0.5) * math.pi
        z = brentq(lambda z: z * math.sin(z) - Bi * math.cos(z), low + 1e-9, high)
        A = 4.0 * math.sin(z) / (2.0 * z + math.sin(2.0 * z)) * math.exp(-z * z * Fo)
        face, far, mean = face + A * math.cos(z), far + A, mean + A * math.sin(z) / z
    return face, far, mean


@pytest.mark.parametrize("Bi", [0.01, 0.025, 0.1, 1.0, 10.0])
def test_a_wall_of_layers_follows_the_series(Bi: float) -> None:
    """Incropera & DeWitt ch. 5, plane wall with convection: the series, from memory."""
    L, a = 0.01, 20.0 / (7900.0 * 500.0)
    # the mean's slowest mode decays at about Bi/(1 + Bi/3): look after one and two of its times
    for times in (1.0, 2.0):
        Fo = times * (1.0 + Bi / 3.0) / Bi if Bi < 5.0 else 0.4 * times
        node = lone("wall", L, Bi * 20.0 / L, layers=41)
        done = march([node], [], Schedule(Fo * L * L / a))
        got = [(1173.15 - x[0, -1]) / 880.0 for x in (done.inner, done.outer, done.T)]
        # 40 layers: truncation z^4/(12 40^2) of a mode, 1e-4 for the first at any Bi
        assert got == pytest.approx(slab(Bi, Fo), abs=1e-4)


def test_layers_converge_at_second_order() -> None:
    L, a, Fo = 0.01, 20.0 / (7900.0 * 500.0), 0.5
    gaps = []
    for layers in (6, 11, 21):
        done = march([lone("w", L, 2000.0, layers=layers)], [], Schedule(Fo * L * L / a))
        gaps.append(abs((1173.15 - done.outer[0, -1]) / 880.0 - slab(1.0, Fo)[1]))
    # halved cells: a quarter of the gap, less what higher orders add
    assert gaps[0] / gaps[1] == pytest.approx(4.0, rel=0.05)
    assert gaps[1] / gaps[2] == pytest.approx(4.0, rel=0.05)


@pytest.mark.parametrize("Bi", [0.01, 0.025, 0.1])
def test_one_lump_is_enough_at_small_biot(Bi: float) -> None:
    Fo = 1.0 / Bi
    node = lone("w", 0.01, Bi * 2000.0)
    done = march([node], [], Schedule(Fo * 1e-4 * 7900.0 * 500.0 / 20.0))
    gap = (1173.15 - done.T[0, -1]) / 880.0 - slab(Bi, Fo)[2]
    # the slowest mode decays slower than a lump by Bi/3; at one time constant that is Bi/3/e
    assert gap == pytest.approx(-Bi / 3.0 / math.e, rel=0.1)


def test_a_thermocouple_reads_low_for_radiation() -> None:
    """Cengel, Heat Transfer, ch. 12: 715 K gas, h 80, walls 400 K, e 0.6, reads 650 K (memory)."""
    bead = Node("bead", 1e-3, STEEL, 715.0, 80.0, 0.0, 0.6, 400.0)
    done = march([bead], [], Schedule(2000.0))
    assert done.T[0, -1] == pytest.approx(650.0, abs=0.5)  # the book rounds to whole kelvin


@pytest.mark.parametrize(
    ("k", "q", "digit"), [(398.0, 8.3, 0.05), (180.0, 5.6, 0.05), (14.0, 1.6, 0.05)]
)
def test_long_rods_lose_what_the_book_says(k: float, q: float, digit: float) -> None:
    """Incropera & DeWitt, example 3.9: rods of 5 mm, base 100, air 25 degC, h 100 (from memory)."""
    d, cells = 0.005, 60
    long = 6.0 / math.sqrt(400.0 / (k * d)) / cells
    side, conduction = math.pi * d * long, k * 0.25 * math.pi * d * d / long
    rod = Node("0", 0.25 * d, metal(1000.0, 100.0, k), 298.15, 0.0, 100.0, 0.0, 298.15, area=side)
    base = replace(rod, contact_h=2.0 * conduction / side, contact_T=373.15)
    nodes = [base, *(replace(rod, name=str(i)) for i in range(1, cells))]
    links = [Link(str(i), str(i + 1), conduction / side) for i in range(cells - 1)]
    done = march(nodes, links, Schedule(200.0, start=298.15))
    got = 2.0 * conduction * (373.15 - done.T[0, -1])
    exact = math.sqrt(100.0 * math.pi * d * k * 0.25 * math.pi * d * d) * 75.0
    assert got == pytest.approx(exact, rel=2e-3)  # cells of a tenth of the decay length: 1/800
    assert got == pytest.approx(q, abs=0.05)  # as printed


def test_two_lumps_differ_most_when_the_closed_form_says() -> None:
    nodes = [lone("tube", 1.5e-3, 150.0), lone("cast", 5e-3, 150.0)]
    done = march(nodes, [], Schedule(300.0))
    a, b = (7900.0 * 500.0 * t / 150.0 for t in (1.5e-3, 5e-3))
    when = math.log(b / a) * a * b / (b - a)
    most = 880.0 * (math.exp(-when / b) - math.exp(-when / a))
    got, at = peak_difference(done, "tube", "cast")
    assert got == pytest.approx(most, rel=1e-5)  # parabola through instants a second apart
    assert at == pytest.approx(when, abs=0.05)
    assert peak_difference(done, "cast", "tube") == pytest.approx((-got, at))


def test_linked_lumps_share_their_heat() -> None:
    hot = replace(lone("hot", 2e-3, 0.0), contact_h=500.0, contact_T=700.0, area=3e-3)
    cold = replace(lone("cold", 9e-3, 0.0), area=2e-3, layers=5)
    done = march([hot, cold], [Link("cold", "hot", 400.0)], Schedule(4000.0))
    assert done.T[:, -1] == pytest.approx(700.0, abs=0.1)
    early = march([replace(hot, contact_h=0.0), cold], [Link("cold", "hot", 400.0)], Schedule(9.0))
    assert early.T == pytest.approx(293.15)  # nothing in, nothing moves


def test_notes_on_a_warm_up_are_met() -> None:
    """Lumps of 1.5 mm tube, 5 mm cast wall, 20 mm flange: the project's table of worked values.

    It states time constants of 40 and 127 s, which give rho c; neither air nor the flange's rho c
    are stated: 40 degC and 4.1 MJ/m3/K fit. Values are rounded to 1 K, the tube's rho c to 1 %.
    """

    def lump(name: str, t: float, rho_c: float, sink: float = 0.0) -> Node:
        return Node(name, t, metal(1000.0, rho_c / 1000.0, 25.0), 900 + C, 150.0, 15.0, 0.8,
                    40 + C, sink, 110 + C)  # fmt: skip

    nodes = [
        lump("tube", 1.5e-3, 40.0 * 165.0 / 1.5e-3),
        lump("cast", 5e-3, 127.0 * 165.0 / 5e-3),
        lump("flange", 20e-3, 4.1e6, 600.0),
    ]
    done = march(nodes, [], Schedule(300.0))
    table = {
        10: (196, 81, 42), 30: (427, 188, 79), 60: (576, 317, 124), 120: (632, 484, 183),
        300: (636, 624, 246),
    }  # fmt: skip
    for t, row in table.items():
        got = [float(np.interp(t, done.t, T)) - C for T in done.T]
        assert got == pytest.approx(row, abs=1.5)
    difference, when = peak_difference(done, "tube", "flange")
    assert 60.0 < when < 120.0
    assert 450.0 < difference < 475.0  # 450 at either end of that minute, more between
    assert done.T[0, -1] - done.T[2, -1] == pytest.approx(385.0, abs=10.0)  # "about 380"


def test_heat_balances_with_tables_links_and_layers() -> None:
    nodes = [
        Node("tube", 1.6e-3, material("304"), 1173.0, 150.0, 15.0, 0.8, 323.0, area=0.02, layers=4),
        Node("cast", 5e-3, material("simo"), 1173.0, 150.0, 15.0, 0.8, 323.0, area=0.03),
        Node("flange", 3e-2, material("mild steel"), 1173.0, 150.0, 15.0, 0.8, 323.0, 1800.0,
             area=1.3e-3, wider=4.0, layers=3),
    ]  # fmt: skip
    links = [Link("tube", "flange", 90.0), Link("cast", "flange", 200.0)]
    done = march(nodes, links, Schedule(300.0, 60.0, 300.0))
    assert done.energy_gap < 1e-8
    # the gas's heat once more, from what is kept: trapezia at 600 instants
    share = np.where(done.t <= 360.0, 150.0, 0.0) * np.array([[0.02], [0.03], [1.3e-3]])
    rate = (share * (1173.0 - done.inner)).sum(axis=0)
    assert done.heat["gas"] == pytest.approx(np.trapezoid(rate, done.t), rel=2e-3)
    cold = min(293.15, 323.0)
    assert cold - 1e-6 < done.T.min() < done.T.max() < 1173.0


def test_heat_content_is_the_integral_of_its_table() -> None:
    cp = material("mild steel").cp
    for a, b in ((250.0, 280.0), (280.0, 700.0), (500.0, 1200.0), (900.0, 1000.0)):
        exact = quad(cp, a, b, points=[T for T in cp.T if a < T < b] or None, epsrel=1e-12)[0]
        h = stored(cp, np.array([a, b]))
        assert h[1] - h[0] == pytest.approx(exact, rel=1e-12)


def test_what_cannot_be_marched_is_refused() -> None:
    node = lone("a", 1e-3, 150.0)
    with pytest.raises(ValueError, match="a start needs a warm-up"):
        march([node], [], Schedule(0.0))
    with pytest.raises(ValueError, match="'a' must have thickness"):
        march([replace(node, thickness=0.0)], [], Schedule(1.0))
    with pytest.raises(ValueError, match="a name of its own"):
        march([node, node], [], Schedule(1.0))
    with pytest.raises(ValueError, match="links name what is no node: b"):
        march([node], [Link("a", "b", 1.0)], Schedule(1.0))
    with pytest.raises(ValueError, match="no node is called 'x'; known: a"):
        march([node], [], Schedule(1.0)).at("x")
