"""What a wave problem is made of: pipes, what stands at their ends, gases."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pulse1d.gas.mixture import Mixture
from pulse1d.gas.table import pack

Array = NDArray[np.float64]
Along = float | ArrayLike | Callable[[Array], ArrayLike]
"""A number, one value a cell, or a function of the distance x [m] along the pipe."""


@dataclass(frozen=True)
class ConstantGas:
    """A gas of constant gamma, for closed forms."""

    gamma: float = 1.4
    R: float = 287.05
    mu: float = 1.8e-5

    @property
    def table(self) -> Array:
        """A property table with the same cp at all temperatures [SI]."""
        cp = self.gamma * self.R / (self.gamma - 1.0)
        return pack(
            self.R,
            np.array([cp, 0.0, 0.0, 0.0, 0.0]),
            np.zeros(4),
            np.array([self.mu, 0, 0, 0, 0, 0]),
            np.array([self.mu * cp / 0.7, 0, 0, 0, 0, 0]),
        )

    def tables(self) -> tuple[Array, Array]:
        """R and gamma for the kernel; and the property table [SI]."""
        table = self.table
        plain = np.zeros_like(table)
        plain[0], plain[1] = self.R, self.gamma
        return plain, table


@dataclass(frozen=True)
class TwoGases:
    """Fresh and burned gas with properties of their own; one composition when ``burned`` is None.

    Either may be a ``ConstantGas``, for closed forms of two gases.
    """

    fresh: Mixture | ConstantGas
    burned: Mixture | ConstantGas | None = None

    def tables(self) -> tuple[Array, Array]:
        """Property tables of both [SI]."""
        burned = self.burned if self.burned is not None else self.fresh
        return self.fresh.table.copy(), burned.table.copy()


@dataclass(frozen=True)
class Pipe:
    """A pipe: its shape along x, its wall, and the gas in it at the start."""

    length: float
    """[m]"""
    diameter: Along | None = None
    """[m]; or give ``area``"""
    area: Along | None = None
    """[m2]"""
    cells: int = 100
    p: Along = 101325.0
    T: Along = 293.15
    u: Along = 0.0
    Y: Along = 0.0
    """Mass fraction of burned gas."""
    f_D: float = 0.0
    """Fixed Darcy factor; 0: none, unless a roughness is given."""
    roughness: float | None = None
    """Sand roughness [m]: friction by Churchill's law."""
    T_wall: float = 0.0
    """0: adiabatic [K]."""
    rows: Mapping[int, Along] | None = None
    """Rows of the kernel's wall table given outright, by their number."""
    h: float = 0.0
    """Fixed heat transfer coefficient; 0: by Gnielinski when the wall has a temperature."""


@dataclass(frozen=True)
class Closed:
    """A wall."""


@dataclass(frozen=True)
class Free:
    """Lets every wave out."""


@dataclass(frozen=True)
class Open:
    """The open air: outflow against p, inflow from rest with loss K."""

    p: float = 101325.0
    T: float = 293.15
    Y: float = 0.0
    K: float = 0.0


@dataclass(frozen=True)
class Vessel:
    """A vessel behind a throat; ``volume`` 0 for one that never empties."""

    p: float
    T: float
    volume: float = 0.0
    throat: float = 1.0
    """Effective throat area over pipe area; 1 or more: no throat."""
    throat_out: float | None = None
    """The same for flow out of the pipe, if it differs."""
    Y: float = 0.0
    K: float = 0.0
    opening: Array | None = None
    """Schedule (n, 2) of time [s] and the factor on the throat."""


@dataclass(frozen=True)
class PressureHistory:
    """Static pressure given in time, (n, 2) of s and Pa; inflow is the pipe's own gas."""

    history: Array


@dataclass(frozen=True)
class FlowHistory:
    """Mass flow into the pipe given in time, (n, 2) of s and kg/s, at stagnation temperature T."""

    history: Array
    T: float = 293.15
    Y: float = 0.0


@dataclass(frozen=True)
class Cylinder:
    """A working cylinder behind its exhaust valve; crank angles from firing top dead centre [deg].

    ``areas``: (4, 720) effective areas by crank angle, one a degree, of the exhaust valve outwards
    and back, and of the inlet valve inwards and back [m2].
    """

    bore: float
    stroke: float
    rod: float
    ratio: float
    """Compression ratio [-]."""
    speed: float
    """[rev/s]"""
    start: float
    """Crank angle at time 0 [deg]."""
    areas: Array
    events: tuple[float, float]
    """Inlet closes, exhaust opens [deg]."""
    inlet: tuple[float, float]
    """Plenum: pressure, temperature [Pa, K]."""
    p: float
    T: float
    Y: float = 1.0
    """Gas in it at the start."""
    burn: tuple[float, float, float, float] = (-15.0, 50.0, 5.0, 2.0)
    """Start and duration of burning [deg], Wiebe's a and m."""
    heat: float = 0.0
    """Of the fuel, per mass of fresh gas; 0 motored [J/kg]."""
    T_walls: float = 450.0
    wall_factor: float = 1.0
    """On the walls' heat; 0: adiabatic."""
    intake: tuple[str, str] | None = None
    """Pipe end behind the inlet valve, in place of the plenum."""
    premixed: tuple[float, float, float] = (0.0, 10.0, 2.0)
    """Share of the heat that a second Wiebe gives from the same start, its duration [deg], m."""
    fuel: float = 0.0
    """Injected while it burns, per mass of fresh gas; 0 where it comes in with the air [-]."""
    annand: tuple[float, float] = (0.0, 0.0)
    """Annand's a [-] and c [W/m2/K4]; a of 0: the walls take heat by Woschni's law."""


End = Closed | Free | Open | Vessel | PressureHistory | FlowHistory | Cylinder


@dataclass(frozen=True)
class Joint:
    """Ends of several pipes that meet: (pipe name, "start" or "stop") each.

    ``directions`` are unit vectors out of the joint; with them the steady joint's losses apply,
    without them one static pressure.
    """

    ends: tuple[tuple[str, str], ...]
    directions: tuple[tuple[float, float, float], ...] | None = None
    has_run: bool = False
    offsets: tuple[float, ...] = ()
    """Added to the loss coefficient of each end; none: nothing."""


@dataclass(frozen=True)
class Passage:
    """Two pipes with steps without length between them, in port-to-outlet order.

    ``rows``: (n, k) steps of ``pulse1d.losses.element.Step``; None: the areas' own sudden change,
    expansion by momentum, contraction without loss.
    """

    ends: tuple[tuple[str, str], tuple[str, str]]
    rows: Array | None = None


@dataclass(frozen=True)
class Chamber:
    """A volume that several pipe ends open into."""

    ends: tuple[tuple[str, str], ...]
    volume: float
    p: float
    T: float
    Y: float = 0.0
    K: float = 0.0


Node = Joint | Passage | Chamber


@dataclass(frozen=True)
class Net:
    """A whole wave problem."""

    pipes: dict[str, Pipe]
    ends: dict[tuple[str, str], End] = field(default_factory=dict)
    nodes: tuple[Node, ...] = ()
    gas: ConstantGas | TwoGases = ConstantGas()
