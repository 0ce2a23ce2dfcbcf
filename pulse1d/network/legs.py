"""One leg built: its pieces placed one behind the other, each resolved into elements."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from typing import Any

from pulse1d.geometry.frames import Frame, bend, mitre, straight
from pulse1d.geometry.sections import Section, scaled
from pulse1d.losses.bend import Bend
from pulse1d.losses.element import Element, Station
from pulse1d.losses.mitre import Mitre
from pulse1d.losses.neighbours import interaction, interaction_bands
from pulse1d.losses.step import SectionStep
from pulse1d.losses.surface import Surface
from pulse1d.network.layout import Layout, Leg, Runner, Trunk

ALONE = (1.0, 0.0)
"""Factor on the K of a bend without neighbours, and its band [-]."""


@dataclass(frozen=True)
class BuiltPiece:
    """A piece in its place."""

    name: str
    spec: Any
    section_in: Section
    section_out: Section
    length: float
    elements: tuple[Element, ...]
    index: int
    """Place in the leg's list of pieces."""

    @property
    def volume(self) -> float:
        """Gas volume by the mean of end areas and their geometric mean (frustum) [m3]."""
        a, b = self.section_in.area, self.section_out.area
        return self.length * (a + b + math.sqrt(a * b)) / 3.0


@dataclass(frozen=True)
class BuiltLeg:
    """A leg in the direction port to outlet."""

    name: str
    spec: Leg
    pieces: tuple[BuiltPiece, ...]
    section_start: Section
    section_end: Section
    station: Station
    frame_end: Frame | None = None

    @property
    def length(self) -> float:
        """Length along the axis [m]."""
        return sum(piece.length for piece in self.pieces)

    @property
    def volume(self) -> float:
        """Gas volume [m3]."""
        return sum(piece.volume for piece in self.pieces)

    @property
    def elements(self) -> tuple[Element, ...]:
        """All elements in order."""
        return tuple(element for piece in self.pieces for element in piece.elements)


def leg_name(leg: Leg) -> str:
    """The name a leg goes by in tables and errors.

    Parameters
    ----------
    leg : Leg   Runner or trunk [-]
    Returns
    -------
    name : str   "runner 1", the trunk's own name, or its two ends [-]
    Source      definition
    """
    if isinstance(leg, Runner):
        return f"runner {leg.port}"
    assert isinstance(leg, Trunk)
    target = leg.to if isinstance(leg.to, str) else leg.to.joint
    return leg.name or f"{leg.from_.joint} to {target}"


def wall_station(layout: Layout, leg: Leg) -> Station:
    """Surroundings of a leg's first piece: its section and its wall.

    Parameters
    ----------
    layout : Layout   The part [-]
    leg : Leg   One of its legs [-]
    Returns
    -------
    station : Station   [SI]
    """
    return walled(
        Station(section=leg.section, eps=0.0, T_w=layout.wall.temperature or 0.0),
        leg.surface or layout.surface,
    )


def walled(station: Station, surface: Surface) -> Station:
    """A station whose wall is of a surface.

    Parameters
    ----------
    station : Station   [SI]
    surface : Surface   [SI]
    Returns
    -------
    station : Station   [SI]
    """
    return replace(
        station,
        eps=surface.roughness,
        surface=surface.label,
        eps_band=surface.band,
        f_fixed=surface.f_D or 0.0,
    )


def build_leg(layout: Layout, leg: Leg, head: Section | None, frame: Frame | None) -> BuiltLeg:
    """Place the pieces of a leg one behind the other.

    Parameters
    ----------
    layout : Layout   The part, for its wall [-]
    leg : Leg   The leg [-]
    head : Section or None   Outline of the head port that a runner starts at [-]
    frame : Frame or None   Where the leg starts, None when unknown [m]
    Returns
    -------
    leg : BuiltLeg   [SI]
    Errors      PieceError for a piece that cannot be built on its neighbours.
    Source      the pieces of ``pulse1d.losses``
    """
    start = wall = wall_station(layout, leg)
    pieces: list[BuiltPiece] = []
    section = leg.section
    pairs = bend_factors(leg)
    counts: dict[str, int] = {}
    for index, spec in enumerate(leg.pieces):
        counts[spec.kind] = counts.get(spec.kind, 0) + 1
        name = spec.name or f"{spec.kind} {counts[spec.kind]}"
        station = station_at(leg, index, wall, section, head, pairs.get(index, ALONE))
        try:
            section_out = spec.section_out(section)
            elements = tuple(
                replace(element, name=f"{leg_name(leg)}: {name}")
                for element in elements_of(spec, station)
            )
        except ValueError as error:
            raise PieceError(str(error), index, leg_name(leg)) from error
        pieces.append(
            BuiltPiece(name, spec, section, section_out, spec.path_length(), elements, index)
        )
        section = section_out
        frame = advance(frame, spec)
        if isinstance(spec, SectionStep) and spec.surface is not None:
            wall = walled(wall, spec.surface)
    return BuiltLeg(leg_name(leg), leg, tuple(pieces), leg.section, section, start, frame)


