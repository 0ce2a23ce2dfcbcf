"""Bench flow of a case: every port's flow, its band, and where the pressure goes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.network.flat import flatten
from pulse1d.network.path import Path, single_path
from pulse1d.network.rows import Rows
from pulse1d.run.conditions import Setup, bench_setup
from pulse1d.run.correct import corrected, joint_offsets
from pulse1d.run.head import head_only, head_rows
from pulse1d.run.left_over import calibrated_samples
from pulse1d.steady.answer import PortAnswer
from pulse1d.steady.net import solve_net_samples
from pulse1d.steady.path import FAILED, solve_samples
from pulse1d.steady.solve import answer_path
from pulse1d.steady.solve_net import answer_net, first_guess, problem_of, solve_open
from pulse1d.uncertainty.band import Band, band, variance_shares
from pulse1d.uncertainty.causes import cause_keys, effect_table
from pulse1d.uncertainty.sampling import normal_samples

Array = NDArray[np.float64]

CHUNK = 4000
"""Samples solved in one call of a kernel."""


@dataclass(frozen=True)
class PortResult:
    """One port: the answer, its band, and the samples behind it."""

    answer: PortAnswer
    band: Band | None
    """Quantiles of the mass flow [kg/s]."""
    samples: Array
    shares: dict[str, float]
    """Share of the variance by cause [-]."""
    part_alone: PortAnswer | None = None
    """The same port without the head, when the head is in series."""


@dataclass(frozen=True)
class BenchResult:
    """A case on the bench, SI."""

    design: Design
    setup: Setup
    together: bool
    ports: tuple[PortResult, ...]
    lift: float | None = None
    head_alone: PortAnswer | None = None

    @property
    def mdot(self) -> Array:
        """Mass flow of the ports, positive port to outlet [kg/s]."""
        return np.array([port.answer.mdot for port in self.ports])

    @property
    def spread(self) -> float:
        """(largest - smallest) / mean of the ports' flows [-]."""
        flow = np.abs(self.mdot)
        return float((flow.max() - flow.min()) / flow.mean())

    @property
    def variation(self) -> float:
        """Standard deviation over mean of the ports' flows [-]."""
        flow = np.abs(self.mdot)
        return float(flow.std(ddof=1) / flow.mean()) if len(flow) > 1 else 0.0

    @property
    def converged(self) -> bool:
        """Whether every port's answer stands."""
        return all(port.answer.converged for port in self.ports)


def predict_bench(
    design: Design,
    *,
    depression: float | None = None,
    ports: Sequence[str] | None = None,
    together: bool = False,
    direction: str | None = None,
    lift: float | None = None,
    samples: int | None = None,
    seed: int | None = None,
) -> BenchResult:
    """What a bench would read on this part.

    Parameters
    ----------
    design : Design   From ``pulse1d.load`` [-]
    depression : float   Across the part; None: the case's [Pa]
    ports : sequence of str   Ports to test; None: all [-]
    together : bool   All of them open at once, instead of each alone [-]
    direction : str   "blown" or "sucked"; None: the case's [-]
    lift : float   Valve lift at which the head is put in series; None: the part alone [m]
    samples, seed : int   Of the uncertainty band; None: the case's; 0 samples for none [-]
    Returns
    -------
    result : BenchResult   [SI]
    Errors      InputError for ports or a lift that the case does not have.
    Source      ``pulse1d/THEORY.md``
    """
    setup = bench_setup(design, depression, direction)
    names = chosen_ports(design, ports)
    numerics = design.case.numerics
    n = numerics.samples if samples is None else samples
    seed = numerics.seed if seed is None else seed
    alone = not together and setup.bench.other_ports == "blanked"
    network = design.network_on(setup.bench)
    paths = {name: single_path(network, name, design.keys) for name in names}
    if alone and all(paths.values()):
        results = [_alone(design, path, setup, n, seed) for path in paths.values() if path]
    elif together:
        results = _open(design, names, names, setup, n, seed)
    else:
        room = design.network.port_names if setup.bench.other_ports == "open" else ()
        results = [
            r
            for name in names
            for r in _open(design, (name,), tuple({name, *room}), setup, n, seed)
        ]
    if lift is None:
        return BenchResult(design, setup, together, tuple(results))
    return _with_head(design, setup, results, together, lift, n, seed)


def chosen_ports(design: Design, ports: Sequence[str] | None) -> tuple[str, ...]:
    """The ports to test, in the order asked for.

    Parameters
    ----------
    design : Design   [-]
    ports : sequence of str or None   [-]
    Returns
    -------
    names : tuple of str   [-]
    Errors      InputError for a port that the case does not have.
    """
    known = design.network.port_names
    if ports is None:
        return known
    unknown = [name for name in ports if name not in known]
    if unknown:
        raise InputError(
            [
                Problem(
                    f"the case has no port {name!r}",
                    f"choose among {', '.join(known)}",
                    str(design.path),
                )
                for name in unknown
            ]
        )
    return tuple(dict.fromkeys(ports))


