"""A bench prediction as one documented record of plain numbers and text."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from pulse1d import __version__
from pulse1d.run.bench import BenchResult, PortResult, ratio_samples
from pulse1d.steady.answer import PortAnswer
from pulse1d.uncertainty.band import Band, band

if TYPE_CHECKING:
    from pulse1d.run.march import Marched

SCHEMA = "pulse1d bench 1"


def bench_record(
    results: list[BenchResult], marched: list[list[Marched]] | None = None
) -> dict[str, Any]:
    """The object that ``pulse1d bench --json`` prints.

    ``{"schema", "version", "reference": {"p_pa", "t_k", "rh", "rho_kg_m3"}, "depression_pa",
    "cases": [...], "differences": [...]}``; each case: ``case``, ``file``, ``digest``,
    ``flow`` ("port to outlet" or "reverse"), ``fixed_end``, ``direction``, ``together``,
    ``lift_m``, ``spread``, ``variation``, ``head_alone``, ``ports``. Each port: ``port``,
    ``mdot_kg_s`` (positive port to outlet), ``q_m3_s`` (mdot over the reference density),
    ``cda_m2``, ``mach_max``, ``mach_where``, ``band`` {p5, p50, p95} of mdot or null,
    ``variance_shares``, ``converged``, ``choked``, ``warnings``, and ``budget``: rows of
    ``element``, ``loss_pa``, ``k``, ``k_ref``, ``source`` in flow order that add up to
    ``depression_pa``. Behind a head, ``part_alone`` of a port and ``head_alone`` of the case are
    its flows by themselves, else null. With ``--march`` each case has ``marched``: rows of
    ``port``, ``mdot_kg_s``, ``steady``, ``cells``. Each difference, relative to the first case:
    ``base``, ``case`` and ``ports``: rows of ``port``, ``gain``, ``band``. Reference and
    depression are the first case's.

    Parameters
    ----------
    results : list of BenchResult   The first is the base [SI]
    marched : list of lists of Marched   The same ports by the wave solver [SI]
    Returns
    -------
    record : dict   [SI]
    """
    first = results[0].setup
    reference = first.bench.reference
    return {
        "schema": SCHEMA,
        "version": __version__,
        "reference": {
            "p_pa": reference.pressure,
            "t_k": reference.temperature,
            "rh": reference.humidity,
            "rho_kg_m3": first.rho_ref,
        },
        "depression_pa": first.bench.depression,
        "cases": [
            _case(result) | ({"marched": _marched(found)} if found else {})
            for result, found in zip(results, marched or [[]] * len(results), strict=True)
        ],
        "differences": [_difference(results[0], other) for other in results[1:]],
    }


def _case(result: BenchResult) -> dict[str, Any]:
    bench = result.setup.bench
    head = result.head_alone
    return {
        "case": result.design.name,
        "file": str(result.design.path),
        "digest": result.design.digest,
        "flow": "port to outlet" if bench.port_to_outlet else "reverse",
        "fixed_end": bench.fixed_end,
        "direction": bench.direction,
        "together": result.together,
        "depression_pa": bench.depression,
        "lift_m": result.lift,
        "spread": result.spread,
        "variation": result.variation,
        "head_alone": _answer(head, result.setup.rho_ref) if head is not None else None,
        "ports": [_port(port, result.setup.rho_ref) for port in result.ports],
    }


def _marched(found: list[Marched]) -> list[dict[str, Any]]:
    return [
        {"port": m.port, "mdot_kg_s": m.mdot, "steady": m.steady, "cells": m.cells} for m in found
    ]


def _answer(answer: PortAnswer, rho_ref: float) -> dict[str, Any]:
    return {
        "port": answer.port,
        "mdot_kg_s": answer.mdot,
        "q_m3_s": answer.mdot / rho_ref,
        "cda_m2": answer.cda,
        "mach_max": answer.mach_max,
        "mach_where": answer.mach_where,
        "converged": answer.converged,
        "choked": answer.choked,
        "warnings": list(answer.warnings),
        "budget": [
            {
                "element": entry.element,
                "loss_pa": entry.loss_pa,
                "k": entry.k,
                "k_ref": entry.k_ref,
                "source": entry.source,
            }
            for entry in answer.budget
        ],
    }


def _port(port: PortResult, rho_ref: float) -> dict[str, Any]:
    record = _answer(port.answer, rho_ref)
    record["band"] = _band(port.band)
    record["variance_shares"] = port.shares
    record["part_alone"] = (
        _answer(port.part_alone, rho_ref) if port.part_alone is not None else None
    )
    return record


def _band(found: Band | None) -> dict[str, float] | None:
    return None if found is None else {"p5": found.p5, "p50": found.p50, "p95": found.p95}


def _difference(base: BenchResult, other: BenchResult) -> dict[str, Any]:
    rows = gains(base, other)
    return {
        "base": base.design.name,
        "other": other.design.name,
        "meaning": "flow of the other over flow of the base at equal depression, less 1",
        "ports": [{"port": port, "gain": gain, "band": _band(found)} for port, gain, found in rows],
    }


def gains(base: BenchResult, other: BenchResult) -> list[tuple[str, float, Band | None]]:
    """Relative gain in flow of each port that both designs have, and of their mean.

    Parameters
    ----------
    base, other : BenchResult   [SI]
    Returns
    -------
    rows : list of (port, gain, band)   The last is "mean", a ratio of means [-]
    """
    theirs = {port.answer.port: port for port in other.ports}
    pairs = [(port, theirs[port.answer.port]) for port in base.ports if port.answer.port in theirs]
    rows = [
        (a.answer.port, b.answer.mdot / a.answer.mdot - 1.0, band(ratio_samples(a, b)))
        for a, b in pairs
        if a.answer.mdot != 0.0
    ]
    if len(pairs) > 1:
        flows = np.array([[a.answer.mdot, b.answer.mdot] for a, b in pairs]).sum(axis=0)
        sampled = all(len(ratio_samples(a, b)) for a, b in pairs)
        found = (
            band(_total([b for _, b in pairs]) / _total([a for a, _ in pairs]) - 1.0)
            if sampled
            else None
        )
        gain = float(flows[1] / flows[0] - 1.0) if flows[0] else math.nan
        rows.append(("mean", gain, found))
    return rows


def comparable(base: BenchResult, other: BenchResult) -> bool:
    """Whether two results are the same test of different designs.

    Parameters
    ----------
    base, other : BenchResult   [-]
    Returns
    -------
    yes : bool   [-]
    """
    return base.lift == other.lift and base.design.path != other.design.path


def _total(ports: list[PortResult]) -> NDArray[np.float64]:
    return np.sum([port.samples for port in ports], axis=0)
