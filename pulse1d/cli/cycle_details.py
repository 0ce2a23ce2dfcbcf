"""What is told of one speed of the running engine: cylinders, waves, lengths, measurements."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pulse1d.cli.text import Column, paragraph, shorten, table
from pulse1d.compare.overlay import Overlay
from pulse1d.engine.orders import orders
from pulse1d.engine.tuning import TunedLength
from pulse1d.run.attribution import Interference
from pulse1d.run.cycle_summary import SpeedSummary, gas_temperature, port_peak
from pulse1d.run.cycle_sweep import CaseSweep

CYLINDERS = (
    Column("cylinder", 8, left=True),
    Column("trapped", 7),
    Column("resid", 5),
    Column("v.eff", 5),
    Column("imep", 5),
    Column("pmep", 5),
    Column("peak", 6),
    Column("at", 5),
    Column("back", 5),
    Column("gas", 4),
)
CYLINDER_UNITS = ["", "mg", "%", "%", "bar", "bar", "kPa", "deg", "kPa", "degC"]
CYLINDER_NOTE = (
    "peak: highest port pressure (abs) of the whole cycle, a sister's pulse included; at: after "
    "this cylinder's exhaust valve opens."
)
WAVES = (
    Column("at", 8, left=True),
    Column("from", 26, left=True),
    Column("arrives", 8),
    Column("strength", 9),
    Column("in overlap", 10),
)
TUNED = (Column("way or rule", 34, left=True), Column("length", 8), Column("echo back", 10))
MATRIX_NOTE = (
    "By paired cycles from one state, with and without each blow-down. Positive holds exhaust gas "
    "in the cylinder, negative draws it out."
)
WAVES_NOTE = (
    "arrives: after the exhaust valve opens, when a source has grown to a fifth of its own "
    "largest; strength: its largest, with its sign; in overlap: mean while both valves are open."
)
TUNED_NOTE = (
    "Quarter-wave lengths take one speed of sound and an open end; the 850 rule is common "
    "practice, no source. Neither knows sisters, joints or losses; the waves above do. echo back: "
    "after the exhaust valve opens. Lengths of this part are from the flange to the first joint; "
    "the port's own passage comes on top."
)
ORDERS = 5
"""Strongest orders of the outlet that are named."""
MOST_COLUMNS = 8
"""Cylinders of a matrix that fit the width."""


def cylinder_lines(sweep: CaseSweep, summary: SpeedSummary) -> str:
    """The table by cylinder.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    summary : SpeedSummary   Of this sweep [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = [CYLINDER_UNITS]
    for one in summary.answer.cylinders:
        peak, after = port_peak(sweep.design, one)
        rows.append(
            [
                shorten(one.cylinder, 8),
                f"{1e6 * one.trapped:.1f}",
                f"{100.0 * one.residual:.2f}",
                f"{100.0 * one.volumetric_efficiency:.1f}",
                f"{1e-5 * one.imep:.2f}",
                f"{1e-5 * one.pmep:.2f}",
                f"{1e-3 * peak:.1f}",
                f"{after:.0f}",
                f"{1e-3 * one.back_pressure:.1f}",
                f"{gas_temperature([one]) - 273.15:.0f}",
            ]
        )
    mark = "" if summary.answer.converged else ", not converged"
    title = f"{sweep.design.name} at {summary.rev_per_min:g} rev/min{mark}"
    return f"{title}\n{table(CYLINDERS, rows)}"


def matrix_lines(found: Interference) -> str:
    """Who raises whose port pressure.

    Parameters
    ----------
    found : Interference   [SI]
    Returns
    -------
    text : str   [-]
    """
    names = found.cylinders
    shown = range(min(len(names), MOST_COLUMNS))
    columns = [Column("at cylinder", 11, left=True), *(Column(names[j][:6], 6) for j in shown)]
    rows = [
        [shorten(name, 11), *("." if i == j else _kpa(float(found.matrix[i, j])) for j in shown)]
        for i, name in enumerate(names)
    ]
    title = "Interference: what the blow-down of each cylinder (column) adds to the mean port"
    left = len(names) - len(shown)
    more = "\n" + paragraph(f"{left} more columns stand in --json.") if left else ""
    return (
        f"{title}\npressure of another (row) while both valves of the latter are open [kPa]\n"
        f"{table(columns, rows)}{more}"
    )


def wave_lines(found: Interference) -> str:
    """Waves that come back to each cylinder.

    Parameters
    ----------
    found : Interference   [SI]
    Returns
    -------
    text : str   [-]
    """
    rows = [["", "", "deg", "kPa", "kPa"]]
    for name, waves in found.waves.items():
        for k, wave in enumerate(waves):
            rows.append(
                [
                    shorten(name, 8) if k == 0 else "",
                    shorten(wave.source, 26),
                    f"{wave.arrives:.0f}",
                    _kpa(wave.strength),
                    _kpa(wave.in_overlap),
                ]
            )
    return f"Waves at the ports, by where they come from\n{table(WAVES, rows)}"


def _kpa(value: float) -> str:
    return f"{round(1e-3 * value, 2) + 0.0:+.2f}"


def tuning_lines(lengths: Sequence[TunedLength], speed: float) -> str:
    """Classical lengths beside the part's own.

    Parameters
    ----------
    lengths : sequence of TunedLength   [SI]
    speed : float   [rev/s]
    Returns
    -------
    text : str   [-]
    """
    rows = [["", "mm", "deg"]] + [
        [shorten(one.rule, 34), f"{1e3 * one.length:.0f}", f"{one.return_after:.0f}"]
        for one in lengths
    ]
    return f"Tuned lengths at {60.0 * speed:g} rev/min\n{table(TUNED, rows)}"


def overlay_line(what: str, found: Overlay | None, kind: str) -> str:
    """How far a measurement lies from the prediction.

    Parameters
    ----------
    what : str   Case, cylinder and file [-]
    found : Overlay or None   [SI]
    kind : str   "pressure" or "torque" [-]
    Returns
    -------
    text : str   [-]
    """
    if found is None:
        return paragraph(f"{what}: no measured speed lies between converged predicted ones.", 0)
    scale, unit = (1e-3, "kPa") if kind == "pressure" else (1.0, "N m")
    text = (
        f"{what}: {found.rows} rows; predicted less measured {scale * found.mean:+.2f} {unit} in "
        f"the mean, {scale * found.rms:.2f} {unit} rms"
    )
    if kind == "pressure":
        if math.isnan(found.shift):
            text += "; the rows span too little of the cycle to tell a shift"
        else:
            late = "late" if found.shift >= 0.0 else "early"
            text += (
                f"; the prediction comes {abs(found.shift):.2f} deg {late} "
                f"(correlation {found.correlation:.3f})"
            )
    if not math.isnan(found.amplitude):
        text += f"; its amplitude is {found.amplitude:.3f} of the measured one"
    return paragraph(text + ".", 0)


def order_line(summary: SpeedSummary) -> str:
    """The pulsation of the outlet by its strongest orders.

    Parameters
    ----------
    summary : SpeedSummary   [SI]
    Returns
    -------
    text : str   [-]
    """
    flow = summary.answer.outlet_mdot
    order, size = orders(flow)
    strongest = sorted(sorted(range(len(size)), key=lambda k: -size[k])[:ORDERS])
    parts = ", ".join(f"{order[k]:g}: {1e3 * size[k]:.3g}" for k in strongest)
    power = summary.answer.turbine_power
    turbines = f"; turbine power {1e-3 * power:.3g} kW, no rotor modelled" if power > 0.0 else ""
    return paragraph(
        f"outlet flow, mean {1e3 * float(flow.mean()):.4g} g/s, pulsation by order per revolution "
        f"[g/s, half of peak to peak]: {parts}" + turbines
    )
