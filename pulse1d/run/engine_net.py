"""A design behind its engine: cylinders at the ports, walls that are hot, the outlet open."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pulse1d.case.design import Design
from pulse1d.engine.burning import premixed_of
from pulse1d.engine.charge import injected
from pulse1d.engine.phases import firing_angle
from pulse1d.engine.spec import Engine
from pulse1d.engine.valves import exhaust_areas, exhaust_events, inlet_areas, inlet_events
from pulse1d.engine.wall_heat import annand_of
from pulse1d.errors import InputError
from pulse1d.gas.air import dry_air
from pulse1d.gas.burned import burned_gas, fuel, stoichiometric_afr
from pulse1d.gas.mixture import Mixture
from pulse1d.losses.valve_seat import ValveSeat
from pulse1d.network.network import OUTLET
from pulse1d.run.crossover_net import mirrored, way_out, with_cut, with_other_bank
from pulse1d.run.head_ducts import passage_rows, with_shared_ports
from pulse1d.run.hot_walls import hot
from pulse1d.run.intake_net import with_intake
from pulse1d.run.mesh import Meshed, wave_net
from pulse1d.run.wall_balance import Outside
from pulse1d.waves.pipes import Cylinder, Net, Open, TwoGases

Array = NDArray[np.float64]

OUTSIDE = 20.0
"""Free and some forced convection under a bonnet, 10 to 40 (judgement) [W/m2/K]."""
EMISSIVITY = 0.7
"""Oxidised iron or steel, 0.6 to 0.85 (from memory) [-]."""
CONDUCTIVITY = {"cast": 35.0, "tube": 24.0}
"""Cast iron; stainless steel at 600 degC (from memory) [W/m/K]."""
OPPOSITE = " opposite"
"""Behind the name of a port, for that at its place in the other bank."""
T_GAS = 900.0
"""Gas to start from [K]."""


@dataclass(frozen=True)
class Varied:
    """Factors on what a case states or this file takes, for bands."""

    exhaust_flow: float = 1.0
    inlet_flow: float = 1.0
    pulsing: float = 1.0


@dataclass(frozen=True)
class EngineNet:
    """What is marched, and where to read it."""

    net: Net
    cylinders: tuple[tuple[str, str, str], ...]
    """Cylinder, port, probe."""
    probes: dict[str, tuple[str, float]]
    outside: Outside
    outlet_area: float
    plenum_density: float
    fresh: Mixture
    burned: Mixture
    runners: dict[str, tuple[str, ...]]
    """Per cylinder with a port of its own: the pipes from its valve to the first joint."""
    heated: tuple[str, ...]
    """Pipes whose walls the cycle heats."""
    ways: dict[str, tuple[tuple[str, float], ...]]
    """Per cylinder: the pipes of its runner and on to the outlet, with their lengths [m]."""
    offsets: dict[str, float]
    """Per cylinder: of the flange behind the start of its way [m]."""
    meshed: Meshed
    """The part by itself."""
    has_intake: bool
    """Whether air comes in through ducts, not straight from the plenum."""

    @property
    def ports(self) -> tuple[str, ...]:
        """Probes at the flange, or at the ends of the cylinders' own ducts in front of it."""
        return tuple(probe for _, _, probe in self.cylinders)

    def owner(self, cylinder: str) -> str:
        """Port of a cylinder; for the other bank's, that at the same place in this one."""
        port = next(port for name, port, _ in self.cylinders if name == cylinder)
        return port.removesuffix(OPPOSITE)

    def gas_constant(self, Y: Array) -> Array:
        """R of a blend [J/kg/K]."""
        return np.asarray(self.fresh.R + Y * (self.burned.R - self.fresh.R))


