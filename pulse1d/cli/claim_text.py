"""The claim and its test sheet as text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Sequence

from pulse1d import units
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.compare.claim import claim_text
from pulse1d.compare.parts import PartComparison
from pulse1d.compare.sheet import meter_unit, set_up_fields
from pulse1d.measure.air import density
from pulse1d.measure.reduce import Reduction

LEAKS = (Column("leak, part", 16, left=True), Column("port", 6, left=True), Column("CFM", 6))
RAW = (
    Column("row", 4),
    Column("what", 5, left=True),
    Column("part", 9, left=True),
    Column("port", 4, left=True),
    Column("mount", 5),
    Column("meter", 8, left=True),
    Column("inH2O", 6),
    Column("shown", 7),
    Column("part C", 6),
    Column("met. C", 6),
)
MOUNTS = (
    Column("port", 6, left=True),
    Column("part", 14, left=True),
    Column("session", 7),
    Column("remount", 7),
    Column("readings", 8),
    Column("CFM", 8),
    Column("pair's gain %", 13),
)


def report(comparison: PartComparison, reductions: Sequence[Reduction]) -> str:
    """Everything ``pulse1d claim`` prints.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    reductions : sequence of Reduction   Those compared [SI]
    Returns
    -------
    text : str   [-]
    """
    parts = [paragraph(claim_text(comparison), 0).replace("\n  ", "\n"), "TEST SHEET"]
    for k, reduction in enumerate(reductions):
        parts += [set_up_lines(k + 1, reduction), raw_table(reduction)]
        parts += [leak_table(reduction), check_line(reduction)]
    parts += [mount_table(comparison), counts_line(comparison)]
    return "\n\n".join(part for part in parts if part)


def set_up_lines(number: int, reduction: Reduction) -> str:
    """Every field of the set-up, one a line.

    Parameters
    ----------
    number : int   Of the session, from 1 [-]
    reduction : Reduction   [SI]
    Returns
    -------
    text : str   [-]
    """
    session = reduction.session
    fields = [("session", f"{number}, file {session.name or '-'}"), *set_up_fields(reduction)]
    return "\n".join(paragraph(f"{name + ':':<15}{value}") for name, value in fields)


def raw_table(reduction: Reduction) -> str:
    """Every reading as the gauges showed it; temperatures of the air at part and meter in degC.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    text : str   [-]
    """
    header = reduction.session.header
    rows = []
    for r in sorted(reduction.session.readings, key=lambda r: r.order):
        unit, dimension = meter_unit(header.meter(r.meter))
        rows.append(
            (
                f"{r.order}",
                r.what,
                shorten(r.part or "-", 9),
                shorten(r.port or "-", 4),
                f"{r.remount}",
                shorten(r.meter, 8),
                f"{_inches(r.test_pressure):.2f}",
                f"{units.to(r.meter_reading, unit, dimension):.3f}",
                f"{units.to(r.T_part, 'degC', 'temperature'):.1f}",
                f"{units.to(r.T_meter, 'degC', 'temperature'):.1f}",
            )
        )
    return table(RAW, rows)


def leak_table(reduction: Reduction) -> str:
    """Leaks at the test pressure.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    text : str   [-]
    """
    if not reduction.leak:
        return "  leak: not read"
    rho = density(reduction.session.header.reference)
    return table(
        LEAKS,
        [
            (shorten(part or "-", 16), shorten(port or "-", 6), f"{_cfm(leak / rho):.2f}")
            for (part, port), leak in reduction.leak.items()
        ],
    )


def check_line(reduction: Reduction) -> str:
    """What the check plate told.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    text : str   [-]
    """
    if not reduction.drift:
        return "  check plate: not read"
    read = ", ".join(f"{ratio:.4f} (row {order})" for order, ratio in reduction.drift)
    return paragraph(f"check plate, bench reading over what it should read: {read}")


def mount_table(comparison: PartComparison) -> str:
    """Every remount in the order read, each pair's gain behind its second.

    Parameters
    ----------
    comparison : PartComparison   [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = []
    for port in comparison.samples:
        line = port.in_order(comparison.rows.base, comparison.rows.other)
        gains = [""] * len(line)
        if port.paired:
            for k in range(0, len(line), 2):
                flow = {part: mount.flow for mount, part in line[k : k + 2]}
                ratio = flow[comparison.rows.other] / flow[comparison.rows.base]
                gains[k + 1] = f"{100 * (ratio - 1.0):+.2f}"
        for (mount, part), gain in zip(line, gains, strict=True):
            rows.append(
                (
                    shorten(port.port, 6),
                    shorten(part, 14),
                    f"{mount.session + 1}",
                    f"{mount.number}",
                    f"{len(mount.rows)}",
                    f"{_cfm(mount.flow):.2f}",
                    gain,
                )
            )
    return table(MOUNTS, rows)


def counts_line(comparison: PartComparison) -> str:
    """Order and number of remounts of every port.

    Parameters
    ----------
    comparison : PartComparison   [-]
    Returns
    -------
    text : str   [-]
    """
    told = "; ".join(
        f"port {port.port} {port.order}, {len(port.base)} and {len(port.other)} remounts"
        for port in comparison.samples
    )
    return paragraph(f"order read (A {comparison.rows.base}, B {comparison.rows.other}): {told}")


def _inches(pressure: float) -> float:
    return units.to(pressure, "inH2O", "pressure")


def _cfm(flow: float) -> float:
    return units.to(flow, "CFM", "volume flow")
