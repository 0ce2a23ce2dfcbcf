"""Pieces of metal that take and give heat."""

from __future__ import annotations

from dataclasses import dataclass

from pulse1d.durability.metal import Material


@dataclass(frozen=True)
class Node:
    """A piece of metal between gas and outside; per area of its gas side unless said otherwise."""

    name: str
    thickness: float
    """Volume over gas-side area [m]."""
    material: Material
    T_gas: float
    h_gas: float
    """[W/m2/K], 0: no gas."""
    h_out: float
    """Convection outside [W/m2/K]."""
    emissivity: float
    T_out: float
    """Air and surroundings [K]."""
    contact_h: float = 0.0
    """To the head [W/m2/K]."""
    contact_T: float = 383.15
    """Of the head [K]."""
    area: float = 1.0
    """Gas side [m2]."""
    wider: float = 1.0
    """Outside area over gas-side area [-]."""
    layers: int = 1
    """Cells through the wall; 1: lumped. With more, the end ones lie on the faces."""


@dataclass(frozen=True)
class Link:
    """Conduction between the means of two nodes, by name."""

    a: str
    b: str
    conductance: float
    """[W/K per m2 of a's gas side]"""
