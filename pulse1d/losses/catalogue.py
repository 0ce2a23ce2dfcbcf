"""Every piece that a path may be made of; to add one, write its file and list it here."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from pulse1d.losses.bend import Bend
from pulse1d.losses.brick import CatalystBrick
from pulse1d.losses.entry import Entry
from pulse1d.losses.flange_joint import FlangeJoint
from pulse1d.losses.gasket import Gasket
from pulse1d.losses.measured import MeasuredLoss
from pulse1d.losses.mitre import Mitre
from pulse1d.losses.outlet import Outlet
from pulse1d.losses.restriction import Restriction
from pulse1d.losses.step import SectionStep
from pulse1d.losses.straight import Straight
from pulse1d.losses.taper import Taper
from pulse1d.losses.turbine import Turbine
from pulse1d.losses.valve_seat import ValveSeat
from pulse1d.losses.weld_bead import WeldBead

PIECES = (
    Straight,
    Bend,
    Mitre,
    Taper,
    SectionStep,
    FlangeJoint,
    Gasket,
    WeldBead,
    Entry,
    Outlet,
    Restriction,
    CatalystBrick,
    Turbine,
    ValveSeat,
    MeasuredLoss,
)

Piece = Annotated[
    Straight
    | Bend
    | Mitre
    | Taper
    | SectionStep
    | FlangeJoint
    | Gasket
    | WeldBead
    | Entry
    | Outlet
    | Restriction
    | CatalystBrick
    | Turbine
    | ValveSeat
    | MeasuredLoss,
    Field(discriminator="kind"),
]
