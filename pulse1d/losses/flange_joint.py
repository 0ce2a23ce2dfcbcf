"""The joint between head port and runner: the real overlap of the two outlines."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import ClassVar, Literal

from pulse1d.geometry.outlines import OverlapError, overlap
from pulse1d.geometry.sections import Section
from pulse1d.losses.element import Z_90, Effect, Element, Station, Step, duct, wall_effects
from pulse1d.losses.gasket import GasketRing
from pulse1d.losses.opening import Jets, K_opening_bounds, jet_effects, jet_step, jets_through
from pulse1d.losses.piece import PieceBase
from pulse1d.losses.told import Told
from pulse1d.spec import Angle, Coordinate, Length


def open_share(e_over_D: float) -> float:
    """Common area of two equal circles set off against each other, over the area of one.

    s = (2/pi) [acos x - x sqrt(1 - x^2)],  x = e/D

    Parameters
    ----------
    e_over_D : float   Offset over bore [-], 0 .. 1
    Returns
    -------
    s : float   1 .. 0 [-]
    Source      plane geometry, no source
    """
    x = min(abs(e_over_D), 1.0)
    return 2.0 / math.pi * (math.acos(x) - x * math.sqrt(1.0 - x * x))


def K_offset_bounds(e_over_D: float) -> tuple[float, float]:
    """Low and high loss of two equal round bores that meet with an offset.

    K_lo = (1/(s Cc) - 1)^2 with Weisbach's Cc(s);  K_hi = (1 + 0.707 sqrt(1 - s) - s)^2 / s^2

    Parameters
    ----------
    e_over_D : float   Offset over bore [-], below 1
    Returns
    -------
    K_lo, K_hi : float   Total-pressure loss over the velocity head of either bore [-]
    Source      weisbach1855, idelchik1986; no page with a measured flange offset was found
    """
    return K_opening_bounds(open_share(e_over_D), 1.0, 1.0)


def K_offset(e_over_D: float) -> float:
    """Loss of two equal round bores that meet with an offset: the mean of both bounds.

    K = (K_lo + K_hi) / 2

    Parameters
    ----------
    e_over_D : float   Offset over bore [-], below 1
    Returns
    -------
    K : float   Total-pressure loss over the velocity head of either bore [-]
    Source      weisbach1855, idelchik1986; the mean is a judgement
    """
    low, high = K_offset_bounds(e_over_D)
    return 0.5 * (low + high)


class FlangeJoint(PieceBase):
    """Head port against runner opening, as they sit on the studs.

    Seen from outside the head, looking into the port: x to the right, y up.
    """

    told: ClassVar[Told] = Told(
        also=(
            "port match",
            "mismatch",
            "port step",
            "port offset",
            "dam",
            "joint at the head",
            "flange",
        ),
        example={"offset": ["1 mm", "0 mm"]},
        vary={"offset/0": ("0 mm", "0.5 mm", "1 mm", "2 mm", "3 mm", "4 mm")},
    )
    kind: Literal["flange joint"] = "flange joint"
    offset: tuple[Coordinate, Coordinate] = (0.0, 0.0)
    """Of the runner's datum from the port's, x and y."""
    rotation: Angle = 0.0
    """Of the runner's opening about its datum, anticlockwise."""
    lip_radius: Length = 0.0
    """On whatever edge stands into the stream."""
    to: Section | None = None
    """The runner's opening, where it differs from the section before."""
    gasket: GasketRing | None = None
    alignment: Length = 0.0005
    """5-95 % half width of the offset as fitted (judgement: stud clearance)."""

    def section_out(self, section: Section) -> Section:
        """The runner's opening [-]."""
        return section if self.to is None else self.to

    def path_length(self) -> float:
        """Thickness of the gasket, 0 without one [m]."""
        return 0.0 if self.gasket is None else float(self.gasket.thickness)

    def passage(self, port: Section, runner: Section, offset: tuple[float, float]) -> float:
        """Area open to both outlines, and to the gasket between them [m^2].

        Parameters
        ----------
        port, runner : Section   The two outlines [-]
        offset : (2,) tuple   Of the runner's datum from the port's [m]
        Returns
        -------
        A_0 : float   Common area [m^2]
        Errors      ValueError when there is no passage.
        Source      plane geometry, no source
        """
        from shapely import affinity

        common = overlap(port, runner, offset, self.rotation).area
        ring = None if self.gasket is None else self.gasket.outline(runner)
        if ring is None:
            return common
        parts = [
            affinity.translate(
                affinity.rotate(outline, self.rotation, origin=(0.0, 0.0), use_radians=True),
                *offset,
            )
            for outline in (runner.outline(360), ring)
        ]
        area = float(port.outline(360).intersection(parts[0]).intersection(parts[1]).area)
        if area <= 0.0:
            raise ValueError(
                f"{self.label}: the gasket leaves no passage between port and runner; "
                "check its opening or protrusion, and the unit"
            )
        return min(area, common)

    def _jets(self, port: Section, runner: Section, offset: tuple[float, float]) -> list[Jets]:
        """Jets of forward and of reversed flow."""
        A_0 = self.passage(port, runner, offset)
        D_0 = math.sqrt(4.0 * A_0 / math.pi)
        length = 0.0
        if self.gasket is not None:
            common = overlap(port, runner, offset, self.rotation).area
            length = self.gasket.thickness / D_0 if common * (1.0 - 1e-6) > A_0 else 0.0
        lip = self.lip_radius / D_0
        return [
            jets_through(A_0, before.area, behind.area, lip, length)
            for before, behind in ((port, runner), (runner, port))
        ]

    def elements(self, station: Station) -> tuple[Element, ...]:
        """A JET row through the overlap, and a DUCT row for the gasket's thickness [SI]."""
        port = station.section if station.head is None else station.head
        runner = self.section_out(station.section)
        try:
            forward, reverse = self._jets(port, runner, self.offset)
        except OverlapError as error:
            raise ValueError(f"{self.label}: {error}") from error
        effects = jet_effects("joint contraction", forward, reverse)
        effects += self._alignment_effects(port, runner, forward, reverse)
        steps: tuple[Step, ...] = (jet_step(port, runner, forward.mean, reverse.mean),)
        if self.gasket is not None:
            behind = replace(station, section=runner, head=None)
            steps += (duct(behind, self.path_length()),)
            effects += wall_effects(behind, 1)
        return (
            Element(
                name=self.label,
                kind=self.kind,
                steps=steps,
                k_ref="downstream",
                source="weisbach1855, idelchik1986, borda"
                + (", rennels2012" if self.lip_radius > 0.0 else ""),
                effects=effects,
            ),
        )

    def _alignment_effects(
        self, port: Section, runner: Section, forward: Jets, reverse: Jets
    ) -> tuple[Effect, ...]:
        """What the stated alignment does to the jets, by moving the runner that much further.

        Along the stated offset; from none, along the diagonal. One-sided: the band at z < 0 is
        that of a joint fitted better than stated, and of none at all for a stated offset of 0.
        """
        if self.alignment == 0.0:
            return ()
        x, y = self.offset
        away = math.hypot(x, y)
        along = (x / away, y / away) if away > 0.0 else (math.sqrt(0.5), math.sqrt(0.5))
        moved = (x + self.alignment * along[0], y + self.alignment * along[1])
        try:
            far = self._jets(port, runner, moved)
        except ValueError:
            return ()
        rows = (("jet", far[0].mean - forward.mean), ("jet_rev", far[1].mean - reverse.mean))
        return tuple(
            Effect("joint alignment", 0, column, "add", change / Z_90) for column, change in rows
        )
