"""Drawing notes as text for a terminal of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from pulse1d.cli.text import WIDTH, paragraph
from pulse1d.run.drawing_note import FIRST, Note

ROOM = 18
"""Of the topic, in front of the text."""


def notes_text(notes: Sequence[Note]) -> str:
    """Suggestions, each with its reason and source.

    Parameters
    ----------
    notes : sequence of Note   Of one design [-]
    Returns
    -------
    text : str   [-]
    """
    parts = [paragraph(f"drawing notes. {FIRST}", 0)]
    for note in notes:
        told = (note.text, f"Why: {note.reason}", f"Source: {note.source}.")
        lines = [line for text in told for line in textwrap.wrap(text, WIDTH - ROOM - 2)]
        topics = [note.topic, *[""] * (len(lines) - 1)]
        pairs = zip(topics, lines, strict=True)
        parts.append("\n".join(f"  {topic:<{ROOM}}{line}".rstrip() for topic, line in pairs))
    return "\n\n".join(parts)
