"""Port flows as functions of the causes of doubt: what a calibration turns round."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.losses.element import Effect
from pulse1d.network.flat import flatten
from pulse1d.network.path import single_path
from pulse1d.run.bench import chosen_ports, flow_chain, in_chunks
from pulse1d.run.conditions import Setup, bench_setup
from pulse1d.steady.net import solve_net_samples
from pulse1d.steady.path import FAILED, solve_samples
from pulse1d.steady.solve_net import first_guess, problem_of, solve_open
from pulse1d.uncertainty.causes import cause_keys, effect_table

Array = NDArray[np.float64]
Solver = Callable[[Array], tuple[Array, Array]]

PROBE = 0.05
"""Step of a cause, in its standard deviations, from which slopes are read: flows are smooth in it,
and the solver's 1e-10 is far below what it moves."""


@dataclass(frozen=True)
class Response:
    """Each port's flow, tested alone, for any shift of the causes of doubt."""

    design: Design
    setup: Setup
    ports: tuple[str, ...]
    causes: tuple[str, ...]
    places: tuple[NDArray[np.int64], ...]
    """Per port: where its own causes stand among all."""
    solvers: tuple[Solver, ...]
    """Per port: from samples of its own causes to flows and statuses."""
    effects: dict[str, tuple[Effect, ...]]
    """Per cause: what it moves, over all ports."""

    def ln_flow(self, z: Array) -> Array:
        """Logarithm of the ports' flows.

        Parameters
        ----------
        z : (n, causes) array   Shifts of the causes in standard deviations [-]
        Returns
        -------
        ln_flow : (n, ports) array   ln of the mass flow; NaN where it cannot be solved [-]
        """
        columns = [_ln(z[:, place], s) for place, s in zip(self.places, self.solvers, strict=True)]
        return np.stack(columns, axis=1)

    def slopes(self, z: Array) -> Array:
        """Change of the ln flows with each cause, by central differences in a port's own causes.

        Parameters
        ----------
        z : (causes,) array   Where [-]
        Returns
        -------
        J : (ports, causes) array   Per standard deviation [-]
        """
        J = np.zeros((len(self.ports), len(self.causes)))
        for row, place, solve in zip(J, self.places, self.solvers, strict=True):
            step = PROBE * np.eye(len(place))
            high, low = np.split(_ln(np.vstack([z[place] + step, z[place] - step]), solve), 2)
            row[place] = (high - low) / (2.0 * PROBE)
        return J


def _ln(z: Array, solve: Solver) -> Array:
    """ln of one port's mass flow; NaN where it cannot be solved [-]."""
    flow, status = in_chunks(np.ascontiguousarray(z), solve)
    flow = np.abs(flow)
    flow[status == FAILED] = np.nan
    return np.asarray(np.log(flow))


def response_of(design: Design, ports: Sequence[str] | None = None) -> Response:
    """The flows of a design's ports, each tested as its bench says, its calibration set aside.

    Parameters
    ----------
    design : Design   [-]
    ports : sequence of str   None: all [-]
    Returns
    -------
    response : Response   [SI]
    Errors      InputError for ports that the case does not have.
    """
    setup = bench_setup(design)
    names = chosen_ports(design, ports)
    air, network = setup.air, design.network_on(setup.bench)
    found: list[tuple[tuple[str, ...], Solver]] = []
    effects: list[Effect] = []
    for name in names:
        path = single_path(network, name, design.keys)
        if path is not None and setup.bench.other_ports == "blanked":
            causes = cause_keys(path.rows.effects)
            table = effect_table(path.rows.effects, causes)
            steps = path.rows.steps

            def alone(z: Array, steps: Array = steps, table: Array = table) -> tuple[Array, Array]:
                return solve_samples(
                    steps, air.reverse, air.p_up, air.T0, air.p_down, 0.0, air.table, table, z
                )

            found.append((causes, alone))
            effects += path.rows.effects
        else:
            causes, solver, moved = _open_solver(design, name, setup)
            found.append((causes, solver))
            effects += moved
    every = tuple(dict.fromkeys(cause for causes, _ in found for cause in causes))
    places = tuple(np.array([every.index(c) for c in causes]) for causes, _ in found)
    moving = {cause: tuple(e for e in effects if e.cause == cause) for cause in every}
    return Response(design, setup, names, every, places, tuple(solve for _, solve in found), moving)


def _open_solver(
    design: Design, name: str, setup: Setup
) -> tuple[tuple[str, ...], Solver, tuple[Effect, ...]]:
    room = design.network.port_names if setup.bench.other_ports == "open" else ()
    flat = flatten(design.network_on(setup.bench), tuple({name, *room}), design.keys)
    chains = {name: flow_chain(design, name)}
    solution = solve_open(flat, (name,), setup.air, first_guess(flat, chains, setup.air))
    causes = cause_keys(flat.rows.effects, flat.joint_effects)
    problem = problem_of(flat, solution.p_open, solution.scales, setup.air)
    tables = effect_table(flat.rows.effects, causes), effect_table(flat.joint_effects, causes)
    leg = flat.legs.index(chains[name][0])

    def several(z: Array) -> tuple[Array, Array]:
        flows, status = solve_net_samples(solution.x, problem, *tables, z)
        return flows[:, leg], status

    return causes, several, (*flat.rows.effects, *flat.joint_effects)
