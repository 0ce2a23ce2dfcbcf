"""Validation: a running engine's figures lie where engines' figures lie. Range checks, no more.

Sources. Ranges: Heywood 1988, Winterbone & Pearson 1999, Blair 1999, from memory. Residual gas:
Fox, Cheng & Heywood, SAE 931025, from memory. The engine is invented: 2.4 l, two valves, 9.5:1.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from pulse1d.case.design import Design, load
from pulse1d.engine.valves import exhaust_events, inlet_events, lift_table
from pulse1d.run.cycle import CycleAnswer, CylinderAnswer, march_cycle

Array = NDArray[np.float64]

CASES = Path(__file__).parents[3] / "cases" / "pump"
NAMES = ("log", "tubular", "long")
SPEEDS = (2000, 2500, 3000, 3500, 4000, 4500, 5000, 5500, 6000)


def design_of(name: str, plenum: float | None = None) -> Design:
    """A demo case at 25 mm cells, at another plenum pressure if asked."""
    design = load(CASES / f"{name}.yaml")
    case = design.case
    assert case.engine is not None
    engine = case.engine
    if plenum is not None:
        pressed = engine.plenum.model_copy(update={"pressure": plenum})
        engine = engine.model_copy(update={"plenum": pressed})
    numerics = case.numerics.model_copy(update={"cell": 0.025})
    return replace(design, case=case.model_copy(update={"numerics": numerics, "engine": engine}))


@lru_cache
def at(name: str, rpm: int, plenum: float | None = None) -> CycleAnswer:
    """One demo at one speed, repeating to 0.1 %."""
    answer = march_cycle(design_of(name, plenum), rpm / 60.0)
    assert answer.converged
    return answer


def mean(answer: CycleAnswer, what: str) -> float:
    """Mean over the cylinders."""
    return float(np.mean([getattr(c, what) for c in answer.cylinders]))


def overlap_pressure(cylinder: CylinderAnswer) -> float:
    """Mean port pressure from the inlet's opening to the exhaust's closing [Pa]."""
    return float(cylinder.p_port[348:376].mean())


def flow_temperature(cylinder: CylinderAnswer) -> float:
    """Temperature of what passes the port, weighted by mass flow [K]."""
    flow = np.abs(cylinder.u_port) * cylinder.p_port / cylinder.T_port
    return float(np.sum(flow * cylinder.T_port) / np.sum(flow))


def fox_cheng_heywood(design: Design, rpm: int, p_in: float, p_out: float) -> float:
    """1.266 (OF/N) (pi/pe)^-0.87 sqrt|pe - pi| + 0.632 phi (pi/pe)^-0.74 / rc; bar, rev/s, deg/m.

    OF = (D_i A_i + D_e A_e)/V_d; A: areas under the lift curves from the inlet's opening to equal
    lifts, and from there to the exhaust's closing. phi at most 1, where its measurements end.
    """
    engine = design.case.engine
    assert engine is not None
    assert engine.exhaust is not None
    assert engine.inlet is not None
    into = lift_table(engine.inlet, *inlet_events(engine.inlet))
    out = lift_table(engine.exhaust, *exhaust_events(engine.exhaust))
    both = np.minimum(into, out)[300:420]
    change = int(np.argmax(both))
    swept = 0.25 * np.pi * engine.bore**2 * engine.stroke
    A_i, A_e = both[:change].sum(), both[change:].sum()
    OF = (engine.inlet.head_diameter * A_i + 0.036 * A_e) / swept
    ratio = p_in / p_out
    back = 1.266 * OF / (rpm / 60.0) * ratio**-0.87 * abs(1e-5 * (p_out - p_in)) ** 0.5
    assert engine.compression_ratio is not None
    left = 0.632 * min(1.0 / engine.charge.lambda_, 1.0) * ratio**-0.74 / engine.compression_ratio
    return float(back + left)


@pytest.mark.parametrize("plenum", [1.0e5, 0.7e5, 0.5e5])
@pytest.mark.parametrize("rpm", [2000, 4000])
def test_residual_gas(rpm: int, plenum: float) -> None:
    """Factor 2 either way: the correlation's own engines had other valves and ports."""
    design = design_of("tubular", plenum)
    answer = at("tubular", rpm, plenum)
    p_out = float(np.mean([c.p_port.mean() for c in answer.cylinders]))
    expected = fox_cheng_heywood(design, rpm, plenum, p_out)
    assert 0.5 < mean(answer, "residual") / expected < 2.0


