"""The gas that heats each leg: stated in the case, or the mean of a running engine's cycle."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from pulse1d.case.design import Design
from pulse1d.durability.spec import HotGas
from pulse1d.run.cycle import converge
from pulse1d.waves.walls import D_H, H_SUM, OUTER, Q_SUM, T_WALL


class GasState(NamedTuple):
    """Mean gas at a leg's wall."""

    T: float
    """Weighted by h [K]."""
    h: float
    """[W/m2/K]"""


def gas_states(
    design: Design, gas: HotGas, watch: Callable[[int, float], None] | None = None
) -> tuple[dict[str, GasState], str]:
    """Gas by leg, and where it comes from.

    Parameters
    ----------
    design : Design   [-]
    gas : HotGas   [SI]
    watch : function   Told the cycle and its change where one is marched [-]
    Returns
    -------
    states, origin : dict, str   By leg's name [SI, -]
    Errors      InputError where the case lacks what an engine needs.
    """
    names = [leg.name for leg in design.network.legs]
    if gas.from_ is None:
        assert gas.temperature is not None
        assert gas.heat_transfer is not None
        stated = GasState(gas.temperature, gas.heat_transfer)
        return dict.fromkeys(names, stated), "stated in the case, one for all legs"
    assert gas.speed is not None
    march, _, done = converge(design, gas.speed / 60.0, watch=watch)
    assert march.run is not None
    arrays = march.run.arrays
    table = arrays.wall[0]
    states = {}
    for name in names:
        pipes = [p for p in arrays.place if p == name or p.startswith(f"{name} [")]
        cells = np.concatenate(
            [np.arange(arrays.place[p].start, arrays.place[p].stop) for p in pipes]
        )
        cells = cells[(table[T_WALL, cells] > 0.0) & (table[OUTER, cells] == 0.0)]
        if cells.size:
            sums = np.maximum(table[H_SUM, cells], 1e-30)
            h = 0.25 * table[D_H, cells] * sums / march.period
            T = table[T_WALL, cells] - table[Q_SUM, cells] / sums
            states[name] = GasState(float(np.sum(h * T) / np.sum(h)), float(np.mean(h)))
    mean = GasState(*np.mean(list(states.values()), axis=0).tolist())
    speed = f"cycle mean at {gas.speed:.0f} rev/min, pipe by pipe"
    text = speed if done else speed + ", which did not repeat"
    return {name: states.get(name, mean) for name in names}, text
