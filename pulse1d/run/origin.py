"""Where a result of a design comes from: its files, and the sources of its coefficients."""

from __future__ import annotations

from pulse1d.case.design import Design
from pulse1d.losses.junction import SOURCE as JOINT_SOURCE
from pulse1d.sources import cite


def case_texts(design: Design) -> dict[str, str]:
    """Every file that a case was read from.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    texts : dict   Place relative to the case, or the bare name outside its folder, to text [-]
    """
    folder = design.path.absolute().parent
    return {
        path.absolute().relative_to(folder).as_posix()
        if path.absolute().is_relative_to(folder)
        else path.name: text
        for path, text in design.document.sources.items()
    }


def citations(design: Design, *more: str) -> list[str]:
    """Citations of the coefficients in a design's network.

    Parameters
    ----------
    design : Design   [-]
    more : str   Further keys of ``pulse1d.sources`` [-]
    Returns
    -------
    sources : list of str   Sorted [-]
    """
    network = design.network
    keys = {
        key.strip()
        for leg in network.legs
        for element in leg.elements
        for key in element.source.split(",")
    }
    if network.joints:
        keys |= {key.strip() for key in JOINT_SOURCE.split(",")}
    return sorted({cite(key) for key in {*keys, *more}})
