"""The parts to scale, and what they measure."""

from __future__ import annotations

import math
from functools import partial

from pulse1d.case.design import Design
from pulse1d.plots.plan import plan_figure
from pulse1d.plots.runners import runners_figure
from pulse1d.report.blocks import Block, Grid, Picture, Section
from pulse1d.report.evidence import Evidence
from pulse1d.report.words import length
from pulse1d.run.geometry import runner_record


def shape(evidence: Evidence) -> Section:
    """Unrolled runners, plans and sizes of every design.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section   [-]
    """
    shown, blocks = evidence.shown, list[Block]()
    for design in evidence.designs:
        blocks += [
            Picture(
                f"{design.name}: runners unrolled to the outlet, to scale",
                f"Bore against developed length of every runner of {design.name}, with bends and "
                "joints marked.",
                partial(runners_figure, [design], shown=shown),
            ),
            Picture(
                f"{design.name}: plan sketch, to scale",
                f"Centre lines and widths of the legs of {design.name} seen from the side that "
                "shows most.",
                partial(plan_figure, design, shown=shown),
            ),
            _sizes(evidence, design),
        ]
    return Section("shape", "The parts to scale", tuple(blocks))


def _sizes(evidence: Evidence, design: Design) -> Grid:
    shown = evidence.shown
    rows = []
    for port in design.network.port_names:
        r = runner_record(design, port)
        area = r["port_area_m2"]
        rows.append(
            (
                port,
                f"{1e6 * area:.0f}" if area is not None else "–",
                f"{1e6 * r['opening_area_m2']:.0f}",
                f"{1e6 * r['least_area_m2']:.0f}",
                length(r["runner_length_m"], shown),
                length(r["length_m"], shown),
                f"{1e6 * r['volume_m3']:.0f}",
                f"{math.degrees(r['turn_rad']):.0f}",
            )
        )
    return Grid(
        f"{design.name}: from port to outlet",
        (
            "port", "port mm²", "opening mm²", "least mm²", f"runner {shown.length}",
            f"to outlet {shown.length}", "volume cm³", "turn °",
        ),
        tuple(rows),
    )  # fmt: skip
