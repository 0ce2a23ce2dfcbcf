"""The order of the page, and what each section needs."""

from __future__ import annotations

from collections.abc import Callable, Collection

from pulse1d.report.answer import answer
from pulse1d.report.blocks import Section
from pulse1d.report.budget import budget
from pulse1d.report.engine import engine, pulses
from pulse1d.report.evidence import Evidence
from pulse1d.report.life import life
from pulse1d.report.measured import measured
from pulse1d.report.origins import cautions, inputs, notes, sources
from pulse1d.report.ports import ports
from pulse1d.report.shape import shape
from pulse1d.report.sheet import rows, sheet
from pulse1d.report.studies import studies

Maker = Callable[[Evidence], Section | None]
ORDER: dict[str, Maker] = {
    "answer": answer,
    "sheet": sheet,
    "ports": ports,
    "pressure": budget,
    "measured": measured,
    "engine": engine,
    "pulses": pulses,
    "studies": studies,
    "life": life,
    "shape": shape,
    "notes": notes,
    "readings": rows,
    "inputs": inputs,
    "sources": sources,
    "cautions": cautions,
}
ALWAYS = ("answer", "cautions")
"""Sections that cannot be left out."""


def sections(evidence: Evidence, left_out: Collection[str] = ()) -> list[Section]:
    """Every section for which there are data.

    Parameters
    ----------
    evidence : Evidence   [SI]
    left_out : collection of str   Keys of ``ORDER`` [-]
    Returns
    -------
    sections : list of Section   In order [-]
    """
    made = (make(evidence) for key, make in ORDER.items() if key not in left_out)
    return [one for one in made if one is not None]
