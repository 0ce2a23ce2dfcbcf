"""Two parts read on a bench: how much better is one, and is that shown?

The working quantity is ln(flow): its difference is the same seen from either part but for the sign,
and adds over steps. Percentages are made of it at the very end, each with its base named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, expm1, inf, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from pulse1d.compare.remounts import PortSamples, Scatter, samples, scatter
from pulse1d.compare.repeats import ALPHA, repeats_needed
from pulse1d.compare.rows import Rows, gather
from pulse1d.measure.reduce import Reduction

Array = NDArray[np.float64]

CHANCES = (0.8, 0.9)
"""Power at which further remounts are counted [-]."""
WHOLE = "whole part"
NOTHING = 1e-6
"""Uncertainty that is not worth a line: a ten-thousandth of a per cent [-]."""


@dataclass(frozen=True)
class Gain:
    """Other against base, on one port or the whole part; relative figures as ratios."""

    port: str
    base_flow: float
    """Geometric mean of the remounts; for the whole part the sum of its ports [m^3/s]."""
    other_flow: float
    """[m^3/s]"""
    ln_ratio: float
    """ln(other/base) [-]."""
    u_random: float
    """Standard uncertainty of ln_ratio from remounting [-]."""
    free_random: float
    """Degrees of freedom of u_random [-]."""
    u_systematic: float
    """Standard uncertainty of ln_ratio from instruments, meters, leak, drift and seat; the gauges'
    limits are counted here and partly in the scatter of remounts too [-]."""
    floor: float
    """The part of u_systematic that outlives a row, so that no further remount lowers it [-]."""
    free: float
    """Degrees of freedom of both together, Welch-Satterthwaite [-]."""
    causes: tuple[tuple[str, float], ...]
    """What u_systematic is made of, largest first [-]."""
    remounts: tuple[int, int]
    """Remounts of base and other; for the whole part the fewest of any port."""
    readings: int
    """Rows behind it."""
    paired: bool
    order: str
    s: float
    """Standard deviation of one pair's difference, or of one remount when not paired [-]."""
    origin: str
    """Where the scatter comes from: own, pooled, assumed."""
    p: float
    """Two-sided chance of such a difference between equal parts [-]."""
    p_holm: float
    """The same, corrected for the number of ports looked at [-]."""

    @property
    def gain(self) -> float:
        """Flow of the other over the base's at equal test pressure, less 1: base the base."""
        return expm1(self.ln_ratio)

    @property
    def mirror(self) -> float:
        """Flow of the base over the other's, less 1: base the other."""
        return expm1(-self.ln_ratio)

    @property
    def less_loss(self) -> float:
        """How much less pressure the other loses at equal flow: 1 - 1/(1 + gain)^2."""
        return -expm1(-2.0 * self.ln_ratio)

    @property
    def u(self) -> float:
        """Standard uncertainty of ln_ratio."""
        return sqrt(self.u_random**2 + self.u_systematic**2)

    @property
    def reach(self) -> float:
        """Expanded uncertainty of ln_ratio at 95 %."""
        return float(stats.t.ppf(1.0 - ALPHA / 2.0, self.free)) * self.u

    @property
    def band(self) -> tuple[float, float]:
        """95 % interval of the gain."""
        return expm1(self.ln_ratio - self.reach), expm1(self.ln_ratio + self.reach)

    @property
    def U(self) -> float:
        """Half width of the 95 % interval of the gain: 0.008 is 0.8 points."""
        low, high = self.band
        return 0.5 * (high - low)

    @property
    def verdict(self) -> str:
        """better, worse or not shown: p, corrected, below 5 %."""
        if not self.p_holm < ALPHA:
            return "not shown"
        return "better" if self.ln_ratio > 0.0 else "worse"

    def needed(self, chance: float) -> int | None:
        """Remounts, pairs or of each part, that would show this difference were it real.

        None when no number does: the rest of the uncertainty is too large, or more than 500.
        """
        return repeats_needed(self.ln_ratio, self.s, chance, paired=self.paired, floor=self.floor)


@dataclass(frozen=True)
class PartComparison:
    """Two parts, port by port and whole."""

    rows: Rows
    samples: tuple[PortSamples, ...]
    ports: tuple[Gain, ...]
    whole: Gain
    """Sum of the other's ports over the sum of the base's."""
    cautions: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def mean_gain(self) -> float:
        """Average of the ports' gains, which is not the gain of the whole part [-]."""
        return float(np.mean([port.gain for port in self.ports]))

    def flows(self, part: str) -> Array:
        """Flow of every shared port [m^3/s]."""
        return np.array(
            [p.base_flow if part == self.rows.base else p.other_flow for p in self.ports]
        )

    def evenness(self, part: str) -> tuple[float, float]:
        """(max - min)/mean and coefficient of variation over the ports of one part [-]."""
        flow = self.flows(part)
        varies = flow.std(ddof=1) / flow.mean() if len(flow) > 1 else 0.0
        return float(np.ptp(flow) / flow.mean()), float(varies)


