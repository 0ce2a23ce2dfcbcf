"""Orders of a signal over a cycle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def orders(signal: Array, count: int = 16) -> tuple[Array, Array]:
    """Amplitudes of a four-stroke cycle's orders.

    Parameters
    ----------
    signal : (n,) array   Evenly over 720 deg [any]
    count : int   How many [-]
    Returns
    -------
    order, amplitude : (count,) arrays   0.5, 1, 1.5 ... per revolution; half of peak to peak [any]
    Source      discrete Fourier transform
    """
    found = np.abs(np.fft.rfft(signal)) * 2.0 / len(signal)
    k = np.arange(1, count + 1)
    return np.asarray(0.5 * k), np.asarray(found[1 : count + 1])
