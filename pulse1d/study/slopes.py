"""What a small change of each parameter buys, by central differences, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pulse1d.study.axes import Axis, Point, Value
from pulse1d.study.outcome import Evaluate, Outcome

STEP = 0.02
"""Of a range, to either side: far above the solvers' own tolerances, yet local (judgement) [-]."""
SURE = 2.0
"""A slope this many times its doubt is taken as real (judgement) [-]."""


@dataclass(frozen=True)
class Slope:
    """How fast an answer changes with a parameter at a point."""

    axis: Axis
    answer: str
    at: float
    """[SI]."""
    slope: float
    """[SI / SI]."""
    doubt: float
    """By how much the slope over the half step differs, and that to the left from that to the right
    where there is one side only: curvature and noise in one [SI / SI]."""
    low: float
    high: float
    """Ends of the difference [SI]."""
    failure: str = ""
    """Why there is no slope."""

    @property
    def sure(self) -> bool:
        """Whether its sign can be relied on."""
        return not self.failure and abs(self.slope) > SURE * self.doubt


def slopes_of(
    evaluate: Evaluate, axes: Sequence[Axis], at: Point, answers: Sequence[str], step: float = STEP
) -> tuple[list[Slope], Outcome]:
    """The slopes of some answers at a point, along each axis that has numbers.

    Over a range the difference is taken at two steps, whole and half; along a list from the
    neighbour below to the one above. At an end of its range or list it is one-sided.

    Parameters
    ----------
    evaluate : Evaluate   [SI]
    axes : sequence of Axis   Axes of texts are passed over [SI]
    at : mapping   A point [SI]
    answers : sequence of str   [-]
    step : float   To either side, of the range [-]
    Returns
    -------
    slopes, there : list of Slope, Outcome   By axis and answer, and the outcome at the point [SI]
    Source      definition
    """
    stencils = [(axis, _stencil(axis, at[axis.name], step)) for axis in axes]
    stencils = [(axis, stencil) for axis, stencil in stencils if len(stencil) > 1]
    points = [dict(at)]
    points += [{**at, axis.name: value} for axis, stencil in stencils for value in stencil]
    there, *found = evaluate(points)
    slopes, first = [], 0
    for axis, stencil in stencils:
        own = found[first : first + len(stencil)]
        first += len(stencil)
        slopes += [_slope(axis, answer, float(at[axis.name]), stencil, own) for answer in answers]
    return slopes, there


def _stencil(axis: Axis, at: Value, step: float) -> tuple[float, ...]:
    """Values at which the answers are wanted, rising: ends first and last."""
    if isinstance(at, str) or any(isinstance(value, str) for value in axis.values):
        return ()
    if axis.values:
        rungs = sorted({at, *(float(value) for value in axis.values)})
        k = rungs.index(at)
        return tuple(rungs[max(k - 1, 0) : k + 2])
    h = step * (axis.high - axis.low)
    low, high = max(at - h, axis.low), min(at + h, axis.high)
    if not low < high:
        return ()
    if low < at < high:
        return (low, 0.5 * (low + at), 0.5 * (at + high), high)
    return (low, 0.5 * (low + high), high)


def _slope(
    axis: Axis, answer: str, at: float, stencil: Sequence[float], found: Sequence[Outcome]
) -> Slope:
    low, high = stencil[0], stencil[-1]
    missing = next((one for one in found if answer not in one.answers), None)
    if missing is not None:
        why = missing.failure or f"{answer} is missing"
        return Slope(axis, answer, at, 0.0, 0.0, low, high, why)
    y = [one.answers[answer] for one in found]
    slope = (y[-1] - y[0]) / (high - low)
    if len(stencil) == 4:
        other = (y[2] - y[1]) / (stencil[2] - stencil[1])
    elif len(stencil) == 3:
        other = (y[1] - y[0]) / (stencil[1] - low)
    else:
        other = slope
    return Slope(axis, answer, at, slope, abs(other - slope), low, high)
