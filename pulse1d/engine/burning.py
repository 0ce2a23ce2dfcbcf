"""How the charge burns: the case's keys, and what they are where the case leaves them out."""

from __future__ import annotations

import math
from typing import Any

from pydantic import field_validator

from pulse1d.spec import Angle, Fraction, PositiveRatio, Spec


class Premixed(Spec):
    """The part of the heat that comes first, of fuel that is mixed when it lights."""

    share: Fraction = 0.12
    """Of the heat (Watson et al. 1980 at lambda 1.5 and 0.7 ms of delay, from memory)."""
    duration: Angle = math.radians(8.0)
    """From the same start (Watson et al. 1980: some 6 deg, from memory)."""
    form: PositiveRatio = 2.0
    """Wiebe's m (judgement)."""

    @field_validator("duration")
    @classmethod
    def _lasts_a_moment(cls, value: float) -> float:
        if not 1.0 <= math.degrees(value) <= 60.0:
            raise ValueError(
                f"the premixed part would burn for {math.degrees(value):.4g} deg; "
                "state 1 to 60 deg, some 8 deg as a rule"
            )
        return value


class Burning(Spec):
    """Heat release by Wiebe's law; the defaults here are those of a spark engine."""

    starts_before_tdc: Angle = math.radians(15.0)
    duration: Angle = math.radians(55.0)
    form: PositiveRatio = 2.0
    """Wiebe's m."""
    efficiency: Fraction = 0.96
    """Of the fuel's heating value that is released."""
    premixed: Premixed | None = None
    """A second Wiebe beside the main one; share 0 switches it off."""

    @field_validator("starts_before_tdc")
    @classmethod
    def _starts_near_tdc(cls, value: float) -> float:
        if not -60.0 <= math.degrees(value) <= 90.0:
            raise ValueError(
                f"burning would start {math.degrees(value):.4g} deg before TDC; "
                "state -60 to 90 deg, negative behind TDC"
            )
        return value

    @field_validator("duration")
    @classmethod
    def _lasts_a_while(cls, value: float) -> float:
        if not 5.0 <= math.degrees(value) <= 180.0:
            raise ValueError(
                f"burning would last for {math.degrees(value):.4g} deg; "
                "state 5 to 180 deg, some 55 deg as a rule"
            )
        return value


COMPRESSION: dict[str, Any] = {
    "starts_before_tdc": math.radians(8.0),
    "duration": math.radians(70.0),
    "form": 0.9,
    "efficiency": 0.98,
    "premixed": Premixed(),
}
"""What a compression-ignition engine burns like where its case says nothing: start and duration
(judgement), form and efficiency (heywood1988 sections 10.4 and 3.5.4, from memory)."""


def burning_of(stated: Burning, ignition: str) -> Burning:
    """Burning with what the case leaves out filled in for its ignition.

    Parameters
    ----------
    stated : Burning   As the case has it [SI]
    ignition : str   Spark or compression [-]
    Returns
    -------
    burning : Burning   [SI]
    """
    if ignition == "spark":
        return stated
    left_out = {k: v for k, v in COMPRESSION.items() if k not in stated.model_fields_set}
    return stated.model_copy(update=left_out)


def premixed_of(burning: Burning) -> tuple[float, float, float]:
    """The premixed part as the cylinder takes it.

    Parameters
    ----------
    burning : Burning   [SI]
    Returns
    -------
    share, duration, m : float   Share 0 for none [-, deg, -]
    """
    part = burning.premixed
    if part is None:
        return 0.0, math.degrees(burning.duration), burning.form
    return part.share, math.degrees(part.duration), part.form
