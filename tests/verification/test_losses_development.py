"""Verification: the entry development against the momentum integral with a 1/7-power profile."""

from __future__ import annotations

import pytest
from scipy.integrate import quad

from pulse1d.losses.friction import BLASIUS, X_END, development, layer_thickness

N = 7.0


def profile_mean(xi: float, power: float) -> float:
    """Mean over the pipe of (u/u_max)^power, a layer of thickness xi around a flat core."""
    inside = quad(lambda y: (y / xi) ** (power / N) * (1.0 - y), 0.0, xi)[0]
    return float(2.0 * inside + (1.0 - xi) ** 2)


def momentum(xi: float) -> float:
    """Momentum flux less core pressure, in units of rho u_m^2: it falls by the wall shear alone."""
    u_max = 1.0 / profile_mean(xi, 1.0)
    return u_max**2 * (0.5 - profile_mean(xi, 2.0))


def wall_shear(xi: float) -> float:
    """Blasius shear of the layer over rho u_m^2 Re^(-1/4), equal to 0.3164/8 when developed."""
    u_max = 1.0 / profile_mean(xi, 1.0)
    u_developed = 1.0 / profile_mean(1.0, 1.0)
    return BLASIUS / 8.0 * (u_max / u_developed) ** 1.75 * xi**-0.25


def X_of(xi: float) -> float:
    """X = (x/D)/Re^0.25 where the layer has grown to xi: d(momentum) = 4 tau d(x/D)."""

    def slope(s: float) -> float:
        h = 1e-4 * s
        rise = (momentum(s + h) - momentum(s - h)) / (2.0 * h)
        return rise / (4.0 * wall_shear(s))

    return float(quad(slope, 0.0, xi, limit=100)[0])


@pytest.mark.parametrize("xi", [0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 1.0])
def test_layer_growth(xi: float) -> None:
    # 1 %: the published polynomial is itself a fit, with four-digit coefficients.
    assert X_of(min(xi, 1.0 - 1e-3)) == pytest.approx(
        1.4039 * xi**1.25 * (1 + 0.1577 * xi - 0.1793 * xi**2 - 0.0168 * xi**3 + 0.0064 * xi**4),
        rel=0.01,
    )
    assert layer_thickness(X_of(0.999 * xi)) == pytest.approx(xi, rel=0.01)  # the same 1 %


def test_excess_at_the_end_of_development() -> None:
    u_max = 1.0 / profile_mean(1.0, 1.0)
    # 0.004: the 1 % of X above, times 0.3164 X_end = 0.43.
    assert development(2.0) == pytest.approx(u_max**2 - 1.0 - BLASIUS * X_of(0.999), abs=0.004)
    assert 0.06 < development(X_END) < 0.08  # about 0.07, as stated for the entry of a runner
