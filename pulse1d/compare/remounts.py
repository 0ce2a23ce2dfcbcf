"""Remounts as samples: their means, their pairs, and their scatter pooled over ports."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, sqrt

import numpy as np
from scipy import stats

from pulse1d.compare.rows import Rows

ASSUMED = 0.004
"""Remount scatter of one part where nothing in the readings tells it [-]: 0.3 to 0.7 % is common
practice, no source."""
ASSUMED_FREE = 8.0
"""Degrees of freedom of the assumed scatter [-]: it is known to a quarter (judgement); JCGM
100:2008 G.4.2 makes that 1/(2 x 0.25^2)."""
POOL_LEVEL = 0.01
"""Pooling is refused when Bartlett's test gives less than this [-]."""


@dataclass(frozen=True)
class Remount:
    """One mounting of a part on one port, its readings averaged."""

    session: int
    number: int
    order: int
    """Of its first reading."""
    value: float
    """Mean of ln(flow)."""
    rows: tuple[int, ...]

    @property
    def flow(self) -> float:
        """Geometric mean of its readings [m^3/s]."""
        return exp(self.value)


@dataclass(frozen=True)
class PortSamples:
    """The remounts of two parts on one port, in the order read."""

    port: str
    base: tuple[Remount, ...]
    other: tuple[Remount, ...]
    order: str
    """Such as "ABBA", A the base."""
    paired: bool

    def in_order(self, base: str, other: str) -> list[tuple[Remount, str]]:
        """Every remount as it was read, with the name of its part."""
        mounts = [(m, base) for m in self.base] + [(m, other) for m in self.other]
        return sorted(mounts, key=lambda item: (item[0].session, item[0].order))

    @property
    def differences(self) -> list[float]:
        """ln(other/base) of each pair; of no meaning when not paired."""
        partner = {(m.session, m.number): m.value for m in self.base}
        return [m.value - partner[m.session, m.number] for m in self.other]

    @property
    def ratio(self) -> float:
        """Mean ln(other/base) [-]."""
        return float(np.mean([m.value for m in self.other]) - np.mean([m.value for m in self.base]))


@dataclass(frozen=True)
class Scatter:
    """What remounting does to one port's log ratio."""

    s: float
    """Standard deviation of one pair's difference, or of one remount when not paired [-]."""
    u: float
    """Standard uncertainty of the log ratio [-]."""
    free: float
    """Degrees of freedom of u [-]."""
    origin: str
    """"own", "pooled" or "assumed"."""


def samples(rows: Rows) -> tuple[PortSamples, ...]:
    """Remounts of each port, paired where they were taken in pairs.

    Paired means: both parts have the same remount numbers in the same sessions, and each pair was
    read one after the other (ABAB or ABBA).

    Parameters
    ----------
    rows : Rows   [-]
    Returns
    -------
    ports : tuple of PortSamples   [-]
    """
    found = []
    for port in rows.ports:
        base, other = (_remounts(rows, part, port) for part in (rows.base, rows.other))
        line = PortSamples(port, base, other, "", False).in_order("A", "B")
        order = "".join(letter for _, letter in line)
        paired = len(line) % 2 == 0 and all(
            (one.session, one.number) == (two.session, two.number) and a != b
            for (one, a), (two, b) in zip(line[::2], line[1::2], strict=True)
        )
        found.append(PortSamples(port, base, other, order, paired))
    return tuple(found)


def _remounts(rows: Rows, part: str, port: str) -> tuple[Remount, ...]:
    groups: dict[tuple[int, int], list[int]] = {}
    for i, row in enumerate(rows.rows):
        if (row.reading.part, row.reading.port) == (part, port):
            groups.setdefault((rows.session[i], row.reading.remount), []).append(i)
    found = [
        Remount(
            session,
            number,
            min(rows.rows[i].reading.order for i in members),
            float(np.mean(rows.ln_flow[members])),
            tuple(members),
        )
        for (session, number), members in groups.items()
    ]
    return tuple(sorted(found, key=lambda m: (m.session, m.order)))


