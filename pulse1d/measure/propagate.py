"""Propagation of uncertainty (JCGM 100) and of distributions (JCGM 101) through any model.

A model takes shifts of its inputs, each in units of the input's standard uncertainty, as an array
(runs, inputs), and gives its outputs as an array (runs, outputs).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from pulse1d.measure.air import Array

Model = Callable[[Array], Array]
CHUNK = 500_000
"""Most numbers of one chunk of runs times inputs: keeps the memory of a long session small."""


@dataclass(frozen=True)
class Input:
    """An error that the model's outputs may carry; equal names are one and the same error."""

    name: str
    u: float
    """Standard uncertainty, in ``unit``; "-" is relative."""
    kind: Literal["A", "B"]
    note: str
    family: str = ""
    """Line of the budget that it is summed into; empty: a line of its own."""
    shape: Literal["normal", "rectangular"] = "normal"
    unit: str = "-"
    scope: Literal["bench", "session", "row"] = "session"
    """How far the same error reaches: all sessions on one bench, one session, or one row."""


def sensitivities(model: Model, count: int) -> Array:
    """Jacobian of a model by central differences over one standard uncertainty to either side.

    Parameters
    ----------
    model : callable   Shifts (runs, inputs) to outputs (runs, outputs) [-]
    count : int   Number of inputs [-]
    Returns
    -------
    jacobian : (outputs, inputs) array   Output per standard uncertainty of each input [-]
    Source      JCGM 100:2008, 5.1.3 note 2 and 5.1.4
    """
    step = max(1, CHUNK // max(count, 1) // 2)
    parts = []
    for start in range(0, count, step):
        ahead = np.eye(count)[start : start + step]
        out = model(np.vstack([ahead, -ahead]))
        parts.append(0.5 * (out[: len(ahead)] - out[len(ahead) :]))
    return np.asarray(np.concatenate(parts).T if parts else np.zeros((0, 0)))


def covariance(jacobian: Array, correlation: Array | None = None) -> Array:
    """Covariance of a model's outputs.

    Parameters
    ----------
    jacobian : (outputs, inputs) array   As ``sensitivities`` gives it [-]
    correlation : (inputs, inputs) array or None   Of the inputs; None: independent [-]
    Returns
    -------
    covariance : (outputs, outputs) array   [-]
    Source      JCGM 100:2008, equation (13)
    """
    between = np.eye(jacobian.shape[1]) if correlation is None else correlation
    return np.asarray(jacobian @ between @ jacobian.T)


def sample(model: Model, inputs: Sequence[Input], samples: int, seed: int) -> Array:
    """Outputs of a model at random inputs, independent of each other, each by its own distribution.

    Parameters
    ----------
    model : callable   As for ``sensitivities`` [-]
    inputs : sequence of Input   [-]
    samples : int   Runs [-]
    seed : int   Of the random numbers [-]
    Returns
    -------
    outputs : (samples, outputs) array   [-]
    Source      JCGM 101:2008, 6.4.2 (rectangular), 6.4.7 (normal) and 7.4
    """
    random = np.random.default_rng(seed)
    flat = [i for i, item in enumerate(inputs) if item.shape == "rectangular"]
    step = max(1, CHUNK // max(len(inputs), 1))
    parts = []
    for start in range(0, samples, step):
        runs = min(step, samples - start)
        z = random.standard_normal((runs, len(inputs)))
        z[:, flat] = random.uniform(-np.sqrt(3.0), np.sqrt(3.0), (runs, len(flat)))
        parts.append(model(z))
    return np.concatenate(parts)


def contributions(
    inputs: Sequence[Input], jacobian: Array, weights: Array
) -> tuple[list[tuple[str, float]], float]:
    """What each family of inputs adds to the uncertainty of a weighted sum of outputs.

    Parameters
    ----------
    inputs : sequence of Input   [-]
    jacobian : (outputs, inputs) array   [-]
    weights : (outputs,) array   Of the outputs in the sum [-]
    Returns
    -------
    lines : list of (name, u)   Root of the sum of squares of a family, largest first [-]
    total : float   Standard uncertainty of the sum [-]
    Source      JCGM 100:2008, equation (10)
    """
    each = np.asarray(weights, dtype=float) @ jacobian
    squares: dict[str, float] = {}
    for item, value in zip(inputs, each, strict=True):
        family = item.family or item.name
        squares[family] = squares.get(family, 0.0) + float(value) ** 2
    lines = [(name, square**0.5) for name, square in squares.items()]
    return sorted(lines, key=lambda line: -line[1]), float(np.sqrt(np.sum(each**2)))
