"""What makes the figures of a running engine doubtful, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pulse1d.case.design import Design
from pulse1d.run.cycle_summary import SpeedSummary
from pulse1d.run.cycle_sweep import CaseSweep
from pulse1d.run.engine_net import needs

FASTEST = 25.0
"""Mean piston speed that engines hardly pass (common practice, no source) [m/s]."""
HOT = 1223.15
"""Gas at a port that a port's cooled wall hardly leaves so hot (judgement) [K]."""


def piston_speed(design: Design, speed: float) -> float:
    """Mean speed of the piston.

    Parameters
    ----------
    design : Design   With an engine [SI]
    speed : float   [rev/s]
    Returns
    -------
    mean : float   [m/s]
    Source      definition: two strokes a revolution
    """
    return 2.0 * needs(design).stroke * speed


def too_fast(design: Design, speeds: Iterable[float]) -> list[str]:
    """Speeds at which the pistons of an engine hardly run.

    Parameters
    ----------
    design : Design   With an engine [SI]
    speeds : iterable of float   [rev/s]
    Returns
    -------
    warnings : list of str   None or one [-]
    """
    fast = [speed for speed in speeds if piston_speed(design, speed) > FASTEST]
    if not fast:
        return []
    most = max(fast)
    return [
        f"{_listed(fast)}: mean piston speed up to {piston_speed(design, most):.1f} m/s; engines "
        f"hardly pass {FASTEST:g} m/s (common practice), so the figures there mean little"
    ]


def warnings_on(sweep: CaseSweep) -> list[str]:
    """Everything doubtful of one case's speeds.

    Parameters
    ----------
    sweep : CaseSweep   [SI]
    Returns
    -------
    warnings : list of str   [-]
    """
    design, summaries = sweep.design, sweep.summaries
    found = too_fast(design, (one.answer.speed for one in summaries))
    return found + doubts(design, summaries)


def doubts(design: Design, summaries: Sequence[SpeedSummary]) -> list[str]:
    """What the figures themselves show to be doubtful.

    Parameters
    ----------
    design : Design   [SI]
    summaries : sequence of SpeedSummary   Of this design [SI]
    Returns
    -------
    warnings : list of str   [-]
    """
    found = []
    if dragged := [one.answer.speed for one in summaries if one.torque.brake < 0.0]:
        found.append(
            f"{_listed(dragged)}: torque below 0, friction and gas exchange take more than the "
            "gas gives: the engine must be driven, and cannot run there by itself"
        )
    hot = [one for one in summaries if one.T_gas > HOT]
    if hot and design.case.head.passage is None:
        most = max(one.T_gas for one in hot) - 273.15
        found.append(
            f"gas at the ports up to {most:.0f} degC: the head's `passage` is not stated; state "
            "it, its wall cools the gas"
        )
    return found


def _listed(speeds: Sequence[float]) -> str:
    """Speeds in words, the span of them where there are many."""
    told = [f"{60.0 * speed:.6g}" for speed in speeds]
    return f"{', '.join(told) if len(told) < 4 else f'{told[0]} to {told[-1]}'} rev/min"
