"""What every port flows, the base behind."""

from __future__ import annotations

from pulse1d.plots.bars import bars_figure
from pulse1d.plots.look import unit
from pulse1d.report.blocks import Block, Grid, Picture, Section, Words
from pulse1d.report.evidence import Evidence
from pulse1d.report.words import banded, flow, signed
from pulse1d.run.bench import BenchResult
from pulse1d.run.record import gains


def ports(evidence: Evidence) -> Section:
    """Bars of every port, the flows and the gains behind them.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section   [-]
    """
    shown, results = evidence.shown, evidence.bench
    names = ", ".join(result.design.name for result in results)
    picture = Picture(
        "Flow of each port, with 5–95 % bands"
        + ("; bars behind: the base" if len(results) > 1 else ""),
        f"Bars of the flow of every port of {names}; the numbers stand in the table below.",
        lambda width: bars_figure(
            results, measured=measured_flows(evidence), shown=shown, width=width
        ),
    )
    blocks: list[Block] = [picture, *(_flows(evidence, result) for result in results)]
    blocks += [_gains(evidence, other) for other in results[1:]]
    blocks.append(
        Words(
            "A band holds 90 % of what the coefficients' own doubts, the tolerances and the wall "
            "allow. A gain keeps what two designs have in common, so it is surer than the flows.",
            "note",
        )
    )
    return Section("ports", "Port by port", tuple(blocks))


def measured_flows(evidence: Evidence) -> dict[str, dict[str, tuple[float, float]]]:
    """Measured flows of the cases, where their bench is that of the prediction.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    flows : dict   Case to port to (flow, its uncertainty at 95 %) [m^3/s]
    """
    found: dict[str, dict[str, tuple[float, float]]] = {}
    asked = evidence.bench[0].setup.bench
    for one in evidence.readings:
        for comparison, _ in one.against:
            bench = comparison.design.case.bench
            alike = (
                abs(bench.depression / asked.depression - 1.0) < 1e-3
                and bench.direction == asked.direction
                and bench.fixed_end == asked.fixed_end
                and bench.reference == asked.reference
            )
            if alike:
                found[comparison.design.name] = {
                    gap.port: (gap.measured, 2.0 * gap.u_measured * gap.measured)
                    for gap in comparison.ports
                }
    return found


def _flows(evidence: Evidence, result: BenchResult) -> Grid:
    shown = evidence.shown
    rows = []
    for port in result.ports:
        answer, band = port.answer, port.band
        ends = sorted((abs(band.p5), abs(band.p95))) if band is not None else None
        rows.append(
            (
                answer.port,
                flow(answer.mdot, result, shown),
                " to ".join(flow(m, result, shown) for m in ends) if ends else "–",
                f"{3600.0 * abs(answer.mdot):.1f}",
                f"{1e6 * answer.cda:.0f}",
                f"{answer.mach_max:.3f}",
                "; ".join((*answer.warnings, *(() if answer.converged else ("not converged",)))),
            )
        )
    noted = any(row[-1] for row in rows)
    heads = ("port", unit(shown.flow), "5–95 %", "kg/h", "CdA mm²", "Mach", "note")
    return Grid(
        f"{result.design.name}: predicted flow",
        heads if noted else heads[:-1],
        tuple(row if noted else row[:-1] for row in rows),
        words=noted,
    )


def _gains(evidence: Evidence, other: BenchResult) -> Grid:
    base, shown = evidence.bench[0], evidence.shown
    flows = [{p.answer.port: p.answer.mdot for p in r.ports} for r in (base, other)]
    shared = [port for port in flows[0] if port in flows[1]]
    for own in flows:
        own["mean"] = sum(own[port] for port in shared) / max(len(shared), 1)
    rows = [
        (
            port,
            flow(flows[0][port], base, shown),
            flow(flows[1][port], other, shown),
            signed(gain),
            banded(band),
        )
        for port, gain, band in gains(base, other)
    ]
    return Grid(
        f"{other.design.name}: gain in flow at equal depression, base {base.design.name}",
        ("port", f"base {unit(shown.flow)}", unit(shown.flow), "gain %", "5–95 %"),
        tuple(rows),
        last_is_sum=len(rows) > 1,
    )