def scatter(ports: Sequence[PortSamples]) -> tuple[dict[str, Scatter], list[str]]:
    """Random part of every port's log ratio, and how it was come by.

    Where ports scatter alike (Bartlett's test at 1 %) their variances are pooled, which gives more
    degrees of freedom; else each port keeps its own, Welch's when unpaired. A port without a second
    remount takes the pooled scatter, and without any second remount 0.4 % is assumed.

    Parameters
    ----------
    ports : sequence of PortSamples   [-]
    Returns
    -------
    parts : dict of port to Scatter   [-]
    notes : list of str   [-]
    Source      Bartlett 1937 (scipy.stats.bartlett); Welch 1947; JCGM 100:2008 4.2.4 for pooling
    """
    pairs = _Pool([p.differences for p in ports if p.paired])
    singles = _Pool(
        [[m.value for m in side] for p in ports if not p.paired for side in (p.base, p.other)]
    )
    notes = [*pairs.notes("pair differences"), *singles.notes("remounts")]
    found, lone, assumed = {}, [], []
    for port in ports:
        ours, theirs = (pairs, singles) if port.paired else (singles, pairs)
        step = sqrt(2.0) if port.paired else sqrt(0.5)
        groups = [port.differences] if port.paired else [_values(port.base), _values(port.other)]
        known = all(len(group) > 1 for group in groups)
        if known and not (ours.alike and ours.count > 1):
            found[port.port] = _own(groups, port.paired)
            continue
        if ours.free:
            s, free, origin = ours.s, ours.free, "pooled"
        elif theirs.free:
            s, free, origin = theirs.s * step, theirs.free, "pooled"
        else:
            s, free, origin = ASSUMED * (step if port.paired else 1.0), ASSUMED_FREE, "assumed"
            assumed.append(port.port)
        if not known and origin == "pooled":
            lone.append(port.port)
        u = s * sqrt(sum(1.0 / len(group) for group in groups))
        found[port.port] = Scatter(s, u, free, origin)
    if lone:
        notes.append(
            f"port {', '.join(lone)}: only one remount, so its own scatter is not known and the "
            "pooled one is used"
        )
    if assumed:
        notes.append(
            f"port {', '.join(assumed)}: every part was mounted once, so the scatter of remounts "
            f"is not known: {100 * ASSUMED:.1f} % each is assumed (common practice); remount"
        )
    return found, notes


def _values(side: Sequence[Remount]) -> list[float]:
    return [m.value for m in side]


def _own(groups: Sequence[Sequence[float]], paired: bool) -> Scatter:
    """Scatter of one port from its own remounts: Student's for pairs, Welch's for two groups."""
    parts = [float(np.var(g, ddof=1)) / len(g) for g in groups]
    total = sum(parts)
    below = sum(v * v / (len(g) - 1) for v, g in zip(parts, groups, strict=True))
    free = total * total / below if below else inf
    if paired:
        return Scatter(float(np.std(groups[0], ddof=1)), sqrt(total), free, "own")
    s = sqrt(float(np.mean([np.var(g, ddof=1) for g in groups])))
    return Scatter(s, sqrt(total), free, "own")


class _Pool:
    """Variance pooled over groups, and whether they scatter alike."""

    def __init__(self, groups: Sequence[Sequence[float]]) -> None:
        many = [group for group in groups if len(group) > 1]
        self.count = len(many)
        self.free = float(sum(len(group) - 1 for group in many))
        squares = sum(float(np.var(group)) * len(group) for group in many)
        self.s = sqrt(squares / self.free) if many else 0.0
        spread = [group for group in many if np.ptp(group) > 0.0]
        self.still = self.count - len(spread)
        self.p = float(stats.bartlett(*spread).pvalue) if len(spread) > 1 else 1.0
        self.alike = self.p >= POOL_LEVEL

    def notes(self, what: str) -> list[str]:
        found = []
        if self.count > 1 and self.alike:
            found.append(
                f"scatter of {what} pooled over {self.count} groups: {100 * self.s:.2f} % with "
                f"{self.free:.0f} degrees of freedom (Bartlett p = {self.p:.2f})"
            )
        elif self.count > 1:
            found.append(
                f"scatter of {what} differs between groups (Bartlett p = {self.p:.1g}), so it is "
                "not pooled: each port stands on its own remounts"
            )
        if self.still:
            found.append(
                f"{self.still} group{'s' if self.still > 1 else ''} of remounts read the same to "
                "the last digit: check that they are readings of their own"
            )
        return found
