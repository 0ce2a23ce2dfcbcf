"""The single-pulse rig: a vessel bursts into one port of a case, and stations listen."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from pulse1d.case.design import Design
from pulse1d.errors import InputError, Problem
from pulse1d.gas.spec import resolve
from pulse1d.network.network import OUTLET, Network
from pulse1d.results.dataset import Mark, Way
from pulse1d.run.mesh import Meshed, wave_net
from pulse1d.run.readings import Reading, read_trace
from pulse1d.steady.conditions import AirState
from pulse1d.waves.pipes import Net, Open, TwoGases, Vessel
from pulse1d.waves.pulse_spec import Pulse
from pulse1d.waves.solve import WaveError, WaveRun, solve

SAMPLES = (1000, 20_000)
"""Fewest and most samples of a trace."""
FRAMES = (50, 500)
"""Fewest and most pictures of the whole way: the most are as many as a figure has lines of dots."""
PICTURED = 8_000_000
"""Cells times pictures that are kept: some hundred megabytes while it runs."""
CELLS = (1e-4, 1.0)
"""Cell lengths taken, as in the case's numerics [m]."""
DURATIONS = (1e-6, 100.0)
"""Lengths of a record taken [s]."""
FAST = 500.0
"""A signal crosses a cell in cell/FAST; two samples are taken meanwhile [m/s]."""
CHANGE = 0.05
"""Relative change of area from which a piece is marked on the way (judgement)."""


@dataclass(frozen=True)
class PulseResult:
    """A pulse run, or as far as it came, SI."""

    design: Design
    setup: Pulse
    """As run, what the caller said over the case's included."""
    cell: float
    room: AirState
    meshed: Meshed
    run: WaveRun
    readings: tuple[Reading, ...]
    marks: tuple[Mark, ...]
    outcome: Literal["done", "interrupted", "failed"]
    reason: str
    """Why it failed; empty otherwise."""
    heated: bool
    """Whether the wall exchanges heat, so that energy is not kept."""

    @property
    def way(self) -> Way:
        """The fed port's way to the outlet."""
        return Way(self.meshed.chains[self.setup.port], self.setup.stations, self.marks)

    @property
    def length(self) -> float:
        """From the fed port to the end of its way [m]."""
        return sum(length for _, length in self.way.pipes)

    @property
    def cells(self) -> int:
        """Cells of the whole net [-]."""
        return sum(pipe.cells for pipe in self.meshed.net.pipes.values())

    @property
    def mass_gap(self) -> float:
        """Mass held and gone out less mass at the start, over the latter [-]."""
        run = self.run
        return (run.end.mass + run.left.mass - run.start.mass) / run.start.mass

    @property
    def energy_gap(self) -> float:
        """Energy held and gone out, less that at the start and the counted defect [J]."""
        run = self.run
        return run.end.energy + run.left.energy - run.start.energy - run.defect


