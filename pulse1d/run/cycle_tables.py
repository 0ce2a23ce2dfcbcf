"""The running engine as tables: speeds, cylinders, differences, pressures over the cycle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pulse1d.engine.orders import orders
from pulse1d.results.sheet import Column, Sheet, count, flag, number, part, text
from pulse1d.results.table import Table
from pulse1d.run.cycle import CycleAnswer, CylinderAnswer
from pulse1d.run.cycle_dataset import OUTLET as LEAVING
from pulse1d.run.cycle_dataset import PER_CYLINDER
from pulse1d.run.cycle_dataset import TRACES as STATES
from pulse1d.run.cycle_summary import (
    SpeedDifference,
    SpeedSummary,
    differences,
    gas_temperature,
    port_peak,
)
from pulse1d.run.cycle_sweep import CaseSweep, by_setting
from pulse1d.run.cycle_warnings import piston_speed

OneSpeed = tuple[CaseSweep, SpeedSummary]
OneCylinder = tuple[CaseSweep, SpeedSummary, CylinderAnswer]

CASE: Column[Any] = text("case", "name of the design", lambda r: r[0].design.name)
SETTING: Column[Any] = text(
    "setting", "what it stands in front of: stated, behind one system, open",
    lambda r: r[0].setting.kind,
)  # fmt: skip
SPEED: Column[Any] = number("speed", "1/min", "of the crankshaft", lambda r: r[1].rev_per_min)
CYLINDER: Column[Any] = text("cylinder", "as the case names it", lambda r: r[2].cylinder)
HEAD: tuple[Column[Any], ...] = (CASE, SETTING, SPEED)

SPEEDS: Sheet[OneSpeed] = Sheet(
    "speeds",
    "The engine speed by speed; means over the cylinders that were modelled",
    (
        *HEAD,
        text("key", "hash of the case and of how it is solved", lambda r: r[0].provenance.key),
        flag("converged", "whether the cycle repeats", lambda r: r[1].answer.converged),
        count("cycles", "marched", lambda r: r[1].answer.cycles),
        number("change", "1", "from the last cycle but one", lambda r: r[1].answer.changes[-1]),
        number("torque", "N m", "brake torque of those cylinders", lambda r: r[1].torque.brake),
        number("indicated_torque", "N m", "of the gas", lambda r: r[1].torque.indicated),
        number("friction_torque", "N m", "lost to friction", lambda r: r[1].torque.friction),
        number("power", "W", "brake power of those cylinders", lambda r: r[1].torque.power),
        number("bmep", "Pa", "brake mean effective pressure", lambda r: r[1].torque.bmep),
        number(
            "volumetric_efficiency", "1",
            "fresh mass kept over what the swept volume holds of the plenum's air",
            lambda r: r[1].volumetric_efficiency,
        ),
        number("residual", "1", "burned share of the trapped mass", lambda r: r[1].residual),
        number(
            "residual_spread", "1", "largest less smallest of the cylinders",
            lambda r: r[1].residual_spread,
        ),
        number("back_pressure", "Pa", "mean at the ports above the room's",
               lambda r: r[1].back_pressure),
        number("pmep", "Pa", "of the gas exchange, negative where it costs work",
               lambda r: r[1].pmep),
        number("gas_temperature", "K", "of the flow past the ports, weighted by mass",
               lambda r: r[1].T_gas),
        number("wall_temperature", "K", "mean over all pipes", lambda r: r[1].T_wall),
        number("wall_temperature_max", "K", "hottest cell", lambda r: r[1].T_wall_max),
        number("mass_gap", "1", "of the air in", lambda r: r[1].answer.mass_gap),
        number("energy_gap", "1", "of the fuel's heat", lambda r: r[1].answer.energy_gap),
        number("turbine_power", "W", "of all turbines", lambda r: r[1].answer.turbine_power),
        number("mean_piston_speed", "m/s", "two strokes a revolution",
               lambda r: piston_speed(r[0].design, r[1].answer.speed)),
    ),
)  # fmt: skip

CYLINDERS: Sheet[OneCylinder] = Sheet(
    "cylinders",
    "Every cylinder at every speed",
    (
        *HEAD,
        CYLINDER,
        text("port", "that it blows into", lambda r: r[2].port),
        *(
            number(name, unit, meaning, part(2, name))
            for name, (unit, meaning) in PER_CYLINDER.items()
        ),
        number("port_peak", "Pa", "highest pressure at the port, absolute",
               lambda r: port_peak(r[0].design, r[2])[0]),
        number("port_peak_at", "deg", "after the exhaust valve opens",
               lambda r: port_peak(r[0].design, r[2])[1]),
        number("gas_temperature", "K", "of its flow, weighted by mass",
               lambda r: gas_temperature([r[2]])),
    ),
)  # fmt: skip

ORDERS: Sheet[tuple[CaseSweep, SpeedSummary, float, float]] = Sheet(
    "orders",
    "Pulsation of the flow out of the outlet by order",
    (
        *HEAD,
        number("order", "1", "events a revolution", lambda r: r[2]),
        number("mass_flow", "kg/s", "amplitude, half of peak to peak", lambda r: r[3]),
    ),
)

FAILED: Sheet[tuple[CaseSweep, float, str]] = Sheet(
    "failed",
    "Speeds at which the march broke down",
    (
        CASE,
        SETTING,
        number("speed", "1/min", "of the crankshaft", lambda r: round(60.0 * r[1], 9)),
        text("reason", "why", lambda r: r[2]),
    ),
)

DIFFERENCES: Sheet[tuple[CaseSweep, SpeedDifference, CaseSweep]] = Sheet(
    "differences",
    "A case less the first of its setting, the base, at every speed that both have",
    (
        text("base", "name of the base", lambda r: r[2].design.name),
        *HEAD,
        flag("converged", "both of them", lambda r: r[1].converged),
        number("torque", "N m", "more brake torque; empty: unlike numbers of cylinders",
               lambda r: r[1].torque),
        number("torque_share", "1", "of the base's torque", lambda r: r[1].torque_share),
        number("volumetric_efficiency", "1", "more of it", lambda r: r[1].volumetric_efficiency),
        number("residual", "1", "more of it", lambda r: r[1].residual),
        number("back_pressure", "Pa", "more of it", lambda r: r[1].back_pressure),
        number("pmep", "Pa", "more of it", lambda r: r[1].pmep),
    ),
)  # fmt: skip

TRACES: Sheet[tuple[CaseSweep, SpeedSummary, CylinderAnswer, int]] = Sheet(
    "traces",
    "State at every port over one cycle",
    (
        *HEAD,
        CYLINDER,
        number("crank_angle", "deg", "after the cylinder's own firing top dead centre",
               lambda r: float(r[3])),
        *(
            number(name, unit, meaning, part(2, name, at=3))
            for name, (unit, meaning) in STATES.items()
        ),
    ),
)  # fmt: skip

OUTLET: Sheet[tuple[CaseSweep, CycleAnswer, int]] = Sheet(
    "outlet",
    "State at the outlet over one cycle",
    (
        CASE,
        SETTING,
        number("speed", "1/min", "of the crankshaft", lambda r: round(60.0 * r[1].speed, 9)),
        number("crank_angle", "deg", "after the first firing top dead centre",
               lambda r: float(r[2])),
        *(
            number(name, unit, meaning, part(1, name, at=2))
            for name, (unit, meaning) in LEAVING.items()
        ),
    ),
)  # fmt: skip

SHEETS: tuple[Sheet[Any], ...] = (
    SPEEDS, CYLINDERS, ORDERS, DIFFERENCES, FAILED, TRACES, OUTLET
)  # fmt: skip


def cycle_tables(sweeps: Sequence[CaseSweep]) -> list[Table]:
    """What ``pulse1d cycle`` prints and draws of the speeds.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   The first of each setting is its base [SI]
    Returns
    -------
    tables : list of Table   Speeds, cylinders, orders, traces, outlet; differences of several
        cases and speeds that failed, where there are any [SI]
    """
    every = [(sweep, summary) for sweep in sweeps for summary in sweep.summaries]
    cylinders = [(*one, own) for one in every for own in one[1].answer.cylinders]
    more = (
        DIFFERENCES.table(_differences(sweeps)),
        FAILED.table((sweep, *one) for sweep in sweeps for one in sweep.failed),
    )
    return [
        SPEEDS.table(every),
        CYLINDERS.table(cylinders),
        ORDERS.table(
            (*one, *row)
            for one in every
            for row in zip(*orders(one[1].answer.outlet_mdot), strict=True)
        ),
        TRACES.table((*one, k) for one in cylinders for k in range(len(one[2].p_port))),
        OUTLET.table(
            (sweep, answer, k)
            for sweep in sweeps
            for answer in sweep.answers
            for k in range(len(answer.outlet_p))
        ),
        *(table for table in more if table.rows),
    ]


def _differences(
    sweeps: Sequence[CaseSweep],
) -> Iterator[tuple[CaseSweep, SpeedDifference, CaseSweep]]:
    for base, *others in by_setting(sweeps).values():
        for other in others:
            for row in differences(base.summaries, other.summaries):
                yield other, row, base
