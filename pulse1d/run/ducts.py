"""Rows of a duct that stands outside the part: in the head, in front of the inlet, a link."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.losses.element import COLUMN
from pulse1d.losses.surface import Surface
from pulse1d.network.layout import Duct, Meeting, Trunk
from pulse1d.network.legs import build_leg
from pulse1d.network.rows import element_rows
from pulse1d.run.mesh import stub_row

Array = NDArray[np.float64]


def duct_rows(design: Design, duct: Duct, surface: Surface | None = None) -> Array:
    """Steps of a duct's pieces, in order.

    Parameters
    ----------
    design : Design   [-]
    duct : Duct   [-]
    surface : Surface or None   Of its wall; None: the part's [-]
    Returns
    -------
    rows : (n, k) array   At least one with a length [SI]
    Errors      PieceError for a piece that does not fit its neighbours.
    """
    leg = Trunk(
        section=duct.section,
        pieces=duct.pieces,
        surface=surface,
        to=Meeting(joint="end"),
        from_=Meeting(joint="start"),
        name="duct",
    )
    built = build_leg(design.network.layout, leg, None, None)
    rows = element_rows(built.elements).steps
    if not np.any(rows[:, COLUMN["L"]] > 0.0):
        rows = np.concatenate([rows, stub_row(built.section_end.area, built.section_end.D_h)])
    return rows
