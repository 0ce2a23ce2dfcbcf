"""A design on its engine: the waves of a whole firing order, marched until a cycle repeats."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.engine.phases import firing_angle
from pulse1d.run.engine_net import EngineNet, Varied, engine_net
from pulse1d.run.wall_balance import balance_walls, heat_lost, mean_wall, reset_heat
from pulse1d.waves.kinds import (
    HELD,
    HELD_Y,
    INJECTED,
    LOST,
    PUMPED,
    RELEASED,
    STATES,
    TAKEN,
    TAKEN_H,
    WORK,
    Kind,
)
from pulse1d.waves.solve import WaveRun, solve
from pulse1d.waves.turbine_work import turbine_work
from pulse1d.waves.walls import OUTER, T_WALL

Array = NDArray[np.float64]

RECORD = 720
"""Rows of a cycle's record, one a degree."""
LOOSE = 3.0
"""Mean port pressures and the gas stored in the pipes may change by this much more: joints of long
pipes go on shifting them by 0.1 to 0.3 % at some speeds, trapped masses standing to 1e-5."""
FEWEST = 2
MOST_CYCLES = 60
TOLERANCE = 1e-3
"""Change of trapped mass, air taken in, mean port pressure and mean wall temperature from one cycle
to the next, and gas gained in it, behind which the cycle repeats."""


@dataclass(frozen=True)
class CylinderAnswer:
    """One cylinder over the last cycle."""

    cylinder: str
    port: str
    trapped: float
    """Mass when burning starts [kg]."""
    residual: float
    """Burned share of it [-]."""
    fresh: float
    """Mass taken in [kg]."""
    volumetric_efficiency: float
    """Fresh mass kept over what the swept volume holds of plenum air [-]."""
    imep: float
    """Net, whole cycle [Pa]."""
    pmep: float
    """Of the gas exchange, negative where it costs work [Pa]."""
    heat: float
    """Of the fuel [J]."""
    lost: float
    """To the cylinder's walls [J]."""
    p_port: Array
    """Pressure at its port's flange, by crank angle after its own firing top centre [Pa]."""
    u_port: Array
    T_port: Array
    back_pressure: float
    """Mean pressure at the port over the cycle, above the room's [Pa]."""


@dataclass(frozen=True)
class CycleAnswer:
    """One speed."""

    speed: float
    """[rev/s]"""
    converged: bool
    cycles: int
    changes: tuple[float, ...]
    """Largest relative change of the criteria, cycle by cycle."""
    cylinders: tuple[CylinderAnswer, ...]
    mass_gap: float
    """Air and injected fuel in less gas out over the last cycle, of the air in [-]."""
    energy_gap: float
    """Of the whole engine over the last cycle, of the fuel's heat [-]."""
    T_wall: dict[str, Array]
    """Wall temperature along each pipe [K]."""
    outlet_p: Array
    """Pressure at the outlet by crank angle of the engine [Pa]."""
    outlet_mdot: Array
    """Mass flow out of the outlet [kg/s]."""
    turbine_power: float = 0.0
    """Of all turbines together [W]."""
    frames: dict[str, Array] = field(default_factory=dict)
    """Pressure pictures of the pipes over the cycle, (moments, cells) [Pa]."""


def march_cycle(
    design: Design,
    speed: float,
    *,
    tolerance: float = TOLERANCE,
    most: int = MOST_CYCLES,
    frames: int = 0,
    walls: dict[str, Array] | None = None,
    watch: Callable[[int, float], None] | None = None,
    varied: Varied = Varied(),  # noqa: B008
) -> CycleAnswer:
    """March one speed until its cycle repeats.

    Parameters
    ----------
    design : Design   With an engine [-]
    speed : float   [rev/s]
    tolerance, most : float, int   Change that counts as none; most cycles [-]
    frames : int   Pressure pictures over one more cycle; 0 for none [-]
    walls : dict   Wall temperatures of a neighbouring speed to start from [K]
    watch : function   Told the cycle and its change [-]
    varied : Varied   Factors for bands [-]
    Returns
    -------
    answer : CycleAnswer   [SI]
    Errors      InputError where the case lacks what an engine needs.
    """
    march, changes, done = converge(
        design, speed, tolerance=tolerance, most=most, walls=walls, watch=watch, varied=varied
    )
    if frames:
        march.march(frames)
    return march.answer(design, changes, done)


def converge(
    design: Design,
    speed: float,
    *,
    tolerance: float = TOLERANCE,
    most: int = MOST_CYCLES,
    walls: dict[str, Array] | None = None,
    watch: Callable[[int, float], None] | None = None,
    varied: Varied = Varied(),  # noqa: B008
) -> tuple[CycleMarch, tuple[float, ...], bool]:
    """The march of one speed at the point where its cycle repeats.

    Parameters
    ----------
    design, speed, tolerance, most, walls, watch, varied : as in ``march_cycle`` [SI]
    Returns
    -------
    march, changes, done : CycleMarch, tuple of float, bool   Its state; change cycle by cycle;
        whether it repeats [-]
    Errors      InputError where the case lacks what an engine needs.
    """
    numerics = design.case.numerics
    built = engine_net(design, speed, walls, varied)
    march = CycleMarch(built, speed, numerics.cfl, numerics.limiter)
    changes: list[float] = []
    before: Array | None = None
    for turn in range(most):
        march.march()
        now = march.criteria()
        changes.append(1.0 if before is None else march.change(before, now))
        before = now
        if watch is not None:
            watch(turn + 1, changes[-1])
        if changes[-1] < tolerance and turn >= FEWEST:
            break
        march.settle_walls()
    return march, tuple(changes), changes[-1] < tolerance


