"""A design's answers on the flow bench, with the ends of their bands where those are asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.run.bench import predict_bench
from pulse1d.run.bench_batch import predict_many
from pulse1d.run.conditions import density
from pulse1d.uncertainty.band import band

Array = NDArray[np.float64]
Found = tuple[dict[str, float], str]
"""Answers, and why some are missing; empty when none is."""


def bench_plain(designs: Sequence[Design]) -> list[Found]:
    """Flows of many designs without bands, solved together.

    Parameters
    ----------
    designs : sequence of Design   [-]
    Returns
    -------
    found : list of (answers, reason)   In the order of the designs [SI, -]
    """
    found: list[Found] = []
    rho: dict[object, float] = {}
    for design, flows in zip(designs, predict_many(designs), strict=True):
        if isinstance(flows, str):
            found.append(({}, f"bench: {flows}"))
            continue
        reference = design.case.bench.reference
        if reference not in rho:
            rho[reference] = density(reference)
        found.append((told({port: m / rho[reference] for port, m in flows.items()}), ""))
    return found


def bench_bands(design: Design) -> Found:
    """Flows of a design and the ends of their 5-95 % bands, samples and seed as the case says.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    found : (answers, reason)   [SI, -]
    Errors      InputError where the bench cannot be posed.
    """
    result = predict_bench(design)
    rho = result.setup.rho_ref
    bad = [port.answer.port for port in result.ports if not port.answer.converged]
    if bad:
        return {}, f"bench: the flow of port {', '.join(bad)} did not converge"
    flows = {port.answer.port: port.answer.mdot / rho for port in result.ports}
    answers = told(flows)
    if not all(len(port.samples) for port in result.ports):
        return answers, "bench: no samples stand behind this design's bands"
    samples = np.abs(np.stack([port.samples for port in result.ports])) / rho
    for name, values in spread_out(samples, tuple(flows)).items():
        if (ends := band(values)) is None:
            return answers, f"bench: too few samples of {name} converged for a band"
        answers |= {f"{name}, low": ends.p5, f"{name}, high": ends.p95}
    return answers, ""


def told(flows: Mapping[str, float]) -> dict[str, float]:
    """The bench's answers from the flows of the ports.

    Parameters
    ----------
    flows : mapping   Volume flow by port [m3/s]
    Returns
    -------
    answers : dict   [SI]
    """
    values = np.abs(np.array(list(flows.values())))[:, None]
    return {name: float(found[0]) for name, found in spread_out(values, tuple(flows)).items()}


def spread_out(flows: Array, ports: Sequence[str]) -> dict[str, Array]:
    """Mean, least and spread of the ports' flows, and the flows themselves, sample by sample.

    Parameters
    ----------
    flows : (ports, samples) array   [m3/s]
    ports : sequence of str   [-]
    Returns
    -------
    answers : dict of arrays   [SI]
    Source      definition: spread is (largest - smallest)/mean, as ``pulse1d bench`` prints it
    """
    mean = flows.mean(axis=0)
    return {
        "mean flow": mean,
        "least flow": flows.min(axis=0),
        "spread of flow": (flows.max(axis=0) - flows.min(axis=0)) / mean,
        **{f"flow of port {port}": row for port, row in zip(ports, flows, strict=True)},
    }