def compare_parts(
    reductions: Sequence[Reduction], base: str, other: str | None = None
) -> PartComparison:
    """The gain of one part over another, with what is known of it.

    Parameters
    ----------
    reductions : sequence of Reduction   Reduced sessions, one or more [SI]
    base, other : str   As ``pulse1d.compare.rows.gather`` [-]
    Returns
    -------
    comparison : PartComparison   [SI]
    Errors      InputError as ``pulse1d.compare.rows.gather``.
    Limits      First order in the uncertainties (JCGM 100): fine below 10 %.
    Source      JCGM 100:2008; Welch 1947; Satterthwaite 1946; Holm 1979
    """
    rows = gather(reductions, base, other)
    found = samples(rows)
    random, notes = scatter(found)
    weights = np.array([_weights(rows, port) for port in found])
    single = [
        _port(rows, port, random[port.port], w) for port, w in zip(found, weights, strict=True)
    ]
    corrected = holm([gain.p for gain in single])
    ports = tuple(_with_holm(gain, p) for gain, p in zip(single, corrected, strict=True))
    whole = _whole(rows, found, ports)
    return PartComparison(
        rows, found, ports, whole, rows.cautions, (*rows.notes, *_reading_notes(found), *notes)
    )


def holm(p: Sequence[float]) -> list[float]:
    """Chances corrected for several looks, by Holm's step-down rule.

    Parameters
    ----------
    p : sequence of float   One for each test [-]
    Returns
    -------
    corrected : list of float   In the same order, at most 1 [-]
    Source      Holm, Scand. J. Stat. 6, 1979
    """
    order = sorted(range(len(p)), key=lambda k: p[k])
    corrected, highest = [1.0] * len(p), 0.0
    for rank, k in enumerate(order):
        highest = max(highest, min(1.0, (len(p) - rank) * p[k]))
        corrected[k] = highest
    return corrected


def satterthwaite(parts: Sequence[tuple[float, float]]) -> float:
    """Degrees of freedom of a sum of independent parts.

    Parameters
    ----------
    parts : sequence of (u, free)   Standard uncertainty and its degrees of freedom [any, -]
    Returns
    -------
    free : float   Infinite when nothing random is in it [-]
    Source      JCGM 100:2008 G.4.1
    """
    total = sum(u * u for u, _ in parts)
    below = sum(u**4 / free for u, free in parts)
    return total * total / below if below > 0.0 else inf


def _weights(rows: Rows, port: PortSamples) -> Array:
    """Weights that make the port's ln(other/base) out of all rows' ln(flow)."""
    weights = np.zeros(len(rows.rows))
    for sign, side in ((-1.0, port.base), (1.0, port.other)):
        for mount in side:
            weights[list(mount.rows)] = sign / len(side) / len(mount.rows)
    return weights


def _systematic(rows: Rows, weights: Array) -> tuple[float, float, tuple[tuple[str, float], ...]]:
    """Uncertainty of a weighted sum of ln(flow): all, what outlives a row, and by family."""
    parts = weights @ rows.jacobian
    squares: dict[str, float] = {}
    for family, part in zip(rows.families, parts, strict=True):
        squares[family] = squares.get(family, 0.0) + float(part) ** 2
    causes = sorted(((name, sqrt(square)) for name, square in squares.items()), key=lambda c: -c[1])
    lasting = float(np.linalg.norm(parts[rows.lasting]))
    return float(np.linalg.norm(parts)), lasting, tuple(c for c in causes if c[1] > NOTHING)


def _port(rows: Rows, port: PortSamples, found: Scatter, weights: Array) -> Gain:
    systematic, floor, causes = _systematic(rows, weights)
    flows = [exp(float(np.mean([m.value for m in side]))) for side in (port.base, port.other)]
    free = satterthwaite([(found.u, found.free), (systematic, inf)])
    p = _chance(port.ratio, sqrt(found.u**2 + systematic**2), free)
    return Gain(
        port.port, flows[0], flows[1], port.ratio, found.u, found.free, systematic, floor, free,
        causes,
        (len(port.base), len(port.other)), int(np.count_nonzero(weights)), port.paired, port.order,
        found.s, found.origin, p, p,
    )  # fmt: skip