def pulse(
    design: Design,
    *,
    cell: float | None = None,
    duration: float | None = None,
    watch: Callable[[float], bool] | None = None,
) -> PulseResult:
    """Let the vessel of a case burst into its port, and record every station.

    Parameters
    ----------
    design : Design   From ``pulse1d.load``, with a `pulse` section [-]
    cell : float   Cell length aimed at; None: the case's [m]
    duration : float   Of the record; None: the case's [s]
    watch : function   Told the time reached now and then; the run ends when it answers False [s]
    Returns
    -------
    result : PulseResult   With what was recorded, where the run could not go on [SI]
    Errors      InputError when the case has no `pulse` section.
    Source      ``pulse1d.waves``; losses as in the steady prediction
    """
    setup = pulse_setup(design, duration)
    numerics = design.case.numerics
    cell = numerics.cell if cell is None else within("cell", "cell length", cell, *CELLS)
    room = design.case.bench.room
    meshed = rig(design, setup, cell)
    probes = {name: meshed.where(setup.port, at) for name, at in setup.stations.items()}
    outcome: Literal["done", "interrupted", "failed"] = "done"
    reason = ""
    least, most = SAMPLES
    meshed_cells = sum(pipe.cells for pipe in meshed.net.pipes.values())
    frames = min(max(PICTURED // meshed_cells, FRAMES[0]), FRAMES[1])
    samples = min(max(math.ceil(2.0 * setup.duration * FAST / cell), least), most)
    try:
        run = solve(
            meshed.net, setup.duration, probes=probes, times=samples, frames=frames,
            cfl=numerics.cfl, limiter=numerics.limiter, watch=watch,
        )  # fmt: skip
        if run.t < setup.duration * (1.0 - 1e-9):
            outcome = "interrupted"
    except WaveError as error:
        run, outcome, reason = error.run, "failed", str(error)
    readings = tuple(
        read_trace(name, at, run.traces[name].t, run.traces[name].p - room.pressure)
        for name, at in setup.stations.items()
    )
    marks = way_marks(design.network, setup.port, meshed)
    heated = design.case.wall.temperature is not None
    return PulseResult(
        design, setup, cell, room, meshed, run, readings, marks, outcome, reason, heated
    )


def pulse_setup(design: Design, duration: float | None) -> Pulse:
    """The case's pulse, with what the caller says over it.

    Parameters
    ----------
    design : Design   [-]
    duration : float or None   Of the record [s]
    Returns
    -------
    setup : Pulse   [SI]
    Errors      InputError when the case has none.
    """
    setup = design.case.pulse
    if setup is None:
        raise InputError(
            [
                Problem(
                    "the case has no `pulse` section",
                    "add one: `pulse:` with port, volume, pressure, opening and stations "
                    "(pulse1d/CASE_FILE.md)",
                    str(design.path),
                )
            ]
        )
    if duration is None:
        return setup
    seconds = within("duration", "duration", duration, *DURATIONS)
    return setup.model_copy(update={"duration": seconds})


def within(option: str, what: str, value: float, low: float, high: float) -> float:
    """A value that the caller gave, if it lies in a range.

    Parameters
    ----------
    option, what : str   Its option and its name, for the message [-]
    value, low, high : float   [SI]
    Returns
    -------
    value : float   [SI]
    Errors      InputError outside the range.
    """
    if low <= value <= high:
        return value
    message = f"--{option}: a {what} of {value:g} is outside {low:g} to {high:g} (SI)"
    raise InputError([Problem(message, "choose one inside")])


def rig(design: Design, setup: Pulse, cell: float) -> Meshed:
    """The case's net with a vessel at one port, the others closed, everything at rest.

    Parameters
    ----------
    design : Design   [-]
    setup : Pulse   [SI]
    cell : float   [m]
    Returns
    -------
    meshed : Meshed   [SI]
    """
    network, room = design.network, design.case.bench.room
    out = next(leg for leg, end in zip(network.legs, network.ends, strict=True) if end == OUTLET)
    K = network.layout.outlet.inflow(replace(out.station, section=out.section_end))[0]
    meshed = wave_net(
        design,
        network,
        cell=cell,
        gas=TwoGases(resolve(design.case.gas, room.pressure, room.temperature)),
        p=room.pressure,
        T=room.temperature,
        ends_at_ports={},
        end_at_outlet=Open(room.pressure, room.temperature, K=float(K)),
    )
    first = meshed.chains[setup.port][0][0]
    area = float(np.asarray(meshed.net.pipes[first].area).flat[0])
    law = np.array(setup.opening) / (1.0, area)
    notes = meshed.notes
    if law[:, 1].max() > 1.0:
        notes = (
            *notes,
            f"the opening's {1e6 * law[:, 1].max() * area:.0f} mm2 are more than the "
            f"{1e6 * area:.0f} mm2 of the port; it then flows as an open mouth",
        )
    vessel = Vessel(setup.pressure, setup.temperature, setup.volume, opening=law)
    net: Net = replace(meshed.net, ends={**meshed.net.ends, (first, "start"): vessel})
    return replace(meshed, net=net, notes=notes)


def way_marks(network: Network, port: str, meshed: Meshed, offset: float = 0.0) -> tuple[Mark, ...]:
    """Joints and changes of area on a port's way.

    Parameters
    ----------
    network : Network   [-]
    port : str   [-]
    meshed : Meshed   [m]
    offset : float   Of the port behind the start of its pipe [m]
    Returns
    -------
    marks : tuple of Mark   In order [m]
    """
    found: list[Mark] = []
    legs, start = network.chain(port) or [network.runner_index(port)], 0.0
    for index, (end, node) in zip(legs, meshed.marks[port], strict=True):
        at, stop = start, end - offset
        for piece in network.legs[index].pieces:
            if abs(piece.section_out.area / piece.section_in.area - 1.0) > CHANGE:
                found.append(Mark(piece.name, at, at + piece.length))
            at += piece.length
        found.append(Mark(node, stop, stop))
        start = stop
    return tuple(found)
