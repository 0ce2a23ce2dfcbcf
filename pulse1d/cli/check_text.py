"""The resolved geometry of a case as text for a terminal of 80 columns."""

from __future__ import annotations

import math

from pulse1d.case.design import Design
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.network.closure import ANGLE_SLACK, Closure, closures
from pulse1d.network.legs import BuiltLeg
from pulse1d.run.geometry import piece_record, runner_record, turns

PIECES = (
    Column("piece", 15, left=True),
    Column("L mm", 6),
    Column("A mm2", 6),
    Column("change", 7),
    Column("Dh mm", 6),
    Column("turn", 5),
    Column("behind it", 20, left=True),
)
RUNNERS = (
    Column("port", 5, left=True),
    Column("port A mm2", 10),
    Column("opening", 8),
    Column("least A", 8),
    Column("runner mm", 9),
    Column("to outlet", 9),
    Column("vol cm3", 8),
    Column("turn", 6),
)


def report(design: Design) -> str:
    """Everything ``pulse1d check`` prints for one case.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    text : str   [-]
    """
    parts = [f"{design.name} ({design.path}): sound", runners(design)]
    network = design.network
    for i, leg in enumerate(network.legs):
        parts.append(leg_table(leg, network.starts[i], network.ends[i]))
    parts.append(joints(design))
    if design.case.engine is not None:
        parts.append(engine(design))
    return "\n\n".join(part for part in parts if part)


def runners(design: Design) -> str:
    """One line a port: areas, lengths, volume, turning from port to outlet.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    text : str   [-]
    """
    rows = []
    for port in design.network.port_names:
        r = runner_record(design, port)
        area = r["port_area_m2"]
        rows.append(
            (
                port,
                "-" if area is None else f"{1e6 * area:.0f}",
                f"{1e6 * r['opening_area_m2']:.0f}",
                f"{1e6 * r['least_area_m2']:.0f}",
                f"{1e3 * r['runner_length_m']:.0f}",
                f"{1e3 * r['length_m']:.0f}",
                f"{1e6 * r['volume_m3']:.0f}",
                f"{math.degrees(r['turn_rad']):.0f}",
            )
        )
    return "from port to outlet (turn in deg)\n" + table(RUNNERS, rows)


def leg_table(leg: BuiltLeg, start: str, stop: str) -> str:
    """The pieces of one leg.

    Parameters
    ----------
    leg : BuiltLeg   [SI]
    start, stop : str   Its nodes [-]
    Returns
    -------
    text : str   [-]
    """
    head = paragraph(
        f"{leg.name}: {start} to {stop}, starts {leg.section_start.describe()}, "
        f"wall {leg.station.surface}"
        + (f" ({1e3 * leg.station.eps:.3g} mm)" if not leg.station.f_fixed else ""),
        0,
    )
    rows = []
    for piece in leg.pieces:
        r = piece_record(piece)
        rows.append(
            (
                shorten(r["piece"], 15),
                f"{1e3 * r['length_m']:.1f}",
                f"{1e6 * r['area_out_m2']:.0f}",
                f"{100 * r['area_change']:+.1f} %" if abs(r["area_change"]) > 5e-4 else "",
                f"{1e3 * r['d_h_m']:.1f}",
                f"{math.degrees(r['turn_rad']):.0f}" if r["turn_rad"] else "",
                r["section_out"] if r["section_out"] != r["section_in"] else "",
            )
        )
    return head + ("\n" + table(PIECES, rows) if rows else "\n  no pieces: the ends meet")


def joints(design: Design) -> str:
    """Joints: area ratios and turns, and how the legs' ends close on them.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    text : str   [-]
    """
    lines = [
        paragraph(
            f"{name} ({kind}): {leg} turns {math.degrees(turn):.0f} deg into {into}, "
            f"area x {ratio:.2f}"
        )
        for name, kind, leg, into, turn, ratio in turns(design)
    ]
    lines += [line for closure in closures(design.network) for line in closing(closure)]
    return "\n".join(["joints", *lines]) if lines else ""


def closing(closure: Closure) -> list[str]:
    """Lines on the fit of a joint.

    Parameters
    ----------
    closure : Closure   [-]
    Returns
    -------
    lines : list of str   [-]
    """
    datum = "its stated position" if closure.has_position else "the centre of the legs' ends"
    off = ", ".join(
        f"{leg} {1e3 * d:.1f}" for leg, d in zip(closure.legs, closure.distance, strict=True)
    )
    fit = "closes" if closure.gap <= 0.0 else f"DOES NOT CLOSE, by {1e3 * closure.gap:.1f} mm"
    lines = [
        paragraph(
            f"{closure.joint}: {fit}; leg ends off {datum}, mm: {off} "
            f"(fit: up to {1e3 * max(closure.expected):.1f})"
        )
    ]
    asked = closure.has_direction or len(closure.legs) > 2
    if asked and any(math.isnan(angle) for angle in closure.angle):
        lines.append(
            paragraph(
                f"{closure.joint}: its legs do not tell where its axis points, so their angles "
                "are not checked; a `direction` on the joint states it"
            )
        )
    axis = "joint's direction" if closure.has_direction else "mean of the legs"
    for leg, built, stated in zip(closure.legs, closure.angle, closure.stated, strict=True):
        if asked and abs(built - stated) > ANGLE_SLACK:
            lines.append(
                paragraph(
                    f"{closure.joint}: {leg} arrives {math.degrees(built):.0f} deg off the {axis}, "
                    f"stated {math.degrees(stated):.0f} deg; one of them is off, and losses go by "
                    "the stated one"
                )
            )
    return lines


def engine(design: Design) -> str:
    """The engine behind the ports.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    text : str   [-]
    """
    spec = design.case.engine
    assert spec is not None
    text = f"engine: {spec.cylinders} cylinders, {1e3 * spec.displacement:.3f} L"
    ports = {port.name: port.cylinders for port in design.case.head.ports}
    gaps = spec.firing_gaps(ports) if spec.firing_order else ()
    if gaps:
        text += "; deg from each pulse to the next of this part: " + ", ".join(
            f"{port} {gap:.0f}" for port, gap in gaps
        )
    return paragraph(text, 0)
