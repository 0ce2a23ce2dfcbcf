"""The bench prediction as text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pulse1d import units
from pulse1d.cli.band_text import causes_text, shares_text
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.run.bench import BenchResult, PortResult
from pulse1d.run.record import comparable, gains
from pulse1d.steady.answer import Entry, PortAnswer

if TYPE_CHECKING:
    from pulse1d.run.march import Marched

__all__ = ["paragraph", "report"]

PORTS = (
    Column("port", 5, left=True),
    Column("CFM", 6),
    Column("5-95 % CFM", 13),
    Column("kg/h", 6),
    Column("CdA mm2", 7),
    Column("Mach", 5),
    Column("costliest three, %", 22, left=True),
)
BUDGET = (
    Column("element", 30, left=True),
    Column("Pa", 8),
    Column("inH2O", 7),
    Column("%", 6),
    Column("K", 7),
    Column("K on", 10, left=True),
)
GAINS = (
    Column("port", 5, left=True),
    Column("base CFM", 9),
    Column("CFM", 7),
    Column("gain %", 7),
    Column("5-95 %", 16),
)


def report(
    results: Sequence[BenchResult], budget: bool, marched: Sequence[Sequence[Marched]] | None = None
) -> str:
    """Everything ``pulse1d bench`` prints.

    Parameters
    ----------
    results : sequence of BenchResult   The first is the base [SI]
    budget : bool   Whether to show the full loss budget [-]
    marched : sequences of Marched   The same ports by the wave solver [SI]
    Returns
    -------
    text : str   [-]
    """
    parts = [conditions(results[0])]
    for k, result in enumerate(results):
        parts.append(ports_table(result))
        if marched:
            parts.append(march_table(result, marched[k]))
        if result.head_alone is not None:
            parts.append(head_table(result))
        if budget:
            for port in result.ports:
                parts.append(budget_table(result, port.answer))
                parts.append(shares_text(port))
    parts += [
        gain_table(results[0], other) for other in results[1:] if comparable(results[0], other)
    ]
    if budget:
        parts += [causes_text(results), sources(results)]
    return "\n\n".join(part for part in parts if part)


def cfm(mdot: float, result: BenchResult) -> float:
    """Magnitude of the volume flow at the bench's reference state.

    Parameters
    ----------
    mdot : float   [kg/s]
    result : BenchResult   [SI]
    Returns
    -------
    flow : float   [CFM]
    """
    return abs(units.to(mdot / result.setup.rho_ref, "CFM", "volume flow"))


def conditions(result: BenchResult) -> str:
    """One line on how the parts stand on the bench.

    Parameters
    ----------
    result : BenchResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    bench, reference = result.setup.bench, result.setup.bench.reference
    flow = "port to outlet" if bench.port_to_outlet else "reverse"
    ports = "all at once" if result.together else f"one at a time, others {bench.other_ports}"
    return paragraph(
        f"{units.to(bench.depression, 'inH2O', 'pressure'):.4g} inH2O "
        f"({bench.depression / 1e3:.4g} kPa), {bench.direction} at the {bench.fixed_end}, "
        f"flow {flow}, ports {ports}. CFM at {reference.pressure / 1e3:.6g} kPa, "
        f"{reference.temperature - 273.15:.4g} degC, {100 * reference.humidity:.3g} % RH.",
        0,
    )


def ports_table(result: BenchResult) -> str:
    """Flow, band and costliest elements of every port.

    Parameters
    ----------
    result : BenchResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = []
    for port in result.ports:
        answer = port.answer
        rows.append(
            (
                answer.port,
                f"{cfm(answer.mdot, result):.1f}",
                band_text(port, result),
                f"{3600 * abs(answer.mdot):.1f}",
                f"{1e6 * answer.cda:.0f}",
                f"{answer.mach_max:.3f}",
                ", ".join(costliest(answer)),
            )
        )
    title = result.design.name
    if result.lift is not None:
        title += f", behind the head at {1e3 * result.lift:.4g} mm lift"
    lines = [title, table(PORTS, rows)]
    if len(result.ports) > 1:
        lines.append(
            f"  evenness: (max - min)/mean {100 * result.spread:.1f} %, "
            f"coefficient of variation {100 * result.variation:.1f} %"
        )
    return "\n".join([*lines, *notes(result)])


def band_text(port: PortResult, result: BenchResult) -> str:
    """The 5-95 % band of a port's flow.

    Parameters
    ----------
    port : PortResult   [SI]
    result : BenchResult   [SI]
    Returns
    -------
    text : str   "181.2-197.5", or "-" without samples [CFM]
    """
    if port.band is None:
        return "-"
    low, high = sorted((cfm(port.band.p5, result), cfm(port.band.p95, result)))
    return f"{low:.1f} to {high:.1f}"


def costliest(answer: PortAnswer, count: int = 3) -> list[str]:
    """The elements that cost most, with their part of the depression.

    Parameters
    ----------
    answer : PortAnswer   [SI]
    count : int   How many [-]
    Returns
    -------
    items : list of str   [-]
    """
    total = sum(entry.loss_pa for entry in answer.budget)
    ranked = sorted(answer.budget, key=lambda entry: -entry.loss_pa)[:count]
    return [f"{short(entry)} {100 * entry.loss_pa / total:.0f}" for entry in ranked]


def short(entry: Entry) -> str:
    """An element's name without its leg.

    Parameters
    ----------
    entry : Entry   [-]
    Returns
    -------
    name : str   [-]
    """
    return entry.element.rpartition(": ")[2].replace("exit kinetic energy", "exit")


def notes(result: BenchResult) -> list[str]:
    """Warnings of all ports, each once with the ports it concerns.

    Parameters
    ----------
    result : BenchResult   [SI]
    Returns
    -------
    lines : list of str   [-]
    """
    ports: dict[str, list[str]] = {}
    for port in result.ports:
        for warning in port.answer.warnings:
            ports.setdefault(warning, []).append(port.answer.port)
    return [
        paragraph(f"note (port {', '.join(names)}): {warning}") for warning, names in ports.items()
    ]


def head_table(result: BenchResult) -> str:
    """The part alone, the head alone, and both in series.

    Parameters
    ----------
    result : BenchResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    assert result.head_alone is not None
    columns = (
        Column("port", 5, left=True),
        Column("part alone CFM", 14),
        Column("head alone CFM", 14),
        Column("both CFM", 9),
    )
    rows = [
        (
            port.answer.port,
            f"{cfm(port.part_alone.mdot, result):.1f}",
            f"{cfm(result.head_alone.mdot, result):.1f}",
            f"{cfm(port.answer.mdot, result):.1f}",
        )
        for port in result.ports
        if port.part_alone is not None
    ]
    return table(columns, rows)


