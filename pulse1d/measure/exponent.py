"""How a part's flow grows with test pressure, and what that licenses: Q = K dP^n.

Q is the flow of the part's effective area at one density, CdA (2 dP/rho)^(1/2). Compressibility is
taken out first, by the isentropic flow function: it would bend n of the volume flow in front of a
blown part from 0.50 to 0.46 between 10 and 28 inH2O.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, hypot, log, sqrt

import numpy as np

from pulse1d.errors import Pulse1dError
from pulse1d.measure.air import Array
from pulse1d.measure.model import flux_at
from pulse1d.measure.reduce import Reduction
from pulse1d.measure.spec import Header

LEAST_POINTS = 3
APART = 1.05
"""Pressures nearer than this ratio count as one [-]."""
SPAN = 1.5
"""Least ratio of the highest pressure to the lowest [-]."""
N_LICENCE = 0.01
"""n = 0.50 +- this, known to this, licenses conversion (common practice, no source) [-]."""
NEAR = 1.05
"""Ratio of pressures up to which a flow is converted whatever was read [-]."""
USUAL = 1.13
"""The same where nothing read speaks against 0.5: 25 to 28 inH2O is safe to 0.5 % (common practice,
no source) [-]."""
ODD = 0.02
"""n farther than this from 0.50 speaks against it [-]."""
FAR = 2.0
"""Ratio of pressures up to which a licensed n reaches beyond the pressures read [-]."""
N_UNKNOWN = 0.056
"""+- of an n that was not read: from 0.50 to the 1/1.8 of a part that is all friction [-]."""
INCH_WATER = 249.09


class ConversionRefused(Pulse1dError, ValueError):
    """A flow that cannot be stated at another test pressure: "reason; remedy"."""


@dataclass(frozen=True)
class Exponent:
    """n of Q = K dP^n, compressibility taken out, with what it allows."""

    n: float
    u_n: float
    """Standard error of the fit, or what the gauges leave open where that is more."""
    points: int
    licensed: bool
    reason: str
    """Why it is licensed, or not."""
    low: float
    high: float
    """Pressures read [Pa]."""
    n_actual: float
    """The same of the volume flow at the state in front of the part, compressibility in it."""


@dataclass(frozen=True)
class Converted:
    """A flow at another test pressure."""

    flow: float
    """[m^3/s]"""
    u: float
    """Standard uncertainty that the conversion adds, relative."""
    how: str


def fit_exponent(
    pressures: Array, flows: Array, actual: Array | None = None, covariance: Array | None = None
) -> Exponent:
    """Least squares of ln Q on ln dP, all weights equal.

    Parameters
    ----------
    pressures : (m,) array   Test pressures [Pa]
    flows : (m,) array   Flow at one density, compressibility taken out [m^3/s or in proportion]
    actual : (m,) array or None   Volume flow in front of the part, for ``n_actual`` [m^3/s]
    covariance : (m, m) array or None   Of ln flows, from the gauges and corrections [-]
    Returns
    -------
    exponent : Exponent   [-]
    Errors      ValueError("message; remedy") with fewer than three distinct pressures, or when they
                span less than a factor of 1.5.
    Source      ordinary least squares; the law of leakage tests of ducts, from memory
    """
    dp = np.asarray(pressures, dtype=float)
    low, high, distinct = float(dp.min()), float(dp.max()), _distinct(dp)
    if distinct < LEAST_POINTS or high < SPAN * low:
        raise ValueError(
            f"{distinct} distinct test pressures from {_inches(low)} to {_inches(high)}; read "
            f"{LEAST_POINTS} or more that span a factor of {SPAN}"
        )
    x = np.log(dp)
    weights = (x - x.mean()) / np.sum((x - x.mean()) ** 2)
    y = np.log(np.asarray(flows, dtype=float))
    n = float(weights @ y)
    rest = y - y.mean() - n * (x - x.mean())
    scatter = sqrt(float(rest @ rest) / (len(x) - 2) * float(weights @ weights))
    gauges = 0.0 if covariance is None else sqrt(max(float(weights @ covariance @ weights), 0.0))
    u_n = max(scatter, gauges)
    n_actual = n if actual is None else float(weights @ np.log(np.asarray(actual, dtype=float)))
    licensed = abs(n - 0.5) <= N_LICENCE and u_n <= N_LICENCE
    if licensed:
        reason = f"n = {n:.3f} +- {u_n:.3f} lies within 0.50 +- 0.01"
    elif u_n > N_LICENCE:
        reason = f"n = {n:.3f} is known only to {u_n:.3f}"
    else:
        reason = f"n = {n:.3f} lies outside 0.50 +- 0.01"
    return Exponent(n, u_n, len(x), licensed, reason, low, high, n_actual)


def _distinct(dp: Array) -> int:
    """Number of pressures that lie a step apart from the next lower one counted."""
    count, last = 0, 0.0
    for value in np.sort(dp):
        if value >= APART * last:
            count, last = count + 1, float(value)
    return count


def _inches(dp: float) -> str:
    return f"{dp / INCH_WATER:.1f} inH2O"


def exponents(reduction: Reduction) -> dict[tuple[str, str], Exponent]:
    """n of every part and port that was read at enough pressures.

    Parameters
    ----------
    reduction : Reduction   [SI]
    Returns
    -------
    exponents : dict   (part, port) to Exponent; ports read too narrowly are left out [-]
    """
    groups: dict[tuple[str, str], list[int]] = {}
    for k, row in enumerate(reduction.rows):
        groups.setdefault((row.reading.part, row.reading.port), []).append(k)
    found = {}
    for key, members in groups.items():
        rows = [reduction.rows[k] for k in members]
        dp = np.array([row.reading.test_pressure for row in rows])
        if _distinct(dp) < LEAST_POINTS or dp.max() < SPAN * dp.min():
            continue
        flows = np.array([row.cda for row in rows]) * np.sqrt(dp)
        actual = np.array([row.q_actual for row in rows])
        jacobian = reduction.jacobian[members]
        found[key] = fit_exponent(dp, flows, actual, jacobian @ jacobian.T)
    return found


def convert(
    flow: float, from_pressure: float, to_pressure: float, exponent: Exponent | None, header: Header
) -> Converted:
    """A part's flow at another test pressure, reference air at both.

    flow' / flow = G(dP')/G(dP) (dP'/dP)^(n - 1/2), G the isentropic flow function

    Parameters
    ----------
    flow : float   At ``from_pressure``, volume at the reference state [m^3/s]
    from_pressure, to_pressure : float   [Pa]
    exponent : Exponent or None   Of the same part and port; None: not read [-]
    header : Header   Direction and reference air [SI]
    Returns
    -------
    converted : Converted   [SI]
    Errors      ConversionRefused("reason; remedy").
    Limits      inside the pressures read, at the n read; beyond, if n is licensed, by a factor of
                2; with CdA kept by 13 % of the pressure where no n was read or one near 0.5, else
                by 5 %
    Source      common practice, no source; the flow function as ``pulse1d.measure.air``
    """
    ratio = to_pressure / from_pressure
    compressible = flux_at(header, to_pressure) / flux_at(header, from_pressure)
    span = abs(log(ratio))
    if exponent is not None and _reach(exponent, from_pressure, to_pressure) <= 1.0:
        factor, u = compressible * ratio ** (exponent.n - 0.5), span * exponent.u_n
        return Converted(flow * factor, u, f"at the n of {exponent.n:.3f} that was read")
    odd = exponent is not None and abs(exponent.n - 0.5) > ODD
    if max(ratio, 1.0 / ratio) <= (NEAR if odd else USUAL):
        u = span * N_UNKNOWN / sqrt(3.0)
        return Converted(flow * compressible, u, "CdA kept over a small step of pressure")
    wanted = f"{_inches(from_pressure)} to {_inches(to_pressure)}"
    if exponent is None:
        raise ConversionRefused(
            f"{wanted} cannot be converted: how the flow grows with pressure was not read; "
            f"{_remedy(to_pressure)}"
        )
    reach = _reach(exponent, from_pressure, to_pressure)
    read = f"{_inches(exponent.low)} to {_inches(exponent.high)}"
    if not exponent.licensed:
        raise ConversionRefused(
            f"{wanted} cannot be converted beyond the {read} that were read: {exponent.reason}; "
            f"{_remedy(to_pressure)}"
        )
    if reach > FAR:
        raise ConversionRefused(
            f"{wanted} lies a factor of {reach:.1f} beyond the {read} that were read, and "
            f"{FAR:g} is allowed; {_remedy(to_pressure)}"
        )
    factor = exp((exponent.n - 0.5) * log(ratio)) * compressible
    u = span * hypot(exponent.u_n, N_LICENCE / sqrt(3.0))
    return Converted(flow * factor, u, f"beyond the {read} read: {exponent.reason}")


def _reach(exponent: Exponent, *pressures: float) -> float:
    """Largest ratio by which a pressure lies outside those read; 1 inside them."""
    edge = 1.0 + 1e-9
    out = max(max(exponent.low / p, p / exponent.high) for p in pressures)
    return 1.0 if out <= edge else out


def _remedy(pressure: float) -> str:
    return (
        f"read it at {LEAST_POINTS} pressures around {_inches(pressure)} that span a factor of "
        f"{SPAN}"
    )