def engine_net(
    design: Design,
    speed: float,
    walls: dict[str, Array] | None = None,
    varied: Varied = Varied(),
) -> EngineNet:
    """The network of a design on its running engine, at rest, crank at its first firing.

    Parameters
    ----------
    design : Design   [-]
    speed : float   [rev/s]
    walls : dict   Pipe name to wall temperatures to start from [K]
    varied : Varied   [-]
    Returns
    -------
    built : EngineNet   [SI]
    Errors      InputError naming what the case lacks for an engine.
    """
    engine = needs(design)
    case, network = design.case, design.network
    room, plenum = case.bench.room, engine.plenum
    gases = dry_air(), burned_gas(*fuel_atoms(engine), engine.charge.lambda_)
    owners = {
        cylinder: port.name
        for port in case.head.ports
        for cylinder in (port.cylinders or (port.name,))
        if cylinder in engine.firing_order
    }
    mates = {name: engine.other_bank[name] for name in owners if engine.other_bank}
    valves = {
        name: cylinder_of(design, engine, name, speed, varied)
        for name in (*owners, *mates.values())
    }
    passage = passage_rows(design)
    single = [port for port in owners.values() if list(owners.values()).count(port) == 1]
    out = next(leg for leg, end in zip(network.legs, network.ends, strict=True) if end == OUTLET)
    K = network.layout.outlet.inflow(replace(out.station, section=out.section_end))[0]
    meshed = wave_net(
        design,
        network,
        cell=case.numerics.cell,
        gas=TwoGases(*gases),
        p=room.pressure,
        T=T_GAS,
        ends_at_ports={port: valves[name] for name, port in owners.items()},
        end_at_outlet=Open(room.pressure, room.temperature, K=float(K)),
        heads=dict.fromkeys(single, passage) if passage is not None else {},
    )
    firsts = {name: meshed.chains[port][0][0] for name, port in owners.items()}
    net, heads = with_shared_ports(meshed.net, design, firsts, valves, T_GAS)
    last = way_out(net)[0]
    if mates:
        across = {(heads[name].pipe, "start"): valves[mate] for name, mate in mates.items()}
        net = with_other_bank(net, design, across, T_GAS)
        last = with_cut([last], net)[-1]
    ways = {
        name: (heads[name].before, with_cut((pipe for pipe, _ in meshed.chains[port]), net))
        for name, port in owners.items()
    }
    runners = {
        name: (*heads[name].before, *_up_to(meshed.chains[port], meshed.marks[port][0][0]))
        for name, port in owners.items()
        if port in single
    }
    for name, mate in mates.items():
        pipe, at = heads[name].probe
        heads[mate] = replace(
            heads[name],
            pipe=mirrored([heads[name].pipe], net)[0],
            probe=(mirrored([pipe], net)[0], at),
        )
        ways[mate] = mirrored(ways[name][0], net), mirrored(ways[name][1], net)
        owners[mate] = f"{owners[name]}{OPPOSITE}"
        if name in runners:
            runners[mate] = mirrored(runners[name], net)
    net, heated = hot(net, walls or {}, varied.pulsing)
    net = with_intake(net, design, {name: head.pipe for name, head in heads.items()})
    probes = {f"port of {name}": heads[name].probe for name in owners}
    probes["outlet"] = (last, net.pipes[last].length)
    cast = "cast" in out.station.surface
    outside = Outside(
        OUTSIDE, EMISSIVITY, room.temperature + 30.0, case.wall.thickness or 2e-3,
        CONDUCTIVITY["cast" if cast else "tube"],
    )  # fmt: skip
    return EngineNet(
        net,
        tuple((name, port, f"port of {name}") for name, port in owners.items()),
        probes,
        outside,
        float(np.asarray(net.pipes[last].area)[-1]),
        plenum.pressure / (gases[0].R * plenum.temperature),
        *gases,
        runners,
        heated,
        {
            name: tuple((pipe, net.pipes[pipe].length) for pipe in way)
            for name, (_, way) in ways.items()
        },
        {name: head.offset for name, head in heads.items()},
        meshed,
        engine.intake is not None,
    )


def _up_to(chain: tuple[tuple[str, float], ...], length: float) -> tuple[str, ...]:
    """Pipes of a way up to a distance along it."""
    at, found = 0.0, []
    for name, own in chain:
        if at < length - 1e-9:
            found.append(name)
        at += own
    return tuple(found)


