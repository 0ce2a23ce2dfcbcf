"""Intake ducts: a runner for each cylinder, and the box that they draw from."""

from __future__ import annotations

from pulse1d.losses.entry import Entry
from pulse1d.losses.surface import Surface
from pulse1d.network.layout import Duct, SurfaceName
from pulse1d.spec import Spec, Volume

BELL = Entry(edge_radius=0.010)
"""A runner's mouth in a box: moulded round (judgement)."""
MOULDED = Surface(name="smooth")


class AirBox(Spec):
    """A volume in front of the runners, fed by one duct from the air that `plenum` states."""

    volume: Volume
    duct: Duct
    mouth: Entry = BELL
    """Of the duct."""


class Intake(Duct):
    """The duct of one cylinder, from its mouth to the inlet valve, the head's port included.

    Every cylinder has one like it. Without a box each draws from the air that `plenum` states.
    """

    mouth: Entry = BELL
    surface: SurfaceName = MOULDED
    box: AirBox | None = None
