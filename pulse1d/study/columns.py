"""Designs of a study as columns of numbers in units that people read, for tables and pictures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d import units
from pulse1d.study.answer_names import AnswerInfo
from pulse1d.study.axes import Axis, Point, Value
from pulse1d.study.leaf import SI_UNIT
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.parameters import scale

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Column:
    """One parameter or answer of many designs."""

    name: str
    unit: str
    values: Array
    """[unit]; texts by their place in ``labels``, missing answers not a number."""
    labels: tuple[str, ...] = ()
    """Of a list's values, rising with ``rungs``."""
    rungs: tuple[float, ...] = ()
    better: str = ""

    @property
    def title(self) -> str:
        """Name and unit, as on an axis."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


def parameter_columns(
    study: LoadedStudy, points: Sequence[Mapping[str, Value | None]]
) -> list[Column]:
    """The parameters of points, in the units of the study's file.

    Parameters
    ----------
    study : LoadedStudy   [-]
    points : sequence of mapping   By parameter; None where it has no one value [SI]
    Returns
    -------
    columns : list of Column   [as shown]
    """
    columns = []
    for axis in study.axes:
        values = np.array([to_shown(study, axis, p[axis.name]) for p in points], dtype=float)
        rungs = [(to_shown(study, axis, v), text) for v, text in _labelled(axis)]
        rungs.sort()
        columns.append(
            Column(
                axis.name, shown_unit(study, axis), values,
                tuple(text for _, text in rungs), tuple(x for x, _ in rungs),
            )
        )  # fmt: skip
    return columns


def answer_columns(
    infos: Sequence[AnswerInfo], answers: Sequence[Mapping[str, float]]
) -> list[Column]:
    """Some answers of designs, in the units shown to people.

    Parameters
    ----------
    infos : sequence of AnswerInfo   [-]
    answers : sequence of mapping   Of each design [SI]
    Returns
    -------
    columns : list of Column   [as shown]
    """
    return [
        Column(
            info.name, info.shown,
            np.array([info.show(one.get(info.name, np.nan)) for one in answers]),
            better=info.better,
        )
        for info in infos
    ]  # fmt: skip


def shown_unit(study: LoadedStudy, axis: Axis) -> str:
    """Unit of a parameter, as shown.

    Parameters
    ----------
    study : LoadedStudy   [-]
    axis : Axis   [-]
    Returns
    -------
    unit : str   [-]
    """
    return axis.unit or SI_UNIT.get(_kind(study, axis), "")


def to_shown(study: LoadedStudy, axis: Axis, value: Value | None) -> float:
    """A value of a parameter in its shown unit.

    Parameters
    ----------
    study : LoadedStudy   [-]
    axis : Axis   [-]
    value : float, str or None   [SI]
    Returns
    -------
    value : float   A text's place in the list; not a number for None [as shown]
    """
    if value is None:
        return float("nan")
    if isinstance(value, str):
        return float(axis.values.index(value)) if value in axis.values else float("nan")
    kind = _kind(study, axis)
    if kind == "absolute pressure":
        tail = axis.unit.removesuffix("abs").strip() or "Pa"
        return units.to(value, tail, "pressure")
    return units.to(value, axis.unit, kind) if kind in units.SI and axis.unit else value


def slope_scale(study: LoadedStudy, axis: Axis) -> float:
    """What one shown unit is in SI, as a difference.

    Parameters
    ----------
    study : LoadedStudy   [-]
    axis : Axis   With numbers [-]
    Returns
    -------
    scale : float   [SI]
    """
    one, zero = (to_shown(study, axis, value) for value in (axis.high, axis.low))
    return (axis.high - axis.low) / (one - zero) if one != zero else 1.0


def as_read(study: LoadedStudy, axis: Axis, value: Value | None) -> str:
    """A value of a parameter as text, without its unit.

    Parameters
    ----------
    study : LoadedStudy   [-]
    axis : Axis   [-]
    value : float, str or None   [SI]
    Returns
    -------
    text : str   "-" for None [as shown]
    """
    if value is None:
        return "-"
    return value if isinstance(value, str) else f"{to_shown(study, axis, value):.4g}"


def start_of(study: LoadedStudy) -> Point | None:
    """The base case as a point of the study.

    Parameters
    ----------
    study : LoadedStudy   [-]
    Returns
    -------
    point : mapping or None   None where a parameter has no one value there, a text off its list, or
        a number outside its range [SI]
    """
    from pulse1d.study.space import base_point

    start: dict[str, Value] = {}
    for axis, (name, value) in zip(study.axes, base_point(study).items(), strict=True):
        texts = any(isinstance(one, str) for one in axis.values)
        if value is None or isinstance(value, str) != texts or (texts and value not in axis.values):
            return None
        if not isinstance(value, str) and not axis.low <= value <= axis.high:
            return None
        start[name] = value
    return start


def _labelled(axis: Axis) -> list[tuple[Value, str]]:
    return list(zip(axis.values, axis.labels or map(str, axis.values), strict=True))


def _kind(study: LoadedStudy, axis: Axis) -> str:
    target = next(one for one in study.targets if one.name == axis.name)
    return scale(target.dimension, target.sets)
