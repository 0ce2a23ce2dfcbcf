"""The joint diagram: what is left of a preload when the joint is settled, hot, and cold again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

START = 293.15
"""Where joints are tightened and expansion is counted from [K]."""


@dataclass(frozen=True)
class Stack:
    """Bolt and clamped parts as the joint diagram sees them."""

    compliance: float
    """Bolt and parts, cold [m/N]."""
    compliance_hot: float
    growth: float
    """Of the clamped parts beyond the bolt's own, hot [m]."""
    yields_at: float
    """Force at which the hot bolt yields [N]."""
    yields_cold: float


@dataclass(frozen=True)
class JointState:
    """One bolt's force through a start [N]."""

    preload: float
    preload_after_embedding: float
    hot: float
    cold_again: float
    compliance: float
    """[m/N]"""
    growth: float
    """Of the clamped parts beyond the bolt's own, hot [m]."""
    notes: tuple[str, ...]

    @property
    def slack(self) -> bool:
        """Whether nothing is left, hot or cold."""
        return min(self.hot, self.cold_again, self.preload_after_embedding) <= 0.0


def growth_difference(
    parts: Sequence[tuple[float, float, float]], alpha: float, rise: float
) -> float:
    """Growth of the clamped parts less that of the bolt over the same length.

    Parameters
    ----------
    parts : sequence of (length, alpha, rise)   Flange, sleeve [m, 1/K, K]
    alpha, rise : float   Mean expansion and rise of the bolt [1/K, K]
    Returns
    -------
    growth : float   Above 0: the bolt is stretched [m]
    Source      VDI 2230 part 1, section 5.4.2.3, from memory
    """
    clamped = math.fsum(length * a * dT for length, a, dT in parts)
    return clamped - math.fsum(length for length, _, _ in parts) * alpha * rise


def joint(
    preload: float, embedding: float, stack: Stack, bolt_limit: tuple[float, float]
) -> JointState:
    """A bolt's force when it is tightened, settled, hot, and cold again.

    Stretch is what bolt and parts share: settling and a bolt that yields take from it, parts that
    outgrow the bolt add to it. Force is stretch over compliance, never below nothing, and never
    above the hot bolt's yield, beyond which it stays longer.

    Parameters
    ----------
    preload : float   Right after tightening [N]
    embedding : float   What faces and gasket settle by [m]
    stack : Stack   [m/N, m, N]
    bolt_limit : (hot, limit)   Hottest bolt, and where its material starts to relax [K]
    Returns
    -------
    state : JointState   [N]
    Errors      ValueError for a joint without preload.
    Limits      Relaxation is told by the limit, not worked out; gaskets are springs of no length.
    Source      VDI 2230 part 1, sections 5.4.2.1 and 5.4.2.3, from memory
    """
    if not preload > 0.0:
        raise ValueError("a joint without preload holds nothing; state the preload")
    notes = []
    if preload > stack.yields_cold:
        notes.append("tightened beyond yield")
    settled = max(preload - embedding / stack.compliance, 0.0)
    stretch = max(preload * stack.compliance - embedding, 0.0)
    elastic = max(stretch + stack.growth, 0.0) / stack.compliance_hot
    hot = min(elastic, stack.yields_at)
    left = max(stretch - (elastic - hot) * stack.compliance_hot, 0.0)
    cold = left / stack.compliance
    if elastic > stack.yields_at:
        notes.append("yields hot")
    if bolt_limit[0] > bolt_limit[1]:
        notes.append(f"relaxes: bolt above {bolt_limit[1] - 273.15:.0f} degC")
    for name, force in (("settled", settled), ("hot", hot), ("cold again", cold)):
        if force <= 0.0:
            notes.append(f"slack {name}")
    return JointState(preload, settled, hot, cold, stack.compliance, stack.growth, tuple(notes))
