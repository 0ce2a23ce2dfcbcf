"""Sharp-edged orifice plates in a pipe: ISO 5167-2:2003, from memory, over arrays.

The ``fluids`` library has the same equations for one reading at a time; the tests hold ours to it.
"""

from __future__ import annotations

import math

import numpy as np

from pulse1d.measure.air import Number, Stream

BORE_LEAST = 0.0125
PIPE_BORES = (0.05, 1.0)
RATIO_LEAST = 0.75
"""Least p2/p1 of the expansibility factor [-]."""
U_BEYOND = 0.005
"""Added, k = 2, for each of bore, pipe bore and Reynolds number outside the standard, which gives
no number there (judgement) [-]."""
U_BORE, U_PIPE = 0.001, 0.004
"""Most, k = 2, that the standard allows the two diameters to be uncertain by [-]."""
TAPS = {"corner": (0.0, 0.0), "D and D/2": (1.0, 0.47)}
STEPS = 60
"""C changes by 1e-3 of a change of Re, so 4-6 steps reach round-off; this bounds the loop."""


def viscosity(T: Number) -> Number:
    """Viscosity of air, good to 1 % for moist air; only Reynolds numbers of meters use it.

    Parameters
    ----------
    T : float or array   Temperature [K]
    Returns
    -------
    mu : float or array   [Pa s]
    Source      Sutherland's law, US Standard Atmosphere 1976, from memory
    """
    return 1.458e-6 * T**1.5 / (T + 110.4)


def discharge_coefficient(bore: float, pipe_bore: float, taps: str, Re: Number) -> Number:
    """Coefficient of discharge by Reader-Harris and Gallagher.

    Parameters
    ----------
    bore, pipe_bore : float   Diameters [m]
    taps : str   corner | flange | D and D/2 [-]
    Re : float or array   Reynolds number of the pipe [-]
    Returns
    -------
    C : float or array   [-]
    Limits      ``check``
    Source      ISO 5167-2:2003, equation (4), from memory
    """
    b = bore / pipe_bore
    L1, L2 = TAPS.get(taps, (0.0254 / pipe_bore, 0.0254 / pipe_bore))
    M2 = 2.0 * L2 / (1.0 - b)
    A = (19000.0 * b / Re) ** 0.8
    C = 0.5961 + 0.0261 * b**2 - 0.216 * b**8 + 0.000521 * (1e6 * b / Re) ** 0.7
    C += (0.0188 + 0.0063 * A) * b**3.5 * (1e6 / Re) ** 0.3
    upstream = 0.043 + 0.080 * math.exp(-10.0 * L1) - 0.123 * math.exp(-7.0 * L1)
    C += upstream * (1.0 - 0.11 * A) * b**4 / (1.0 - b**4)
    C -= 0.031 * (M2 - 0.8 * M2**1.1) * b**1.3
    return C + 0.011 * (0.75 - b) * max(2.8 - pipe_bore / 0.0254, 0.0)


def expansibility(bore: float, pipe_bore: float, dp: Number, air: Stream) -> Number:
    """Expansibility factor.

    Parameters
    ----------
    bore, pipe_bore : float   Diameters [m]
    dp : float or array   Pressure across the plate [Pa]
    air : Stream   In front of it [SI]
    Returns
    -------
    epsilon : float or array   [-]
    Limits      p2/p1 >= 0.75
    Source      ISO 5167-2:2003, equation (5), from memory
    """
    b4 = (bore / pipe_bore) ** 4
    fall = 1.0 - (1.0 - dp / air.p) ** (1.0 / air.gamma)
    return 1.0 - (0.351 + 0.256 * b4 + 0.93 * b4 * b4) * fall


def mass_flow(bore: float, pipe_bore: float, taps: str, dp: Number, air: Stream) -> Number:
    """Mass flow through the plate; C and Re are brought into line by iteration.

    m = C / (1 - beta^4)^(1/2) epsilon pi/4 d^2 (2 dp rho_1)^(1/2)

    Parameters
    ----------
    bore, pipe_bore : float   Diameters [m]
    taps : str   corner | flange | D and D/2 [-]
    dp : float or array   Pressure across the plate, taken as 0 below 0 [Pa]
    air : Stream   In front of it [SI]
    Returns
    -------
    mdot : float or array   [kg/s]
    Limits      ``check``
    Source      ISO 5167-1:2003, equation (1), from memory
    """
    dp = np.maximum(dp, 0.0)
    ideal = 0.25 * math.pi * bore**2 / math.sqrt(1.0 - (bore / pipe_bore) ** 4)
    ideal = ideal * expansibility(bore, pipe_bore, dp, air) * np.sqrt(2.0 * dp * air.rho)
    per_Re = 0.25 * math.pi * pipe_bore * viscosity(air.T)
    C = 0.6 * np.ones_like(ideal)
    for _ in range(STEPS):
        Re = np.maximum(C * ideal / per_Re, 100.0)
        new = discharge_coefficient(bore, pipe_bore, taps, Re)
        done = bool(np.all(np.abs(new - C) <= 1e-13))
        C = new
        if done:
            break
    return C * ideal