class CycleMarch:
    """The march of one cycle after another on one network."""

    def __init__(
        self, built: EngineNet, speed: float, cfl: float = 0.9, limiter: str = "mc"
    ) -> None:
        self.built, self.speed, self.period = built, speed, 2.0 / speed
        self.cfl, self.limiter = cfl, limiter
        self.run: WaveRun | None = None
        self.rows: dict[str, Array] = {}
        self.sums: Array = np.zeros((0, STATES))
        self.held: Array = np.zeros((0, 2))

    @property
    def times(self) -> Array:
        """Of a cycle's record, one a degree from 0 on [s]."""
        return np.arange(RECORD) * self.period / RECORD

    def march(self, frames: int = 0) -> None:
        """One cycle more; its probes, sums and heat are kept."""
        built = self.built
        first: Array | float = 0.0
        if self.run is not None:
            arrays = self.run.arrays
            first = arrays.nodes[4][arrays.nodes[0] == Kind.CYLINDER]
            reset_heat(arrays)
        self.run = solve(
            built.net, self.period, probes=built.probes, frames=frames,
            times=self.times,
            restart=self.run, start_steps=5 if self.run is None else 0, cfl=self.cfl,
            limiter=self.limiter,
        )  # fmt: skip
        nodes = self.run.arrays.nodes
        now = nodes[4][nodes[0] == Kind.CYLINDER]
        self.sums, self.held = now - first, now[:, [HELD, HELD_Y]]
        self.rows = {
            name: np.stack([trace.p, trace.u, trace.rho, trace.Y])
            for name, trace in self.run.traces.items()
        }

    def criteria(self) -> Array:
        """What must repeat from cycle to cycle."""
        assert self.run is not None
        p = [float(self.rows[name][0].mean()) for name in self.built.ports]
        return np.array([*self.held[:, 0], *self.sums[:, TAKEN], *p, mean_wall(self.run.arrays)])

    def change(self, before: Array, now: Array) -> float:
        """Largest relative change of the criteria, that of pressures and stored gas over LOOSE."""
        assert self.run is not None
        n = len(self.built.cylinders)
        moved = np.abs(now / before - 1.0)
        moved[2 * n : 3 * n] /= LOOSE
        gained = self.run.end.mass - self.run.start.mass
        stored = abs(gained) / max(float(np.abs(self.sums[:, TAKEN]).sum()), 1e-30)
        return max(float(moved.max()), stored / LOOSE)

    def settle_walls(self) -> None:
        """Wall temperatures from the balance of the cycle just marched."""
        assert self.run is not None
        balance_walls(self.run.arrays, self.built.outside, self.period)

    def answer(self, design: Design, changes: tuple[float, ...], done: bool) -> CycleAnswer:
        """Everything about the last cycle."""
        built, run, sums = self.built, self.run, self.sums
        assert run is not None
        fuel = float(sums[:, INJECTED].sum())
        taken, released = float(sums[:, TAKEN].sum()), float(sums[:, RELEASED].sum())
        gap = (
            run.end.energy - run.start.energy - run.defect + run.left.energy - released
            + float((sums[:, WORK] + sums[:, LOST]).sum())
            - (0.0 if built.has_intake else float(sums[:, TAKEN_H].sum()))
            + heat_lost(run.arrays) + turbine_work(run.arrays)
        )  # fmt: skip
        outlet = self.rows["outlet"]
        T_wall = run.arrays.wall[0][T_WALL]
        return CycleAnswer(
            self.speed, done, len(changes), changes,
            tuple(self._cylinder(design, k) for k in range(len(built.cylinders))),
            ((0.0 if built.has_intake else taken) + fuel - run.left.mass) / taken,
            gap / max(released, abs(taken) * 1e3),
            {
                name: T_wall[where][run.arrays.wall[0][OUTER, where] >= 0.0]
                for name in built.heated
                for where in (run.arrays.place[name],)
            },
            outlet[0], outlet[1] * outlet[2] * built.outlet_area,
            turbine_work(run.arrays) / self.period,
            {name: pictures[:, 0] for name, pictures in run.frames.items()},
        )  # fmt: skip

    def _cylinder(self, design: Design, k: int) -> CylinderAnswer:
        name, port, probe = self.built.cylinders[k]
        engine = design.case.engine
        assert engine is not None
        swept = 0.25 * math.pi * engine.bore**2 * engine.stroke
        row = self.rows[probe]
        turn = round(firing_angle(engine, name)) % RECORD
        p, u, rho, Y = (np.roll(values, -turn) for values in row)
        held, burned = self.held[k]
        room = design.case.bench.room.pressure
        fresh = float(held - burned)
        sums = self.sums[k]
        return CylinderAnswer(
            name, port, float(held), float(burned / held), float(sums[TAKEN]),
            fresh / (self.built.plenum_density * swept),
            float(sums[WORK] / swept), float(sums[PUMPED] / swept), float(sums[RELEASED]),
            float(sums[LOST]), p, u, p / (rho * self.built.gas_constant(Y)), float(p.mean() - room),
        )  # fmt: skip
