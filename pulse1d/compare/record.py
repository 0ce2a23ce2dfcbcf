"""A comparison as one documented record of plain numbers and text."""

from __future__ import annotations

from typing import Any

from pulse1d import __version__
from pulse1d.compare.against import Comparison, Explanation
from pulse1d.compare.faults import Verdict


def compare_record(comparison: Comparison, verdict: Verdict) -> dict[str, Any]:
    """The object that ``pulse1d compare --json`` prints.

    ``{"schema", "version", "case", "file", "digest", "part", "depression_pa", "rho_ref_kg_m3",
    "remount_scatter", "scatter_degrees", "common_residual", "common_explanations", "chi2",
    "p_value", "explained", "suppositions": [{"what", "look", "port", "size", "gain", "p_value"}],
    "ports": [{"port", "measured_m3_s", "u_measured", "predicted_m3_s", "u_predicted", "residual",
    "ratio", "remounts", "explanations": [{"cause", "sigmas"}]}]}``. Residuals are
    ln(measured / predicted); u are relative standard uncertainties.

    Parameters
    ----------
    comparison : Comparison   [SI]
    verdict : Verdict   [-]
    Returns
    -------
    record : dict   [SI]
    """
    setup, means = comparison.result.setup, comparison.means
    return {
        "schema": "pulse1d compare 1",
        "version": __version__,
        "case": comparison.design.name,
        "file": str(comparison.design.path),
        "digest": comparison.design.digest,
        "part": means.part,
        "depression_pa": setup.bench.depression,
        "rho_ref_kg_m3": setup.rho_ref,
        "remount_scatter": means.scatter,
        "scatter_degrees": means.degrees,
        "common_residual": comparison.common,
        "common_explanations": _explanations(comparison.common_explanations),
        "chi2": comparison.chi2,
        "p_value": comparison.p_value,
        "explained": verdict.explained,
        "suppositions": [
            {
                "what": named.what,
                "look": named.look,
                "port": named.port,
                "size": named.size,
                "gain": named.gain,
                "p_value": named.p_value,
            }
            for named in verdict.named
        ],
        "ports": [
            {
                "port": gap.port,
                "measured_m3_s": gap.measured,
                "u_measured": gap.u_measured,
                "predicted_m3_s": gap.predicted,
                "u_predicted": gap.u_predicted,
                "residual": gap.residual,
                "ratio": gap.ratio,
                "remounts": n,
                "explanations": _explanations(gap.explanations),
            }
            for gap, n in zip(comparison.ports, means.remounts, strict=True)
        ],
    }


def _explanations(found: tuple[Explanation, ...]) -> list[dict[str, Any]]:
    return [{"cause": e.cause, "sigmas": e.sigmas} for e in found]
