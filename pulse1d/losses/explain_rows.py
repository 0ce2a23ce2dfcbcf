"""What a piece's rows cost, told by the solvers' own laws."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.gas import state
from pulse1d.gas.air import dry_air
from pulse1d.gas.relations import mass_number, stagnation_ratio
from pulse1d.losses.element import Z_90, Element, Law, Station, Step
from pulse1d.losses.laws import through_duct, through_jet
from pulse1d.losses.turbine_law import through_turbine

Array = NDArray[np.float64]
P, T, MACH = 101325.0, 293.15, 0.1
"""State and Mach number in the section before, at which values are told: room air [Pa, K, -]."""
DEVELOPED = -1.0
"""Development length of a flow that is developed [-]."""


def K_of(elements: Sequence[Element], station: Station, reverse: bool = False) -> float:
    """Loss of a piece's rows at Mach ``MACH`` before them, on the head that its K refers to.

    Parameters
    ----------
    elements : sequence of Element   Of one piece [SI]
    station : Station   In front of the piece [SI]
    reverse : bool   Flow from outlet to port; the flow is the same [-]
    Returns
    -------
    K : float   Fall of stagnation pressure over dynamic pressure; infinite where it chokes [-]
    Source      ``pulse1d.losses.laws``
    """
    gas = dry_air().table
    rows = [np.array(step, dtype=float) for element in elements for step in element.steps]
    gamma = float(state.gamma(T, gas))
    mdot = P * station.section.area * mass_number(MACH, gamma) / math.sqrt(gas[0] * T)
    p0, T0, lost, q = P, T, 0.0, [0.0, 0.0]
    for place, row in enumerate(reversed(rows) if reverse else rows):
        before = p0
        M_in, M_out, p0, T0 = _through(row, reverse, mdot, p0, T0, gas)
        if M_out < 0.0:
            return math.inf
        lost += before - p0
        if place == 0:
            q[0] = _head(M_in, before, gamma)
        q[1] = _head(M_out, p0, gamma)
    first = (elements[0].k_ref == "upstream") != reverse
    return lost / q[0 if first else 1]


def band_of(elements: Sequence[Element], station: Station) -> dict[str, tuple[float, float]]:
    """How far each cause of doubt moves a piece's K, by its 5-95 % half width.

    Parameters
    ----------
    elements, station : as in ``K_of``
    Returns
    -------
    band : dict   Cause to low and high K, forward flow [-]
    Source      the effects of the elements
    """
    causes = dict.fromkeys(effect.cause for one in elements for effect in one.effects)
    found = {}
    for cause in causes:
        ends = sorted(K_of(moved(elements, {cause: z}), station) for z in (-1.0, 1.0))
        found[cause] = (ends[0], ends[1])
    return found


def moved(elements: Sequence[Element], widths: Mapping[str, float]) -> list[Element]:
    """Elements whose doubtful numbers are moved.

    Parameters
    ----------
    elements : sequence of Element   [SI]
    widths : mapping   Cause to the number of 5-95 % half widths [-]
    Returns
    -------
    elements : list of Element   [SI]
    """
    found = []
    for element in elements:
        steps: list[Step] = list(element.steps)
        for effect in element.effects:
            z = Z_90 * widths.get(effect.cause, 0.0)
            value = getattr(steps[effect.step], effect.column)
            new = (
                value * math.exp(effect.size * z)
                if effect.mode == "ln"
                else value + effect.size * z
            )
            steps[effect.step] = steps[effect.step]._replace(**{effect.column: new})
        found.append(replace(element, steps=tuple(steps)))
    return found


def _through(
    row: Array, reverse: bool, mdot: float, p0: float, T0: float, gas: Array
) -> tuple[float, float, float, float]:
    if row[0] == Law.DUCT:
        M, p0, T0, _, M_in, _, _ = through_duct(row, reverse, mdot, p0, T0, DEVELOPED, gas)
    elif row[0] == Law.TURBINE and not reverse:
        M, p0, T0, M_in, _ = through_turbine(row, mdot, p0, T0, gas)
    else:
        M, p0, M_in, _ = through_jet(row, reverse, mdot, p0, T0, gas)
    return M_in, M, p0, T0


def _head(M: float, p0: float, gamma: float) -> float:
    return 0.5 * gamma * M * M * p0 / float(stagnation_ratio(M, gamma))
