"""What follows the outlet of a design, told apart from what it takes from its part."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence

from pulse1d.case.design import Design
from pulse1d.case.schema import Downstream
from pulse1d.losses.step import SectionStep
from pulse1d.losses.surface import Surface

WALL = "downstream wall"
"""The piece that states the wall which a system takes from its part."""


def system(design: Design) -> Downstream | None:
    """What follows the outlet, with the end and the wall that it takes from its part stated.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    system : Downstream or None   [SI]
    """
    found = design.case.downstream
    if found is None:
        return None
    first = found.pieces[0] if found.pieces else None
    pieces = found.pieces
    if not (isinstance(first, SectionStep) and first.surface is not None):
        wall = SectionStep(name=WALL, to=found.section, surface=outlet_wall(design))
        pieces = (wall, *pieces)
    outlet = found.outlet or design.case.outlet
    return found.model_copy(update={"pieces": pieces, "outlet": outlet})


def outlet_wall(design: Design) -> Surface:
    """Wall of the leg that ends at the outlet.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    surface : Surface   [SI]
    """
    case = design.case
    own = [leg.surface for leg in (*case.runners, *case.trunks) if leg.to == "outlet"]
    return next((surface for surface in own if surface is not None), case.surface)


def system_key(found: Downstream | None) -> str | None:
    """Hash of a downstream system: equal keys, equal systems.

    Parameters
    ----------
    found : Downstream or None   As ``system`` tells it [-]
    Returns
    -------
    key : str or None   12 hexadecimal digits; names of pieces do not count; None without a
        system [-]
    """
    if found is None:
        return None
    what = found.model_dump(mode="json")
    for piece in what["pieces"]:
        piece.pop("name")
    text = json.dumps(what, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def same(systems: Sequence[Downstream | None]) -> bool:
    """Whether all of them are one system, or none.

    Parameters
    ----------
    systems : sequence of Downstream or None   As ``system`` tells them [-]
    Returns
    -------
    same : bool   [-]
    """
    return len({system_key(one) for one in systems}) < 2


def size(found: Downstream) -> tuple[int, float]:
    """How much a downstream system is.

    Parameters
    ----------
    found : Downstream   [SI]
    Returns
    -------
    pieces, length : int, float   As its case states them [-, m]
    """
    pieces = [piece for piece in found.pieces if piece.name != WALL]
    return len(pieces), sum(piece.path_length() for piece in pieces)


def described(found: Downstream | None) -> str:
    """A downstream system in a few words.

    Parameters
    ----------
    found : Downstream or None   [SI]
    Returns
    -------
    text : str   [-]
    """
    if found is None:
        return "none"
    count, length = size(found)
    link = f", {found.crossover.kind}" if found.crossover is not None else ""
    return f"{count} piece{'' if count == 1 else 's'}, {1e3 * length:.0f} mm{link}"
