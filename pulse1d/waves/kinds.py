"""Numbers that the compiled wave kernel goes by: kinds of ends, columns of their tables, modes."""

from __future__ import annotations

from enum import IntEnum


class Kind(IntEnum):
    """What stands at a node of the network; one law each in ``pulse1d.waves.boundaries``."""

    CLOSED = 0
    FREE = 1
    """Lets every wave out."""
    RESERVOIR = 2
    """The open air, or a vessel or chamber of finite volume; a throat may open in time."""
    PRESSURE = 3
    FLOW = 4
    JOINT = 5
    """Legs at one static pressure."""
    LOSSY_JOINT = 6
    """Legs at the levels of the joint's coefficients."""
    PASSAGE = 7
    """Two legs with steps without length between them."""
    CYLINDER = 8
    """A working cylinder behind its exhaust valve."""


class Mode(IntEnum):
    """How energy is read."""

    CONSTANT = 0
    """One gas of constant gamma: conservative, and free of noise at fronts."""
    CONSERVATIVE = 1
    EQUILIBRIUM = 2
    """Each cell reads its faces with its own gas; the defect is counted."""


P_R, T_R, Y_R, PHI_IN, PHI_OUT, K_IN, VOLUME, TABLE, TABLE_END = range(9)
"""Columns of a node's parameters. TABLE .. TABLE_END are rows of the schedule, both 0 for none."""
PARAMETERS = 9
ROWS, ROWS_END, HAS_RUN = P_R, T_R, Y_R
"""Columns of a passage's and a joint's parameters."""
MASS, ENERGY, MASS_Y, PRESSURE_NOW, T_NOW = range(5)
"""Columns of a reservoir's state; without a volume, what it has taken up. A joint keeps pressure,
T0, gamma, R; a passage its flow, and sums: TAKEN what passed it, WORK what a turbine in it took."""
(
    FRESH, HELD, HELD_Y, P_REF, T_REF, BACK_M, BACK_H, BACK_Y, WORK, PUMPED, TAKEN, GIVEN, LOST,
    RELEASED, TAKEN_H, INJECTED,
) = range(5, 21)  # fmt: skip
"""Further columns of a cylinder: fresh charge, mass and burned gas when burning starts; pressure
and temperature when the inlet closes; mass, enthalpy and burned gas blown back into the inlet; and
sums since the start: work on the piston, its part with valves open, mass in by the inlet and out by
the exhaust, heat to the walls and from the fuel, enthalpy in by the inlet, fuel injected."""
STATES = 21
