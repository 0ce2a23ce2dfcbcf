"""Flow sections: the union of all shapes, by the key ``shape``, and scaling."""

from __future__ import annotations

import math
from typing import Annotated, Any, TypeVar

from pydantic import Field

from pulse1d.geometry.base import SectionBase
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

Section = Annotated[
    Round | Tube | Oval | Ellipse | DShape | Rectangle | Polygon, Field(discriminator="shape")
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
