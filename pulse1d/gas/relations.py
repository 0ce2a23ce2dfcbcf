"""Closed forms of steady one-dimensional gas flow at one local gamma, for compiled code.

Source: NACA Report 1135 (isentropic), Shapiro 1953 ch. 6-7 (Fanno, Rayleigh), from memory; the
numbers are checked against their tables in ``tests/verification``.
"""

from __future__ import annotations

import math

from numba import njit

CHOKED = -1.0
"""Returned in place of a Mach number when the section cannot pass the flow."""


@njit(cache=True, error_model="numpy")
def mass_number(M: float, gamma: float) -> float:
    """mdot sqrt(R T0) / (A p0) at Mach M.

    Parameters
    ----------
    M : float   Mach number [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    m : float   Mass number; its maximum, at M = 1, is 0.684731 for gamma 1.4 [-]
    Source      NACA Report 1135, from memory
    """
    return (
        math.sqrt(gamma)
        * M
        * (1.0 + 0.5 * (gamma - 1.0) * M * M) ** (-0.5 * (gamma + 1.0) / (gamma - 1.0))
    )


@njit(cache=True, error_model="numpy")
def mach_of_mass_number(m: float, gamma: float) -> float:
    """Subsonic Mach number of a mass number, or CHOKED when it exceeds the sonic one.

    Parameters
    ----------
    m : float   mdot sqrt(R T0) / (A p0) [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    M : float   Subsonic root, Newton on ln m from below [-]
    Source      NACA Report 1135, from memory
    """
    if m <= 0.0:
        return 0.0
    sonic = mass_number(1.0, gamma)
    if m >= sonic:
        return 1.0 if m <= sonic * (1.0 + 1e-13) else CHOKED
    b = 0.5 * (gamma - 1.0)
    c = (gamma + 1.0) / (gamma - 1.0)
    deficit = math.sqrt(max(1.0 - m / sonic, 0.0))
    M = m / math.sqrt(gamma)
    M *= 1.0 + 0.25 * (gamma + 1.0) * M * M
    M = min(M, 1.0 - 0.5 * deficit)
    target = math.log(m / math.sqrt(gamma))
    for _ in range(60):
        q = 1.0 + b * M * M
        residual = math.log(M) - 0.5 * c * math.log(q) - target
        slope = 1.0 / M - c * b * M / q
        step = residual / slope if slope > 1e-300 else 0.0
        new = M - step
        if new <= 0.0:
            new = 0.5 * M
        elif new >= 1.0:
            new = 0.5 * (1.0 + M)
        if abs(new - M) <= 1e-14 * M:
            return new
        M = new
    return M


@njit(cache=True, error_model="numpy")
def fanno(M: float, gamma: float) -> float:
    """f_D L*/D, or the K that chokes a constant section, from Mach M.

    Parameters
    ----------
    M : float   Subsonic Mach number [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    F : float   (1-M^2)/(gamma M^2) + (gamma+1)/(2 gamma) ln[(gamma+1)M^2/(2+(gamma-1)M^2)] [-]
    Source      Shapiro 1953 ch. 6, from memory
    """
    M2 = M * M
    return (1.0 - M2) / (gamma * M2) + (gamma + 1.0) / (2.0 * gamma) * math.log(
        (gamma + 1.0) * M2 / (2.0 + (gamma - 1.0) * M2)
    )


@njit(cache=True, error_model="numpy")
def mach_after_loss(M: float, K: float, gamma: float) -> float:
    """Mach number behind a loss K in a constant section, or CHOKED.

    K may be f_D L/D or a coefficient; a negative K (recovery) lowers the Mach number.

    Parameters
    ----------
    M : float   Mach number before [-]
    K : float   Loss coefficient, d ln p0 = -(gamma M^2/2) dK [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    M_2 : float   Subsonic root of fanno(M_2) = fanno(M) - K [-]
    Source      Shapiro 1953 ch. 6, from memory
    """
    if M <= 0.0 or K == 0.0:
        return M
    target = fanno(M, gamma) - K
    if target < 0.0:
        return CHOKED
    y = 1.0 / (1.0 / (M * M) - gamma * K) if 1.0 / (M * M) > gamma * K + 1.0 else 0.5 * (M * M + 1)
    low, high = 1e-30, 1.0
    c = 0.5 * (gamma + 1.0) / gamma
    for _ in range(80):
        residual = (
            (1.0 / y - 1.0) / gamma
            + c * math.log((gamma + 1.0) * y / (2.0 + (gamma - 1.0) * y))
            - target
        )
        if residual > 0.0:
            low = y
        else:
            high = y
        slope = -1.0 / (gamma * y * y) + c * (1.0 / y - (gamma - 1.0) / (2.0 + (gamma - 1.0) * y))
        new = y - residual / slope if slope < -1e-300 else 0.5 * (low + high)
        if not low < new < high:
            new = 0.5 * (low + high)
        if abs(new - y) <= 1e-14 * y:
            return math.sqrt(new)
        y = new
    return math.sqrt(y)


