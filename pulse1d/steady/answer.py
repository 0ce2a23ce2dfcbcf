"""The answer for one port: flow, where the pressure goes, and the profile along the path."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pulse1d.gas import state
from pulse1d.gas.relations import mass_number, stagnation_ratio
from pulse1d.losses.element import COLUMN, Element
from pulse1d.network.rows import Rows
from pulse1d.sources import cite
from pulse1d.steady.march import TRACE, march

EXIT = "exit kinetic energy"
HEAT = "wall heat"
NOISE = 1e-13
"""Part of p0 that is round-off of a march."""
SMALL = 1e-12
"""Part of the depression below which a wall-heat entry is left out."""


@dataclass(frozen=True)
class Entry:
    """One line of the loss budget."""

    element: str
    loss_pa: float
    k: float | None
    k_ref: str
    source: str


@dataclass(frozen=True)
class Profile:
    """State at the ends of every row, in flow direction, SI."""

    x: NDArray[np.float64]
    p: NDArray[np.float64]
    p0: NDArray[np.float64]
    M: NDArray[np.float64]
    labels: tuple[str, ...]
    """Element at each station."""


@dataclass(frozen=True)
class PortAnswer:
    """What one port does under the bench's conditions. Flow is positive from port to outlet."""

    port: str
    mdot: float
    cda: float
    mach_max: float
    mach_where: str
    converged: bool
    choked: bool
    budget: tuple[Entry, ...]
    profile: Profile | None
    warnings: tuple[str, ...] = field(default=())


def effective_area(
    mdot: float, p0: float, T0: float, p_down: float, gas: NDArray[np.float64]
) -> float:
    """Area of the ideal nozzle that passes the same flow between the same pressures.

    Parameters
    ----------
    mdot : float   Magnitude of the mass flow [kg/s]
    p0, T0, p_down : float   Upstream stagnation state, receiver [Pa, K, Pa]
    gas : array   Mixture table [SI]
    Returns
    -------
    CdA : float   [m2]
    Source      isentropic nozzle, choked where it must be (NACA Report 1135, from memory)
    """
    gamma = float(state.gamma(T0, gas))
    ratio = (p0 / p_down) ** ((gamma - 1.0) / gamma)
    M = min(math.sqrt(2.0 / (gamma - 1.0) * (ratio - 1.0)), 1.0)
    return mdot * math.sqrt(float(gas[0]) * T0) / (p0 * float(mass_number(M, gamma)))


@dataclass(frozen=True)
class Stretch:
    """Rows marched in one go, with their record in port-to-outlet order."""

    rows: Rows
    trace: NDArray[np.float64]
    reverse: bool
    mdot: float
    """Magnitude [kg/s]."""


def traced(
    rows: Rows,
    reverse: bool,
    mdot: float,
    start: tuple[float, float, float],
    gas: NDArray[np.float64],
    shock: tuple[int, float] = (-1, 0.0),
) -> Stretch:
    """March once more and keep the record.

    Parameters
    ----------
    rows : Rows   The stretch [SI]
    reverse : bool   Flow runs from its last row to its first [-]
    mdot : float   Magnitude [kg/s]
    start : (p0, T0, X)   State at the inlet [Pa, K, -]
    gas : array   Mixture table [SI]
    shock : (row, fall of ln p0)   As in ``march`` [-]
    Returns
    -------
    stretch : Stretch   [SI]
    """
    trace = np.zeros((len(rows.steps), len(TRACE)))
    march(rows.steps, 0, len(rows.steps), reverse, mdot, *start, gas, *shock, trace)
    return Stretch(rows, trace, reverse, mdot)


def element_entries(stretch: Stretch, gas: NDArray[np.float64]) -> tuple[list[Entry], float]:
    """Budget lines of a stretch in flow order, and the part of wall heat.

    Parameters
    ----------
    stretch : Stretch   [SI]
    gas : array   Mixture table [SI]
    Returns
    -------
    entries, heat : list of Entry, float   [Pa]
    """
    entries, heat_total = [], 0.0
    order = range(len(stretch.rows.elements))
    for index in reversed(order) if stretch.reverse else order:
        element = stretch.rows.elements[index]
        record = stretch.trace[stretch.rows.owner == index]
        if stretch.reverse:
            record = record[::-1]
        heat = float(record[:, TRACE.index("heat_loss")].sum())
        loss = float(record[0, 0] - record[-1, 1]) - heat
        if abs(loss) < NOISE * record[0, 0]:
            loss = 0.0
        heat_total += heat
        q = dynamic_pressure(record, element.k_ref, stretch.reverse, gas)
        entries.append(
            Entry(
                element.name,
                loss,
                loss / q if q > 0.0 else None,
                element.k_ref,
                cite(element.source),
            )
        )
    return entries, heat_total


