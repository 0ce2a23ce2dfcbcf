"""The file that a calibration is kept in."""

from __future__ import annotations

import json
from collections.abc import Sequence

from pulse1d.case.schema import CALIBRATION_FORMAT, Calibration


def calibration_text(calibration: Calibration, meanings: Sequence[str]) -> str:
    """A calibration file.

    Parameters
    ----------
    calibration : Calibration   [-]
    meanings : sequence of str   What each correction does to its numbers, as a comment [-]
    Returns
    -------
    text : str   YAML [-]
    """
    lines = [
        f"format: {CALIBRATION_FORMAT}",
        "# sigmas: shift in the cause's own standard deviations; spread: what is left of them.",
        f"source: {quoted(calibration.source)}",
        "corrections:",
    ]
    for correction, meaning in zip(calibration.corrections, meanings, strict=True):
        lines.append(
            f"  - {{cause: {quoted(correction.cause)}, sigmas: {correction.sigmas:+.4f}, "
            f"spread: {correction.spread:.4f}}}" + (f"   # {meaning}" if meaning else "")
        )
    if calibration.correlations:
        lines.append("correlations:")
    for tie in calibration.correlations:
        a, b = (quoted(cause) for cause in tie.between)
        lines.append(f"  - {{between: [{a}, {b}], r: {tie.r:+.3f}}}")
    return "\n".join(lines) + "\n"


def quoted(text: str) -> str:
    """Text as a YAML string.

    Parameters
    ----------
    text : str   [-]
    Returns
    -------
    text : str   In double quotes [-]
    """
    return json.dumps(text, ensure_ascii=False)
