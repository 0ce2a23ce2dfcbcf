"""The running engine as one documented record of plain numbers."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from pulse1d import __version__
from pulse1d.case.design import Design
from pulse1d.engine.orders import orders
from pulse1d.engine.tuning import TunedLength
from pulse1d.run.attribution import Interference
from pulse1d.run.cycle import CylinderAnswer
from pulse1d.run.cycle_band import CycleBand, band_of_difference
from pulse1d.run.cycle_dataset import PER_CYLINDER
from pulse1d.run.cycle_summary import (
    SpeedSummary,
    differences,
    gas_temperature,
    port_peak,
)
from pulse1d.run.cycle_sweep import CaseSweep, by_setting
from pulse1d.run.cycle_warnings import piston_speed, warnings_on
from pulse1d.run.downstream import same, size, system, system_key
from pulse1d.run.engine_net import needs

SCHEMA = "pulse1d cycle 1"
SUFFIX = {"kg": "_kg", "Pa": "_pa", "J": "_j", "1": ""}


def cycle_record(
    sweeps: Sequence[CaseSweep],
    at: float,
    outcome: str,
    *,
    waves: Mapping[str, Interference] | None = None,
    tuning: Mapping[str, Sequence[TunedLength]] | None = None,
    measured: Sequence[dict[str, Any]] = (),
    bands: Mapping[str, CycleBand] | None = None,
) -> dict[str, Any]:
    """The object that ``pulse1d cycle --json`` prints.

    ``{"schema", "version", "outcome" (done, not converged or interrupted), "at_rev_per_min",
    "cases": [...], "differences": [...], "measured": [...]}``. Each case: ``case``, ``file``,
    ``digest``, ``key``, ``setting`` (stated by the case, behind one system, or open at the outlet),
    ``downstream`` (null, or ``key``, ``pieces``, ``length_m``: equal keys, equal systems),
    ``cylinders`` (of the engine), ``modelled`` (names), ``reused`` (speeds read from the results),
    ``speeds``, ``failed``, ``warnings`` (in words: pistons too fast, torque below 0, gas at the
    ports that no stated passage cools), ``sources``, ``results``, and, where asked for,
    ``interference`` (``matrix_pa[i][j]``: pressure that the blow-down of cylinder j adds at port i
    over the overlap of i, null for its own), ``waves``, ``tuning`` and ``bands`` (by answer, SI:
    ``half`` of 5-95 %, ``by_input``). Each speed: ``converged``, figures of the cylinders modelled
    (``volumetric_efficiency``: fresh mass kept over what the swept volume holds of the plenum's
    air; ``mean_piston_speed_m_s``),
    ``outlet_orders_kg_s`` (amplitude of the outlet's flow by order per revolution), and
    ``cylinders``. Each difference: a case less the first of its ``setting``, by speed;
    ``same_downstream`` false: it mixes manifold and downstream system; with ``bands`` where asked
    for, inputs common to both. Back pressures are above the
    room's, other pressures absolute. Null: cannot be told.

    Parameters
    ----------
    sweeps : sequence of CaseSweep   The first is the base [SI]
    at : float   Speed of the details [rev/s]
    outcome : str   [-]
    waves : mapping   Key of a case to who sends which wave at that speed [SI]
    tuning : mapping   Key of a case to tuned lengths at that speed [SI]
    measured : sequence of dict   Plain numbers of what was laid over [SI]
    bands : mapping   Key of a case to the bands at that speed [SI]
    Returns
    -------
    record : dict   [SI]
    """
    cases = []
    for sweep in sweeps:
        case = case_record(sweep)
        key = sweep.provenance.key
        if waves is not None and (found := waves.get(key)) is not None:
            case |= attribution_record(found)
        if tuning is not None:
            case["tuning"] = [
                {"rule": one.rule, "length_m": one.length, "return_after_evo_deg": one.return_after}
                for one in tuning.get(key, ())
            ]
        if bands is not None and (band := bands.get(key)) is not None:
            case["bands"] = band_record(band)
        cases.append(case)
    return {
        "schema": SCHEMA,
        "version": __version__,
        "outcome": outcome,
        "at_rev_per_min": round(60.0 * at, 9),
        "cases": cases,
        "differences": [
            difference_record(own[0], other, bands or {})
            for own in by_setting(sweeps).values()
            for other in own[1:]
        ],
        "measured": list(measured),
    }


def difference_record(
    base: CaseSweep, other: CaseSweep, bands: Mapping[str, CycleBand]
) -> dict[str, Any]:
    """One case less another.

    Parameters
    ----------
    base, other : CaseSweep   Of one setting [SI]
    bands : mapping   Key of a case to its bands [SI]
    Returns
    -------
    record : dict   [SI]
    """
    ours, theirs = (bands.get(one.provenance.key) for one in (base, other))
    told = band_record(band_of_difference(ours, theirs)) if ours and theirs else None
    return {
        "case": other.design.name,
        "base": base.design.name,
        "setting": other.setting.kind,
        "same_downstream": same([system(base.design), system(other.design)]),
        "speeds": [
            {key: number(value) for key, value in asdict(row).items()}
            for row in differences(base.summaries, other.summaries)
        ],
        **({"bands": told} if told else {}),
    }


def band_record(band: CycleBand) -> dict[str, Any]:
    """Bands of one case or of a difference.

    Parameters
    ----------
    band : CycleBand   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    return {name: {"half": half, "by_input": band.shares[name]} for name, half in band.half.items()}


def downstream_record(design: Design) -> dict[str, Any] | None:
    """What follows the outlet.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    record : dict or None   [SI]
    """
    found = system(design)
    if found is None:
        return None
    pieces, length = size(found)
    return {"key": system_key(found), "pieces": pieces, "length_m": length}


def number(value: Any) -> Any:
    """A value that JSON can hold.

    Parameters
    ----------
    value : any   [-]
    Returns
    -------
    value : any   None for a float that is not finite [-]
    """
    return None if isinstance(value, float) and not math.isfinite(value) else value


def case_record(sweep: CaseSweep) -> dict[str, Any]:
    """One case.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    design = sweep.design
    return {
        "case": design.name,
        "file": str(design.path),
        "digest": design.digest,
        "key": sweep.provenance.key,
        "setting": sweep.setting.kind,
        "downstream": downstream_record(design),
        "cylinders": needs(design).cylinders,
        "modelled": [one.cylinder for one in sweep.answers[0].cylinders] if sweep.answers else [],
        "reused": sweep.reused,
        "speeds": [speed_record(sweep, summary) for summary in sweep.summaries],
        "failed": [
            {"rev_per_min": round(60.0 * speed, 9), "reason": reason}
            for speed, reason in sweep.failed
        ],
        "warnings": warnings_on(sweep),
        "sources": list(sweep.provenance.sources),
        "results": str(sweep.path) if sweep.path.exists() else None,
    }


def speed_record(sweep: CaseSweep, summary: SpeedSummary) -> dict[str, Any]:
    """One speed.

    Parameters
    ----------
    sweep : CaseSweep   Of which it is [SI]
    summary : SpeedSummary   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    answer, torque = summary.answer, summary.torque
    order, size = orders(answer.outlet_mdot)
    return {
        "rev_per_min": summary.rev_per_min,
        "mean_piston_speed_m_s": piston_speed(sweep.design, answer.speed),
        "converged": answer.converged,
        "cycles": answer.cycles,
        "change": answer.changes[-1],
        "torque_nm": torque.brake,
        "indicated_torque_nm": torque.indicated,
        "friction_torque_nm": torque.friction,
        "power_w": torque.power,
        "bmep_pa": torque.bmep,
        "volumetric_efficiency": summary.volumetric_efficiency,
        "residual": summary.residual,
        "residual_spread": summary.residual_spread,
        "back_pressure_pa": summary.back_pressure,
        "pmep_pa": summary.pmep,
        "exhaust_t_k": summary.T_gas,
        "wall_t_k": summary.T_wall,
        "wall_t_max_k": summary.T_wall_max,
        "mass_gap": answer.mass_gap,
        "energy_gap": answer.energy_gap,
        "turbine_power_w": answer.turbine_power,
        "outlet_orders_kg_s": {f"{k:g}": float(a) for k, a in zip(order, size, strict=True)},
        "cylinders": [cylinder_record(sweep, one) for one in answer.cylinders],
    }


def cylinder_record(sweep: CaseSweep, one: CylinderAnswer) -> dict[str, Any]:
    """One cylinder at one speed.

    Parameters
    ----------
    sweep : CaseSweep   Of which it is [SI]
    one : CylinderAnswer   [SI]
    Returns
    -------
    record : dict   [SI]
    """
    peak, after = port_peak(sweep.design, one)
    figures = {
        f"{name}{SUFFIX[unit]}": getattr(one, name) for name, (unit, _) in PER_CYLINDER.items()
    }
    return {
        "cylinder": one.cylinder,
        "port": one.port,
        **figures,
        "port_peak_pa": peak,
        "port_peak_after_evo_deg": after,
        "exhaust_t_k": gas_temperature([one]),
    }


def attribution_record(found: Interference) -> dict[str, Any]:
    """Who sends which wave.

    Parameters
    ----------
    found : Interference   [SI]
    Returns
    -------
    record : dict   With ``interference`` and ``waves`` [SI]
    """
    names = found.cylinders
    matrix = [
        [None if i == j else float(found.matrix[i, j]) for j in range(len(names))]
        for i in range(len(names))
    ]
    return {
        "interference": {"cylinders": list(names), "matrix_pa": matrix},
        "waves": {
            name: [
                {
                    "source": wave.source,
                    "arrives_after_evo_deg": wave.arrives,
                    "strength_pa": wave.strength,
                    "in_overlap_pa": wave.in_overlap,
                }
                for wave in waves
            ]
            for name, waves in found.waves.items()
        },
    }
