"""A fit as one documented record of plain numbers and text."""

from __future__ import annotations

from typing import Any

import numpy as np

from pulse1d import __version__
from pulse1d.case.schema import Calibration
from pulse1d.compare.against import Comparison
from pulse1d.compare.faults import Verdict
from pulse1d.compare.fit import Fit
from pulse1d.compare.record import compare_record


def fit_record(
    comparison: Comparison,
    verdict: Verdict,
    found: Fit,
    check: tuple[Any, float],
    calibration: Calibration,
) -> dict[str, Any]:
    """The object that ``pulse1d fit --json`` prints.

    That of ``compare_record`` under the key ``comparison``, and ``{"schema", "ports", "before",
    "after", "left_out", "rms": {"before", "after", "left_out"}, "causes": [{"cause", "sigmas",
    "spread"}], "sampled": {"largest_difference", "effective"}, "calibration"}``; before, after and
    left out are ln(measured / predicted) by port, the last from a fit to the other ports.

    Parameters
    ----------
    comparison, verdict, found, calibration : Comparison, Verdict, Fit, Calibration   [SI]
    check : (z, effective)   From ``pulse1d.compare.fit.sampled`` [-]
    Returns
    -------
    record : dict   [SI]
    """
    left_out = [float(v) if np.isfinite(v) else None for v in found.left_out]
    rms = [float(v) if np.isfinite(v) else None for v in found.rms]
    return {
        "schema": "pulse1d fit 1",
        "version": __version__,
        "comparison": compare_record(comparison, verdict),
        "ports": list(found.ports),
        "before": found.before.tolist(),
        "after": found.after.tolist(),
        "left_out": left_out,
        "rms": dict(zip(("before", "after", "left_out"), rms, strict=True)),
        "causes": [
            {"cause": cause, "sigmas": float(z), "spread": float(s)}
            for cause, z, s in zip(found.response.causes, found.z, found.spread, strict=True)
        ],
        "sampled": {
            "largest_difference": float(np.max(np.abs(check[0] - found.z))),
            "effective": check[1],
        },
        "calibration": calibration.model_dump(mode="json", by_alias=True, exclude_none=True),
    }
