"""A catalyst brick: a body of narrow square channels that fills the can."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import ClassVar, Literal, Self

from pydantic import model_validator

from pulse1d.losses.element import Z_90, Effect, Element, Law, Limit, Station, Step
from pulse1d.losses.opening import Jets, jet_effects
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.step import contraction_jets
from pulse1d.losses.told import Told
from pulse1d.spec import CellDensity, Fraction, Length, PositiveLength

F_RE = 56.91
"""Darcy factor times Re of developed laminar flow in a square channel [-]."""
K_ENTRY = 1.5515
"""What the developing profile costs on top, in velocity heads of the channel [-]."""
BETA = 1.3785
"""Momentum of the developed profile over that of an even one [-]."""
RE_TURBULENT = 2300.0
"""Channels are no longer laminar beyond (from memory) [-]."""


def K_channels(share: float) -> float:
    """Loss of channels beyond developed friction and beyond the expansion of an even stream.

    K = K_entry - 2 share (beta - 1): the profile costs K_entry to develop, and its higher momentum
    raises the pressure where it leaves

    Parameters
    ----------
    share : float   Open over whole frontal area [-], 0 .. 1
    Returns
    -------
    K : float   On the velocity head in the channels [-]
    Limits      channels longer than 0.05 Re bores, in which the profile develops
    Source      shah1978, kays1984
    """
    return K_ENTRY - 2.0 * share * (BETA - 1.0)


class CatalystBrick(PieceBase):
    """A ceramic or metal body of square channels; it fills the section that it stands in."""

    told: ClassVar[Told] = Told(
        also=("brick", "catalyst", "catalytic converter", "substrate", "monolith"),
        example={"length": "90 mm", "cell density": "400 cpsi", "wall": "0.165 mm"},
        vary={"cell density": ("200 cpsi", "300 cpsi", "400 cpsi", "600 cpsi")},
    )
    kind: Literal["catalyst brick"] = "catalyst brick"
    length: PositiveLength
    cell_density: CellDensity
    """Channels on the frontal area."""
    wall: PositiveLength
    """Bare web between two channels."""
    washcoat: Length = 0.0
    """Thickness of the coat on every wall, even all round."""
    band: Fraction = 0.15
    """5-95 % half width of ln loss: 3 % of the channel's width makes 12 % (judgement)."""

    @model_validator(mode="after")
    def _open(self) -> Self:
        if self.side < 0.2 * self.pitch:
            raise ValueError(
                f"walls and washcoat leave {1e3 * self.side:.3g} mm of a {1e3 * self.pitch:.3g} mm "
                "cell open; check their units"
            )
        return self

    @property
    def pitch(self) -> float:
        """Channel to channel [m]."""
        return 1.0 / math.sqrt(self.cell_density)

    @property
    def side(self) -> float:
        """Free width of a channel, its hydraulic diameter [m]."""
        return self.pitch - self.wall - 2.0 * self.washcoat

    def path_length(self) -> float:
        """Length along the axis [m]."""
        return float(self.length)

    def elements(self, station: Station) -> tuple[Element, ...]:
        """A JET row into the channels, a DUCT row along them, a JET row out [SI]."""
        can = station.section
        share = (self.side / self.pitch) ** 2
        A = share * can.area
        wetted = 4.0 * self.side * self.cell_density * can.area
        into, out = contraction_jets(share, 0.0, A), Jets(A, A, A)
        K = K_channels(share)
        front = Step(Law.JET, can.area, A, can.D_h, self.side, jet=into.mean, jet_rev=A)
        back = Step(
            Law.JET, A, can.area, self.side, can.D_h, jet=A, jet_rev=into.mean, stir=1.0
        )  # fmt: skip
        channels = Step(
            law=Law.DUCT,
            A_1=A,
            A_2=A,
            D_1=self.side,
            D_2=self.side,
            L=self.path_length(),
            f_factor=F_RE / 64.0,
            K0=K,
            K0_rev=K,
            T_w=station.T_w,
            outer=can.perimeter / wetted,
        )
        cause = f"channels: {self.label}"
        effects = [
            Effect(cause, 1, column, "ln", self.band / Z_90)
            for column in ("f_factor", "K0", "K0_rev")
            if self.band > 0.0
        ]
        for effect in jet_effects("contraction K", into, out):
            effects += [effect, replace(effect, step=2, column="jet_rev")]
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=(front, channels, back),
                k_ref="upstream",
                source="shah1978, kays1984, rennels2012, borda",
                effects=tuple(effects),
                limits=(Limit("Re", 0.0, RE_TURBULENT, "laminar flow in the channels"),),
            ),
        )