def _alone(design: Design, path: Path, setup: Setup, samples: int, seed: int) -> PortResult:
    rows = corrected(path.rows, design.case.calibration)
    path = replace(path, rows=rows)
    answer = answer_path(path, setup.air)
    if not samples:
        return PortResult(answer, None, np.empty(0), {})
    causes = cause_keys(rows.effects)
    z = calibrated_samples(normal_samples(causes, samples, seed), causes, design.case.calibration)
    air = setup.air
    effects = effect_table(rows.effects, causes)
    mdot, status = in_chunks(
        z,
        lambda part: solve_samples(
            rows.steps, air.reverse, air.p_up, air.T0, air.p_down, 0.0, air.table, effects, part
        ),
    )
    mdot[status == FAILED] = np.nan
    if air.reverse:
        mdot = -mdot
    return PortResult(answer, band(mdot), mdot, variance_shares(mdot, z, causes))


def _open(
    design: Design,
    tested: tuple[str, ...],
    opened: tuple[str, ...],
    setup: Setup,
    samples: int,
    seed: int,
) -> list[PortResult]:
    flat = flatten(design.network_on(setup.bench), opened, design.keys)
    calibration = design.case.calibration
    offsets = joint_offsets(flat.joint_effects, len(flat.end_leg), calibration)
    flat = replace(flat, rows=corrected(flat.rows, calibration), joint_offsets=offsets)
    chains = {name: flow_chain(design, name) for name in tested}
    solution = solve_open(flat, tested, setup.air, first_guess(flat, chains, setup.air))
    answers = answer_net(flat, solution, chains, setup.air)
    if not samples or not solution.converged or solution.choked:
        return [PortResult(answer, None, np.empty(0), {}) for answer in answers]
    causes = cause_keys(flat.rows.effects, flat.joint_effects)
    z = calibrated_samples(normal_samples(causes, samples, seed), causes, design.case.calibration)
    problem = problem_of(flat, solution.p_open, solution.scales, setup.air)
    tables = effect_table(flat.rows.effects, causes), effect_table(flat.joint_effects, causes)
    flows, status = in_chunks(z, lambda part: solve_net_samples(solution.x, problem, *tables, part))
    flows[status == FAILED] = np.nan
    results = []
    for answer, chain in zip(answers, chains.values(), strict=True):
        mdot = flows[:, flat.legs.index(chain[0])]
        results.append(PortResult(answer, band(mdot), mdot, variance_shares(mdot, z, causes)))
    return results


def in_chunks(z: Array, solve: Callable[[Array], tuple[Array, Array]]) -> tuple[Array, Array]:
    """Solve samples a chunk at a time, so that an interrupt is heard within a second.

    Parameters
    ----------
    z : (samples, causes) array   [-]
    solve : function   From a part of z to flows and statuses [-]
    Returns
    -------
    flows, statuses : arrays   Parts joined along the first axis [kg/s, -]
    """
    parts = [solve(z[i : i + CHUNK]) for i in range(0, len(z), CHUNK)]
    return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])


def flow_chain(design: Design, port: str) -> list[int]:
    """Legs from a port to the outlet; where the way splits, the shortest.

    Parameters
    ----------
    design : Design   [-]
    port : str   [-]
    Returns
    -------
    legs : list of int   Network indices [-]
    """
    network = design.network
    first = network.runner_index(port)
    ways, seen = [[first]], {first}
    while ways:
        way = ways.pop(0)
        if network.ends[way[-1]] == "outlet":
            return way
        for i, start in enumerate(network.starts):
            if start == network.ends[way[-1]] and i not in seen:
                seen.add(i)  # another way to it is no shorter
                ways.append([*way, i])
    raise AssertionError("a loaded case has a way out of every port")


def _with_head(
    design: Design,
    setup: Setup,
    alone: list[PortResult],
    together: bool,
    lift: float,
    samples: int,
    seed: int,
) -> BenchResult:
    if together or setup.bench.other_ports == "open":
        raise InputError(
            [Problem("a lift is tested one port at a time, the others blanked",
                     "drop --together, or blank the other ports", str(design.path))]
        )  # fmt: skip
    rows: Rows = head_rows(design, lift)
    results = []
    for part in alone:
        path = single_path(design.network_on(setup.bench), part.answer.port, design.keys, rows)
        assert path is not None
        both = _alone(design, path, setup, samples, seed)
        results.append(replace(both, part_alone=part.answer))
    head_alone = answer_path(head_only(rows), setup.air)
    return BenchResult(design, setup, together, tuple(results), lift, head_alone)


def ratio_samples(base: PortResult, other: PortResult) -> Array:
    """Samples of other/base - 1, common causes kept common.

    Parameters
    ----------
    base, other : PortResult   Predicted with the same number of samples and seed [-]
    Returns
    -------
    ratio : (n,) array   Empty when either has no samples [-]
    Source      JCGM 101:2008
    """
    if len(base.samples) != len(other.samples) or not len(base.samples):
        return np.empty(0)
    return other.samples / base.samples - 1.0
