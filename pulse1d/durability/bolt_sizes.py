"""Metric coarse threads, and how far a bolt and what it clamps give under force."""

from __future__ import annotations

import math
from dataclasses import dataclass

PITCH = {"M6": 1.0e-3, "M8": 1.25e-3, "M10": 1.5e-3, "M12": 1.75e-3}
"""Coarse thread, ISO 261, from memory [m]."""
HOLE = {"M6": 6.6e-3, "M8": 9.0e-3, "M10": 11.0e-3, "M12": 13.5e-3}
"""Clearance hole, medium, ISO 273, from memory [m]."""
BEARING = {"M6": 8.7e-3, "M8": 11.6e-3, "M10": 14.6e-3, "M12": 16.6e-3}
"""Outside diameter under a hexagon head or nut, ISO 4014, from memory [m]."""


@dataclass(frozen=True)
class Thread:
    """A size in numbers [m, m2]."""

    d: float
    core: float
    """Area at the root of the thread."""
    stressed: float
    hole: float
    bearing: float

    @property
    def shank(self) -> float:
        """Area of the nominal diameter [m2]."""
        return 0.25 * math.pi * self.d**2


def thread(size: str) -> Thread:
    """A metric coarse thread.

    Parameters
    ----------
    size : str   "M6", "M8", "M10" or "M12" [-]
    Returns
    -------
    thread : Thread   [m, m2]
    Errors      KeyError for another size.
    Source      ISO 68-1 and ISO 898-1 (d2 = d - 0.6495 P, d3 = d - 1.2269 P), from memory
    """
    d, pitch = 1e-3 * float(size[1:]), PITCH[size]
    flank, root = d - 0.6495 * pitch, d - 1.2269 * pitch
    return Thread(
        d, 0.25 * math.pi * root**2, math.pi / 16.0 * (flank + root) ** 2, HOLE[size], BEARING[size]
    )


def bolt_compliance(size: Thread, length: float, E: float, E_head: float) -> float:
    """Stretch of a stud with a nut, or a bolt in a tapped hole, by force.

    Nut or head give as 0.5 d of shank, the thread in the hole as 0.5 d of core, the tapped wall as
    0.33 d of shank in the head's metal; the rest is thread.

    Parameters
    ----------
    size : Thread   [m, m2]
    length : float   Clamped, sleeve included [m]
    E, E_head : float   Young's moduli of bolt and tapped part [Pa]
    Returns
    -------
    compliance : float   [m/N]
    Source      VDI 2230 part 1, section 5.1, from memory
    """
    ends = 0.5 * size.d / (E * size.shank) + 0.5 * size.d / (E * size.core)
    return length / (E * size.core) + ends + 0.33 * size.d / (E_head * size.shank)


def plate_compliance(
    size: Thread, thickness: float, bearing: float, width: float, E: float
) -> float:
    """Give of the clamped flange by force: a cone of pressure that opens to the head's face.

    Parameters
    ----------
    size : Thread   [m, m2]
    thickness, bearing, width : float   Of the flange, of what bears on it, of the flange's bar [m]
    E : float   Young's modulus of the flange [Pa]
    Returns
    -------
    compliance : float   [m/N]
    Limits      The cone is not cut at the bar's edge: a few per cent of a tenth of the sum.
    Source      VDI 2230 part 1, section 5.1.2 (tapped joint, w = 2), from memory
    """
    hole, y = size.hole, max(width / bearing, 1.0)
    slope = 0.348 + 0.013 * math.log(thickness / bearing) + 0.193 * math.log(y)
    end = bearing + 2.0 * thickness * slope
    ratio = (bearing + hole) * (end - hole) / ((bearing - hole) * (end + hole))
    return math.log(ratio) / (2.0 * E * math.pi * hole * slope)
