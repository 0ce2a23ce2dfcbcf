"""Many speeds of one design, each from its neighbour's walls."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pulse1d.case.design import Design
from pulse1d.run.cycle import TOLERANCE, CycleAnswer, march_cycle

Watch = Callable[[int, int, float], None]


def run_speeds(
    design: Design,
    speeds: Sequence[float],
    *,
    tolerance: float = TOLERANCE,
    done: dict[float, CycleAnswer] | None = None,
    watch: Watch | None = None,
) -> list[CycleAnswer]:
    """Answers speed by speed, in rising order, walls handed on.

    Parameters
    ----------
    design : Design   With an engine [-]
    speeds : sequence of float   [rev/s]
    tolerance : float   As in ``march_cycle`` [-]
    done : dict   Answers that are there already, by speed; filled as speeds finish, so that an
        interrupt loses none [rev/s]
    watch : function   Told the place of the speed, the cycle and its change [-]
    Returns
    -------
    answers : list of CycleAnswer   [SI]
    Errors      InputError where the case lacks what an engine needs.
    """
    found = done if done is not None else {}
    walls = None
    for k, speed in enumerate(sorted(speeds)):
        if speed not in found:

            def told(cycle: int, change: float, k: int = k) -> None:
                if watch is not None:
                    watch(k, cycle, change)

            found[speed] = march_cycle(design, speed, tolerance=tolerance, walls=walls, watch=told)
        walls = found[speed].T_wall
    return [found[speed] for speed in sorted(speeds)]