def march_table(result: BenchResult, marched: Sequence[Marched]) -> str:
    """The network's answer and the wave solver's, side by side.

    Parameters
    ----------
    result : BenchResult   [SI]
    marched : sequence of Marched   The same ports [SI]
    Returns
    -------
    text : str   [-]
    """
    columns = (
        Column("port", 5, left=True),
        Column("network CFM", 11),
        Column("marched CFM", 11),
        Column("apart %", 8),
        Column("cells", 6),
        Column("", 12, left=True),
    )
    rows = [
        (
            m.port,
            f"{cfm(port.answer.mdot, result):.2f}",
            f"{cfm(m.mdot, result):.2f}",
            f"{100 * (m.mdot / port.answer.mdot - 1.0):+.2f}",
            f"{m.cells}",
            "" if m.steady else "not steady",
        )
        for port, m in zip(result.ports, marched, strict=True)
    ]
    title = f"{result.design.name}: steady network, and wave solver marched to steady flow"
    return title + "\n" + table(columns, rows)


def budget_table(result: BenchResult, answer: PortAnswer) -> str:
    """Where all of one port's pressure goes.

    Parameters
    ----------
    result : BenchResult   [SI]
    answer : PortAnswer   [SI]
    Returns
    -------
    text : str   [-]
    """
    total = result.setup.bench.depression
    rows = [_budget_row(entry, total) for entry in answer.budget if entry.loss_pa != 0.0]
    rows.append(
        _budget_row(Entry("sum", sum(e.loss_pa for e in answer.budget), None, "", ""), total)
    )
    title = f"{result.design.name}, port {answer.port}: where the pressure goes"
    return title + "\n" + table(BUDGET, rows)


def _budget_row(entry: Entry, total: float) -> tuple[str, ...]:
    k = "" if entry.k is None else f"{entry.k:.3f}"
    return (
        shorten(entry.element, 30),
        f"{entry.loss_pa:.1f}",
        f"{units.to(entry.loss_pa, 'inH2O', 'pressure'):.3f}",
        f"{100 * entry.loss_pa / total:.1f}",
        k,
        entry.k_ref if k else "",
    )


def gain_table(base: BenchResult, other: BenchResult) -> str:
    """Flow of one design over another's, port by port, the base named.

    Parameters
    ----------
    base, other : BenchResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    flows = [{p.answer.port: p.answer.mdot for p in result.ports} for result in (base, other)]
    for flow in flows:
        shared = [flow[port] for port in flow if port in flows[0] and port in flows[1]]
        flow["mean"] = sum(shared) / len(shared) if shared else 0.0
    rows = []
    for port, gain, found in gains(base, other):
        low_high = "-" if found is None else f"{100 * found.p5:+.1f} to {100 * found.p95:+.1f}"
        rows.append(
            (
                port,
                f"{cfm(flows[0][port], base):.1f}",
                f"{cfm(flows[1][port], other):.1f}",
                f"{100 * gain:+.1f}",
                low_high,
            )
        )
    title = f"{other.design.name}: gain in flow at equal depression, relative to the base"
    return f"{title}\n  base: {base.design.name}\n{table(GAINS, rows)}"


def sources(results: Sequence[BenchResult]) -> str:
    """Sources of all coefficients used.

    Parameters
    ----------
    results : sequence of BenchResult   [-]
    Returns
    -------
    text : str   [-]
    """
    found = {
        part
        for result in results
        for port in result.ports
        for entry in port.answer.budget
        for part in entry.source.split(" | ")
        if part
    }
    return "\n".join(["Sources of the coefficients", *(paragraph(f"- {s}") for s in sorted(found))])
