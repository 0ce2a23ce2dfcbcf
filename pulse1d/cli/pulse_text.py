"""The pulse run as text for a terminal of 80 columns."""

from __future__ import annotations

import math

from pulse1d import units
from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.run.pulse import PulseResult
from pulse1d.run.readings import Reading

STATIONS = (
    Column("station", 22, left=True),
    Column("at mm", 6),
    Column("front ms", 8),
    Column("peak kPa", 8),
    Column("at ms", 6),
    Column("trough kPa", 10),
    Column("at ms", 6),
)


def report(result: PulseResult) -> str:
    """Everything ``pulse1d pulse`` prints of a run.

    Parameters
    ----------
    result : PulseResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    parts = [
        result.design.name,
        conditions(result),
        table(STATIONS, [row(reading) for reading in result.readings]),
        paragraph(
            "Pressures above the room's. Front: when the first wave passes a tenth of its own "
            "peak. Peak and trough: highest and lowest of the whole record."
        ),
        "\n".join(mesh_lines(result)),
        "\n".join(balance_lines(result)),
    ]
    return "\n\n".join(parts)


def conditions(result: PulseResult) -> str:
    """The rig in a few lines.

    Parameters
    ----------
    result : PulseResult   [SI]
    Returns
    -------
    text : str   [-]
    """
    setup, room = result.setup, result.room
    first, last = setup.opening[0], setup.opening[-1]
    if len(setup.opening) == 1:
        law = f"opened at once to {1e6 * first[1]:.4g} mm2"
    else:
        law = (
            f"opened from {1e6 * first[1]:.4g} mm2 at {1e3 * first[0]:.4g} ms to "
            f"{1e6 * last[1]:.4g} mm2 at {1e3 * last[0]:.4g} ms"
        )
    others = ", the other ports closed" if len(result.design.network.port_names) > 1 else ""
    return paragraph(
        f"A vessel of {1e3 * setup.volume:.4g} L at {1e-3 * setup.pressure:.5g} kPa abs, "
        f"{_celsius(setup.temperature)}, {law} (effective area), feeds port {setup.port}{others}; "
        f"{1e3 * result.length:.0f} mm to the outlet. Room {1e-3 * room.pressure:.6g} kPa, "
        f"{_celsius(room.temperature)}.",
        0,
    )


def _celsius(T: float) -> str:
    return f"{units.to(T, 'degC', 'temperature'):.4g} degC"


def row(reading: Reading) -> list[str]:
    """One station's line of the table.

    Parameters
    ----------
    reading : Reading   [SI]
    Returns
    -------
    cells : list of str   Dashes where the record shows nothing [-]
    """
    return [
        shorten(reading.station, 22),
        f"{1e3 * reading.distance:.0f}",
        _cell(1e3 * reading.arrival, ".2f"),
        _cell(1e-3 * reading.peak, "+.2f"),
        _cell(1e3 * reading.peak_time, ".2f"),
        _cell(1e-3 * reading.trough, "+.2f"),
        _cell(1e3 * reading.trough_time, ".2f"),
    ]


def _cell(value: float, form: str) -> str:
    return "-" if math.isnan(value) else format(value, form)


def mesh_lines(result: PulseResult) -> list[str]:
    """What was solved and what the mesh made of the part.

    Parameters
    ----------
    result : PulseResult   [-]
    Returns
    -------
    lines : list of str   [-]
    """
    run, pipes = result.run, result.meshed.net.pipes
    cells = f"{result.cells} cells in {len(pipes)} pipe{'s' if len(pipes) != 1 else ''}"
    finest = min(pipes, key=lambda name: pipes[name].length / pipes[name].cells)
    size = 1e3 * pipes[finest].length / pipes[finest].cells
    lines = [
        paragraph(
            f"{cells}, {1e3 * result.cell:.4g} mm aimed at; {run.steps} steps to "
            f"{1e3 * run.t:.4g} ms. The shortest cells, {size:.3g} mm in {finest}, set the step."
        )
    ]
    lines += [paragraph(f"- {note}") for note in result.meshed.notes]
    return lines


def balance_lines(result: PulseResult) -> list[str]:
    """Fall-backs and balances.

    Parameters
    ----------
    result : PulseResult   [SI]
    Returns
    -------
    lines : list of str   [-]
    """
    run = result.run
    times = f"{run.fallbacks} times" if run.fallbacks != 1 else "once"
    fell = (
        f"Cells fell back to first order {times}."
        if run.fallbacks
        else "No cell fell back to first order."
    )
    energy = (
        f"Energy: {result.energy_gap:+.3g} J came in through the heated walls; "
        if result.heated
        else f"Energy: {abs(result.energy_gap):.1e} J unaccounted for; "
    )
    return [
        paragraph(fell),
        paragraph(
            f"Mass: {1e3 * run.start.mass:.5g} g at the start, {1e3 * run.end.mass:.5g} g at the "
            f"end, {1e3 * run.left.mass:.4g} g gone out; {abs(result.mass_gap):.1e} of the start "
            "unaccounted for."
        ),
        paragraph(f"{energy}energy defect of the scheme {run.defect:.2g} J."),
    ]
