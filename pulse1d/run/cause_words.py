"""What the causes of a band are called: a law's doubt, and one place's own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from pulse1d.network.rows import FITTED, LAWS

OWN = re.compile(rf"([^:]+): ({'|'.join((*LAWS, *FITTED))}) of (.+)")
"""A doubt of one place, as ``pulse1d.network.rows.own_doubts`` names it."""
SIZE = re.compile(r"([^:]+): (bore|length|bend radius) of (.+)")
"""A dimension's, as ``pulse1d.network.rows.leg_rows`` does."""


def cause_note(causes: Iterable[str], names: Mapping[str, str]) -> str:
    """What the names of some causes mean.

    Parameters
    ----------
    causes : iterable of str   As a band's shares name them [-]
    names : mapping   Stem of a case's file to the design's name [-]
    Returns
    -------
    text : str   Empty where every name speaks for itself [-]
    """
    every = list(dict.fromkeys(causes))
    laws = [cause for cause in every if cause in LAWS]
    own = next((found for cause in every if (found := OWN.fullmatch(cause))), None)
    size = next((found for cause in every if (found := SIZE.fullmatch(cause))), None)
    said = []
    if laws:
        said.append(
            f"{', '.join(laws)}: the law's own doubt, one for every place of all designs, so that "
            "much of it cancels between them"
        )
    if own:
        said.append(f"{own[0]}: what the law gets wrong at {_place(own[3])} alone")
    if size:
        said.append(f"{size[0]}: the tolerance of that {size[2]}")
    stems = dict.fromkeys(found[1] for found in (own, size) if found)
    files = [
        f"{stem} is the file of {names[stem]}" if stem in names else f"{stem} is the base's file"
        for stem in stems
    ]
    return "; ".join([*said, *files])


def _place(name: str) -> str:
    return name if name.startswith("joint ") else f"{name!r}"
