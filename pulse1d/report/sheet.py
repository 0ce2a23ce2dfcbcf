"""The test sheet: how the parts stood on the bench, and every reading behind a measured claim."""

from __future__ import annotations

from pulse1d import units
from pulse1d.compare.sheet import meter_unit, set_up_fields
from pulse1d.measure.reduce import Reduction
from pulse1d.report.blocks import Block, Grid, Section
from pulse1d.report.evidence import Evidence
from pulse1d.report.words import KELVIN, pressure
from pulse1d.steady.conditions import AirState


def sheet(evidence: Evidence) -> Section:
    """The set-up that was predicted on, and that of the readings.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section   [-]
    """
    blocks: list[Block] = [_predicted(evidence)]
    for one in evidence.readings:
        blocks.append(
            Grid(
                f"Measured: {one.path.name}",
                ("what", "stated in the readings"),
                tuple(set_up_fields(one.reduction)),
                texts=2,
            )
        )
    return Section("sheet", "Test sheet", tuple(blocks))


def rows(evidence: Evidence) -> Section | None:
    """Every reading, as the gauges showed it.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section or None   None without readings [-]
    """
    blocks = tuple(_rows(one.reduction) for one in evidence.readings)
    return Section("readings", "Every reading", blocks) if blocks else None


def _predicted(evidence: Evidence) -> Grid:
    result = evidence.bench[0]
    bench = result.setup.bench
    flow = "port to outlet" if bench.port_to_outlet else "outlet to port (reverse)"
    adapter = bench.adapter.edge_radius
    rows = [
        ("depression across the part", pressure(bench.depression, evidence.shown)),
        ("direction", f"{bench.direction} at the {bench.fixed_end}, flow {flow}"),
        ("ports", f"one at a time, others {bench.other_ports}"),
        ("adapter's edge radius", f"{1e3 * adapter:.3g} mm" if adapter else "none, sharp edge"),
        ("room", _air(bench.room)),
        ("flow stated at", _air(bench.reference)),
        ("gas", evidence.base.case.gas.kind),
        ("samples of a band", f"{len(result.ports[0].samples)}"),
    ]
    return Grid(
        "Predicted: every design on the bench of the base",
        ("what", "value"),
        tuple(rows),
        texts=2,
    )


def _air(state: AirState) -> str:
    return (
        f"{1e-3 * state.pressure:.6g} kPa, {state.temperature - KELVIN:.4g} °C, "
        f"{100 * state.humidity:.3g} % RH"
    )


def _rows(reduction: Reduction) -> Grid:
    header = reduction.session.header
    rows = []
    for r in sorted(reduction.session.readings, key=lambda r: r.order):
        name, dimension = meter_unit(header.meter(r.meter))
        rows.append(
            (
                f"{r.order}",
                r.what,
                r.part or "–",
                r.port or "–",
                f"{r.remount}",
                r.meter,
                f"{units.to(r.test_pressure, 'inH2O', 'pressure'):.2f}",
                f"{units.to(r.meter_reading, name, dimension):.3f} {name}",
                f"{r.T_part - KELVIN:.1f}",
                f"{r.T_meter - KELVIN:.1f}",
            )
        )
    return Grid(
        f"Every reading of {reduction.session.name or 'the session'}, as the gauges showed it",
        (
            "row", "what", "part", "port", "mount", "meter", "test inH2O", "meter", "part °C",
            "meter °C",
        ),
        tuple(rows),
        texts=4,
    )  # fmt: skip
