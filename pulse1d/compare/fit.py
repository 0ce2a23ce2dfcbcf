"""Calibration: the causes of doubt, their bands as prior, estimated from measured flows.

Every cause of doubt has a standard normal prior by construction, so with the flows' slopes J, the
covariance R of the measured means and residual r the posterior is that of a linear Gaussian model,
iterated where the flows bend: z = J' S^-1 r, P = 1 - J' S^-1 J, S = J J' + R.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pulse1d.compare.means import PortMeans
from pulse1d.run.response import Response

Array = NDArray[np.float64]

ROUNDS = 20
SETTLED = 1e-3
"""Change of every shift, in standard deviations, behind which the mode stands."""


@dataclass(frozen=True)
class Fit:
    """What the readings say about the causes of doubt."""

    response: Response
    ports: tuple[str, ...]
    z: Array
    """(causes,): shifts at the mode of the posterior, in prior standard deviations."""
    P: Array
    """(causes, causes): covariance of the posterior (Laplace)."""
    before: Array
    """ln(measured / predicted) of the ports with nothing shifted."""
    after: Array
    """The same at the mode."""
    left_out: Array
    """The same for each port from a fit to the others; NaN with a single port."""
    rounds: int

    @property
    def spread(self) -> Array:
        """(causes,): what is left of each prior standard deviation."""
        return np.sqrt(np.diag(self.P))

    @property
    def rms(self) -> tuple[float, float, float]:
        """Root mean square of before, after and left out."""
        return tuple(  # type: ignore[return-value]
            float(np.sqrt(np.mean(values**2)))
            for values in (self.before, self.after, self.left_out)
        )


def fit(response: Response, means: PortMeans) -> Fit:
    """Posterior of all causes of doubt from the mean flows of a part's ports.

    Parameters
    ----------
    response : Response   The case on the bench of the readings, ports as in ``means`` [SI]
    means : PortMeans   [SI]
    Returns
    -------
    fit : Fit   [-]
    Source      linear Gaussian posterior by Gauss-Newton (Tarantola 2005 ch. 3, from memory)
    """
    y = means.ln_flow + np.log(response.setup.rho_ref)
    every = np.arange(len(means.ports))
    nothing = np.zeros(len(response.causes))
    z, P, rounds = posterior(response, y, means.covariance, every, nothing)
    left_out = np.full(len(y), np.nan)
    if len(y) > 1:
        for k in every:
            others = np.delete(every, k)
            z_k, _, _ = posterior(response, y, means.covariance, others, z)
            left_out[k] = y[k] - response.ln_flow(z_k[None])[0, k]
    return Fit(
        response, means.ports, z, P, y - response.ln_flow(nothing[None])[0],
        y - response.ln_flow(z[None])[0], left_out, rounds,
    )  # fmt: skip


def posterior(
    response: Response, y: Array, R: Array, used: NDArray[np.int64], start: Array
) -> tuple[Array, Array, int]:
    """Mode and covariance of the causes from some of the ports.

    Parameters
    ----------
    response : Response   [SI]
    y, R : (ports,), (ports, ports) arrays   ln of measured mass flows; their covariance [-]
    used : array of int   Ports that are read [-]
    start : (causes,) array   First guess of the mode [-]
    Returns
    -------
    z, P, rounds : arrays and int   Mode, covariance, Gauss-Newton rounds [-]
    """
    z = start
    R = R[np.ix_(used, used)]
    J, gain = np.zeros((len(used), len(z))), np.zeros((len(z), len(used)))
    for turn in range(1, ROUNDS + 1):
        J = response.slopes(z)[used]
        gain = J.T @ np.linalg.inv(J @ J.T + R)
        new = gain @ (y[used] - response.ln_flow(z[None])[0, used] + J @ z)
        moved, z = float(np.max(np.abs(new - z))), new
        if moved < SETTLED:
            return z, np.eye(len(z)) - gain @ J, turn
    return z, np.eye(len(z)) - gain @ J, ROUNDS


def sampled(
    found: Fit, means: PortMeans, samples: int = 4000, seed: int = 1
) -> tuple[Array, float]:
    """Mean shifts by importance sampling of the exact posterior from its Laplace approximation.

    Parameters
    ----------
    found : Fit   [-]
    means : PortMeans   That it was fitted to [SI]
    samples, seed : int   [-]
    Returns
    -------
    z : (causes,) array   Means [-]
    effective : float   Effective share of the samples: 1 where the approximation is exact [-]
    Source      importance sampling, JCGM 101 in spirit
    """
    rng = np.random.default_rng(seed)
    values, vectors = np.linalg.eigh(found.P)
    values = np.maximum(values, 1e-12)
    xi = rng.standard_normal((samples, len(values)))
    z = found.z + xi * np.sqrt(values) @ vectors.T
    y = means.ln_flow + np.log(found.response.setup.rho_ref)
    gap = y - found.response.ln_flow(z)
    misfit = np.einsum("ij,jk,ik->i", gap, np.linalg.inv(means.covariance), gap)
    log_w = -0.5 * (misfit + np.sum(z**2, axis=1)) + 0.5 * np.sum(xi**2, axis=1)
    w = np.exp(log_w - np.nanmax(log_w))
    w[~np.isfinite(w)] = 0.0
    w /= w.sum()
    return w @ z, float(1.0 / (samples * np.sum(w**2)))
