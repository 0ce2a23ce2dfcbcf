"""The whole network: built legs, the joints they meet at, and what is open to the outside."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pulse1d.geometry.frames import Frame, port_frame
from pulse1d.geometry.sections import Section
from pulse1d.network.layout import Joint, Layout, Leg, Meeting, Port, Runner, Trunk
from pulse1d.network.legs import BuiltLeg, PieceError, build_leg, leg_name

OUTLET = "outlet"


@dataclass(frozen=True)
class LegEnd:
    """One end of a leg at a joint."""

    leg: int
    at_end: bool
    """The leg's own end (True) or its start."""
    direction: NDArray[np.float64]
    """Unit vector out of the joint along the leg, the joint's axis being (1, 0, 0)."""
    section: Section

    @property
    def area(self) -> float:
        """Area of the leg at the joint [m2]."""
        return self.section.area


@dataclass(frozen=True)
class Network:
    """Legs and joints of one part.

    ``starts`` and ``ends`` name the node at each end of each leg: "port NAME", a joint's name, or
    "outlet".
    """

    layout: Layout
    legs: tuple[BuiltLeg, ...]
    starts: tuple[str, ...]
    ends: tuple[str, ...]

    @cached_property
    def joints(self) -> dict[str, tuple[Joint, tuple[LegEnd, ...]]]:
        """Each joint with its leg ends, arriving legs first."""
        return {joint.name: (joint, self._meetings(joint)) for joint in self.layout.joints}

    def _meetings(self, joint: Joint) -> tuple[LegEnd, ...]:
        ends: list[LegEnd] = []
        arriving = [i for i, end in enumerate(self.ends) if end == joint.name]
        for place, i in enumerate(arriving):
            meeting = self.legs[i].spec.to
            assert isinstance(meeting, Meeting)
            vector = -_vector(meeting.angle, _around(meeting, joint, place, len(arriving)))
            ends.append(LegEnd(i, True, vector, self.legs[i].section_end))
        leaving = [i for i, start in enumerate(self.starts) if start == joint.name]
        for place, i in enumerate(leaving):
            spec = self.legs[i].spec
            assert isinstance(spec, Trunk)
            vector = _vector(spec.from_.angle, _around(spec.from_, joint, place, len(leaving)))
            ends.append(LegEnd(i, False, vector, self.legs[i].section_start))
        return tuple(ends)

    def port(self, name: str) -> Port:
        """The port of that name.

        Parameters
        ----------
        name : str   Port [-]
        Returns
        -------
        port : Port   Its spec [-]
        Errors      KeyError when there is none.
        """
        for port in self.layout.ports:
            if port.name == name:
                return port
        raise KeyError(name)

    @property
    def port_names(self) -> tuple[str, ...]:
        """Ports that a runner starts at, in the layout's order."""
        used = {leg.port for leg in self.layout.runners}
        return tuple(port.name for port in self.layout.ports if port.name in used)

    def runner_index(self, port: str) -> int:
        """Index of the leg that starts at a port.

        Parameters
        ----------
        port : str   Port [-]
        Returns
        -------
        index : int   Into ``legs`` [-]
        Errors      ValueError when no runner starts there.
        """
        return self.starts.index(f"port {port}")

    def chain(self, port: str) -> list[int] | None:
        """Legs from a port to the outlet when there is only one way, else None.

        Parameters
        ----------
        port : str   Port [-]
        Returns
        -------
        legs : list of int or None   Leg indices in flow order [-]
        """
        legs = [self.runner_index(port)]
        while self.ends[legs[-1]] != OUTLET:
            onward = [i for i, start in enumerate(self.starts) if start == self.ends[legs[-1]]]
            if len(onward) != 1 or onward[0] in legs:
                return None
            legs.append(onward[0])
        return legs


def _around(meeting: Meeting, joint: Joint, place: int, count: int) -> float:
    if meeting.around is not None:
        return float(meeting.around)
    return 2.0 * math.pi * place / count if joint.kind == "merge" else 0.0


def _vector(angle: float, around: float) -> NDArray[np.float64]:
    return np.array(
        [
            math.cos(angle),
            math.sin(angle) * math.cos(around),
            math.sin(angle) * math.sin(around),
        ]
    )


def node_of_start(leg: Leg) -> str:
    """Name of the node at a leg's start.

    Parameters
    ----------
    leg : Leg   Runner or trunk [-]
    Returns
    -------
    node : str   "port NAME" or a joint's name [-]
    """
    if isinstance(leg, Runner):
        return f"port {leg.port}"
    assert isinstance(leg, Trunk)
    return leg.from_.joint


def build(layout: Layout) -> Network:
    """Build every leg of a layout.

    Parameters
    ----------
    layout : Layout   The part, its topology already checked [-]
    Returns
    -------
    network : Network   [SI]
    Errors      PieceErrors with every piece that cannot be built.
    Source      the pieces of ``pulse1d.losses``
    """
    legs: list[Leg] = [*layout.runners, *layout.trunks]
    ports = {port.name: port for port in layout.ports}
    built: list[BuiltLeg] = []
    problems: list[PieceError] = []
    for leg in legs:
        port = ports[leg.port] if isinstance(leg, Runner) else None
        try:
            built.append(build_leg(layout, leg, port.section if port else None, start_frame(port)))
        except PieceError as error:
            problems.append(error)
    if problems:
        raise PieceErrors(problems)
    names = [leg.name for leg in built]
    built = [
        replace(leg, name=f"{leg.name} ({names[: k + 1].count(leg.name)})")
        if leg.name in names[:k]
        else leg
        for k, leg in enumerate(built)
    ]
    ends = tuple(leg.to if isinstance(leg.to, str) else leg.to.joint for leg in legs)
    return Network(layout, tuple(built), tuple(node_of_start(leg) for leg in legs), ends)


class PieceErrors(ValueError):
    """All pieces of a layout that cannot be built."""

    def __init__(self, errors: list[PieceError]) -> None:
        super().__init__("; ".join(f"{error.leg}: {error}" for error in errors))
        self.errors = errors


def start_frame(port: Port | None) -> Frame | None:
    """Frame in which the gas leaves a port, None where the case gives no position.

    Parameters
    ----------
    port : Port or None   The port [-]
    Returns
    -------
    frame : Frame or None   [m]
    """
    if port is None or port.position is None:
        return None
    return port_frame(port.position, port.direction, port.bend_plane)


__all__ = ["OUTLET", "LegEnd", "Network", "PieceErrors", "build", "leg_name", "node_of_start"]
