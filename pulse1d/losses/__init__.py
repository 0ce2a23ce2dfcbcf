"""What a piece of a path costs: one file a piece, with its spec and its coefficient functions.

``pulse1d.losses.K_bend(...)`` and its like may be held against a handbook by themselves. Names are
looked up on first use, so that importing this package loads nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_HOME = {
    "bend": ("Bend",),
    "bend_law": ("K_bend", "bend_band", "bend_terms"),
    "bend_tables": ("K_bend_idelchik", "K_bend_miller", "outlet_factor", "section_factor"),
    "brick": ("CatalystBrick", "K_channels"),
    "catalogue": ("PIECES", "Piece"),
    "element": ("Effect", "Element", "Law", "Limit", "Station", "Step"),
    "entry": ("Entry", "K_entry", "K_entry_free"),
    "flange_joint": ("FlangeJoint", "K_offset", "K_offset_bounds", "open_share"),
    "friction": (
        "development",
        "f_churchill",
        "f_developing",
        "f_excess_ratio",
        "layer_thickness",
        "turbulent_share",
    ),
    "gasket": ("Gasket", "GasketRing"),
    "head": ("HeadFlow",),
    "junction": ("K_combining", "K_dividing", "K_joint", "K_single"),
    "measured": ("MeasuredLoss",),
    "mitre": ("K_mitre", "K_mitre_idelchik", "Mitre"),
    "neighbours": ("C_pair", "C_pair_mitres", "interaction", "interaction_bands"),
    "opening": ("Cc_idelchik", "Cc_weisbach", "K_opening", "K_opening_bounds", "lip_factor"),
    "outlet": ("K_EXIT", "Outlet"),
    "restriction": ("CdA_of_flow", "Restriction", "mdot_nozzle"),
    "step": ("K_contraction", "K_expansion", "SectionStep"),
    "straight": ("Straight",),
    "surface": ("Surface", "resolve_surface", "surface_names"),
    "taper": ("K_diffuser", "K_nozzle", "K_shape", "Taper", "full_angle"),
    "turbine": ("MapRow", "Turbine"),
    "valve_area": ("A_curtain", "A_valve_minimum", "ValveGeometry"),
    "valve_flow": ("Cd_valve",),
    "valve_seat": ("ValveSeat",),
    "weld_bead": ("K_bead", "WeldBead"),
}
_MODULE = {name: module for module, names in _HOME.items() for name in names}

__all__ = sorted(_MODULE)


def __getattr__(name: str) -> Any:
    if name not in _MODULE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULE[name]}"), name)


def __dir__() -> list[str]:
    return __all__
