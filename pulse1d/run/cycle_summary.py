"""What is told of a speed: the cylinders' figures put together, and one case less another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.engine.friction import Torque, torque
from pulse1d.engine.valves import exhaust_events
from pulse1d.run.cycle import CycleAnswer, CylinderAnswer
from pulse1d.run.engine_net import needs

Array = NDArray[np.float64]


@dataclass(frozen=True)
class SpeedSummary:
    """One speed; means over the cylinders that were modelled."""

    answer: CycleAnswer
    torque: Torque
    """Of the cylinders modelled."""
    volumetric_efficiency: float
    residual: float
    residual_spread: float
    """Largest less smallest of the cylinders [-]."""
    back_pressure: float
    """Above the room's [Pa]."""
    pmep: float
    T_gas: float
    """Of the flow past the ports, weighted by mass [K]."""
    T_wall: float
    """Mean over the cells of all pipes [K]."""
    T_wall_max: float

    @property
    def rev_per_min(self) -> float:
        """Speed, free of the rounding of a division by 60 [1/min]."""
        return round(60.0 * self.answer.speed, 9)


@dataclass(frozen=True)
class SpeedDifference:
    """One case less the base at one speed."""

    rev_per_min: float
    converged: bool
    """Both."""
    torque: float
    """Not a number where the cases model different numbers of cylinders [N m]."""
    torque_share: float
    """Of the base's torque [-]."""
    volumetric_efficiency: float
    residual: float
    back_pressure: float
    """[Pa]"""
    pmep: float


def summarise(design: Design, answer: CycleAnswer) -> SpeedSummary:
    """The figures of one speed.

    Parameters
    ----------
    design : Design   [-]
    answer : CycleAnswer   Of this design [SI]
    Returns
    -------
    summary : SpeedSummary   [SI]
    """
    cylinders = answer.cylinders
    residual = [cylinder.residual for cylinder in cylinders]
    walls = np.concatenate(list(answer.T_wall.values()))
    return SpeedSummary(
        answer,
        torque(needs(design), [cylinder.imep for cylinder in cylinders], answer.speed),
        _mean([cylinder.volumetric_efficiency for cylinder in cylinders]),
        _mean(residual),
        max(residual) - min(residual),
        _mean([cylinder.back_pressure for cylinder in cylinders]),
        _mean([cylinder.pmep for cylinder in cylinders]),
        gas_temperature(cylinders),
        float(walls.mean()),
        float(walls.max()),
    )


def _mean(values: Sequence[float]) -> float:
    return float(np.mean(values))


def gas_temperature(cylinders: Sequence[CylinderAnswer]) -> float:
    """Mean temperature of what flows past the ports, as a mixing thermometer would read it.

    Parameters
    ----------
    cylinders : sequence of CylinderAnswer   [SI]
    Returns
    -------
    T : float   Weighted by mass flow; ports of equal area and one R taken [K]
    Source      definition: sum of m T over sum of m, m as p u / T
    """
    flow = np.stack([c.p_port * c.u_port / c.T_port for c in cylinders])
    return float((flow * np.stack([c.T_port for c in cylinders])).sum() / flow.sum())


def port_peak(design: Design, cylinder: CylinderAnswer) -> tuple[float, float]:
    """Highest pressure at a port, and when.

    Parameters
    ----------
    design : Design   [-]
    cylinder : CylinderAnswer   [SI]
    Returns
    -------
    p, after : float   Absolute; after the exhaust valve opens [Pa, deg]
    """
    train = needs(design).exhaust
    assert train is not None
    place = int(np.argmax(cylinder.p_port))
    return float(cylinder.p_port[place]), float((place - exhaust_events(train)[0]) % 720.0)


def differences(
    base: Sequence[SpeedSummary], other: Sequence[SpeedSummary]
) -> list[SpeedDifference]:
    """What another case gives more than the base, speed by speed.

    Parameters
    ----------
    base, other : sequences of SpeedSummary   [SI]
    Returns
    -------
    differences : list of SpeedDifference   At the speeds that both have [SI]
    """
    theirs = {summary.answer.speed: summary for summary in other}
    found = []
    for mine in base:
        if (them := theirs.get(mine.answer.speed)) is None:
            continue
        alike = len(mine.answer.cylinders) == len(them.answer.cylinders)
        more = them.torque.brake - mine.torque.brake if alike else float("nan")
        found.append(
            SpeedDifference(
                mine.rev_per_min,
                mine.answer.converged and them.answer.converged,
                more,
                more / mine.torque.brake if mine.torque.brake > 0.0 else float("nan"),
                them.volumetric_efficiency - mine.volumetric_efficiency,
                them.residual - mine.residual,
                them.back_pressure - mine.back_pressure,
                them.pmep - mine.pmep,
            )
        )
    return found


def mean_difference(rows: Sequence[SpeedDifference]) -> SpeedDifference:
    """The mean of some speeds.

    Parameters
    ----------
    rows : sequence of SpeedDifference   At least one, converged [SI]
    Returns
    -------
    mean : SpeedDifference   Its speed is 0; not a number where one of them is none [SI]
    """
    names = ("torque", "torque_share", "volumetric_efficiency", "residual", "back_pressure", "pmep")
    return SpeedDifference(0.0, True, *(fmean(getattr(r, n) for r in rows) for n in names))
