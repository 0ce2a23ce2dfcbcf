"""A colour map for what lies above and below ambient: perceptually uniform, white in the middle.

Lightness falls linearly from the middle to both ends in the OKLab space, and hue stays on either
side, so equal steps look equal. Printed in grey both ends are dark: draw contours over it, dashed
below the middle, to tell them apart.

Source: Ottosson, "A perceptual color space for image processing", 2020, from memory.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

MIDDLE = (0.98, 0.0, 0.0)
"""Lightness and the two colour axes of OKLab."""
BELOW = (0.38, -0.035, -0.125)
ABOVE = (0.42, 0.125, 0.075)
_CONE = np.array(
    [
        [1.0, 0.3963377774, 0.2158037573],
        [1.0, -0.1055613458, -0.0638541728],
        [1.0, -0.0894841775, -1.2914855480],
    ]
)
_RGB = np.array(
    [
        [4.0767416621, -3.3077115913, 0.2309699292],
        [-1.2684380046, 2.6097574011, -0.3413193965],
        [-0.0041960863, -0.7034186147, 1.7076147010],
    ]
)


def srgb(oklab: Array) -> Array:
    """Screen colours of OKLab ones.

    Parameters
    ----------
    oklab : (n, 3) array   Lightness and two colour axes [-]
    Returns
    -------
    rgb : (n, 3) array   0 .. 1, cut to what a screen shows [-]
    """
    linear = np.clip((oklab @ _CONE.T) ** 3 @ _RGB.T, 0.0, 1.0)
    return np.asarray(
        np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    )


def diverging() -> Any:
    """The colour map, blue below the middle and red above.

    Returns
    -------
    colours : matplotlib ListedColormap   257 colours [-]
    """
    from matplotlib.colors import ListedColormap

    share = np.linspace(0.0, 1.0, 129)[:, None]
    below = np.array(BELOW) + share * (np.array(MIDDLE) - np.array(BELOW))
    above = np.array(MIDDLE) + share[1:] * (np.array(ABOVE) - np.array(MIDDLE))
    return ListedColormap(srgb(np.concatenate([below, above])), name="pulse1d diverging")
