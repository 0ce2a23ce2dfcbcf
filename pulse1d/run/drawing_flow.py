"""What a detail of the drawing costs in bench flow, by solving the changed part."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pulse1d.case.design import Design
from pulse1d.losses.flange_joint import FlangeJoint
from pulse1d.losses.weld_bead import WeldBead
from pulse1d.network.layout import Runner

Change = Callable[[Runner], Runner]


def bench_flows(design: Design) -> dict[str, float]:
    """Bench flow of every port tested alone.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    flows : dict   By port [m3/s] at the bench's reference state
    Errors      InputError where the bench cannot be solved.
    """
    from pulse1d.run.bench import predict_bench

    result = predict_bench(design, samples=0, together=False)
    return {p.answer.port: abs(p.answer.mdot) / result.setup.rho_ref for p in result.ports}


def with_runners(design: Design, change: Change) -> Design:
    """The design with its runners changed.

    Parameters
    ----------
    design : Design   [-]
    change : function   From a runner to the changed one [-]
    Returns
    -------
    design : Design   Built anew when it is asked [-]
    """
    runners = tuple(change(runner) for runner in design.case.runners)
    return replace(design, case=design.case.model_copy(update={"runners": runners}))


def first_joint(runner: Runner) -> FlangeJoint | None:
    """The joint between a runner and its port.

    Parameters
    ----------
    runner : Runner   [-]
    Returns
    -------
    joint : FlangeJoint or None   [-]
    """
    piece = runner.pieces[0] if runner.pieces else None
    return piece if isinstance(piece, FlangeJoint) else None


def shifted(by: float) -> Change:
    """A runner whose opening sits that much further off, along the offset that it has.

    Parameters
    ----------
    by : float   From no offset along the diagonal [m]
    Returns
    -------
    change : function   [-]
    """

    def change(runner: Runner) -> Runner:
        joint = first_joint(runner)
        if joint is None:
            return runner
        x, y = joint.offset
        away = math.hypot(x, y)
        along = (x / away, y / away) if away > 0.0 else (math.sqrt(0.5), math.sqrt(0.5))
        moved = joint.model_copy(update={"offset": (x + by * along[0], y + by * along[1])})
        return runner.model_copy(update={"pieces": (moved, *runner.pieces[1:])})

    return change


def without_beads(design: Design) -> Design:
    """The design with every weld dressed flush.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    design : Design   [-]
    """

    def flush(leg: Any) -> Any:
        kept = tuple(piece for piece in leg.pieces if not isinstance(piece, WeldBead))
        return leg.model_copy(update={"pieces": kept})

    legs = {key: tuple(map(flush, getattr(design.case, key))) for key in ("runners", "trunks")}
    return replace(design, case=design.case.model_copy(update=legs))
