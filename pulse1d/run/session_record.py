"""A reduced session of bench readings as one documented record."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from pulse1d import __version__
from pulse1d.measure.exponent import Exponent
from pulse1d.measure.reduce import Reduced, Reduction
from pulse1d.run.session import At, PortMean, Sampled, reference_density

SCHEMA = "pulse1d reduce 1"
COVERAGE = 2.0
"""Coverage factor of expanded uncertainties."""


def session_record(
    reduction: Reduction,
    means: Sequence[PortMean],
    checks: Sequence[Sampled | None],
    exponents: Mapping[tuple[str, str], Exponent],
    at: Sequence[At] = (),
) -> dict[str, Any]:
    """The object that ``pulse1d reduce --json`` prints.

    ``{"schema", "version", "session", "about", "set_up", "reference", "rows", "means", "exponents",
    "at", "leaks", "drift", "notes"}``. ``set_up``: ``direction``, ``fixed_end``, ``flow`` ("port to
    outlet" or "reverse"), ``test_pressure_pa``, ``tolerance``, ``other_ports``, ``adapter``,
    ``adapter_edge_radius_m``, ``gasket_m``, ``outlet_stub``, ``meter_inlet``; ``reference``:
    ``p_pa``, ``t_k``, ``rh``, ``rho_kg_m3``. Each row: ``order``, ``line``, ``part``, ``port``,
    ``remount``, ``meter``, ``test_pressure_pa``, ``mdot_kg_s``, ``q_actual_m3_s`` (at the state in
    front of the part), ``q_standard_m3_s`` (mass flow over the reference density), ``q_m3_s`` (at
    exactly the stated test pressure from reference air), ``cda_m2``, ``u_relative`` (of ``q_m3_s``,
    gauges and meters only), ``warnings``. Each mean, of ``q_m3_s``: ``part``, ``port``, ``orders``,
    ``mounts``, ``q_m3_s``, ``mdot_kg_s``, ``cda_m2``, ``u_relative``, ``expanded_relative`` with
    ``coverage_factor``, ``degrees_of_freedom`` (null: no limit), ``budget`` (rows of ``cause`` and
    ``u_relative``), ``monte_carlo`` (null, or ``samples``, ``u_relative``, ``low_relative``,
    ``high_relative``, ``u_budget_relative``). Each exponent, of Q = K dP^n: ``part``, ``port``,
    ``n``, ``u_n``, ``n_actual`` (compressibility left in), ``points``, ``low_pa``, ``high_pa``,
    ``licensed``, ``reason``. ``at``, a row a mean when another pressure is asked for: ``part``,
    ``port``, ``test_pressure_pa``, ``q_m3_s`` and ``u_relative`` (null where refused), ``how``,
    ``refusal``. Leaks: ``part``, ``port``, ``mdot_kg_s``; drift: ``order``, ``ratio``.

    Parameters
    ----------
    reduction : Reduction   [SI]
    means : sequence of PortMean   [SI]
    checks : sequence of Sampled or None   Monte Carlo of each mean [-]
    exponents : mapping   (part, port) to Exponent [-]
    at : sequence of At   Means at another test pressure [SI]
    Returns
    -------
    record : dict   [SI]
    """
    header = reduction.session.header
    set_up, reference = header.set_up, header.reference
    forward = (set_up.fixed_end == "port") == (set_up.direction == "blown")
    return {
        "schema": SCHEMA,
        "version": __version__,
        "session": reduction.session.name,
        "about": {
            "bench": header.about.bench,
            "date": header.about.date.isoformat(),
            "operator": header.about.operator,
            "notes": header.about.notes,
        },
        "set_up": {
            "direction": set_up.direction,
            "fixed_end": set_up.fixed_end,
            "flow": "port to outlet" if forward else "reverse",
            "test_pressure_pa": set_up.test_pressure,
            "tolerance": set_up.tolerance,
            "other_ports": set_up.other_ports,
            "adapter": set_up.adapter.shape,
            "adapter_edge_radius_m": set_up.adapter.edge_radius,
            "gasket_m": set_up.gasket,
            "outlet_stub": set_up.outlet_stub,
            "meter_inlet": set_up.meter_inlet,
        },
        "reference": {
            "p_pa": reference.pressure,
            "t_k": reference.temperature,
            "rh": reference.humidity,
            "rho_kg_m3": reference_density(reduction),
        },
        "rows": [_row(reduction, k, row) for k, row in enumerate(reduction.rows)],
        "means": [_mean(reduction, mean, check) for mean, check in zip(means, checks, strict=True)],
        "exponents": [_exponent(*key, found) for key, found in exponents.items()],
        "at": [_at(found) for found in at],
        "leaks": [
            {"part": part, "port": port, "mdot_kg_s": mdot}
            for (part, port), mdot in reduction.leak.items()
        ],
        "drift": [{"order": order, "ratio": ratio} for order, ratio in reduction.drift],
        "notes": list(reduction.notes),
    }


def _row(reduction: Reduction, k: int, row: Reduced) -> dict[str, Any]:
    reading = row.reading
    return {
        "order": reading.order,
        "line": reading.line,
        "part": reading.part,
        "port": reading.port,
        "remount": reading.remount,
        "meter": reading.meter,
        "test_pressure_pa": reading.test_pressure,
        "mdot_kg_s": row.mdot,
        "q_actual_m3_s": row.q_actual,
        "q_standard_m3_s": row.q_standard,
        "q_m3_s": row.flow,
        "cda_m2": row.cda,
        "u_relative": math.hypot(*reduction.jacobian[k]),
        "warnings": list(row.warnings),
    }


def _mean(reduction: Reduction, mean: PortMean, check: Sampled | None) -> dict[str, Any]:
    return {
        "part": mean.part,
        "port": mean.port,
        "orders": [reduction.rows[k].reading.order for k in mean.rows],
        "mounts": mean.mounts,
        "q_m3_s": mean.flow,
        "mdot_kg_s": mean.mdot,
        "cda_m2": mean.cda,
        "u_relative": mean.u,
        "expanded_relative": COVERAGE * mean.u,
        "coverage_factor": COVERAGE,
        "degrees_of_freedom": mean.freedom if math.isfinite(mean.freedom) else None,
        "budget": [{"cause": name, "u_relative": u} for name, u in mean.lines],
        "monte_carlo": None
        if check is None
        else {
            "samples": check.samples,
            "u_relative": check.u,
            "low_relative": math.expm1(check.low),
            "high_relative": math.expm1(check.high),
            "u_budget_relative": check.u_budget,
        },
    }


def _exponent(part: str, port: str, found: Exponent) -> dict[str, Any]:
    return {
        "part": part,
        "port": port,
        "n": found.n,
        "u_n": found.u_n,
        "n_actual": found.n_actual,
        "points": found.points,
        "low_pa": found.low,
        "high_pa": found.high,
        "licensed": found.licensed,
        "reason": found.reason,
    }


def _at(found: At) -> dict[str, Any]:
    converted = found.converted
    return {
        "part": found.mean.part,
        "port": found.mean.port,
        "test_pressure_pa": found.pressure,
        "q_m3_s": converted.flow if converted else None,
        "u_relative": found.u if converted else None,
        "how": converted.how if converted else "",
        "refusal": found.refusal,
    }
