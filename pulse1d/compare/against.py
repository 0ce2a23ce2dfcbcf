"""Prediction held against measurement, port by port, on the bench that the readings describe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from pulse1d.case.design import Design
from pulse1d.compare.means import PortMeans
from pulse1d.errors import InputError, Problem
from pulse1d.losses.entry import Entry
from pulse1d.measure.spec import Header
from pulse1d.run.bench import BenchResult, predict_bench
from pulse1d.run.left_over import calibrated_samples
from pulse1d.run.response import Response, response_of
from pulse1d.steady.conditions import AirState, Bench

Array = NDArray[np.float64]

PLAUSIBLE = 2.5
"""Standard deviations of a single cause beyond which it is no explanation by itself."""
FEWEST_SLOPE = 5e-4
"""Change of ln flow with one standard deviation of a cause that is worth naming."""


@dataclass(frozen=True)
class Explanation:
    """One cause of doubt that would by itself make up a difference."""

    cause: str
    sigmas: float


@dataclass(frozen=True)
class PortGap:
    """One port: measured against predicted."""

    port: str
    measured: float
    """Volume flow at the reference state and the stated test pressure [m3/s]."""
    u_measured: float
    """Relative standard uncertainty [-]."""
    predicted: float
    u_predicted: float
    residual: float
    """ln(measured / predicted) [-]."""
    explanations: tuple[Explanation, ...]
    """Causes of this port alone that would explain what sets it apart from the others."""

    @property
    def ratio(self) -> float:
        """Residual over its standard deviation [-]."""
        return self.residual / float(np.hypot(self.u_measured, self.u_predicted))


@dataclass(frozen=True)
class Comparison:
    """A case against readings of one part."""

    design: Design
    """On the bench of the readings."""
    means: PortMeans
    result: BenchResult
    response: Response
    J: Array
    """(ports, causes): change of ln flow with each cause of doubt."""
    ports: tuple[PortGap, ...]
    common: float
    """Median residual of the ports: one faulty port does not move it [-]."""
    common_explanations: tuple[Explanation, ...]
    chi2: float
    """r' (JJ' + R)^-1 r of the residuals, against bands of model and measurement."""
    p_value: float

    @property
    def residual(self) -> Array:
        """ln(measured / predicted) of the ports [-]."""
        return np.array([gap.residual for gap in self.ports])

    @property
    def own_noise(self) -> float:
        """What a port may lie apart from the others before it is worth a word: its readings'
        scatter at k = 2, or one per cent [-]."""
        return max(2.0 * self.means.scatter / float(np.sqrt(min(self.means.remounts))), 0.01)


def on_bench(design: Design, header: Header) -> Design:
    """The design on the bench that readings describe, at their reference air.

    Parameters
    ----------
    design : Design   [-]
    header : Header   Of the readings [-]
    Returns
    -------
    design : Design   The same part; its bench is that of the readings [-]
    """
    set_up, reference = header.set_up, header.reference
    air = AirState(
        pressure=reference.pressure,
        temperature=reference.temperature,
        humidity=reference.humidity,
    )
    adapter = design.case.bench.adapter
    if set_up.adapter is not None and set_up.adapter.edge_radius is not None:
        adapter = Entry(edge_radius=set_up.adapter.edge_radius)
    bench = Bench(
        depression=set_up.test_pressure,
        fixed_end=set_up.fixed_end,
        direction=set_up.direction,
        other_ports=set_up.other_ports,
        room=air,
        reference=air,
        adapter=adapter,
    )
    return replace(design, case=design.case.model_copy(update={"bench": bench}))


def hold_against(design: Design, header: Header, means: PortMeans) -> Comparison:
    """A case's prediction against the measured ports of a part.

    Parameters
    ----------
    design : Design   [-]
    header : Header   Of the readings: set-up and reference air [-]
    means : PortMeans   Of the part [SI]
    Returns
    -------
    comparison : Comparison   [SI]
    Errors      InputError for ports that the case does not have, or a part without readings.
    Source      JCGM 100:2008; chi-square of residuals with correlated bands
    """
    if not means.ports:
        raise InputError(
            [Problem(f"there are no readings of part {means.part!r}", "name a part that was read")]
        )
    design = on_bench(design, header)
    result = predict_bench(design, ports=means.ports, samples=0)
    uncalibrated = response_of(design, means.ports)
    slopes = uncalibrated.slopes(shift_of(design, uncalibrated.causes))
    J = slopes @ left_over(design, uncalibrated.causes)
    predicted = np.abs(result.mdot) / result.setup.rho_ref
    residual = means.ln_flow - np.log(predicted)
    S = J @ J.T + means.covariance
    square = float(residual @ np.linalg.solve(S, residual))
    common = float(np.median(residual))
    gaps = tuple(
        PortGap(
            port, float(means.flow[i]), float(means.u[i]), float(predicted[i]),
            float(np.sqrt(J[i] @ J[i])), float(residual[i]),
            explanations(
                residual[i] - common if len(residual) > 1 else residual[i],
                J[i], uncalibrated.causes, own_causes(J, i),
            ),
        )
        for i, port in enumerate(means.ports)
    )  # fmt: skip
    shared = np.all(np.abs(J) > FEWEST_SLOPE, axis=0)
    return Comparison(
        design, means, result, uncalibrated, J, gaps, common,
        explanations(common, J.mean(axis=0), uncalibrated.causes, shared),
        square, float(chi2.sf(square, len(residual))),
    )  # fmt: skip


def shift_of(design: Design, causes: Sequence[str]) -> Array:
    """Where a case's own calibration has put the causes.

    Parameters
    ----------
    design : Design   [-]
    causes : sequence of str   [-]
    Returns
    -------
    z : (causes,) array   0 for causes it does not name [-]
    """
    known = {c.cause: c.sigmas or 0.0 for c in design.case.calibration.corrections}
    return np.array([known.get(cause, 0.0) for cause in causes])


def left_over(design: Design, causes: Sequence[str]) -> Array:
    """Square root of the covariance of the causes, less what a calibration has learned.

    Parameters
    ----------
    design : Design   [-]
    causes : sequence of str   [-]
    Returns
    -------
    root : (causes, causes) array   The unit matrix without a calibration [-]
    """
    return calibrated_samples(np.eye(len(causes)), causes, design.case.calibration).T


def own_causes(J: Array, port: int) -> NDArray[np.bool_]:
    """Causes that move one port and hardly the others.

    Parameters
    ----------
    J : (ports, causes) array   [-]
    port : int   [-]
    Returns
    -------
    own : (causes,) array of bool   [-]
    """
    others = np.delete(np.abs(J), port, axis=0)
    most = others.max(axis=0) if len(others) else np.zeros(J.shape[1])
    return np.asarray(most < 0.1 * np.abs(J[port]))


def explanations(
    gap: float, slopes: Array, causes: Sequence[str], wanted: NDArray[np.bool_]
) -> tuple[Explanation, ...]:
    """Causes that would each make up a gap by a plausible shift, likeliest first.

    Parameters
    ----------
    gap : float   Difference of ln flow [-]
    slopes : (causes,) array   Change of ln flow with one standard deviation [-]
    causes : sequence of str   [-]
    wanted : (causes,) array of bool   Those that come into question [-]
    Returns
    -------
    found : tuple of Explanation   At most four [-]
    """
    found = [
        Explanation(cause, float(gap / slope))
        for cause, slope, ask in zip(causes, slopes, wanted, strict=True)
        if ask and abs(slope) > FEWEST_SLOPE and abs(gap / slope) <= PLAUSIBLE
    ]
    return tuple(sorted(found, key=lambda e: abs(e.sigmas))[:4])
