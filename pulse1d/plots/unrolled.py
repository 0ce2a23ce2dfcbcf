"""A port's way to the outlet, rolled out straight: what stands where, how high and wide."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.case.design import Design
from pulse1d.geometry.sections import SectionBase
from pulse1d.run.bench import flow_chain
from pulse1d.run.geometry import turn


@dataclass(frozen=True)
class Stretch:
    """One piece on the way, SI; of no length where it is a place only."""

    kind: str
    name: str
    start: float
    end: float
    first: SectionBase
    last: SectionBase
    angle: float
    """By which it turns the flow [rad]."""
    shared: bool
    """Whether other ports' gas passes here too."""

    def sizes(self, axis: int) -> tuple[float, float]:
        """Width (axis 0) or height (1) where it starts and ends.

        Parameters
        ----------
        axis : int   [-]
        Returns
        -------
        sizes : (2,) tuple   [m]
        """
        return self.first.extent[axis], self.last.extent[axis]

    @property
    def is_round(self) -> bool:
        """Whether width and height are one."""
        return all(abs(s.extent[0] - s.extent[1]) < 1e-9 for s in (self.first, self.last))


@dataclass(frozen=True)
class Unrolled:
    """The way of one port."""

    port: str
    stretches: tuple[Stretch, ...]
    joints: tuple[tuple[str, float], ...]
    """Names and places along the way [m]."""

    @property
    def length(self) -> float:
        """From the port to the outlet [m]."""
        return self.stretches[-1].end if self.stretches else 0.0

    @property
    def height(self) -> float:
        """Of its highest or widest section [m]."""
        return max((max(*s.sizes(0), *s.sizes(1)) for s in self.stretches), default=0.0)


def unrolled(design: Design, port: str) -> Unrolled:
    """A port's way; where it splits, the shortest.

    Parameters
    ----------
    design : Design   [SI]
    port : str   [-]
    Returns
    -------
    way : Unrolled   [SI]
    """
    network = design.network
    ways = [flow_chain(design, name) for name in network.port_names]
    own = flow_chain(design, port)
    x, stretches, joints = 0.0, [], []
    for i in own:
        leg = network.legs[i]
        shared = sum(i in way for way in ways) > 1
        for piece in leg.pieces:
            end = x + piece.length
            stretches.append(
                Stretch(
                    piece.spec.kind, piece.name, x, end, piece.section_in, piece.section_out,
                    turn(piece), shared,
                )
            )  # fmt: skip
            x = end
        if network.ends[i] != "outlet":
            joints.append((network.ends[i], x))
    return Unrolled(port, tuple(stretches), tuple(joints))
