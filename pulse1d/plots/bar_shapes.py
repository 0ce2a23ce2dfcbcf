"""Where a port's bars stand, how they look, and how high they and their bands are."""

from __future__ import annotations

from typing import Any

from pulse1d.case.shown import Shown
from pulse1d.plots.style import COLOURS, HATCHES, PALE
from pulse1d.run.bench import BenchResult, PortResult

SLOT = 0.84
"""Width of a port's bars; ports stand 1 apart."""
SEEN = 0.26
"""Share of the slot in which only the base stands, so that its end and band are seen."""


def bar_places(count: int) -> list[tuple[float, float, float]]:
    """Where a port's bars stand.

    Parameters
    ----------
    count : int   Cases [-]
    Returns
    -------
    places : list of (middle, width, band)   Of each bar, and where its band stands [-]
    """
    if count == 1:
        return [(0.0, 0.6, 0.0)]
    left = -0.5 * SLOT
    clear = SEEN * SLOT
    room = (SLOT - clear) / (count - 1)
    others = [left + clear + (k + 0.5) * room for k in range(count - 1)]
    return [(0.0, SLOT, left + 0.5 * clear), *((x, 0.86 * room, x) for x in others)]


def bar_look(k: int, pale: bool) -> dict[str, Any]:
    """Colour and hatch of a case's bars.

    Parameters
    ----------
    k : int   Place of the case [-]
    pale : bool   Whether it stands behind others [-]
    Returns
    -------
    look : dict   Of matplotlib's bar [-]
    """
    if pale:
        from matplotlib.colors import to_rgba

        face, edge = to_rgba(COLOURS[k % 6], PALE), COLOURS[k % 6]
        return {"facecolor": face, "edgecolor": edge, "linewidth": 1.2}
    hatch = HATCHES[(k + k // 6) % 6]
    return {"color": COLOURS[k % 6], "hatch": hatch, "edgecolor": "white", "linewidth": 0.8}


def case_name(result: BenchResult) -> str:
    """A case, and the lift at which its head is in series.

    Parameters
    ----------
    result : BenchResult   [SI]
    Returns
    -------
    name : str   [-]
    """
    lift = "" if result.lift is None else f", {1e3 * result.lift:g} mm lift"
    return result.design.name + lift


def flow_of(port: PortResult, result: BenchResult, shown: Shown) -> float:
    """Magnitude of a port's flow at the reference state.

    Parameters
    ----------
    port : PortResult   [SI]
    result : BenchResult   Whose it is [SI]
    shown : Shown   Units [-]
    Returns
    -------
    flow : float   [as shown]
    """
    return shown.of_flow(abs(port.answer.mdot) / result.setup.rho_ref)


def reach(port: PortResult, result: BenchResult, shown: Shown) -> tuple[float, float]:
    """How far the 5-95 % band reaches below and above; 0 without a band.

    Parameters
    ----------
    port, result, shown : as in ``flow_of`` [SI]
    Returns
    -------
    low, high : float   Lengths [as shown]
    """
    if port.band is None:
        return 0.0, 0.0
    centre = flow_of(port, result, shown)
    rho = result.setup.rho_ref
    ends = sorted(shown.of_flow(abs(m) / rho) for m in (port.band.p5, port.band.p95))
    return max(centre - ends[0], 0.0), max(ends[1] - centre, 0.0)
