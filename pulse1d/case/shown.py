"""The units in which a case is written, for pages and pictures to speak the same."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from pulse1d import units
from pulse1d.case.document import Document
from pulse1d.errors import UnitError

INCHES = re.compile(r"[0-9]\s+in$")
MILLIMETRES = re.compile(r"[0-9]\s+mm$")


@dataclass(frozen=True)
class Shown:
    """Units to show lengths, differences of pressure and volume flows in; others are fixed."""

    length: str = "mm"
    pressure: str = "inH2O"
    flow: str = "CFM"

    def of_pressure(self, pa: float) -> float:
        """A difference of pressure in the unit shown [Pa in, ``pressure`` out]."""
        return units.to(pa, self.pressure, "pressure")

    def of_length(self, metres: float) -> float:
        """A length in the unit shown [m in, ``length`` out]."""
        return units.to(metres, self.length, "length")

    def of_flow(self, flow: float) -> float:
        """A volume flow in the unit shown [m^3/s in, ``flow`` out]."""
        return units.to(flow, self.flow, "volume flow")


def shown(document: Document) -> Shown:
    """What a case is written in: lengths by majority, pressures as its depression.

    Parameters
    ----------
    document : Document   Of a case that was read [-]
    Returns
    -------
    shown : Shown   inch and CFM where the case writes them, else millimetre and m3/h [-]
    """
    texts = list(_texts(document.data))
    inches = sum(bool(INCHES.search(text)) for text in texts)
    millimetres = sum(bool(MILLIMETRES.search(text)) for text in texts)
    bench = document.data.get("bench")
    depression = bench.get("depression", "") if isinstance(bench, dict) else ""
    pressure = _unit(str(depression)) or Shown().pressure
    imperial = "in" in pressure or "ft" in pressure or "psi" in pressure
    return Shown("in" if inches > millimetres else "mm", pressure, "CFM" if imperial else "m^3/h")


def _unit(text: str) -> str:
    found = units.NUMBER.match(text.strip())
    unit = found[2].strip() if found else ""
    try:
        units.to(1.0, unit, "pressure")
    except UnitError:
        return ""
    return unit


def _texts(data: Any) -> Any:
    if isinstance(data, dict):
        for value in data.values():
            yield from _texts(value)
    elif isinstance(data, list):
        for value in data:
            yield from _texts(value)
    elif isinstance(data, str):
        yield data
