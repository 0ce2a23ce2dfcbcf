"""What a comparison of prediction and readings says, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pulse1d.compare.against import Comparison, Explanation
from pulse1d.compare.faults import Verdict


def apart_sentences(comparison: Comparison) -> list[str]:
    """What could explain the common part of the gap, and what sets a port apart.

    Parameters
    ----------
    comparison : Comparison   [SI]
    Returns
    -------
    sentences : list of str   [-]
    """
    lines = []
    if comparison.common_explanations:
        lines.append(
            f"The ports' median lies {100 * np.expm1(comparison.common):+.1f} % from the "
            f"prediction. Would explain it, each by itself: "
            f"{_causes(comparison.common_explanations)}"
        )
    for gap in comparison.ports:
        own = gap.residual - comparison.common
        if len(comparison.ports) > 1 and abs(own) > comparison.own_noise:
            text = _causes(gap.explanations) if gap.explanations else "no single cause within reach"
            lines.append(
                f"port {gap.port} lies {100 * np.expm1(own):+.1f} % apart from the ports' "
                f"median: {text}"
            )
    return lines


def _causes(found: Sequence[Explanation]) -> str:
    return ", ".join(f"{e.cause} ({e.sigmas:+.1f} sigma)" for e in found)


def judgement_sentences(verdict: Verdict) -> list[str]:
    """Whether sensible coefficients explain the readings, and what else might.

    Parameters
    ----------
    verdict : Verdict   [-]
    Returns
    -------
    sentences : list of str   The first is the verdict [-]
    """
    if verdict.explained:
        head = (
            f"Sensible coefficients explain these readings (p {verdict.p_value:.2f} that chance "
            "gives gaps as large)."
        )
    else:
        head = (
            "No sensible set of coefficients explains these readings "
            f"(p {verdict.p_value:.1g}): look for a fault before calibrating to them."
        )
    lines = [head]
    for k, named in enumerate(verdict.named):
        lead = "Likeliest: " if k == 0 else "Nearly as likely: "
        lines.append(f"{lead}{named.what}. Look at {named.look}.")
    if not verdict.explained and not verdict.named:
        lines.append("None of the usual faults gives this pattern either.")
    return lines
