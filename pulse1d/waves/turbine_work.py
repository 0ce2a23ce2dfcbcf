"""What turbines took out of the gas."""

from __future__ import annotations

from pulse1d.waves.assemble import Arrays
from pulse1d.waves.kinds import WORK, Kind


def turbine_work(arrays: Arrays) -> float:
    """Work that the turbines of a net have taken since its start, or since ``reset_heat``.

    Parameters
    ----------
    arrays : Arrays   [SI]
    Returns
    -------
    W : float   [J]
    """
    kind, now = arrays.nodes[0], arrays.nodes[4]
    return float(now[kind == Kind.PASSAGE, WORK].sum())
