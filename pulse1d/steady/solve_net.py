"""From an open network under bench conditions to answers, port by port."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pulse1d.gas import state
from pulse1d.gas.relations import mass_number, stagnation_ratio
from pulse1d.losses.element import COLUMN
from pulse1d.losses.junction import SOURCE
from pulse1d.network.flat import FlatNet
from pulse1d.network.rows import Rows
from pulse1d.sources import cite
from pulse1d.steady.answer import Entry, PortAnswer, Stretch, local_gamma, traced
from pulse1d.steady.net import residual, settle, solve_net
from pulse1d.steady.path import CONVERGED, largest_flow
from pulse1d.steady.solve import Air, assemble

Array = NDArray[np.float64]

AREA = COLUMN["A_1"]
SONIC = 0.95
"""Mach number that a network must reach somewhere before a failure counts as choking: the last
solution before it lies within 1e-6 of the depression, and M within a few per cent of 1."""

TRACED = 1e-3
"""Share of a port's flow below which a first guess does not follow it through further splits: ways
through many of them are more than can be gone."""
AGAINST = "flows against the bench: the other ports' stream holds more pressure at its joint"


@dataclass(frozen=True)
class NetSolution:
    """Leg flows and joint states of an open network."""

    x: Array
    scales: Array
    p_open: Array
    T_node: Array
    converged: bool
    choked: bool

    def mdot(self, legs: int) -> Array:
        """Leg flows, positive port to outlet [kg/s]."""
        return self.x[:legs] * self.scales[0]


def problem_of(flat: FlatNet, p_open: Array, scales: Array, air: Air) -> tuple[Any, ...]:
    """What is given, as the kernel takes it.

    Parameters
    ----------
    flat : FlatNet   [SI]
    p_open : (openings,) array   Pressure outside each opening [Pa]
    scales : (3,) array   Flow, pressure, relative depression [kg/s, Pa, -]
    air : Air   [SI]
    Returns
    -------
    problem : tuple   See ``pulse1d.steady.net.residual`` [SI]
    """
    ends = (
        flat.pointer, flat.end_leg, flat.end_at_end, flat.end_direction, flat.end_area,
        flat.has_run,
    )  # fmt: skip
    topology = (flat.first, flat.count, flat.a, flat.b)
    return flat.rows.steps, topology, ends, flat.joint_offsets, p_open, scales, air.T0, air.table


def opening_pressures(flat: FlatNet, tested: tuple[str, ...], air: Air) -> Array:
    """Pressure outside each opening.

    Parameters
    ----------
    flat : FlatNet   [SI]
    tested : tuple of str   Ports under test [-]
    air : Air   [SI]
    Returns
    -------
    p : (openings,) array   [Pa]
    """
    return np.array(
        [
            air.p_outlet
            if name == "outlet"
            else (air.p_port if name.removeprefix("port ") in tested else air.p_idle)
            for name in flat.openings
        ]
    )


def solve_open(flat: FlatNet, tested: tuple[str, ...], air: Air, guess: Array) -> NetSolution:
    """Solve an open network; when it chokes, find the receiver pressure where it just does not.

    Below that receiver pressure all flows through the choked section stay level, so the solution
    there is the solution at the bench's.

    Parameters
    ----------
    flat : FlatNet   [SI]
    tested : tuple of str   Ports under test [-]
    air : Air   [SI]
    guess : (legs,) array   First guess of the leg flows at full depression [kg/s]
    Returns
    -------
    solution : NetSolution   ``converged`` False when no depression could be solved [SI]
    """
    p = opening_pressures(flat, tested, air)
    depression = (air.p_up - air.p_down) / air.p_up
    scales = np.array([np.abs(guess).max(), air.p_up, depression])
    start = np.concatenate([guess / scales[0], np.full(len(flat.joints), -0.3)])
    attempt = _attempt(flat, p, scales, air, start)
    if attempt.converged:
        return attempt
    good: NetSolution | None = None
    low, share = 0.0, 0.02
    for _ in range(60):
        x = start * math.sqrt(share) if good is None else good.x.copy()
        x[len(guess) :] = -0.3 * share if good is None else x[len(guess) :]
        raised = np.where(p == air.p_down, air.p_up - share * (air.p_up - air.p_down), p)
        attempt = _attempt(flat, raised, scales, air, x)
        if attempt.converged:
            good, low = attempt, share
            if share >= 1.0:
                return attempt
            share = min(1.0, share * 1.6)
        else:
            share = 0.5 * (low + share)
        if share - low < 1e-6:
            break
    if good is None:
        return attempt
    return replace(good, p_open=p, choked=True)


def _attempt(flat: FlatNet, p: Array, scales: Array, air: Air, x: Array) -> NetSolution:
    start, x = x, x.copy()
    status, _, _, T_node = solve_net(x, problem_of(flat, p, scales, air))
    if status != CONVERGED:
        x = start.copy()
        status, _, _, T_node = settle(x, problem_of(flat, p, scales, air))
    return NetSolution(x, scales, p, T_node, status == CONVERGED, False)


def first_guess(flat: FlatNet, chains: dict[str, list[int]], air: Air) -> Array:
    """Leg flows from the ports' own sections at half their ideal flow, added up along the way.

    Where the way splits, the flow is shared by the areas of the legs that lead on.

    Parameters
    ----------
    flat : FlatNet   [SI]
    chains : dict   Port under test to its legs (network indices) towards the outlet [-]
    air : Air   [SI]
    Returns
    -------
    guess : (legs,) array   [kg/s]
    """
    guess = np.zeros(len(flat.legs))
    gamma = float(state.gamma(air.T0, air.table))
    M = min(math.sqrt(2.0 / gamma * math.log(air.p_up / air.p_down)), 1.0)
    for chain in chains.values():
        k = flat.legs.index(chain[0])
        rows = flat.rows.steps[flat.first[k] : flat.first[k] + flat.count[k]]
        sonic = largest_flow(rows, air.reverse, air.p_up, air.T0, air.table)
        flow = 0.5 * sonic * mass_number(M, gamma) / mass_number(1.0, gamma)
        flow /= math.sqrt(len(chains))
        _spread(flat, guess, k, -flow if air.reverse else flow, frozenset())
    guess[guess == 0.0] = 1e-4 * np.abs(guess).max()
    return guess


def _spread(
    flat: FlatNet, guess: Array, leg: int, flow: float, seen: frozenset[int], share: float = 1.0
) -> None:
    guess[leg] += flow
    onward = [k for k in np.flatnonzero(flat.a == flat.b[leg]) if k not in seen]
    areas = [flat.rows.steps[flat.first[k], AREA] for k in onward]
    for k, area in zip(onward, areas, strict=True):
        part = area / sum(areas)
        if share * part > TRACED:
            _spread(flat, guess, int(k), flow * part, seen | {leg}, share * part)


def leg_stretches(flat: FlatNet, solution: NetSolution, air: Air) -> list[Stretch]:
    """Every leg marched once more with its record.

    Parameters
    ----------
    flat : FlatNet   [SI]
    solution : NetSolution   [SI]
    air : Air   [SI]
    Returns
    -------
    stretches : list of Stretch   One a leg [SI]
    """
    L, J = len(flat.legs), len(flat.joints)
    starts = np.zeros((L, 3))
    problem = problem_of(flat, solution.p_open, solution.scales, air)
    residual(solution.x, problem, solution.T_node.copy(), np.zeros(L + J), starts)
    stretches = []
    for leg, mdot in enumerate(solution.mdot(L)):
        i, j = flat.first[leg], flat.first[leg] + flat.count[leg]
        owner = flat.rows.owner[i:j]
        elements = flat.rows.elements[owner.min() : owner.max() + 1]
        rows = Rows(flat.rows.steps[i:j], owner - owner.min(), elements, ())
        p0, T0, X = starts[leg]
        stretches.append(traced(rows, mdot < 0.0, abs(mdot), (p0, T0, X), air.table))
    return stretches


def answer_net(
    flat: FlatNet, solution: NetSolution, chains: dict[str, list[int]], air: Air
) -> list[PortAnswer]:
    """Answers of the ports under test, each along its way to the outlet.

    Parameters
    ----------
    flat : FlatNet   [SI]
    solution : NetSolution   [SI]
    chains : dict   Port under test to its legs [-]
    air : Air   [SI]
    Returns
    -------
    answers : list of PortAnswer   [SI]
    """
    stretches = leg_stretches(flat, solution, air)
    fastest = max(stretches, key=lambda stretch: float(stretch.trace[:, 4].max()))
    row = int(np.argmax(fastest.trace[:, 4]))
    where = fastest.rows.elements[fastest.rows.owner[row]].name
    if solution.choked and fastest.trace[row, 4] < SONIC:
        solution = replace(solution, converged=False, choked=False)
    place = {leg: k for k, leg in enumerate(flat.legs)}
    mdot = solution.mdot(len(flat.legs))
    answers = []
    for port, chain in chains.items():
        legs = [place[leg] for leg in chain]
        if air.reverse:
            legs = legs[::-1]
        way = [stretches[k] for k in legs]
        joints = []
        for k, (before, behind) in enumerate(pairwise(way)):
            node = flat.a[legs[k]] if air.reverse else flat.b[legs[k]]
            loss = p0_at(before, not air.reverse) - p0_at(behind, air.reverse)
            joints.append(joint_entry(flat.joints[node], loss, way[k : k + 2], air))
        flow = float(mdot[place[chain[0]]]) * (-1.0 if air.reverse else 1.0)
        answer = assemble(port, flow, air, way, joints, solution.converged, solution.choked, where)
        if flow < 0.0:
            answer = replace(answer, warnings=(AGAINST, *answer.warnings))
        answers.append(answer)
    return answers


def p0_at(stretch: Stretch, outlet_end: bool) -> float:
    """Stagnation pressure at one end of a stretch, whichever way it flows.

    Parameters
    ----------
    stretch : Stretch   [SI]
    outlet_end : bool   The end towards the outlet [-]
    Returns
    -------
    p0 : float   [Pa]
    """
    row = stretch.trace[-1 if outlet_end else 0]
    return float(row[1] if outlet_end != stretch.reverse else row[0])


def joint_entry(name: str, loss: float, pair: list[Stretch], air: Air) -> Entry:
    """Budget line of a joint with several legs flowing, K on the common leg's velocity head.

    Parameters
    ----------
    name : str   Joint [-]
    loss : float   Fall of p0, negative for a recovery [Pa]
    pair : list of two Stretch   Before and behind it in flow order; the one with the higher mass
        flow is the common leg [SI]
    air : Air   [SI]
    Returns
    -------
    entry : Entry   [SI]
    """
    before, behind = pair
    end, start = (
        before.trace[0 if before.reverse else -1],
        behind.trace[-1 if behind.reverse else 0],
    )
    ahead = before.mdot > behind.mdot
    p0, M, T0 = end[[1, 3, 6]] if ahead else start[[0, 2, 5]]
    gamma = local_gamma(T0, M, air.table)
    q = 0.5 * gamma * M**2 * p0 / stagnation_ratio(M, gamma)
    k = float(loss / q) if q > 0.0 else None
    return Entry(
        f"joint {name}", float(loss), k, "upstream" if ahead else "downstream", cite(SOURCE)
    )
