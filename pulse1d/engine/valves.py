"""Effective areas of the valves over a cycle, from lift and what the head passes."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pulse1d.cylinder.valve_event import smooth_lift
from pulse1d.engine.spec import ExhaustTrain, InletTrain, ValveTrain
from pulse1d.losses.head import HeadFlow
from pulse1d.losses.valve_area import A_curtain

Array = NDArray[np.float64]

DEGREES = np.arange(720.0)
"""Crank angles of the tables, from firing top dead centre [deg]."""
THROAT = 0.75
"""Port area over the area of the valve head, times its coefficient: what a wide-open inlet valve
passes at most (judgement; throats of 0.85 to 0.9 of the head diameter)."""
INLET_BACK = 0.9
"""Reversed over forward coefficient of an inlet valve (judgement)."""


def exhaust_events(train: ExhaustTrain) -> tuple[float, float]:
    """Opening and closing of the exhaust valve.

    Parameters
    ----------
    train : ExhaustTrain   [rad]
    Returns
    -------
    opens, closes : float   From firing top dead centre [deg]
    """
    before, after = math.degrees(train.opens_before_bdc), math.degrees(train.closes_after_tdc)
    return 180.0 - before, 360.0 + after


def inlet_events(train: InletTrain) -> tuple[float, float]:
    """Opening and closing of the inlet valve.

    Parameters
    ----------
    train : InletTrain   [rad]
    Returns
    -------
    opens, closes : float   From firing top dead centre [deg]
    """
    before, after = math.degrees(train.opens_before_tdc), math.degrees(train.closes_after_bdc)
    return 360.0 - before, 540.0 + after


def lift_table(train: ValveTrain, opens: float, closes: float) -> Array:
    """Lift at every degree of the cycle.

    Parameters
    ----------
    train : ValveTrain   [SI]
    opens, closes : float   [deg]
    Returns
    -------
    lift : (720,) array   [m]
    """
    if not train.curve:
        return np.asarray(smooth_lift(DEGREES, opens, closes, train.lift))
    angles = np.degrees([row.after_opening for row in train.curve])
    lifts = [row.lift for row in train.curve]
    return np.interp((DEGREES - opens) % 720.0, angles, lifts, left=0.0, right=0.0)


def exhaust_areas(train: ExhaustTrain, flow: HeadFlow) -> tuple[Array, Array]:
    """Effective areas of one port's exhaust valves.

    Parameters
    ----------
    train : ExhaustTrain   [SI]
    flow : HeadFlow   What the head passes by lift [SI]
    Returns
    -------
    out, back : (720,) arrays   Cylinder to port and port to cylinder [m2]
    Errors      ValueError for a lift outside the head's table.
    """
    lift = lift_table(train, *exhaust_events(train))
    pairs = [flow.effective_areas(float(x)) if x > 0.0 else (0.0, 0.0) for x in lift]
    return np.array([a for a, _ in pairs]), np.array([b for _, b in pairs])


def inlet_areas(train: InletTrain) -> tuple[Array, Array]:
    """Effective areas of one cylinder's inlet valves.

    Parameters
    ----------
    train : InletTrain   [SI]
    Returns
    -------
    inwards, back : (720,) arrays   [m2]
    Limits      +-10 % (judgement)
    Source      curtain area times a coefficient, up to a share of the head's area
    """
    lift = lift_table(train, *inlet_events(train))
    head = 0.25 * math.pi * train.head_diameter**2
    one = np.minimum(
        train.coefficient * A_curtain(1.0, train.head_diameter) * lift,
        train.coefficient * THROAT * head,
    )
    return train.count * one, INLET_BACK * train.count * one
