"""What the bands of a bench prediction are made of, as text."""

from __future__ import annotations

from collections.abc import Sequence

from pulse1d.cli.text import paragraph
from pulse1d.run.bench import BenchResult, PortResult
from pulse1d.run.cause_words import cause_note

COUNT = 5
"""Causes of a band that are named."""


def causes_text(results: Sequence[BenchResult]) -> str:
    """What the causes that ``shares_text`` names are.

    Parameters
    ----------
    results : sequence of BenchResult   [-]
    Returns
    -------
    text : str   Empty where there is nothing to say [-]
    """
    shown = [cause for one in results for port in one.ports for cause in list(port.shares)[:COUNT]]
    names = {one.design.keys.design: one.design.name for one in results}
    note = cause_note(shown, names)
    return paragraph(f"causes of the bands: {note}") if note else ""


def shares_text(port: PortResult, count: int = COUNT) -> str:
    """What a port's band is made of.

    Parameters
    ----------
    port : PortResult   [-]
    count : int   Causes to name [-]
    Returns
    -------
    text : str   Empty without samples [-]
    """
    if not port.shares:
        return ""
    named = [f"{cause} {100 * share:.0f} %" for cause, share in list(port.shares.items())[:count]]
    return paragraph(
        f"port {port.answer.port}: the variance of its band comes from " + ", ".join(named)
    )
