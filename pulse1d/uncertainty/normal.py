"""The standard normal quantile, without loading a package of special functions at every start."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SPLIT = 0.425
"""Of |p - 1/2|, between the middle and the tails."""
FAR = 5.0
"""Of sqrt(-ln p), between the tails and the far tails."""
MIDDLE = (
    (3.3871328727963666080, 1.3314166789178437745e2, 1.9715909503065514427e3,
     1.3731693765509461125e4, 4.5921953931549871457e4, 6.7265770927008700853e4,
     3.3430575583588128105e4, 2.5090809287301226727e3),
    (1.0, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
     2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4,
     5.2264952788528545610e3),
)  # fmt: skip
TAIL = (
    (1.42343711074968357734, 4.63033784615654529590, 5.76949722146069140550,
     3.64784832476320460504, 1.27045825245236838258, 2.41780725177450611770e-1,
     2.27238449892691845833e-2, 7.74545014278341407640e-4),
    (1.0, 2.05319162663775882187, 1.67638483018380384940, 6.89767334985100004550e-1,
     1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4,
     1.05075007164441684324e-9),
)  # fmt: skip
FAR_TAIL = (
    (6.65790464350110377720, 5.46378491116411436990, 1.78482653991729133580,
     2.96560571828504891230e-1, 2.65321895265761230930e-2, 1.24266094738807843860e-3,
     2.71155556874348757815e-5, 2.01033439929228813265e-7),
    (1.0, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
     7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7,
     2.04426310338993978564e-15),
)  # fmt: skip


def quantile(p: Array) -> Array:
    """Standard normal quantiles.

    Parameters
    ----------
    p : array   Probabilities, above 0 and below 1 [-]
    Returns
    -------
    z : array   To 16 digits [-]
    Source      Wichura, algorithm AS 241, Applied Statistics 37(3), 1988 (coefficients as in
                Python's statistics module)
    """
    q = p - 0.5
    near = np.abs(q) <= SPLIT
    r = SPLIT**2 - np.where(near, q, 0.0) ** 2
    z = q * _ratio(MIDDLE, r)
    out = ~near
    t = np.sqrt(-np.log(np.minimum(p[out], 1.0 - p[out])))
    tails = np.where(t <= FAR, _ratio(TAIL, t - 1.6), _ratio(FAR_TAIL, t - FAR))
    z[out] = np.copysign(tails, q[out])
    return z


def _ratio(terms: tuple[tuple[float, ...], tuple[float, ...]], x: Array) -> Array:
    above, below = (np.polynomial.polynomial.polyval(x, one) for one in terms)
    return np.asarray(above / below)