@njit(cache=True, error_model="numpy")
def stagnation_ratio(M: float, gamma: float) -> float:
    """p0/p at Mach M.

    Parameters
    ----------
    M : float   Mach number [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    ratio : float   (1 + (gamma-1)/2 M^2)^(gamma/(gamma-1)) [-]
    Source      NACA Report 1135, from memory
    """
    return (1.0 + 0.5 * (gamma - 1.0) * M * M) ** (gamma / (gamma - 1.0))


@njit(cache=True, error_model="numpy")
def mach_of_impulse(y: float, gamma: float) -> float:
    """Subsonic Mach number at a given impulse, mass flow and stagnation temperature, or CHOKED.

    y = (p A + mdot u) / (mdot sqrt(R T0)) = (1+gamma M^2)/(M sqrt(gamma (1+(gamma-1)M^2/2)))

    Parameters
    ----------
    y : float   Reduced impulse [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    M : float   Subsonic root of a quadratic in M^2 [-]
    Source      momentum balance; derived, no coefficient
    """
    a = gamma * gamma - 0.5 * y * y * gamma * (gamma - 1.0)
    b = 2.0 * gamma - gamma * y * y
    root = b * b - 4.0 * a
    if root < 0.0:
        return CHOKED
    M2 = 2.0 / (-b + math.sqrt(root))
    return math.sqrt(M2)


@njit(cache=True, error_model="numpy")
def impulse(M: float, gamma: float) -> float:
    """Reduced impulse of ``mach_of_impulse``.

    Parameters
    ----------
    M : float   Mach number [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    y : float   (p A + mdot u) / (mdot sqrt(R T0)) [-]
    Source      momentum balance; derived, no coefficient
    """
    return (1.0 + gamma * M * M) / (M * math.sqrt(gamma * (1.0 + 0.5 * (gamma - 1.0) * M * M)))


@njit(cache=True, error_model="numpy")
def mach_after_expansion(M: float, area_ratio: float, gamma: float) -> float:
    """Mach number behind a sudden expansion, the step's wall at the upstream static pressure.

    Parameters
    ----------
    M : float   Mach number in the small section [-]
    area_ratio : float   Small area over large area, at most 1 [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    M_2 : float   Subsonic Mach number in the large section [-]
    Source      Borda-Carnot by compressible momentum balance, p_wall = p_1
    """
    if M <= 0.0:
        return 0.0
    wall = (1.0 / area_ratio - 1.0) / (M * math.sqrt(gamma * (1.0 + 0.5 * (gamma - 1.0) * M * M)))
    return mach_of_impulse(impulse(M, gamma) + wall, gamma)


@njit(cache=True, error_model="numpy")
def mach_before_expansion(M: float, area_ratio: float, gamma: float) -> float:
    """Mach number in front of a sudden expansion: the inverse of ``mach_after_expansion``.

    (1/s + gamma m)^2 = y^2 gamma m (1 + (gamma-1) m/2), m = M_1^2, y the impulse behind

    Parameters
    ----------
    M : float   Mach number in the large section [-]
    area_ratio : float   Small area over large area, at most 1 [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    M_1 : float   Subsonic Mach number in the small section, or CHOKED [-]
    Source      Borda-Carnot by compressible momentum balance, p_wall = p_1
    """
    if M <= 0.0:
        return 0.0
    y2 = impulse(M, gamma) ** 2
    a = gamma * gamma - 0.5 * y2 * gamma * (gamma - 1.0)
    b = 2.0 * gamma / area_ratio - gamma * y2
    c = 1.0 / (area_ratio * area_ratio)
    root = b * b - 4.0 * a * c
    if root < 0.0:
        return CHOKED
    M2 = 2.0 * c / (-b + math.sqrt(root))
    return math.sqrt(M2) if 0.0 < M2 <= 1.0 else CHOKED


@njit(cache=True, error_model="numpy")
def mach_of_static(m: float, gamma: float) -> float:
    """Mach number from mdot sqrt(R T0) / (A p) with the static pressure p.

    Parameters
    ----------
    m : float   mdot sqrt(R T0) / (A p) = M sqrt(gamma (1+(gamma-1)M^2/2)) [-]
    gamma : float   Ratio of specific heats [-]
    Returns
    -------
    M : float   Root of a quadratic in M^2; may exceed 1 [-]
    Source      definition of the mass flow; derived, no coefficient
    """
    b = 0.5 * (gamma - 1.0)
    return math.sqrt((math.sqrt(1.0 + 4.0 * b * m * m / gamma) - 1.0) / (2.0 * b))
