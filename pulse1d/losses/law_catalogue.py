"""Laws that are no piece of a path of their own; to add one, write it and list it here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pulse1d.losses import law_values
from pulse1d.losses.explained import Values


@dataclass(frozen=True)
class LawEntry:
    """A law: its module says what it is, its functions how it reads."""

    name: str
    kind: str
    opening: str
    """Module, function or constant of ``pulse1d.losses`` whose docstring opens the explanation."""
    functions: tuple[str, ...]
    also: tuple[str, ...]
    example: str
    """Where a case file has a say in it."""
    stations: str
    tables: Callable[[], tuple[Values, ...]]


LAWS = (
    LawEntry(
        "joint", "joint", "junction",
        ("junction.K_single", "junction.K_combining", "junction.K_dividing", "junction.K_one_leg",
         "junction.dominance"),
        ("junction", "merge", "branch", "collector", "log", "tee", "wye", "y piece", "lateral",
         "dead leg", "junction K"),
        "joints: [{name: collector, kind: merge}], and in a runner to: {joint: collector, "
        "angle: 8 deg}",
        "K on the dynamic pressure of the leg that carries the whole flow; of one flowing leg on "
        "its own",
        law_values.joints,
    ),
    LawEntry(
        "wall friction", "law", "friction",
        ("friction.f_churchill", "friction.f_developing", "friction.development"),
        ("friction", "darcy factor", "pipe friction", "developing flow", "friction factor",
         "friction law"),
        "surface: tube",
        "f L/D on the dynamic pressure of the length itself",
        law_values.friction,
    ),
    LawEntry(
        "roughness", "wall", "surface", (),
        ("surface", "wall", "sand roughness", "casting surface", "finish"),
        "surface: {roughness: 0.1 mm, band: 0.4}",
        "sand roughness of the wall, read by wall friction and bends",
        law_values.surfaces,
    ),
    LawEntry(
        "bend interaction", "law", "neighbours",
        ("neighbours.C_pair", "neighbours.C_pair_mitres"),
        ("close bends", "s bend", "bend spacing", "twist"),
        "{kind: bend, angle: 45 deg, radius: 57 mm, rotation: 180 deg}",
        "factor on the K of each bend of a pair",
        law_values.pairs,
    ),
    LawEntry(
        "length behind a bend", "law", "bend_tables.outlet_factor",
        ("bend_tables.outlet_factor",),
        ("outlet length", "bend outlet", "bend into a plenum", "bend outlet length"),
        "{kind: straight, length: 40 mm} behind a bend that leads to the outlet",
        "factor on the bend's K",
        law_values.behind,
    ),
    LawEntry(
        "section shape", "law", "bend_tables.section_factor",
        ("bend_tables.section_factor",),
        ("oval bend", "rectangular bend", "aspect", "oval tube"),
        "section: {shape: oval, width: 50 mm, height: 30 mm}",
        "factor on the bend's K",
        law_values.aspects,
    ),
    LawEntry(
        "opening", "law", "opening",
        ("opening.Cc_weisbach", "opening.Cc_idelchik", "opening.K_opening", "opening.lip_factor",
         "opening.thickness_factor"),
        ("jet", "contraction", "vena contracta", "lip", "ridge", "contraction K"),
        "{kind: flange joint, lip radius: 1 mm}",
        "K on the dynamic pressure behind the opening",
        law_values.openings,
    ),
    LawEntry(
        "exit", "law", "outlet.K_EXIT", (),
        ("exit kinetic energy", "exit loss", "dump", "leaving loss"),
        "outlet: {flanged: true}",
        "one dynamic pressure of the last section",
        law_values.exits,
    ),
    LawEntry(
        "valve coefficient", "law", "valve_flow",
        ("valve_flow.Cd_valve", "valve_area.A_curtain", "valve_area.A_valve_minimum"),
        ("flow coefficient", "discharge coefficient", "curtain area", "cd"),
        "head: {flow: {kind: valve seat, valve: {head diameter: 33 mm}}}",
        "discharge coefficient on the curtain area",
        law_values.valves,
    ),
)  # fmt: skip
