"""What the fluid is: air, burned gas, their properties from temperature and composition.

A ``Mixture`` is a gas of frozen composition. Its ``table`` is the row of numbers that the compiled
functions of ``pulse1d.gas.state`` read: cp, h, s0, gamma, sound_speed, mu, k_th and their inverses.
This package loads neither numba (``state`` does) nor Cantera (``fit`` does, when asked to).
"""

from pulse1d.gas.air import dry_air, moist_air
from pulse1d.gas.burned import burned_gas, fuel, fuels, products, stoichiometric_afr
from pulse1d.gas.mixture import Mixture, blend
from pulse1d.gas.spec import Burned, DryAir, GasSpec, MoistAir, resolve

__all__ = [
    "Burned",
    "DryAir",
    "GasSpec",
    "Mixture",
    "MoistAir",
    "blend",
    "burned_gas",
    "dry_air",
    "fuel",
    "fuels",
    "moist_air",
    "products",
    "resolve",
    "stoichiometric_afr",
]
