"""What a reduced session of bench readings says part by part and port by port."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.measure.air import density
from pulse1d.measure.exponent import ConversionRefused, Converted, Exponent, convert
from pulse1d.measure.reduce import Reduction, budget, monte_carlo

Array = NDArray[np.float64]

SCATTER = "scatter of the remounts"
"""Line of a budget for what the readings themselves show (type A) where remounts were read."""
ONE_MOUNT = "scatter of the readings"
"""The same where a part was mounted once; what a remount changes is then not in it."""


@dataclass(frozen=True)
class PortMean:
    """Mean flow of one part and port at the stated test pressure."""

    part: str
    port: str
    rows: tuple[int, ...]
    """Positions in ``Reduction.rows``: what was read within the tolerance of that pressure."""
    weights: tuple[float, ...]
    """Of those rows; every mount counts the same."""
    mounts: int
    flow: float
    """At the reference state [m^3/s]."""
    mdot: float
    """At the reference state [kg/s]."""
    cda: float
    """[m^2]"""
    lines: tuple[tuple[str, float], ...]
    """Relative standard uncertainty by cause, largest first."""
    u: float
    """Relative standard uncertainty."""
    freedom: float
    """Effective degrees of freedom; infinite without a scatter of its own."""


def port_means(reduction: Reduction) -> tuple[PortMean, ...]:
    """Mean flow of every part and port that was read at the stated test pressure.

    The mean is that of ln flow, first of each mount, then over mounts. Its uncertainty joins the
    budget of instruments and meters with the scatter of mounts (of readings, where there was one
    mount). Errors that gauges make anew in each row stand in both, so it is a little wide.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    means : tuple of PortMean   In the order in which they were first read [SI]
    Source      JCGM 100:2008, 4.2.3, 5.1.2 and G.4.1
    """
    groups: dict[tuple[str, str], list[int]] = {}
    for k, row in enumerate(reduction.rows):
        if at_test_pressure(reduction, k):
            groups.setdefault((row.reading.part, row.reading.port), []).append(k)
    return tuple(_mean(reduction, *key, rows) for key, rows in groups.items())


def at_test_pressure(reduction: Reduction, k: int) -> bool:
    """Whether a row was read within the tolerance of the stated test pressure.

    Parameters
    ----------
    reduction : Reduction   [SI]
    k : int   Position in its rows [-]
    Returns
    -------
    yes : bool   [-]
    """
    set_up = reduction.session.header.set_up
    off = reduction.rows[k].reading.test_pressure / set_up.test_pressure - 1.0
    return abs(off) <= set_up.tolerance * (1.0 + 1e-9)


def _mean(reduction: Reduction, part: str, port: str, rows: list[int]) -> PortMean:
    mounts: dict[int, list[int]] = {}
    for k in rows:
        mounts.setdefault(reduction.rows[k].reading.remount, []).append(k)
    share = {k: 1.0 / (len(mounts) * len(some)) for some in mounts.values() for k in some}
    weights = [share[k] for k in rows]
    logs = {k: math.log(reduction.rows[k].flow) for k in rows}
    several = len(mounts) > 1
    each = (
        [sum(logs[k] for k in some) / len(some) for some in mounts.values()]
        if several
        else list(logs.values())
    )
    lines, u = budget(reduction, spread(reduction, rows, weights))
    freedom = math.inf
    if len(each) > 1:
        scatter = float(np.std(each, ddof=1)) / math.sqrt(len(each))
        lines = [*lines, (SCATTER if several else ONE_MOUNT, scatter)]
        u = math.hypot(u, scatter)
        freedom = (len(each) - 1) * (u / scatter) ** 4 if scatter > 0.0 else math.inf
    flow = math.exp(sum(w * logs[k] for w, k in zip(weights, rows, strict=True)))
    logs_cda = [w * math.log(reduction.rows[k].cda) for w, k in zip(weights, rows, strict=True)]
    return PortMean(
        part,
        port,
        tuple(rows),
        tuple(weights),
        len(mounts),
        flow,
        flow * reference_density(reduction),
        math.exp(sum(logs_cda)),
        tuple(sorted(lines, key=lambda line: -line[1])),
        u,
        freedom,
    )


def spread(reduction: Reduction, rows: list[int], weights: list[float]) -> Array:
    """Weights of some rows as weights of all rows.

    Parameters
    ----------
    reduction : Reduction   [SI]
    rows : list of int   Positions in its rows [-]
    weights : list of float   [-]
    Returns
    -------
    weights : (rows,) array   [-]
    """
    every = np.zeros(len(reduction.rows))
    every[rows] = weights
    return every


def reference_density(reduction: Reduction) -> float:
    """Density that turns mass flow into the stated volume flow.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    rho : float   [kg/m^3]
    """
    return density(reduction.session.header.reference)


@dataclass(frozen=True)
class Sampled:
    """The instruments' part of a mean's uncertainty by Monte Carlo, beside the budget's."""

    samples: int
    u: float
    """Standard deviation of ln flow."""
    low: float
    high: float
    """2.5 and 97.5 % points of ln flow about the mean."""
    u_budget: float
    """The same by the law of propagation."""


def sampled(reduction: Reduction, mean: PortMean, samples: int, seed: int = 1) -> Sampled:
    """The cross-check of one mean's budget.

    Parameters
    ----------
    reduction : Reduction   [SI]
    mean : PortMean   [SI]
    samples : int   [-]
    seed : int   Of the random numbers [-]
    Returns
    -------
    sampled : Sampled   The scatter of mounts is in neither of the two [-]
    Source      JCGM 101:2008, 7.6 and 7.7
    """
    rows, weights = list(mean.rows), list(mean.weights)
    draws = monte_carlo(reduction.session, samples, seed)[:, rows] @ np.array(weights)
    low, high = np.quantile(draws, (0.025, 0.975)) - math.log(mean.flow)
    _, u = budget(reduction, spread(reduction, rows, weights))
    return Sampled(samples, float(np.std(draws, ddof=1)), float(low), float(high), u)


@dataclass(frozen=True)
class At:
    """A mean flow at another test pressure, or why it cannot be stated."""

    mean: PortMean
    pressure: float
    """[Pa]"""
    converted: Converted | None
    u: float
    """Relative standard uncertainty: of the mean and of the conversion."""
    refusal: str
    """"reason; remedy"; empty when it was converted."""


def at_pressure(
    reduction: Reduction,
    means: Sequence[PortMean],
    exponents: Mapping[tuple[str, str], Exponent],
    pressure: float,
) -> tuple[At, ...]:
    """Every mean flow at another test pressure, where the licence rule lets it be stated.

    Parameters
    ----------
    reduction : Reduction   [SI]
    means : sequence of PortMean   [SI]
    exponents : mapping   (part, port) to Exponent, where it was read [-]
    pressure : float   The test pressure asked for [Pa]
    Returns
    -------
    found : tuple of At   One for each mean [SI]
    Source      ``pulse1d.measure.exponent``
    """
    header = reduction.session.header
    found = []
    for mean in means:
        exponent = exponents.get((mean.part, mean.port))
        stated = header.set_up.test_pressure
        try:
            converted = convert(mean.flow, stated, pressure, exponent, header)
            found.append(At(mean, pressure, converted, math.hypot(mean.u, converted.u), ""))
        except ConversionRefused as error:
            found.append(At(mean, pressure, None, math.nan, str(error)))
    return tuple(found)
