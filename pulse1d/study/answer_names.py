"""What a study's designs are asked: the names of its answers, their units, and which way is up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.run.mass import density_of, has_walls
from pulse1d.study.over_speeds import OVER, PER_SPEED, at_speed

CFM = 0.3048**3 / 60.0
"""One cubic foot a minute, exact [m3/s]."""
UNITS = {
    "m3/s": ("CFM", CFM), "1": ("%", 0.01), "kg": ("kg", 1.0), "N m": ("N m", 1.0),
    "Pa": ("kPa", 1e3), "1/s": ("rev/min", 1.0 / 60.0),
}  # fmt: skip
"""SI unit to the unit shown to people, and how much of the first one of the second is."""
CYCLE = {
    "torque": ("N m", "most", "brake torque of the cylinders modelled"),
    "volumetric efficiency": ("1", "most", "fresh charge kept over what the swept volume holds"),
    "residual": ("1", "least", "burned share of the trapped charge"),
    "back pressure": ("Pa", "least", "mean pressure at the ports above the room's"),
}
Numbers = TypeVar("Numbers", float, NDArray[np.float64])


@dataclass(frozen=True)
class AnswerInfo:
    """One answer of a study."""

    name: str
    unit: str
    """SI, as stored."""
    better: str
    """"most", "least", or "" where neither is better as such."""
    meaning: str

    @property
    def shown(self) -> str:
        """The unit shown to people."""
        return UNITS[self.unit][0]

    def show(self, value: Numbers) -> Numbers:
        """Stored values in the unit shown to people."""
        return value / UNITS[self.unit][1]


def bench_infos(ports: Sequence[str], bands: bool) -> Iterator[AnswerInfo]:
    """Answers of the bench.

    Parameters
    ----------
    ports : sequence of str   [-]
    bands : bool   Whether the ends of the 5-95 % band are asked for, too [-]
    Returns
    -------
    infos : iterator of AnswerInfo   [-]
    """
    at = "at the bench's reference state"
    plain = [
        AnswerInfo("mean flow", "m3/s", "most", f"mean of the ports' flows {at}"),
        AnswerInfo("least flow", "m3/s", "most", f"flow of the port that flows least, {at}"),
        AnswerInfo("spread of flow", "1", "least", "largest less smallest flow, over the mean"),
        *(
            AnswerInfo(f"flow of port {port}", "m3/s", "most", f"flow of port {port} {at}")
            for port in ports
        ),
    ]
    for info in plain:
        yield info
        if bands:
            for end, share in (("low", 5), ("high", 95)):
                meaning = f"{share} % of the samples lie below: {info.meaning}"
                yield AnswerInfo(f"{info.name}, {end}", info.unit, info.better, meaning)


def cycle_infos(speeds: Sequence[float]) -> Iterator[AnswerInfo]:
    """Answers of the running engine.

    Parameters
    ----------
    speeds : sequence of float   Rising [rev/min]
    Returns
    -------
    infos : iterator of AnswerInfo   [-]
    """
    for name in OVER:
        yield over_info(name, name, "the study's speeds")
    for quantity in PER_SPEED:
        unit, better, meaning = CYCLE[quantity]
        for speed in speeds:
            yield AnswerInfo(at_speed(quantity, speed), unit, better, meaning)


def over_info(name: str, called: str, span: str) -> AnswerInfo:
    """An answer over several speeds.

    Parameters
    ----------
    name : str   One of ``OVER`` [-]
    called : str   Its name with the range [-]
    span : str   The range in words [-]
    Returns
    -------
    info : AnswerInfo   [-]
    """
    if name == "most torque":
        return AnswerInfo(called, "N m", "most", f"largest brake torque of {span}")
    if name == "speed of most torque":
        return AnswerInfo(called, "1/s", "", f"speed of the largest brake torque of {span}")
    if name == "torque window":
        return AnswerInfo(called, "1/s", "most", f"width within 5 % of the best torque of {span}")
    unit, better, meaning = CYCLE[name.removeprefix("mean ")]
    return AnswerInfo(called, unit, better, f"mean over {span}: {meaning}")


def mass_infos(base: Design) -> Iterator[AnswerInfo]:
    """The mass, where the case states its walls' thickness.

    Parameters
    ----------
    base : Design   [-]
    Returns
    -------
    infos : iterator of AnswerInfo   One or none [-]
    """
    if has_walls(base):
        rho, taken = density_of(base.case.wall.material)
        meaning = f"walls of the part, {taken}, {rho:g} kg/m3; flanges and welds not counted"
        yield AnswerInfo("mass", "kg", "least", meaning)
