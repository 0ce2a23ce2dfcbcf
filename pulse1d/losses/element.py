"""What a piece hands to the solvers: steps of flat numbers, each with its band and source.

A piece of a runner becomes one ``Element``: one or more ``Step`` rows that the compiled solvers
walk through, and the ``Effect`` rows that say how far each number may be off, and why.

One meaning of K for both solvers: at the reference section, at constant stagnation enthalpy,
d ln p0 = -(gamma M^2/2) dK. In a step K = (K0 + Kf f_D)(1 + mach M^2), where f_D is the Darcy
friction factor of the step's wall, so one record holds friction-dependent losses too.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

from pulse1d.geometry.sections import Section

Z_90 = 1.6448536269514722
"""Standard normal quantile that makes a 5-95 % band of +-1 unit (Abramowitz & Stegun 26.2)."""


class Law(IntEnum):
    """How a step changes the flow."""

    DUCT = 0
    """Area A_1 to A_2 over L with wall friction and a distributed K (L may be 0)."""
    JET = 1
    """Isentropic to a jet of area ``jet``, then momentum balance up to the next area."""
    NOZZLE = 2
    """Isentropic to a throat of area ``jet``, static pressure not recovered behind it."""
    TURBINE = 3
    """A nozzle whose area grows with the expansion ratio, and that takes work out of forward flow;
    reversed flow meets a NOZZLE of area ``jet_rev``."""


class Step(NamedTuple):
    """One row for the solvers, SI. Forward is port to outlet; ``_rev`` serves reversed flow."""

    law: float
    A_1: float
    A_2: float
    D_1: float
    """Hydraulic diameter at A_1."""
    D_2: float
    L: float = 0.0
    eps: float = 0.0
    """Sand roughness of the wall."""
    f_factor: float = 1.0
    """Multiplies the friction factor: section shape, calibration, band."""
    f_fixed: float = 0.0
    """Fixed Darcy friction factor; 0 means computed from Re and eps."""
    K0: float = 0.0
    Kf: float = 0.0
    K0_rev: float = 0.0
    Kf_rev: float = 0.0
    mach: float = 0.0
    jet: float = 0.0
    jet_rev: float = 0.0
    T_w: float = 0.0
    """Wall temperature; 0 means adiabatic."""
    stir: float = 0.0
    """1: the flow behind is stirred through, so a boundary layer no longer develops."""
    outer: float = 0.0
    """Outside perimeter of a body of channels over their wetted one; 0: a pipe."""
    x_end: float = 0.0
    """Of a turbine: 1 - 1/ER where its area ``jet`` is reached, ER the expansion ratio."""
    area_0: float = 1.0
    """Bernstein coefficients of its area over ``jet`` from ER 1 on; the fourth is 1."""
    area_1: float = 1.0
    area_2: float = 1.0
    work_0: float = 0.0
    """Bernstein coefficients of its efficiency, total to static."""
    work_1: float = 0.0
    work_2: float = 0.0


COLUMN = {name: index for index, name in enumerate(Step._fields)}
K_COLUMNS = ("K0", "Kf", "K0_rev", "Kf_rev")


@dataclass(frozen=True)
class Effect:
    """How one cause of doubt moves one number of one step.

    ``mode`` "ln": the number is multiplied by exp(size z); "add": size z is added; z is standard
    normal. ``cause`` is a key: equal keys move together, within a design and between designs.
    """

    cause: str
    step: int
    column: str
    mode: str
    size: float


@dataclass(frozen=True)
class Element:
    """One named piece of the path, ready for the solvers."""

    name: str
    kind: str
    steps: tuple[Step, ...]
    k_ref: str
    """Section whose dynamic pressure K refers to: "upstream" or "downstream" (forward flow)."""
    source: str
    """Keys of ``pulse1d.sources``, comma separated; "exact" for conservation laws alone."""
    effects: tuple[Effect, ...] = ()
    notes: tuple[str, ...] = ()
    """Plain warnings: a correlation used outside its validity, a judgement taken."""
    limits: tuple[Limit, ...] = ()


@dataclass(frozen=True)
class Limit:
    """Validity range of a correlation in a quantity known only once solved: "Re" or "M"."""

    quantity: str
    low: float
    high: float
    what: str


@dataclass(frozen=True)
class Station:
    """What a piece needs to know of its surroundings to state its losses."""

    section: Section
    """Section that the piece starts from."""
    eps: float
    """Sand roughness of the wall [m]."""
    surface: str = "smooth"
    """Name of the surface; its roughness band is common to all pieces that have it."""
    eps_band: float = 0.0
    """5-95 % half width of ln(eps) [-]."""
    f_fixed: float = 0.0
    """Fixed Darcy friction factor, 0 for computed [-]."""
    T_w: float = 0.0
    """Wall temperature, 0 for adiabatic [K]."""
    L_after: float | None = None
    """Straight length behind a bend before the flow leaves the leg; None: long or a bend next."""
    C_pair: float = 1.0
    """Factor on a bend's K for its neighbours [-]."""
    C_pair_band: float = 0.0
    """5-95 % half width of ln(C_pair) [-]."""
    head: Section | None = None
    """Outline of the head port, where the piece meets it."""


def k_effects(cause: str, step: int, half_width: float) -> tuple[Effect, ...]:
    """A 5-95 % band of exp(+-half_width) on every K of a step.

    Parameters
    ----------
    cause : str   Key [-]
    step : int   Row of the element [-]
    half_width : float   Of ln K [-]
    Returns
    -------
    effects : tuple of Effect   [-]
    """
    size = half_width / Z_90
    return tuple(Effect(cause, step, column, "ln", size) for column in K_COLUMNS)


def wall_effects(station: Station, step: int = 0) -> tuple[Effect, ...]:
    """Bands of wall friction: the correlation itself, and the roughness of the surface.

    The +-5 % on a Darcy factor of known roughness is the usual statement for the Colebrook law
    (Moody 1944, from memory).

    Parameters
    ----------
    station : Station   The wall [-]
    step : int   Row of the element [-]
    Returns
    -------
    effects : tuple of Effect   [-]
    """
    effects = [Effect("friction law", step, "f_factor", "ln", 0.05 / Z_90)]
    if station.eps_band > 0.0 and station.f_fixed == 0.0:
        effects.append(
            Effect(f"roughness: {station.surface}", step, "eps", "ln", station.eps_band / Z_90)
        )
    return tuple(effects)


def duct(station: Station, L: float, end: Section | None = None, **numbers: float) -> Step:
    """A DUCT step of length L from the station's section to ``end`` (default: the same).

    Parameters
    ----------
    station : Station   Surroundings of the piece [-]
    L : float   Length along the axis [m]
    end : Section   Section at the end [-]
    numbers : float   Further fields of ``Step`` [SI]
    Returns
    -------
    step : Step   The row [SI]
    Source      section shape factor on friction: idelchik1986 diag. 2-6, from memory
    """
    start = station.section
    stop = end or start
    return Step(
        law=Law.DUCT,
        A_1=start.area,
        A_2=stop.area,
        D_1=start.D_h,
        D_2=stop.D_h,
        L=L,
        eps=station.eps,
        f_factor=0.5 * (start.friction_shape + stop.friction_shape),
        f_fixed=station.f_fixed,
        T_w=station.T_w,
        **numbers,
    )
