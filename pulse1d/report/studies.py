"""What if: the designs of studies around the cases."""

from __future__ import annotations

from pulse1d.plots.study import study_figures
from pulse1d.report.blocks import Block, Grid, Picture, Section, Words
from pulse1d.report.evidence import Evidence
from pulse1d.study.ranking import answers_of, ranking
from pulse1d.study.sweep import Swept

BEST = 10
"""Designs that are listed."""


def studies(evidence: Evidence) -> Section | None:
    """The best designs of every study, and its pictures.

    Parameters
    ----------
    evidence : Evidence   [SI]
    Returns
    -------
    section : Section or None   None without studies [-]
    """
    blocks = [block for one in evidence.studies for block in _study(one)]
    return Section("studies", "What if", tuple(blocks)) if blocks else None


def _study(one: Swept) -> list[Block]:

    study = one.study
    blocks: list[Block] = []
    left = sum(one.plan.left_out.values())
    blocks.append(
        Words(
            f"{study.name}, around {study.base.name}: {len(one.plan.points)} designs computed"
            + (f", {left} left out by its limits" if left else "")
            + (f", {sum(one.failures.values())} failed" if one.failures else "")
            + "."
        )
    )
    found = ranking(one, BEST)
    if found is not None:
        texts = int(any(_is_text(row[0]) for row in found.rows))
        blocks.append(Grid(found.title, found.heads, found.rows, texts=texts))
    for title, draw in study_figures(study, one.plan.points, answers_of(one)):
        alt = f"{title}; the best designs stand in the table above."
        blocks.append(Picture(title, alt, draw, on_paper=True))
    return blocks


def _is_text(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return True
    return False