def station_at(
    leg: Leg,
    index: int,
    wall: Station,
    section: Section,
    head: Section | None,
    pair: tuple[float, float],
) -> Station:
    """Surroundings of one piece of a leg.

    Parameters
    ----------
    leg : Leg   [-]
    index : int   Place of the piece [-]
    wall : Station   Whose wall it has [-]
    section : Section   That it starts with [-]
    head : Section or None   Outline of the head port that a runner starts at [-]
    pair : (2,) tuple   Of ``bend_factors`` [-]
    Returns
    -------
    station : Station   [SI]
    """
    return replace(
        wall,
        section=section,
        head=head if index == 0 else None,
        C_pair=pair[0],
        C_pair_band=pair[1],
        L_after=straight_to_end(leg, index) if leg.to == "outlet" else None,
    )


@lru_cache(maxsize=8192)
def elements_of(spec: Any, station: Station) -> tuple[Element, ...]:
    """Elements of a piece, worked out once for equal pieces in equal surroundings.

    Parameters
    ----------
    spec : piece spec   [-]
    station : Station   [-]
    Returns
    -------
    elements : tuple of Element   [SI]
    Errors      ValueError for a piece that cannot be built there.
    """
    return tuple(spec.elements(station))


class PieceError(ValueError):
    """A piece that cannot be built: its place in the leg and why."""

    def __init__(self, message: str, index: int, leg: str) -> None:
        super().__init__(message)
        self.index = index
        self.leg = leg


def advance(frame: Frame | None, spec: Any) -> Frame | None:
    """The frame behind a piece, None when the start is unknown.

    Parameters
    ----------
    frame : Frame or None   Before the piece [m]
    spec : piece spec   A piece [-]
    Returns
    -------
    frame : Frame or None   Behind the piece [m]
    Source      ``pulse1d.geometry.frames``
    """
    if frame is None:
        return None
    if isinstance(spec, Bend):
        return bend(frame, spec.angle, spec.radius, spec.rotation)
    if isinstance(spec, Mitre):
        return mitre(frame, spec.angle, spec.rotation)
    return straight(frame, spec.path_length())


def bend_factors(leg: Leg) -> dict[int, tuple[float, float]]:
    """Neighbour factors of a leg's bends and mitres and their bands, by piece index.

    Parameters
    ----------
    leg : Leg   The leg [-]
    Returns
    -------
    factors : dict   Piece index to (factor on its K, half width of its logarithm) [-]
    Source      ``pulse1d.losses.neighbours``
    """
    bends = [(i, piece) for i, piece in enumerate(leg.pieces) if isinstance(piece, Bend | Mitre)]
    if len(bends) < 2:
        return {}
    bore = leg.section.D_h
    spacings = [
        sum(piece.path_length() for piece in leg.pieces[i + 1 : j]) / bore
        for (i, _), (j, _) in pairwise(bends)
    ]
    turns = tuple((b.angle, getattr(b, "radius", 0.0), b.rotation) for _, b in bends)
    pairs = _pairs(turns, tuple(spacings), bore)
    return {i: pair for (i, _), pair in zip(bends, pairs, strict=True)}


@lru_cache(maxsize=4096)
def _pairs(
    turns: tuple[tuple[float, float, float], ...], spacings: tuple[float, ...], bore: float
) -> tuple[tuple[float, float], ...]:
    factors = interaction(turns, spacings, bore), interaction_bands(turns, spacings, bore)
    return tuple(zip(*factors, strict=True))


def straight_to_end(leg: Leg, index: int) -> float | None:
    """Length behind a bend to the free end of the leg, None when another bend follows.

    Parameters
    ----------
    leg : Leg   A leg that ends in the open [-]
    index : int   Piece [-]
    Returns
    -------
    L : float or None   [m]
    Source      definition
    """
    rest = leg.pieces[index + 1 :]
    if any(isinstance(piece, Bend | Mitre) for piece in rest):
        return None
    return sum(piece.path_length() for piece in rest)


def varied(leg: Leg, *, bore: float = 1.0, radius: float = 1.0, length: float = 0.0) -> Leg:
    """The same leg with its bore or bend radii scaled, or its straights longer.

    Parameters
    ----------
    leg : Leg   The leg [-]
    bore, radius : float   Factors on every section and every bend radius [-]
    length : float   Added to the leg's straights and tapers in proportion to length [m]
    Returns
    -------
    leg : Leg   The varied leg [-]
    Source      definition
    """
    pieces = []
    lengths = [getattr(piece, "length", None) or 0.0 for piece in leg.pieces]
    total = math.fsum(lengths) or math.inf
    for piece, L in zip(leg.pieces, lengths, strict=True):
        changes: dict[str, Any] = {}
        if bore != 1.0:
            for key in ("to", "from_"):
                if getattr(piece, key, None) is not None:
                    changes[key] = scaled(getattr(piece, key), bore)
        if radius != 1.0 and isinstance(piece, Bend):
            changes["radius"] = piece.radius * radius
        if length != 0.0 and L > 0.0:
            changes["length"] = L * (1.0 + length / total)
        pieces.append(piece.model_copy(update=changes) if changes else piece)
    section = scaled(leg.section, bore) if bore != 1.0 else leg.section
    return leg.model_copy(update={"pieces": tuple(pieces), "section": section})
