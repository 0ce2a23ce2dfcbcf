"""Do the pieces of ducts outside the part fit each other? Checked on the plain data."""

from __future__ import annotations

from typing import Any

from pulse1d.case.alone import alone
from pulse1d.case.document import Document, Place
from pulse1d.errors import Problem
from pulse1d.network.layout import Duct, Layout, Meeting, Trunk
from pulse1d.network.legs import PieceError, build_leg

DUCTS: tuple[tuple[Place, str], ...] = (
    (("head", "passage"), "head passage"),
    (("engine", "intake"), "intake"),
    (("engine", "intake", "box", "duct"), "air box duct"),
)
_ANY_WALL: Layout = Layout.model_construct()  # type: ignore[call-arg]


def duct_problems(document: Document) -> list[Problem]:
    """Pieces of the head's passage and of the intake that cannot be built.

    Ducts that cannot be read by themselves are passed over; the schema reports those.

    Parameters
    ----------
    document : Document   A whole case, its head merged in [-]
    Returns
    -------
    problems : list of Problem   Empty when all is well [-]
    """
    found = []
    for place, what in DUCTS:
        duct = _duct_at(document.data, place)
        if duct is None:
            continue
        leg = Trunk(
            section=duct.section,
            pieces=duct.pieces,
            to=Meeting(joint="end"),
            from_=Meeting(joint="start"),
        )
        try:
            build_leg(_ANY_WALL, leg, None, None)
        except PieceError as error:
            message, _, remedy = str(error).partition("; ")
            at = (*place, "pieces", error.index)
            found.append(document.problem(at, f"{what}: {message}", remedy))
    return found


def _duct_at(data: Any, place: Place) -> Duct | None:
    for key in place:
        data = data.get(key) if isinstance(data, dict) else None
    if not isinstance(data, dict):
        return None
    found = alone(Duct, {key: data[key] for key in ("section", "pieces") if key in data})
    return found if isinstance(found, Duct) else None