def test_residual_gas_rises_as_the_throttle_closes() -> None:
    """Some 7 % at full load, some 20 % near idle (heywood1988 section 6.4)."""
    found = [mean(at("tubular", 2000, p), "residual") for p in (1.0e5, 0.7e5, 0.5e5, 0.35e5)]
    assert np.all(np.diff(found) > 0.0)
    assert 0.02 < found[0] < 0.09
    assert 0.10 < found[-1] < 0.25


@pytest.mark.parametrize("rpm", [2000, 3000, 4500, 6000])
@pytest.mark.parametrize("name", NAMES)
def test_figures_of_full_load(name: str, rpm: int) -> None:
    answer = at(name, rpm)
    for c in answer.cylinders:
        assert 1.05e5 < c.p_port.max() < 2.0e5  # port blow-down peak
        assert 0.4e5 < c.p_port.min() < 1.0e5  # suction 0.6 to 0.8 bar where tuned, with room
        # 900 degC at full power behind a cooled port; 100 K for walls of pipes, lambda and load
        assert 1050.0 < flow_temperature(c) < 1280.0
        assert 0.60 < c.volumetric_efficiency < 1.10
        assert 6.0e5 < c.imep < 13.0e5  # unsupercharged spark engines, full load
        assert -1.4e5 < c.pmep < -0.05e5  # costs work, more with speed
        # of the heat released; the fuel-air cycle's 0.42 at 9.5:1 lies above (heywood1988 ch. 5)
        assert 0.25 < c.imep * 6.013e-4 / c.heat < 0.42
        # sum of walls and work leaves 35 to 50 % for the exhaust
        assert 0.05 < c.lost / c.heat < 0.30
    T = np.concatenate([T for pipe, T in answer.T_wall.items() if pipe.startswith("runner")])
    assert T.min() > 600.0  # dull red at full load; the outlet's end breathes room air
    assert T.max() < 1200.0


def test_pumping_grows_with_speed() -> None:
    for name in NAMES:
        pmep = [mean(at(name, rpm), "pmep") for rpm in (2000, 3000, 4500, 6000)]
        assert np.all(np.diff(pmep) < 0.0)


def test_the_log_pays_in_back_pressure() -> None:
    """Four short stubs into one bar: more mean pressure at the port than a merged set of tubes."""
    for rpm in (3000, 4500):
        log, tubular = (mean(at(name, rpm), "back_pressure") for name in ("log", "tubular"))
        assert log > tubular + 3e3  # Pa; 6 and 10 kPa apart, a third of it as the least


@pytest.mark.long
def test_long_primaries_tune_and_the_log_does_not() -> None:
    """Port pressure in the overlap and pumping work over 2000 to 6000 rev/min.

    Primaries of 0.9 m answer within the exhaust's opening, early or late by speed; stubs of 70 mm
    answer many times over whatever the speed. Twice as much swing, as the least.
    """
    swing, bend = {}, {}
    for name in ("log", "long"):
        answers = [at(name, rpm) for rpm in SPEEDS]
        p = [np.mean([overlap_pressure(c) for c in a.cylinders]) for a in answers]
        pmep = np.array([mean(a, "pmep") for a in answers])
        smooth = np.polyval(np.polyfit(SPEEDS, pmep, 3), SPEEDS)
        swing[name], bend[name] = np.ptp(p), np.std(pmep - smooth)
    assert swing["long"] > 2.0 * swing["log"]
    assert bend["long"] > 2.0 * bend["log"]