def _chance(difference: float, u: float, free: float) -> float:
    if u == 0.0:
        return 1.0 if difference == 0.0 else 0.0
    return float(2.0 * stats.t.sf(abs(difference) / u, free))


def _with_holm(gain: Gain, p: float) -> Gain:
    return replace(gain, p_holm=p)


def _whole(rows: Rows, found: Sequence[PortSamples], ports: Sequence[Gain]) -> Gain:
    """Sum of the other's ports over the sum of the base's: its log is a weighted sum of ports'."""
    base, other = (
        np.array([getattr(p, name) for p in ports]) for name in ("base_flow", "other_flow")
    )
    shares = 0.5 * (base / base.sum() + other / other.sum())
    weights = np.zeros(len(rows.rows))
    for k, port in enumerate(found):
        line = _weights(rows, port)
        weights += np.where(line < 0.0, base[k] / base.sum(), other[k] / other.sum()) * line
    systematic, floor, causes = _systematic(rows, weights)
    if rows.sessions[0].header.set_up.fixed_end == "outlet" and len(ports) > 1:
        random, free_random = _one_mount_for_all(found, ports, shares)
    else:
        random, free_random = _own_mounts(ports, shares)
    free = satterthwaite([(random, free_random), (systematic, inf)])
    ratio = float(np.log(other.sum() / base.sum()))
    p = _chance(ratio, sqrt(random**2 + systematic**2), free)
    pairs = (min(gain.remounts[0] for gain in ports), min(gain.remounts[1] for gain in ports))
    paired = all(gain.paired for gain in ports)
    count = 2.0 / (1.0 / pairs[0] + 1.0 / pairs[1])
    orders = ", ".join(dict.fromkeys(gain.order for gain in ports))
    return Gain(
        WHOLE, float(base.sum()), float(other.sum()), ratio, random, free_random,
        systematic, floor, free, causes, pairs, int(np.count_nonzero(weights)), paired, orders,
        random * sqrt(count if paired else count / 2.0), "ports together", p, p,
    )  # fmt: skip


def _own_mounts(ports: Sequence[Gain], shares: Array) -> tuple[float, float]:
    """Random part of the whole when every port is mounted by itself.

    Ports that share one pooled scatter share its degrees of freedom too.
    """
    groups: dict[str, tuple[float, float]] = {}
    for gain, share in zip(ports, shares, strict=True):
        key = gain.port if gain.origin == "own" else f"{gain.origin} {gain.free_random}"
        before = groups.get(key, (0.0, 0.0))[0]
        groups[key] = (before + (share * gain.u_random) ** 2, gain.free_random)
    parts = [(sqrt(square), free) for square, free in groups.values()]
    return sqrt(sum(u * u for u, _ in parts)), satterthwaite(parts)


def _one_mount_for_all(
    found: Sequence[PortSamples], ports: Sequence[Gain], shares: Array
) -> tuple[float, float]:
    """Random part of the whole when the part stands on its outlet: one mount carries all ports."""
    mounts = [{(m.session, m.number) for m in port.other} for port in found]
    counts = len(mounts[0])
    if all(port.paired for port in found) and all(m == mounts[0] for m in mounts) and counts > 1:
        table = [
            [d for _, d in sorted(zip(_keys(port), port.differences, strict=True))]
            for port in found
        ]
        whole = shares @ np.array(table)
        return float(np.std(whole, ddof=1)) / sqrt(counts), counts - 1.0
    together = float(shares @ np.array([gain.u_random for gain in ports]))
    return together, min(gain.free_random for gain in ports)


def _keys(port: PortSamples) -> list[tuple[int, int]]:
    return [(m.session, m.number) for m in port.other]


def _reading_notes(found: Sequence[PortSamples]) -> list[str]:
    """How the rows count as samples."""
    notes = []
    mounts = [m for port in found for m in (*port.base, *port.other)]
    most = max(len(m.rows) for m in mounts)
    if most > 1:
        notes.append(
            f"up to {most} readings were taken within one mount: they are averaged and count as "
            "one sample, for only remounting repeats the largest error"
        )
    loose = [port.port for port in found if not port.paired]
    if loose:
        notes.append(
            f"port {', '.join(loose)}: remounts were not read in pairs one after the other (ABAB "
            "or ABBA in one session), so they are compared unpaired (Welch)"
        )
    blocks = [port.port for port in found if port.paired and port.order in _SAME_WAY]
    if blocks:
        notes.append(
            f"port {', '.join(blocks)}: every pair was read in the same order, so a drift within "
            "pairs stays in the gain; ABBA takes it out"
        )
    return notes


_SAME_WAY = frozenset(letters * n for letters in ("AB", "BA") for n in range(2, 100))
"""Orders that leave a linear drift in."""
