"""Orders, tuned lengths and friction: small laws beside the engine's march."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

import pulse1d
from pulse1d.engine.friction import fmep, torque
from pulse1d.engine.orders import orders
from pulse1d.engine.spec import Charge, Engine
from pulse1d.engine.tuning import quarter_wave, return_angle, rule_850, tuned_lengths

ENGINE = Engine(cylinders=4, bore=0.0875, stroke=0.1, firing_order=("1", "3", "4", "2"))


def pulses(*at: float) -> np.ndarray:
    """A cycle with one short pulse at each crank angle."""
    theta = np.arange(720.0)
    return np.sum(
        [np.exp(-((((theta - a + 360.0) % 720.0 - 360.0) / 20.0) ** 2)) for a in at], axis=0
    )


def test_even_firing_has_only_multiples_of_order_two() -> None:
    order, size = orders(pulses(0, 180, 360, 540))
    whole = order % 2.0 == 0.0
    assert np.all(size[~whole] < 1e-12)  # exact by symmetry
    assert np.all(size[whole][:3] > 1e-2)


def test_a_bank_of_a_cross_plane_engine_has_half_orders() -> None:
    """Gaps 270-180-90-180 (1-8-4-3-6-5-7-2, odd bank): every half order, by counting angles."""
    order, size = orders(pulses(0, 270, 450, 540))
    for k, found in zip(order[:4], size[:4], strict=True):
        vector = sum(np.exp(1j * k * math.radians(a)) for a in (0, 270, 450, 540))
        shape = 20.0 * math.sqrt(math.pi) * math.exp(-((k * math.radians(20.0)) ** 2) / 4.0)
        assert found == pytest.approx(2.0 / 720.0 * shape * abs(vector), abs=1e-9)  # exact
    assert size[0] > 1e-3


@pytest.mark.parametrize(
    ("evo", "rpm", "mm"),
    [(60, 4000, 1219), (70, 4000, 1273), (60, 5000, 960), (80, 6000, 859), (70, 8000, 598)],
)
def test_the_850_rule_gives_its_table(evo: float, rpm: float, mm: float) -> None:
    """Common practice, no source; table computed from the rule as it is quoted, whole mm."""
    assert 1e3 * rule_850(evo, rpm / 60.0) == pytest.approx(mm, abs=0.51)


@pytest.mark.parametrize(("length", "angle"), [(0.5, 65.5), (0.75, 98.2), (0.9, 117.8)])
def test_return_angle(length: float, angle: float) -> None:
    """12 n L/c at 6000 rev/min, c = 550 m/s; printed to 0.1 deg."""
    assert return_angle(length, 100.0, 550.0) == pytest.approx(angle, abs=0.051)
    assert quarter_wave(return_angle(length, 100.0, 550.0), 100.0, 550.0) == pytest.approx(length)


def test_the_850_rule_returns_at_half_of_180_and_evo() -> None:
    """L + 3 in gives a first return of 259 (180 + EVO)/c deg: half of it at 518 m/s."""
    rule = tuned_lengths(math.radians(60.0), 100.0, 518.0)[-1]
    assert return_angle(rule.length + 0.0762, 100.0, 518.0) == pytest.approx(120.0, rel=2e-3)


def test_friction_and_torque() -> None:
    """0.97 + 0.15 n + 0.05 n^2 bar (Barnes-Moss by Heywood, from memory): 1.87 bar at 3000."""
    assert fmep(ENGINE, 50.0) == pytest.approx(1.87e5, rel=1e-12)
    found = torque(ENGINE, [10e5] * 4, 50.0)
    # 10 bar on 2.405 L: M = p V / 4 pi
    assert found.indicated == pytest.approx(10e5 * ENGINE.displacement / (4 * math.pi), rel=1e-12)
    assert found.power == pytest.approx(found.brake * 2 * math.pi * 50.0, rel=1e-12)
    assert found.bmep == pytest.approx(10e5 - 1.87e5, rel=1e-12)


@pytest.mark.parametrize("ratio", [15.0, 17.0, 21.0])
def test_friction_with_compression_ignition(ratio: float) -> None:
    """Millington & Hartles in their own units: (r - 4) + 7 n + 1.5 (S_p/1000 ft/min)^2 psi (from
    memory). 7 psi is 48.3 kPa, 1.5 psi at 5.08 m/s is 0.401 kPa: printed to 1 %."""
    charge = Charge(fuel="diesel", ignition="compression", lambda_=1.5)
    diesel = ENGINE.model_copy(update={"charge": charge, "compression_ratio": ratio})
    for rpm in (600.0, 3000.0):
        S_p = 2.0 * 0.1 * rpm / 0.3048 / 1000.0
        psi = (ratio - 4.0) + 7.0 * rpm / 1000.0 + 1.5 * S_p * S_p
        assert fmep(diesel, rpm / 60.0) == pytest.approx(6894.757 * psi, rel=0.01)
    # C1 of 75 kPa for direct injection (heywood1988 section 13.4, from memory): a ratio of 15
    unstated = diesel.model_copy(update={"compression_ratio": None})
    assert fmep(unstated, 0.0) == pytest.approx(75e3, rel=0.02)  # two digits


def test_a_log_lets_neighbours_into_the_overlap_and_a_merge_hardly() -> None:
    """The next cylinder to fire blows down while the valves overlap: in a common log that raises
    the port's pressure by more than a tenth of a bar, behind a merge by far less (common practice,
    no source)."""
    from pulse1d.run.attribution import interference

    pump = Path(__file__).parents[2] / "cases" / "pump"
    found = {}
    for name in ("log", "tubular"):
        design = pulse1d.load(pump / f"{name}.yaml")
        found[name] = interference(coarse(design), 50.0, tolerance=3e-3)
    log, merge = found["log"], found["tubular"]
    after_1 = log.cylinders.index("3")
    assert log.matrix[log.cylinders.index("1"), after_1] > 1e4
    assert merge.matrix[merge.cylinders.index("1"), after_1] < 0.5 * log.matrix[0, after_1]
    assert np.all(np.diag(log.matrix) == 0.0)
    for waves in merge.waves.values():
        joint = next(w for w in waves if w.source == "joint and interaction")
        # a merge sends a rarefaction back: 0.35 m at some 650 m/s is 20 deg at 3000 rev/min, and
        # the blow-down takes another 10 deg to rise
        assert 10.0 <= joint.arrives <= 45.0
        assert joint.pressure[int(joint.arrives) : int(joint.arrives) + 30].mean() < 0.0


def coarse(design: pulse1d.Design) -> pulse1d.Design:
    from dataclasses import replace

    numerics = design.case.numerics.model_copy(update={"cell": 0.025})
    return replace(design, case=design.case.model_copy(update={"numerics": numerics}))
