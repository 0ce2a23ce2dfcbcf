"""Numbers as the page writes them."""

from __future__ import annotations

from collections.abc import Sequence

from pulse1d.case.shown import Shown
from pulse1d.run.bench import BenchResult
from pulse1d.uncertainty.band import Band

KELVIN = 273.15


def flow(mdot: float, result: BenchResult, shown: Shown) -> str:
    """Magnitude of a port's flow at the bench's reference state.

    Parameters
    ----------
    mdot : float   [kg/s]
    result : BenchResult   [SI]
    shown : Shown   [-]
    Returns
    -------
    text : str   Without its unit [-]
    """
    return f"{abs(shown.of_flow(mdot / result.setup.rho_ref)):.1f}"


def signed(share: float, digits: int = 1) -> str:
    """A ratio as per cent with its sign.

    Parameters
    ----------
    share : float   [-]
    digits : int   Behind the point [-]
    Returns
    -------
    text : str   Such as "+37.3" [-]
    """
    return f"{100.0 * share:+.{digits}f}"


def between(low: float, high: float, digits: int = 1) -> str:
    """Two ratios as the ends of a band in per cent.

    Parameters
    ----------
    low, high : float   [-]
    digits : int   Behind the point [-]
    Returns
    -------
    text : str   Such as "+30.2 to +43.9" [-]
    """
    return f"{signed(low, digits)} to {signed(high, digits)}"


def banded(band: Band | None) -> str:
    """A band of a ratio in per cent.

    Parameters
    ----------
    band : Band or None   [-]
    Returns
    -------
    text : str   A dash where there is none [-]
    """
    return "–" if band is None else between(band.p5, band.p95)


def pressure(pa: float, shown: Shown) -> str:
    """A difference of pressure with its unit, and in kPa where that is another.

    Parameters
    ----------
    pa : float   [Pa]
    shown : Shown   [-]
    Returns
    -------
    text : str   Such as "28 inH2O (6.975 kPa)" [-]
    """
    text = f"{shown.of_pressure(pa):.4g} {shown.pressure}"
    return text if shown.pressure == "kPa" else f"{text} ({1e-3 * pa:.4g} kPa)"


def length(metres: float, shown: Shown) -> str:
    """A length without its unit, to a tenth of a millimetre.

    Parameters
    ----------
    metres : float   [m]
    shown : Shown   [-]
    Returns
    -------
    text : str   [-]
    """
    return f"{shown.of_length(metres):.{3 if shown.length == 'in' else 1}f}"


def listed(items: Sequence[str]) -> str:
    """Items joined as a sentence does.

    Parameters
    ----------
    items : sequence of str   [-]
    Returns
    -------
    text : str   Such as "a, b and c" [-]
    """
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
