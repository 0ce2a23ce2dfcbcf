"""Areas of a poppet valve by its lift: curtain, and the narrowest of the passage."""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import Field

from pulse1d.spec import Angle, PositiveLength, Spec

SeatAngle = Annotated[Angle, Field(ge=0.0, lt=math.pi / 2)]


def A_curtain(lift: float, D_v: float) -> float:
    """Cylinder between seat and head, the usual reference area.

    A = pi D_v lift

    Parameters
    ----------
    lift : float   Valve lift [m]
    D_v : float   Head diameter [m]
    Returns
    -------
    A : float   [m^2]
    Source      heywood1988
    """
    return math.pi * D_v * lift


def A_valve_minimum(
    lift: float, D_v: float, w: float, beta: float, D_p: float, D_s: float
) -> float:
    """Narrowest geometric passage: the seat's cone, then a tilted one, then the port itself.

    lift < w/(sin b cos b):  A = pi lift cos b (D_v - 2 w + (lift/2) sin 2b)
    then  A = pi D_m sqrt((lift - w tan b)^2 + w^2),  D_m = D_v - w
    at most  A = pi/4 (D_p^2 - D_s^2)

    Parameters
    ----------
    lift : float   Valve lift [m]
    D_v, w : float   Head diameter, seat width [m]
    beta : float   Seat angle, 0 for a flat seat [rad]
    D_p, D_s : float   Port and stem diameter [m]
    Returns
    -------
    A : float   [m^2]
    Source      heywood1988 eqs 6.7 to 6.9
    """
    port = 0.25 * math.pi * (D_p**2 - D_s**2)
    sine, cosine = math.sin(beta), math.cos(beta)
    if lift * sine * cosine < w:
        seat = math.pi * lift * cosine * (D_v - 2.0 * w + 0.5 * lift * math.sin(2.0 * beta))
    else:
        seat = math.pi * (D_v - w) * math.hypot(lift - w * math.tan(beta), w)
    return min(seat, port)


class ValveGeometry(Spec):
    """The sizes of a poppet valve and its seat."""

    head_diameter: PositiveLength
    seat_width: PositiveLength | None = None
    seat_angle: SeatAngle = math.pi / 4
    stem_diameter: PositiveLength | None = None
    port_diameter: PositiveLength | None = None

    def area(self, reference: str, lift: float) -> float:
        """A reference area of the valve at a lift.

        Parameters
        ----------
        reference : str   "curtain", "head area", "port area" or "minimum area" [-]
        lift : float   Valve lift [m]
        Returns
        -------
        A : float   [m^2]
        Errors      ValueError when a size that the area needs is not stated.
        Source      heywood1988
        """
        if reference == "curtain":
            return A_curtain(lift, self.head_diameter)
        if reference == "head area":
            return 0.25 * math.pi * float(self.head_diameter) ** 2
        D_p, D_s = self.port_diameter, self.stem_diameter
        if D_p is None or D_s is None:
            raise ValueError(f"{reference} needs the port diameter and the stem diameter")
        if reference == "port area":
            return 0.25 * math.pi * float(D_p**2 - D_s**2)
        if self.seat_width is None:
            raise ValueError(f"{reference} needs the seat width")
        return A_valve_minimum(lift, self.head_diameter, self.seat_width, self.seat_angle, D_p, D_s)
