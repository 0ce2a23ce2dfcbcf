"""From a path or an open network under bench conditions to answers, port by port."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.gas.relations import stagnation_ratio
from pulse1d.network.path import Path
from pulse1d.steady.answer import (
    EXIT,
    HEAT,
    SMALL,
    Entry,
    PortAnswer,
    Stretch,
    effective_area,
    element_entries,
    limit_warnings,
    local_gamma,
    profile_of,
    traced,
)
from pulse1d.steady.path import CHOKED_FLOW, FAILED, solve_path

Array = NDArray[np.float64]

CHOKED_NOTE = "choked at {where}: more depression brings no more flow"
FAILED_NOTE = "not converged: the flow printed is the last trial and must not be used"


@dataclass(frozen=True)
class Air:
    """Gas and pressures of a solve, SI."""

    table: Array
    T0: float
    p_port: float
    """Pressure outside the ports under test."""
    p_outlet: float
    p_idle: float = math.nan
    """Pressure outside open ports that are not under test."""

    @property
    def reverse(self) -> bool:
        """Flow runs from outlet to port."""
        return self.p_outlet > self.p_port

    @property
    def p_up(self) -> float:
        """Upstream stagnation pressure [Pa]."""
        return max(self.p_port, self.p_outlet)

    @property
    def p_down(self) -> float:
        """Receiver's static pressure [Pa]."""
        return min(self.p_port, self.p_outlet)


def answer_path(path: Path, air: Air) -> PortAnswer:
    """Solve a single path and account for its pressure.

    Parameters
    ----------
    path : Path   [SI]
    air : Air   Gas and pressures [SI]
    Returns
    -------
    answer : PortAnswer   [SI]
    Source      ``pulse1d.steady.path``
    """
    mdot, status, choke_row, shock, _ = solve_path(
        path.rows.steps, air.reverse, air.p_up, air.T0, air.p_down, 0.0, air.table
    )
    stretch = traced(
        path.rows, air.reverse, mdot, (air.p_up, air.T0, 0.0), air.table, (choke_row, shock)
    )
    choked = status == CHOKED_FLOW
    where = path.rows.elements[path.rows.owner[choke_row]].name if choke_row >= 0 else ""
    return assemble(path.port, mdot, air, [stretch], [], status != FAILED, choked, where)


def assemble(
    port: str,
    mdot: float,
    air: Air,
    stretches: list[Stretch],
    joints: list[Entry],
    converged: bool,
    choked: bool,
    choke_where: str,
) -> PortAnswer:
    """Put the answer of one port together; the budget adds up to the depression by construction.

    Parameters
    ----------
    port : str   Name [-]
    mdot : float   The port's flow, negative against the bench [kg/s]
    air : Air   [SI]
    stretches : list of Stretch   In flow order, the entry's first [SI]
    joints : list of Entry   Joint losses between consecutive stretches, empty when there is one
    converged, choked : bool   [-]
    choke_where : str   Element that chokes [-]
    Returns
    -------
    answer : PortAnswer   [SI]
    """
    depression = air.p_up - air.p_down
    budget: list[Entry] = []
    heat = 0.0
    warnings: list[str] = []
    top, where = 0.0, ""
    for k, stretch in enumerate(stretches):
        entries, part = element_entries(stretch, air.table)
        budget += entries
        heat += part
        warnings += limit_warnings(stretch)
        if k < len(joints):
            budget.append(joints[k])
        row = int(np.argmax(stretch.trace[:, 4]))
        if stretch.trace[row, 4] > top:
            top = float(stretch.trace[row, 4])
            where = stretch.rows.elements[stretch.rows.owner[row]].name
    if abs(heat) > SMALL * depression:
        budget.append(Entry(HEAT, heat, None, "", "exact"))
    left = depression - sum(entry.loss_pa for entry in budget)
    budget.append(Entry(EXIT, left, exit_k(stretches[-1], left, air), "downstream", "exact"))
    if choked:
        warnings.insert(0, CHOKED_NOTE.format(where=choke_where))
    if not converged:
        warnings.insert(0, FAILED_NOTE)
    return PortAnswer(
        port=port,
        mdot=-mdot if air.reverse else mdot,
        cda=effective_area(abs(mdot), air.p_up, air.T0, air.p_down, air.table),
        mach_max=top,
        mach_where=where,
        converged=converged,
        choked=choked,
        budget=tuple(budget),
        profile=profile_of(stretches, air.table),
        warnings=tuple(dict.fromkeys(warnings)),
    )


def exit_k(stretch: Stretch, loss: float, air: Air) -> float | None:
    """Exit loss over the dynamic pressure at the exit; a little above 1 by compressibility.

    Parameters
    ----------
    stretch : Stretch   The last one [SI]
    loss : float   p0 at the exit less the receiver's pressure [Pa]
    air : Air   [SI]
    Returns
    -------
    k : float or None   [-]
    """
    row = stretch.trace[0 if stretch.reverse else -1]
    gamma = local_gamma(row[6], row[3], air.table)
    q = 0.5 * gamma * row[3] ** 2 * row[1] / stagnation_ratio(row[3], gamma)
    return float(loss / q) if q > 0.0 else None
