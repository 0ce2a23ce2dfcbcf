"""Heat release: the burned share of the charge by crank angle; compiled."""

from __future__ import annotations

import math

from numba import njit

from pulse1d.cylinder.crank import CYCLE


@njit(cache=True, error_model="numpy")
def wiebe(theta, start, duration, a, m):
    """Burned share of the charge.

    x = 1 - exp(-a ((theta - start)/duration)^(m + 1)), held at its end value, divided by it

    Parameters
    ----------
    theta : float   Crank angle, anywhere in the cycle that began before ``start`` [deg]
    start, duration : float   Of burning [deg]
    a, m : float   Efficiency and form, 5 and 2 as a rule [-]
    Returns
    -------
    x : float   0 before the start to 1 after the end [-]
    Source      Wiebe; heywood1988 eq. 9.30 (a = 5, m = 2). Divided by 1 - exp(-a), so that all of
        the charge is burned at the end
    """
    share = ((theta - start + 0.5 * CYCLE) % CYCLE - 0.5 * CYCLE) / duration
    if share <= 0.0:
        return 0.0
    if share >= 1.0:
        return 1.0
    return (1.0 - math.exp(-a * share ** (m + 1.0))) / (1.0 - math.exp(-a))


@njit(cache=True, error_model="numpy")
def double_wiebe(theta, start, a, duration, m, share, duration_1, m_1):
    """Burned share of a charge of which a part is premixed and burns first.

    x = (1 - s) wiebe(main) + s wiebe(premixed), both from the same start

    Parameters
    ----------
    theta, start : float   As in ``wiebe`` [deg]
    a : float   Wiebe's efficiency of both [-]
    duration, m : float   Of the main part [deg, -]
    share, duration_1, m_1 : float   Of the premixed part; share 0 leaves the main one [-, deg, -]
    Returns
    -------
    x : float   0 before the start to 1 when both parts are over [-]
    Source      Watson, Pilley & Marzouk 1980, SAE 800029, from memory: two parts; Wiebe's form for
        both (judgement)
    """
    x = wiebe(theta, start, duration, a, m)
    if share <= 0.0:
        return x
    return (1.0 - share) * x + share * wiebe(theta, start, duration_1, a, m_1)