def _reynolds(bore: float, pipe_bore: float, taps: str, dp: float, air: Stream) -> float:
    mdot = float(mass_flow(bore, pipe_bore, taps, dp, air))
    return 4.0 * mdot / (math.pi * pipe_bore * float(viscosity(air.T)))


def _reynolds_least(b: float, pipe_bore: float, taps: str) -> float:
    if taps == "flange":
        return max(5000.0, 170.0 * b**2 * 1e3 * pipe_bore)
    return 5000.0 if b <= 0.56 else 16000.0 * b**2


def expanded_uncertainty(bore: float, pipe_bore: float, taps: str, dp: float, air: Stream) -> float:
    """Relative uncertainty of the flow at one reading, k = 2: C, epsilon and both diameters.

    Outside the limits of bore, pipe bore or Reynolds number ``U_BEYOND`` is added for each.

    Parameters
    ----------
    bore, pipe_bore : float   Diameters [m]
    taps : str   corner | flange | D and D/2 [-]
    dp : float   Pressure across the plate [Pa]
    air : Stream   In front of it [SI]
    Returns
    -------
    U : float   [-]
    Source      ISO 5167-2:2003, 5.3.3 and ISO 5167-1:2003, 8.2.2, from memory
    """
    b = bore / pipe_bore
    Re = _reynolds(bore, pipe_bore, taps, dp, air)
    U_C = 0.7 - b if b < 0.2 else 0.5 if b <= 0.6 else 1.667 * b - 0.5
    U_C += 0.9 * (0.75 - b) * max(2.8 - pipe_bore / 0.0254, 0.0)
    U_C += 0.5 if b > 0.5 and Re < 10000.0 else 0.0
    U_C = 0.01 * U_C + U_BEYOND * len(_beyond(bore, pipe_bore, taps, Re))
    U_epsilon = 0.035 * dp / (float(air.gamma) * float(air.p))
    U_pipe = 2.0 * b**4 / (1.0 - b**4) * U_PIPE
    U_bore = 2.0 / (1.0 - b**4) * U_BORE
    return math.hypot(U_C, U_epsilon, U_pipe, U_bore)


def _beyond(bore: float, pipe_bore: float, taps: str, Re: float) -> list[str]:
    least = _reynolds_least(bore / pipe_bore, pipe_bore, taps)
    found = []
    if bore < BORE_LEAST:
        found.append(f"a bore of {1e3 * bore:.1f} mm (least 12.5 mm)")
    if not PIPE_BORES[0] <= pipe_bore <= PIPE_BORES[1]:
        found.append(f"a pipe of {1e3 * pipe_bore:.0f} mm (50 to 1000 mm)")
    if Re < least:
        found.append(f"a Reynolds number of {Re:.0f} (least {least:.0f})")
    return found


def check(name: str, bore: float, pipe_bore: float, taps: str, dp: float, air: Stream) -> list[str]:
    """Limits of the standard that one reading leaves.

    Parameters
    ----------
    name : str   Of the meter [-]
    bore, pipe_bore : float   Diameters [m]
    taps : str   corner | flange | D and D/2 [-]
    dp : float   Pressure across the plate [Pa]
    air : Stream   In front of it [SI]
    Returns
    -------
    warnings : list of str   Their widening is in ``expanded_uncertainty`` [-]
    Errors      ValueError when p2/p1 is below 0.75.
    Source      ISO 5167-2:2003, 5.3.1 and 5.3.2.2, from memory
    """
    ratio = 1.0 - dp / float(air.p)
    if ratio < RATIO_LEAST:
        raise ValueError(
            f"{name}: pressure falls to {ratio:.2f} of that in front of the plate, and ISO 5167-2 "
            f"ends at {RATIO_LEAST}; use a larger plate"
        )
    Re = _reynolds(bore, pipe_bore, taps, dp, air)
    return [
        f"{name}: ISO 5167-2 does not cover {what}, {100.0 * U_BEYOND:.1f} % is added to its "
        "uncertainty (judgement); have the plate calibrated"
        for what in _beyond(bore, pipe_bore, taps, Re)
    ]