def local_gamma(T0: float, M: float, gas: NDArray[np.float64]) -> float:
    """gamma at the static temperature, as the march takes it.

    Parameters
    ----------
    T0, M : float   Stagnation temperature, Mach number [K, -]
    gas : array   Mixture table [SI]
    Returns
    -------
    gamma : float   [-]
    """
    return float(state.gamma(T0 / (1.0 + 0.2 * M * M), gas))


def dynamic_pressure(
    record: NDArray[np.float64], k_ref: str, reverse: bool, gas: NDArray[np.float64]
) -> float:
    """Dynamic pressure rho u^2/2 at the section that an element's K refers to.

    Parameters
    ----------
    record : (rows, 9) array   Trace of the element in flow order [SI]
    k_ref : str   "upstream" or "downstream" in port-to-outlet sense [-]
    reverse : bool   Flow runs the other way [-]
    gas : array   Mixture table [SI]
    Returns
    -------
    q : float   gamma p M^2 / 2 [Pa]
    """
    first = (k_ref == "upstream") != reverse
    p0, M, T0 = record[0, [0, 2, 5]] if first else record[-1, [1, 3, 6]]
    gamma = local_gamma(T0, M, gas)
    return float(0.5 * gamma * M * M * p0 / stagnation_ratio(M, gamma))


def profile_of(stretches: list[Stretch], gas: NDArray[np.float64]) -> Profile:
    """Pressures and Mach number along consecutive stretches, in flow direction.

    An element without length, such as a joint, shows its two ends only.

    Parameters
    ----------
    stretches : list of Stretch   In flow order [SI]
    gas : array   Mixture table [SI]
    Returns
    -------
    profile : Profile   [SI]
    """
    x, out = 0.0, []
    for stretch in stretches:
        order = range(len(stretch.rows.elements))
        for index in reversed(order) if stretch.reverse else order:
            rows = np.flatnonzero(stretch.rows.owner == index)
            if stretch.reverse:
                rows = rows[::-1]
            label = stretch.rows.elements[index].name
            lengths = stretch.rows.steps[rows, COLUMN["L"]]
            for k, i in enumerate(rows):
                inner = not lengths.any() and 0 < k
                last = lengths.any() or k == len(rows) - 1
                if not inner:
                    out.append(_station(x, stretch.trace[i, [0, 2, 5]], gas, label))
                x += float(lengths[k])
                if last:
                    out.append(_station(x, stretch.trace[i, [1, 3, 6]], gas, label))
    numbers = np.array([row[:4] for row in out], dtype=float)
    return Profile(
        numbers[:, 0], numbers[:, 1], numbers[:, 2], numbers[:, 3], tuple(row[4] for row in out)
    )


def _station(
    x: float, end: NDArray[np.float64], gas: NDArray[np.float64], label: str
) -> tuple[float, float, float, float, str]:
    p0, M, T0 = (float(value) for value in end)
    return x, p0 / float(stagnation_ratio(M, local_gamma(T0, M, gas))), p0, M, label


def limit_warnings(stretch: Stretch) -> list[str]:
    """Plain warnings where a coefficient was used outside its validity, and the elements' notes.

    Parameters
    ----------
    stretch : Stretch   [SI]
    Returns
    -------
    warnings : list of str   [-]
    """
    warnings = []
    for index, element in enumerate(stretch.rows.elements):
        warnings += [f"{element.name}: {note}" for note in element.notes]
        record = stretch.trace[stretch.rows.owner == index]
        values = {"Re": record[:, TRACE.index("Re")].max(), "M": record[:, 2].max()}
        warnings += _outside(element, values)
    return warnings


def _outside(element: Element, values: dict[str, float]) -> list[str]:
    return [
        f"{element.name}: {limit.quantity} = {values[limit.quantity]:.3g} is outside "
        f"{limit.low:g} .. {limit.high:g} ({limit.what})"
        for limit in element.limits
        if not limit.low <= values[limit.quantity] <= limit.high
    ]
