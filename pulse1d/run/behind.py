"""Designs behind the downstream system of another case, and without any."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from pulse1d.case.design import Design
from pulse1d.case.schema import Downstream
from pulse1d.run.downstream import same, system


def behind(design: Design, source: Design | None) -> Design:
    """A design behind the downstream system of another case, or without any.

    The whole system is carried over, with the end and the wall that it has behind its own part.

    Parameters
    ----------
    design : Design   Left as it is [-]
    source : Design or None   Case whose system it is; None: the outlet opens into the room [-]
    Returns
    -------
    design : Design   The same one where nothing changes; its results have a key of their own [-]
    Limits      the metal of the pipes (thickness, conductivity) stays that of the design
    """
    wanted = system(source) if source is not None else None
    if same([system(design), wanted]):
        return design
    if source is None or source.case.downstream is None:
        return _with(design, None, {})
    for downstream in (source.case.downstream, wanted):
        changed = _with(design, downstream, source.document.sources)
        if same([system(changed), wanted]):
            break
    return changed


def _with(design: Design, downstream: Downstream | None, texts: dict[Path, str]) -> Design:
    sources = {**design.document.sources, **texts}
    return replace(
        design,
        case=design.case.model_copy(update={"downstream": downstream}),
        document=replace(design.document, sources=sources),
    )
