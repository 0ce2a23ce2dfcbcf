"""Flow sections: the union of all shapes, by the key ``shape``, and scaling."""

from __future__ import annotations

import math
from typing import Annotated, Any, TypeVar

from pydantic import AfterValidator, Field, ValidationInfo

from pulse1d.geometry.base import SectionBase, in_mm
from pulse1d.geometry.flat_shapes import DShape, Rectangle
from pulse1d.geometry.polygon import Polygon
from pulse1d.geometry.round_shapes import Ellipse, Oval, Round, Tube

__all__ = [
    "SECTIONS",
    "DShape",
    "Ellipse",
    "Oval",
    "Polygon",
    "Rectangle",
    "Round",
    "Section",
    "SectionBase",
    "Tube",
    "scaled",
]

SIDES = (1e-5, 10.0)
"""Least and greatest width and height of a section in a file: a hole that no drill makes, and a
culvert (judgement) [m]."""
SLIMMEST = 1e-3
"""Least ratio of width and height in a file: a slit of 0.1 mm across 100 mm (judgement) [-]."""


def _can_be_made(section: Any, info: ValidationInfo) -> Any:
    """A section of a file as it is, unless its numbers are a slip, beyond what geometry bears."""
    if not (info.context and info.context.get("from_text")):
        return section
    least, most = sorted(section.extent)
    if not SIDES[0] <= least <= most <= SIDES[1]:
        raise ValueError(
            f"no section is {in_mm(least)} by {in_mm(most)} mm; check numbers and units, sides lie "
            f"between {in_mm(SIDES[0])} and {in_mm(SIDES[1])} mm"
        )
    if least < SLIMMEST * most:
        raise ValueError(
            f"a section of {in_mm(least)} by {in_mm(most)} mm is but a slit; check its numbers and "
            "units"
        )
    return section


Section = Annotated[
    Round | Tube | Oval | Ellipse | DShape | Rectangle | Polygon,
    Field(discriminator="shape"),
    AfterValidator(_can_be_made),
]
SECTIONS = (Round, Tube, Oval, Ellipse, DShape, Rectangle, Polygon)


S = TypeVar("S", bound=SectionBase)


def scaled(section: S, factor: float) -> S:
    """The same shape with every length multiplied; a tube's od and wall both.

    Parameters
    ----------
    section : Section   The section [-]
    factor : float   Ratio of lengths [-], above 0
    Returns
    -------
    section : same type   The larger or smaller section [-]
    Errors      ValueError when the factor is not above 0.
    Source      plane geometry, no source
    """
    if not (factor > 0.0 and math.isfinite(factor)):
        raise ValueError(f"a scale factor of {factor:g} makes no section; give one above 0")
    lengths = {name: getattr(section, name) for name in type(section).model_fields}
    del lengths["shape"]
    return type(section)(**{name: _times(length, factor) for name, length in lengths.items()})


def _times(length: Any, factor: float) -> Any:
    if isinstance(length, tuple):
        return tuple(_times(part, factor) for part in length)
    return factor * length
