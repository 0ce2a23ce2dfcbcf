"""A bench prediction as tables."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pulse1d.results.sheet import Column, Sheet, count, flag, number, text
from pulse1d.results.table import Table
from pulse1d.run.bench import BenchResult, PortResult
from pulse1d.run.march import Marched
from pulse1d.run.record import comparable, gains
from pulse1d.steady.answer import Entry, PortAnswer
from pulse1d.uncertainty.band import Band

OnePort = tuple[BenchResult, PortResult]

CASE: Column[Any] = text("case", "name of the design", lambda r: r[0].design.name)
LIFT: Column[Any] = number(
    "lift", "m", "of the head in series; empty: the part alone", lambda r: r[0].lift
)
PORT: Column[Any] = text("port", "port under test", lambda r: r[1].answer.port)

PORTS: Sheet[OnePort] = Sheet(
    "ports",
    "Bench flow of every port",
    (
        CASE,
        text("design", "hash of what the case says it is", lambda r: r[0].design.digest),
        PORT,
        LIFT,
        number("depression", "Pa", "across the part", lambda r: r[0].setup.bench.depression),
        text("direction", "blown or sucked", lambda r: r[0].setup.bench.direction),
        text("fixed_end", "end fixed to the bench", lambda r: r[0].setup.bench.fixed_end),
        flag("together", "all tested ports open at once", lambda r: r[0].together),
        number("mass_flow", "kg/s", "positive from port to outlet", lambda r: r[1].answer.mdot),
        number(
            "flow", "m3/s", "mass flow over the reference density",
            lambda r: _flow(r[0], r[1].answer),
        ),
        number("flow_low", "m3/s", "5 % of the samples lie below", lambda r: _end(r, "p5")),
        number("flow_middle", "m3/s", "half of the samples lie below", lambda r: _end(r, "p50")),
        number("flow_high", "m3/s", "95 % of the samples lie below", lambda r: _end(r, "p95")),
        count("samples", "behind the band", lambda r: len(r[1].samples)),
        number("CdA", "m2", "area of the ideal nozzle of the same flow", lambda r: r[1].answer.cda),
        number("mach_max", "1", "highest Mach number on the way", lambda r: r[1].answer.mach_max),
        text("mach_where", "element in which it is", lambda r: r[1].answer.mach_where),
        number(
            "part_alone_flow", "m3/s", "without the head, where it is in series",
            lambda r: _flow(r[0], r[1].part_alone),
        ),
        number(
            "head_alone_flow", "m3/s", "of the head, where it is in series",
            lambda r: _flow(r[0], r[0].head_alone),
        ),
        number("reference_density", "kg/m3", "of the flows", lambda r: r[0].setup.rho_ref),
        flag("converged", "the solution was reached", lambda r: r[1].answer.converged),
        flag("choked", "sonic somewhere on the way", lambda r: r[1].answer.choked),
        text("warnings", "one behind another", lambda r: "; ".join(r[1].answer.warnings)),
    ),
)  # fmt: skip

BUDGET: Sheet[tuple[BenchResult, PortResult, int, Entry]] = Sheet(
    "budget",
    "Where the pressure goes, element by element; the losses of a port add up to the depression",
    (
        CASE,
        LIFT,
        PORT,
        count("place", "in flow order, from 1", lambda r: r[2]),
        text("element", "as the case names it", lambda r: r[3].element),
        number("loss", "Pa", "of stagnation pressure; negative: gained", lambda r: r[3].loss_pa),
        number(
            "share", "1", "of the depression", lambda r: r[3].loss_pa / r[0].setup.bench.depression
        ),
        number("K", "1", "loss coefficient", lambda r: r[3].k),
        text("K_on", "station whose dynamic pressure K refers to", lambda r: r[3].k_ref),
        text("source", "of the coefficient", lambda r: r[3].source),
    ),
)  # fmt: skip

VARIANCE: Sheet[tuple[BenchResult, PortResult, str, float]] = Sheet(
    "variance",
    "What the bands are made of",
    (
        CASE,
        LIFT,
        PORT,
        text("cause", "of doubt", lambda r: r[2]),
        number("share", "1", "of the variance of the port's flow", lambda r: r[3]),
    ),
)

PROFILE: Sheet[tuple[BenchResult, PortResult, int]] = Sheet(
    "profile",
    "State along the way of every port, at the ends of its elements in flow order",
    (
        CASE,
        LIFT,
        PORT,
        count("point", "in flow order, from 1", lambda r: r[2] + 1),
        text("element", "at this point", lambda r: _along(r[1], "labels", r[2])),
        number("distance", "m", "along the way", lambda r: _along(r[1], "x", r[2])),
        number("p", "Pa", "static pressure, absolute", lambda r: _along(r[1], "p", r[2])),
        number("p0", "Pa", "stagnation pressure, absolute", lambda r: _along(r[1], "p0", r[2])),
        number("mach", "1", "Mach number", lambda r: _along(r[1], "M", r[2])),
    ),
)

DIFFERENCES: Sheet[tuple[BenchResult, BenchResult, str, float, Band | None]] = Sheet(
    "differences",
    "Gain in flow at equal depression; the base of every share is the first case",
    (
        text("base", "name of the base", lambda r: r[0].design.name),
        text("case", "name of the design", lambda r: r[1].design.name),
        number("lift", "m", "of the head in series; empty: the part alone", lambda r: r[1].lift),
        text("port", "that both have; mean: of those", lambda r: r[2]),
        number("gain", "1", "flow over the base's, less 1", lambda r: r[3]),
        number(
            "gain_low", "1", "5 % of the samples lie below", lambda r: r[4].p5 if r[4] else None
        ),
        number(
            "gain_high", "1", "95 % of the samples lie below", lambda r: r[4].p95 if r[4] else None
        ),
    ),
)

MARCHED: Sheet[tuple[BenchResult, PortResult, Marched]] = Sheet(
    "marched",
    "The network's answer and the wave solver's, marched to steady flow",
    (
        CASE,
        text("port", "port under test", lambda r: r[2].port),
        number("network_mass_flow", "kg/s", "of the steady network", lambda r: r[1].answer.mdot),
        number("marched_mass_flow", "kg/s", "of the wave solver", lambda r: r[2].mdot),
        flag("steady", "whether it came to rest", lambda r: r[2].steady),
        count("cells", "marched", lambda r: r[2].cells),
    ),
)

SHEETS: tuple[Sheet[Any], ...] = (PORTS, BUDGET, VARIANCE, PROFILE, DIFFERENCES, MARCHED)


def bench_tables(
    results: Sequence[BenchResult], marched: Sequence[Sequence[Marched]] | None = None
) -> list[Table]:
    """Everything that ``pulse1d bench`` prints or draws from.

    Parameters
    ----------
    results : sequence of BenchResult   The first is the base [SI]
    marched : sequences of Marched   The same ports by the wave solver [SI]
    Returns
    -------
    tables : list of Table   Ports, budget, variance, profile; differences of several cases, and
        what was marched, where there is any [SI]
    """
    ports = [(result, port) for result in results for port in result.ports]
    tables = [
        PORTS.table(ports),
        BUDGET.table(
            (*one, place, entry)
            for one in ports
            for place, entry in enumerate(one[1].answer.budget, 1)
        ),
        VARIANCE.table((*one, *share) for one in ports for share in one[1].shares.items()),
        PROFILE.table(
            (*one, k)
            for one in ports
            if one[1].answer.profile is not None
            for k in range(len(one[1].answer.profile.x))
        ),
    ]
    if compared := list(_differences(results)):
        tables.append(DIFFERENCES.table(compared))
    if marched:
        each = [found for case in marched for found in case]
        tables.append(MARCHED.table((*one, m) for one, m in zip(ports, each, strict=True)))
    return tables


def _flow(result: BenchResult, answer: PortAnswer | None) -> float | None:
    return None if answer is None else answer.mdot / result.setup.rho_ref


def _end(one: OnePort, end: str) -> float | None:
    result, port = one
    found = _quantile(port.band, end)
    return None if found is None else found / result.setup.rho_ref


def _quantile(band: Band | None, end: str) -> float | None:
    return None if band is None else getattr(band, end)


def _along(port: PortResult, what: str, k: int) -> Any:
    return getattr(port.answer.profile, what)[k]


def _differences(
    results: Sequence[BenchResult],
) -> Iterator[tuple[BenchResult, BenchResult, str, float, Band | None]]:
    for other in results[1:]:
        if comparable(results[0], other):
            for row in gains(results[0], other):
                yield (results[0], other, *row)
