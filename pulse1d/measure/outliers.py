"""Remounts that do not belong to the others of their port: a slip of pen or seat, told by row."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, inf, log, sqrt
from typing import TYPE_CHECKING, TypeAlias

from scipy import stats

if TYPE_CHECKING:
    from pulse1d.measure.reduce import Reduced

LEVEL = 0.01
"""Chance below which a value is called an outlier, as ISO 5725-2:1994, 7.3.2 (from memory) [-]."""
LEAST = 0.01
"""Least distance from the other remounts that is told [-]: remounting alone moves a part by 0.3 to
0.7 % (common practice, no source), and gauges of coarse marks read the same twice."""
Mount: TypeAlias = "tuple[float, list[Reduced]]"
"""Mean of ln flow of a remount, and its rows."""


def outlier_notes(rows: Sequence[Reduced]) -> list[str]:
    """Remounts whose flow lies off the others of their part and port, each with its rows.

    Parameters
    ----------
    rows : sequence of Reduced   Read at the stated test pressure [SI]
    Returns
    -------
    notes : list of str   [-]
    Source      Grubbs 1969, Technometrics 11, 1-21; ISO 5725-2:1994, 7.3.4 (both from memory); a
                port's remounts about their own mean, their scatter taken over all ports of a part,
                or, where two slips hide each other, over the port alone
    """
    notes: list[str] = []
    for part in dict.fromkeys(row.reading.part for row in rows):
        ports = _mounts([row for row in rows if row.reading.part == part])
        while found := _found(list(ports.values())):
            mounts, odd, chance = found
            others = [value for value, _ in mounts if value != odd[0]]
            apart = odd[0] - sum(others) / len(others)
            if abs(apart) < log(1.0 + LEAST):
                break
            notes.append(_note(mounts, odd, apart, chance))
            if len(mounts) == 2:
                mounts.clear()
            else:
                mounts.remove(odd)
    return notes


def chance_of(residual: float, free: float, count: int) -> float:
    """Chance that the largest of some residuals of equal scatter is as large as one.

    Parameters
    ----------
    residual : float   Over its own standard deviation, that of the sample within it [-]
    free : float   Degrees of freedom of that deviation [-]
    count : int   Residuals that it was picked from [-]
    Returns
    -------
    chance : float   Two-sided, at the most [-]
    Source      Grubbs 1969, Technometrics 11, 1-21 (from memory)
    """
    rest = free - residual**2
    t = abs(residual) * sqrt((free - 1.0) / rest) if rest > 0.0 else inf
    return min(1.0, 2.0 * count * float(stats.t.sf(t, free - 1.0)))


def _mounts(rows: Sequence[Reduced]) -> dict[str, list[Mount]]:
    found: dict[str, dict[int, list[Reduced]]] = {}
    for row in rows:
        found.setdefault(row.reading.port, {}).setdefault(row.reading.remount, []).append(row)
    return {
        port: [(sum(log(row.flow) for row in some) / len(some), some) for some in mounts.values()]
        for port, mounts in found.items()
    }


def _found(ports: Sequence[list[Mount]]) -> tuple[list[Mount], Mount, float] | None:
    """The remount that lies furthest off, by the scatter of all ports, else by its own port's."""
    alone = (_furthest([mounts], len(ports)) for mounts in ports)
    return _furthest(ports) or next((found for found in alone if found), None)


def _furthest(
    ports: Sequence[list[Mount]], tests: int = 1
) -> tuple[list[Mount], Mount, float] | None:
    """The remount that lies furthest off, with its port, where chance hardly does that."""
    known = [mounts for mounts in ports if len(mounts) > 1]
    count = sum(map(len, known))
    free = count - len(known)
    residuals = [
        ((mount[0] - sum(value for value, _ in mounts) / len(mounts)), mounts, mount)
        for mounts in known
        for mount in mounts
    ]
    s = sqrt(sum(residual**2 for residual, _, _ in residuals) / free) if free > 1 else 0.0
    if s == 0.0:
        return None
    size, mounts, odd = max(
        (
            (abs(e) / (s * sqrt(1.0 - 1.0 / len(mounts))), mounts, odd)
            for e, mounts, odd in residuals
        ),
        key=lambda item: item[0],
    )
    chance = tests * chance_of(size, free, count)
    return (mounts, odd, chance) if chance < LEVEL else None


def _note(mounts: Sequence[Mount], odd: Mount, apart: float, chance: float) -> str:
    first = odd[1][0].reading
    seldom = "below 0.1 %" if chance < 1e-3 else f"{100.0 * chance:.1g} %"
    why = (
        f"chance {seldom} by Grubbs' test, ISO 5725-2; look at its number and its seat, or read it "
        "again"
    )
    if len(mounts) == 2:
        rows = " and ".join(_row(mount) for mount in mounts)
        distance = f"{100.0 * (exp(abs(apart)) - 1.0):.1f} %"
        return f"{first.part} port {first.port}: {rows} lie {distance} apart, {why}"
    return (
        f"{first.part} port {first.port}: {_row(odd)} lies {100.0 * (exp(apart) - 1.0):+.1f} % off "
        f"its other remounts, {why}"
    )


def _row(mount: Mount) -> str:
    readings = [row.reading for row in mount[1]]
    numbers = ", ".join(f"{reading.order}" for reading in readings)
    lines = ", ".join(f"{reading.line}" for reading in readings)
    return f"remount {readings[0].remount} (no. {numbers}, line {lines})"
