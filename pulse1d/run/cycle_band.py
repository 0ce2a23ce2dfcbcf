"""Bands of a cycle's answers from the inputs that matter, one at a time."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pulse1d.case.design import Design
from pulse1d.case.schema import Calibration, Correction
from pulse1d.engine.friction import BAND, torque
from pulse1d.run.cycle import CycleAnswer, march_cycle
from pulse1d.run.cycle_summary import gas_temperature
from pulse1d.run.engine_net import Varied
from pulse1d.run.watched import TYPICAL, Steps, Watch

LOSSES = ("junction K", "bend K", "friction law")
"""Causes of doubt about losses that all runners share."""
SIGMAS = 1.645
"""A 5-95 % band in standard deviations."""


@dataclass(frozen=True)
class CycleBand:
    """5-95 % half widths of the answers at one speed, and where they come from."""

    half: dict[str, float]
    """Answer to half width, in the answer's own unit."""
    shares: dict[str, dict[str, float]]
    """Answer to the change that each input makes alone."""


def figures(design: Design, answer: CycleAnswer) -> dict[str, float]:
    """The answers that get a band: means over cylinders.

    Parameters
    ----------
    design : Design   With an engine [-]
    answer : CycleAnswer   [SI]
    Returns
    -------
    values : dict   Torque [N m], volumetric efficiency [-], residual [-], pmep [Pa], back pressure
        [Pa], exhaust gas temperature [K]
    """
    engine = design.case.engine
    assert engine is not None
    cylinders = answer.cylinders

    def mean(read: Callable[[Any], float]) -> float:
        return sum(read(c) for c in cylinders) / len(cylinders)

    return {
        "torque": torque(engine, [c.imep for c in cylinders], answer.speed).brake,
        "volumetric efficiency": mean(lambda c: c.volumetric_efficiency),
        "residual": mean(lambda c: c.residual),
        "pmep": mean(lambda c: c.pmep),
        "back pressure": mean(lambda c: c.back_pressure),
        "gas temperature": gas_temperature(cylinders),
    }


def cycle_band(design: Design, answer: CycleAnswer, *, watch: Watch | None = None) -> CycleBand:
    """Each doubtful input moved to the edge of its band, one cycle march each, summed by squares.

    Exhaust valve flow by the head's own band, inlet flow +-10 %, cylinder wall heat +-30 %, pipe
    wall heat by the spread of the published laws (+-20 %), start of burning +-5 deg, losses by
    their bands, friction +-20 %.

    Parameters
    ----------
    design : Design   With an engine [-]
    answer : CycleAnswer   Of one speed; its walls are started from [SI]
    watch : function   Told the share done; answers whether to go on [-]
    Returns
    -------
    band : CycleBand   [SI]
    Errors      ``Stopped`` when the watch answers False.
    Limits      linear in the inputs; judgement where no source is named in ``engine_net``
    Source      JCGM 100:2008, 5.1.2
    """
    base = figures(design, answer)
    shares: dict[str, dict[str, float]] = {name: {} for name in base}
    inputs = variations(design)
    steps = Steps(watch, TYPICAL * len(inputs))
    for k, (what, changed, varied) in enumerate(inputs):

        def told(cycle: int, change: float, k: int = k) -> None:
            steps.reach(TYPICAL * k + min(cycle, TYPICAL))

        moved = march_cycle(changed, answer.speed, walls=answer.T_wall, varied=varied, watch=told)
        steps.reach(TYPICAL * (k + 1))
        for name, value in figures(design, moved).items():
            shares[name][what] = value - base[name]
    engine = design.case.engine
    assert engine is not None
    friction = torque(engine, [c.imep for c in answer.cylinders], answer.speed).friction
    shares["torque"]["friction"] = -BAND * friction
    half = {name: math.hypot(*own.values()) for name, own in shares.items()}
    return CycleBand(half, shares)


def band_of_difference(base: CycleBand, other: CycleBand) -> CycleBand:
    """The band of one layout less another on the same engine: what both share cancels.

    Parameters
    ----------
    base, other : CycleBand   At one speed [SI]
    Returns
    -------
    band : CycleBand   [SI]
    Limits      every input is common to both; what only one layout's own parts may be off is left
                out
    Source      JCGM 100:2008, 5.2.2, inputs fully correlated
    """
    shares = {
        name: {what: own[what] - base.shares[name][what] for what in own}
        for name, own in other.shares.items()
    }
    return CycleBand({name: math.hypot(*own.values()) for name, own in shares.items()}, shares)


def variations(design: Design) -> list[tuple[str, Design, Varied]]:
    """The doubtful inputs, each at the upper edge of its band.

    Parameters
    ----------
    design : Design   With an engine [-]
    Returns
    -------
    varied : list of (what, design, factors)   [-]
    """
    case, engine = design.case, design.case.engine
    assert engine is not None
    flow = case.head.flow
    width = getattr(flow, "half_width", 0.1)

    def other(**changes: Any) -> Design:
        return replace(
            design,
            case=case.model_copy(update={"engine": engine.model_copy(update=changes)}),
        )

    late = engine.burning.model_copy(
        update={"starts_before_tdc": engine.burning.starts_before_tdc - math.radians(5.0)}
    )
    found = [
        ("exhaust valve flow", design, Varied(exhaust_flow=math.exp(width))),
        ("inlet valve flow", design, Varied(inlet_flow=1.1)),
        ("pipe wall heat", design, Varied(pulsing=1.2)),
        ("cylinder wall heat", other(wall_heat=1.3 * engine.wall_heat), Varied()),
        ("start of burning", other(burning=late), Varied()),
    ]
    for cause in LOSSES:
        found.append((cause, shifted(design, cause), Varied()))
    return found


def shifted(design: Design, cause: str) -> Design:
    """A design with one cause of doubt about its losses at the upper edge of its band.

    Parameters
    ----------
    design : Design   [-]
    cause : str   [-]
    Returns
    -------
    design : Design   On top of its own calibration, within what that has left [-]
    """
    calibration = design.case.calibration
    known: Mapping[str, Correction] = {c.cause: c for c in calibration.corrections}
    old = known.get(cause, Correction(cause=cause, sigmas=0.0))
    new = old.model_copy(update={"sigmas": (old.sigmas or 0.0) + SIGMAS * old.spread})
    rest = tuple(c for c in calibration.corrections if c.cause != cause)
    changed = Calibration(
        source=calibration.source,
        corrections=(*rest, new),
        correlations=calibration.correlations,
    )
    return replace(design, case=design.case.model_copy(update={"calibration": changed}))
