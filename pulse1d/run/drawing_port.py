"""Notes on the port face: how well the opening must meet the port, and what a miss costs."""

from __future__ import annotations

from pulse1d.case.design import Design
from pulse1d.case.shown import shown
from pulse1d.errors import InputError
from pulse1d.network.layout import Runner
from pulse1d.run.drawing_flow import bench_flows, first_joint, shifted, with_runners
from pulse1d.run.drawing_note import Note, by_law

SHIFTS = (0.5e-3, 1.0e-3, 1.5e-3, 2.0e-3)
"""Of an opening on its studs or a core in its mould, tried one by one [m]."""
WORTH = 0.01
"""Share of a port's flow that a shift may cost (judgement) [-]."""
LAW = by_law("flange joint", "weisbach1855, idelchik1986")


def port_notes(design: Design) -> list[Note]:
    """What the drawing could say of the opening against the port.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    notes : list of Note   None where no runner has a flange joint, or a port no outline [-]
    Source      ``pulse1d.losses.flange_joint``; the 1 % limit is a judgement
    """
    outlines = {port.name: port.section for port in design.case.head.ports}
    joined = [r for r in design.case.runners if first_joint(r) and outlines.get(r.port)]
    if not joined:
        return []
    drawn = bench_flows(design)
    costs = {by: _cost(design, drawn, by) for by in SHIFTS}
    worst = max(drawn, key=lambda port: max(c.get(port, 0.0) for c in costs.values()))
    fine = [by for by in SHIFTS if costs[by].get(worst, 1.0) <= WORTH]
    limit = max(fine, default=SHIFTS[0])
    unit = shown(design.document)
    told = ", ".join(f"{1e3 * by:g} mm {100 * costs[by].get(worst, 1.0):.1f} %" for by in SHIFTS)
    flow = f"{unit.of_flow(drawn[worst]):.4g} {unit.flow}"
    notes = [
        Note(
            "port match",
            f"Opening to within {1e3 * limit:g} mm of where it is drawn against the port's "
            "outline, gasket fitted; dowel it or tighten the stud holes to hold that.",
            f"Further off than drawn, port {worst} loses of its {flow}: {told}. The limit is "
            f"the largest of these that costs {100 * WORTH:g} % or less"
            + ("." if fine else "; none does, so it is the smallest."),
            LAW + "; 1 % is a judgement",
        )
    ]
    tight = [r for r in joined if r.section.area < outlines[r.port].area]  # type: ignore[union-attr]
    if tight:
        notes += _tight(design, drawn, tight[0].port)
    return notes


def _cost(design: Design, drawn: dict[str, float], by: float) -> dict[str, float]:
    """Share of each port's flow that a shift costs; empty where it leaves no passage."""
    try:
        moved = bench_flows(with_runners(design, shifted(by)))
    except (InputError, ValueError):
        return {}
    return {port: 1.0 - moved[port] / flow for port, flow in drawn.items()}


def _tight(design: Design, drawn: dict[str, float], port: str) -> list[Note]:
    """What an opening smaller than its port costs."""
    outline = next(p.section for p in design.case.head.ports if p.name == port)

    def to_port(runner: Runner) -> Runner:
        joint = first_joint(runner)
        if joint is None or runner.port != port or outline is None:
            return runner
        true = joint.model_copy(update={"offset": (0.0, 0.0), "rotation": 0.0, "to": None})
        pieces = (true, *runner.pieces[1:])
        return runner.model_copy(update={"section": outline, "pieces": pieces})

    try:
        flow = bench_flows(with_runners(design, to_port))[port]
    except (InputError, ValueError):
        return []
    return [
        Note(
            "port step",
            f"Opening of port {port} no smaller than the port at any point; where it must differ, "
            "larger, and the edge that is left rounded.",
            "It is drawn smaller, so an edge stands in the stream: drawn to the port's outline "
            f"and set true, port {port} would flow {100 * (flow / drawn[port] - 1):.1f} % more.",
            LAW,
        )
    ]