def needs(design: Design) -> Engine:
    """The engine of a case, if it can run.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    engine : Engine   [-]
    Errors      InputError naming every key that is missing.
    """
    engine, document = design.case.engine, design.document
    if engine is None:
        raise InputError(
            [document.problem((), "the case has no engine", "describe it under `engine:`")]
        )
    missing = [
        (key, like)
        for key, value, like in (
            ("rod", engine.rod, "155 mm"),
            ("compression ratio", engine.compression_ratio, "9.5"),
            ("firing order", engine.firing_order or None, "[1, 3, 4, 2]"),
            ("exhaust", engine.exhaust, "{lift: 9 mm, opens before bdc: 55 deg, ...}"),
            ("inlet", engine.inlet, "{lift: 9 mm, opens before tdc: 15 deg, ...}"),
        )
        if value is None
    ]
    problems = [
        document.problem(("engine",), f"{key!r} is missing in engine", f"add '{key}: {like}'")
        for key, like in missing
    ]
    if not isinstance(design.case.head.flow, ValveSeat):
        problems.append(
            document.problem(
                ("head",),
                "the head does not say what its exhaust valve passes",
                "add `flow: {kind: valve seat, valve: {head diameter: 36 mm}}` to the head",
            )
        )
    if problems:
        raise InputError(problems)
    return engine


def fuel_atoms(engine: Engine) -> tuple[float, float]:
    """Hydrogen and oxygen atoms per carbon atom of the fuel.

    Parameters
    ----------
    engine : Engine   [-]
    Returns
    -------
    y, z : float   [-]
    """
    found = fuel(engine.charge.fuel)
    return found.y, found.z


def heat_of(engine: Engine) -> float:
    """Heat that a mass of fresh charge releases.

    Parameters
    ----------
    engine : Engine   [-]
    Returns
    -------
    q : float   Of air with its fuel; a rich charge burns only what its air allows [J/kg]
    """
    charge = engine.charge
    afr = charge.lambda_ * stoichiometric_afr(*fuel_atoms(engine))
    own = charge.heating_value
    value = fuel(charge.fuel).heating_value if own is None else 1e6 * own
    return engine.burning.efficiency * value * min(charge.lambda_, 1.0) / (1.0 + afr)


def cylinder_of(
    design: Design, engine: Engine, name: str, speed: float, varied: Varied
) -> Cylinder:
    """One cylinder at the moment when the first of the firing order fires.

    Parameters
    ----------
    design : Design   [-]
    engine : Engine   That can run [-]
    name : str   Cylinder [-]
    speed : float   [rev/s]
    varied : Varied   [-]
    Returns
    -------
    cylinder : Cylinder   [SI]
    Errors      InputError for a lift outside the head's flow table.
    """
    flow = design.case.head.flow
    assert isinstance(flow, ValveSeat)
    assert engine.exhaust is not None
    assert engine.inlet is not None
    try:
        areas = np.stack([*exhaust_areas(engine.exhaust, flow), *inlet_areas(engine.inlet)])
    except ValueError as error:
        message, _, remedy = str(error).partition("; ")
        problem = design.document.problem(("engine", "exhaust"), message, remedy)
        raise InputError([problem]) from error
    areas[:2] *= varied.exhaust_flow
    areas[2:] *= varied.inlet_flow
    start = -firing_angle(engine, name) % 720.0
    burning, plenum = engine.burning, engine.plenum
    fuel = injected(engine.charge)
    return Cylinder(
        engine.bore, engine.stroke, engine.rod or 0.0, engine.compression_ratio or 0.0, speed,
        start, areas,
        (inlet_events(engine.inlet)[1], exhaust_events(engine.exhaust)[0]),
        (plenum.pressure, plenum.temperature), plenum.pressure, 600.0, 0.5,
        (
            -math.degrees(burning.starts_before_tdc), math.degrees(burning.duration), 5.0,
            burning.form,
        ),
        heat_of(engine) * (1.0 + fuel), engine.wall_temperature, engine.wall_heat,
        premixed=premixed_of(burning), fuel=fuel, annand=annand_of(engine),
    )  # fmt: skip
