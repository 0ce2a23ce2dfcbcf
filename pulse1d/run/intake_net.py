"""Intake ducts of the running engine: a runner for each cylinder, an air box, its duct."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from pulse1d.case.design import Design
from pulse1d.engine.intake import AirBox
from pulse1d.engine.spec import Plenum
from pulse1d.losses.element import Station
from pulse1d.losses.entry import Entry
from pulse1d.losses.surface import Surface
from pulse1d.network.layout import Duct
from pulse1d.run.ducts import duct_rows
from pulse1d.run.mesh import piped
from pulse1d.waves.pipes import Chamber, Cylinder, End, Net, Node, Open, Passage, Pipe
from pulse1d.waves.walls import T_WALL

FEED = "air duct"


def with_intake(net: Net, design: Design, valves: Mapping[str, str]) -> Net:
    """The network with the intake ducts of its cylinders.

    Parameters
    ----------
    net : Net   Whose cylinders breathe from the plenum [SI]
    design : Design   With an engine [-]
    valves : dict   Cylinder to the pipe at whose start it stands [-]
    Returns
    -------
    net : Net   As it was where the case states no ducts; walls of ducts are adiabatic [SI]
    """
    engine = design.case.engine
    assert engine is not None
    intake, plenum = engine.intake, engine.plenum
    if intake is None:
        return net
    pipes: dict[str, Pipe] = dict(net.pipes)
    ends: dict[tuple[str, str], End] = dict(net.ends)
    nodes: list[Node] = list(net.nodes)
    mouths = []
    for name, pipe in valves.items():
        own, between = duct_of(design, intake, intake.surface, runner(name), plenum)
        pipes |= own
        nodes += between
        first, *_, last = (*own, *own)
        mouths.append((first, "start"))
        cylinder = ends[pipe, "start"]
        assert isinstance(cylinder, Cylinder)
        ends[pipe, "start"] = replace(cylinder, intake=(last, "stop"))
    K = inflow(intake.mouth, intake, intake.surface)
    if intake.box is None:
        ends |= {mouth: Open(plenum.pressure, plenum.temperature, K=K) for mouth in mouths}
        return replace(net, pipes=pipes, ends=ends, nodes=tuple(nodes))
    box: AirBox = intake.box
    own, between = duct_of(design, box.duct, intake.surface, FEED, plenum)
    pipes |= own
    first, *_, last = (*own, *own)
    ends[first, "start"] = Open(
        plenum.pressure,
        plenum.temperature,
        K=inflow(box.mouth, box.duct, intake.surface),
    )
    held = Chamber(((last, "stop"), *mouths), box.volume, plenum.pressure, plenum.temperature, K=K)
    return replace(net, pipes=pipes, ends=ends, nodes=(*nodes, *between, held))


def runner(cylinder: str) -> str:
    """Name of a cylinder's intake runner.

    Parameters
    ----------
    cylinder : str   [-]
    Returns
    -------
    name : str   [-]
    """
    return f"intake of cylinder {cylinder}"


def duct_of(
    design: Design, duct: Duct, surface: Surface, name: str, plenum: Plenum
) -> tuple[dict[str, Pipe], list[Passage]]:
    """Pipes of one intake duct, full of the plenum's air.

    Parameters
    ----------
    design, duct, surface : Design, Duct, Surface   [-]
    name : str   Of the pipes [-]
    plenum : Plenum   [SI]
    Returns
    -------
    pipes, passages : dict, list   In order [SI]
    """
    rows = duct_rows(design, duct, surface)
    found, between, _ = piped(
        name, rows, design.case.numerics.cell, plenum.pressure, plenum.temperature, 0.0
    )
    cold = {
        own: replace(pipe, rows={**(pipe.rows or {}), T_WALL: np.zeros(pipe.cells)})
        for own, pipe in found.items()
    }
    return cold, between


def inflow(mouth: Entry, duct: Duct, surface: Surface) -> float:
    """Loss of air that enters a duct.

    Parameters
    ----------
    mouth, duct, surface : Entry, Duct, Surface   [-]
    Returns
    -------
    K : float   On the duct's velocity head [-]
    """
    station = Station(section=duct.section, eps=surface.roughness, surface=surface.label)
    return float(mouth.inflow(station)[0])
