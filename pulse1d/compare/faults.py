"""What else than the model's coefficients could be behind a gap: leaks, blocked ports, slips.

Each supposition shifts the ports' flows by a pattern of its own; the one whose pattern, at its best
size, leaves the least misfit is named, if it is better by far more than its own freedom buys.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from pulse1d.case.design import Design
from pulse1d.compare.against import Comparison
from pulse1d.errors import Pulse1dError
from pulse1d.losses.entry import Entry
from pulse1d.network.legs import varied
from pulse1d.run.bench import predict_bench

Array = NDArray[np.float64]

UNLIKELY = 0.01
"""p-value of the residuals below which no plausible set of coefficients explains them."""
BETTER = 6.0
"""Fall of -2 ln(likelihood), less what its freedom costs, from which a supposition is named: odds
of 20 to 1."""
SIZES = np.geomspace(0.005, 0.7, 60)
"""Relative sizes tried for suppositions with a size of their own [-]."""


@dataclass(frozen=True)
class Supposition:
    """One story of what went wrong, fitted."""

    what: str
    look: str
    """What to look at."""
    gain: float
    """Fall of -2 ln(likelihood) less the cost of its freedom."""
    p_value: float
    """Of what it leaves unexplained."""
    port: str | None = None
    size: float = 0.0


@dataclass(frozen=True)
class Verdict:
    """Whether sensible coefficients explain the readings, and if not, what might."""

    explained: bool
    p_value: float
    named: tuple[Supposition, ...]
    """Likeliest first; empty when nothing stands out."""


def judge(comparison: Comparison) -> Verdict:
    """Hold the residuals against the bands, then against suppositions of what went wrong.

    Parameters
    ----------
    comparison : Comparison   [SI]
    Returns
    -------
    verdict : Verdict   [-]
    Source      likelihood ratios of Gaussian residuals; penalty ln(n) a free size (Schwarz 1978,
        from memory) and 2 ln(ports) for a port chosen
    """
    r = comparison.residual
    S = comparison.J @ comparison.J.T + comparison.means.covariance
    W = np.linalg.inv(S)
    base = float(r @ W @ r)
    n = len(r)
    tried: list[Supposition] = []
    for supposition in (*_sized(comparison), *_slips(comparison)):
        what, look, shifts, freedom, cost, port = supposition
        best, size = math.inf, 0.0
        for value, shift in shifts:
            left = r - shift
            square = float(left @ W @ left)
            if square < best:
                best, size = square, value
        gain = base - best - freedom * math.log(n) - cost
        p = float(chi2.sf(best, max(n - freedom, 1)))
        tried.append(Supposition(what.format(size=_percent(size)), look, gain, p, port, size))
    named = sorted((s for s in tried if s.gain > BETTER), key=lambda s: -s.gain)
    return Verdict(comparison.p_value >= UNLIKELY, comparison.p_value, _distinct(named))


Story = tuple[str, str, list[tuple[float, Array]], int, float, str | None]
"""What, where to look, (size, shift of ln flow) pairs, free sizes, further cost, port."""


def _sized(comparison: Comparison) -> list[Story]:
    ports, n = comparison.means.ports, len(comparison.means.ports)
    cost = 2.0 * math.log(n) if n > 1 else 0.0
    flows = comparison.means.flow
    stories: list[Story] = []
    unit = np.eye(n)
    for k, port in enumerate(ports if n > 1 else ()):
        low = [(float(a), unit[k] * math.log(1.0 - a)) for a in SIZES]
        stories.append(
            (
                f"port {port} alone reads {{size}} low",
                "something in its way: a gasket lip, a shifted core, weld drop-through, debris, or "
                "a valve or plug not clear",
                low, 1, cost, port,
            )
        )  # fmt: skip
        high = [(float(a), unit[k] * math.log(1.0 + a)) for a in SIZES]
        stories.append(
            (
                f"port {port} alone reads {{size}} high",
                "a leak at its flange or a port opened up further than the drawing",
                high, 1, cost, port,
            )
        )  # fmt: skip
    mean = float(flows.mean())
    leak = [(float(a), -np.log1p(-np.minimum(a * mean / flows, 0.95))) for a in SIZES]
    stories.append(
        (
            "all ports read as if {size} of the mean flow passed by the part",
            "a leak between meter and part: adapter, gasket, blanked ports",
            leak, 1, 0.0, None,
        )
    )  # fmt: skip
    if n > 1:
        base = np.log(flows) - comparison.residual
        for i in range(n):
            for j in range(i + 1, n):
                shift = np.zeros(n)
                shift[i], shift[j] = base[j] - base[i], base[i] - base[j]
                stories.append(
                    (
                        f"ports {ports[i]} and {ports[j]} read as if they had changed places",
                        "the port numbers written down at the bench",
                        [(0.0, shift)], 0, math.log(n * (n - 1)), None,
                    )
                )  # fmt: skip
    return stories


def _slips(comparison: Comparison) -> list[Story]:
    design = comparison.design
    stories: list[Story] = []

    def add(what: str, look: str, change: Callable[[], Design]) -> None:
        shift = _shift(comparison, change)
        if shift is not None and np.any(np.abs(shift) > 1e-3):
            stories.append((what, look, [(0.0, shift)], 0, 2.0, None))

    wall = design.case.wall.thickness
    if wall is not None:
        add(
            "the bores are smaller by two walls, as when an outside diameter is given for a bore",
            "od and bore in the case; give tubes as od and wall",
            lambda: _bores(design, -2.0 * wall),
        )
        add(
            "the bores are larger by two walls, as when a wall is taken off twice",
            "od, wall and bore in the case",
            lambda: _bores(design, 2.0 * wall),
        )
    bench = design.case.bench
    add(
        "the part was fed through a square edge",
        "the adapter's inlet radius",
        lambda: _on(design, adapter=Entry(edge_radius=0.0)),
    )
    other = "sucked" if bench.direction == "blown" else "blown"
    add("the air ran the other way", "blown or sucked", lambda: _on(design, direction=other))
    return stories


def _on(design: Design, **changes: object) -> Design:
    bench = design.case.bench.model_copy(update=changes)
    return replace(design, case=design.case.model_copy(update={"bench": bench}))


def _bores(design: Design, more: float) -> Design:
    def wider(leg: object) -> object:
        bore = leg.section.D_eq  # type: ignore[attr-defined]
        return varied(leg, bore=1.0 + more / bore)  # type: ignore[arg-type]

    case = design.case
    return replace(
        design,
        case=case.model_copy(
            update={
                "runners": tuple(wider(leg) for leg in case.runners),
                "trunks": tuple(wider(leg) for leg in case.trunks),
            }
        ),
    )


def _shift(comparison: Comparison, change: Callable[[], Design]) -> Array | None:
    """Change of the predicted ln flows; None where the changed case cannot be built or solved."""
    try:
        result = predict_bench(change(), ports=comparison.means.ports, samples=0)
    except (Pulse1dError, ValueError):
        return None
    if not result.converged:
        return None
    return np.log(np.abs(result.mdot) / np.abs(comparison.result.mdot))


def _distinct(named: list[Supposition]) -> tuple[Supposition, ...]:
    """The best, and those that come within a factor of ten in likelihood of it."""
    return tuple(s for s in named if s.gain > named[0].gain - 4.6)[:4]


def _percent(size: float) -> str:
    return f"{100.0 * size:.1f} %"
