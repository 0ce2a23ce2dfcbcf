"""The engine's description in a case: what stands behind the ports."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field, model_validator

from pulse1d.network.layout import Name
from pulse1d.spec import PositiveLength, PositiveRatio, Spec


class Engine(Spec):
    """Cylinders, crank train and firing order."""

    cylinders: Annotated[int, Field(ge=1, le=16)]
    bore: PositiveLength
    stroke: PositiveLength
    rod: PositiveLength | None = None
    compression_ratio: PositiveRatio | None = None
    cycle: Literal["four-stroke", "two-stroke"] = "four-stroke"
    firing_order: tuple[Name, ...] = ()
    """Names of cylinders as the ports list them, or as the engine numbers them."""

    @model_validator(mode="after")
    def _order_is_complete(self) -> Engine:
        if self.firing_order:
            if len(set(self.firing_order)) != len(self.firing_order):
                raise ValueError("the firing order names a cylinder twice; name each once")
            if len(self.firing_order) != self.cylinders:
                raise ValueError(
                    f"the firing order names {len(self.firing_order)} of {self.cylinders} "
                    "cylinders; name each once"
                )
        return self

    @property
    def displacement(self) -> float:
        """Swept volume of all cylinders [m3]."""
        return self.cylinders * 0.25 * math.pi * self.bore**2 * self.stroke

    def firing_gaps(self, ports: dict[str, tuple[str, ...]]) -> tuple[tuple[str, float], ...]:
        """Crank angle from each port's pulse to the next pulse of the same part.

        Parameters
        ----------
        ports : dict   Port name to its cylinders (empty: the cylinder of the same name) [-]
        Returns
        -------
        gaps : tuple of (port, gap)   In firing order, even firing assumed [deg]
        Source      common practice, no source
        """
        turn = 720.0 if self.cycle == "four-stroke" else 360.0
        owner = {cylinder: port for port, names in ports.items() for cylinder in (names or (port,))}
        fired = [
            (owner[name], turn * k / len(self.firing_order))
            for k, name in enumerate(self.firing_order)
            if name in owner
        ]
        return tuple(
            (port, (fired[(k + 1) % len(fired)][1] - angle) % turn or turn)
            for k, (port, angle) in enumerate(fired)
        )
