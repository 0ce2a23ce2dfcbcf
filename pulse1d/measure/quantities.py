"""Quantity types that only readings need; the rest are in ``pulse1d.spec``."""

from __future__ import annotations

from pulse1d.spec import quantity

Density = quantity("density", gt=0.0)
PressureLimit = quantity("pressure", ge=0.0)
TemperatureLimit = quantity("temperature difference", ge=0.0)
