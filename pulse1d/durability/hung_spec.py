"""What a case says of the weight behind its outlet."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from pulse1d.spec import Coordinate, Mass, Ratio, Spec


class Hung(Spec):
    """A mass that the part carries behind its last joint."""

    mass: Mass
    lever: tuple[Coordinate, Coordinate, Coordinate] = (0.0, 0.0, 0.0)
    """From the last joint to the mass's centre."""
    shake: Annotated[Ratio, Field(ge=0.0, le=100.0)] = 0.0
    """Amplitude of vertical vibration, in units of gravity."""
