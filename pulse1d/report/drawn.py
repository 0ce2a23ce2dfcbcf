"""A figure as SVG inside a page: text stays text, colours follow the page, light or dark."""

from __future__ import annotations

import re
from collections.abc import Callable
from io import StringIO
from typing import Any

from pulse1d.plots.style import COLOURS, styled

PAGE_COLOURS = {
    **{colour.lower(): f"var(--series-{k + 1})" for k, colour in enumerate(COLOURS)},
    "#000000": "currentColor",
    "black": "currentColor",
    "#ffffff": "var(--page)",
    "white": "var(--page)",
}
_COLOUR = re.compile(r"(fill|stroke): (#[0-9a-fA-F]{6}|black|white)\b")
_PAINTED = re.compile(r'\b(fill|stroke)="(#[0-9a-fA-F]{6})"')
_ID = re.compile(r'(\bid=")([^"]+)"')
_REFERENCE = re.compile(r'(url\(#|href="#)([^")]+)')
_SIZE = re.compile(r'(<svg [^>]*?)\bwidth="[^"]*"')
_HEIGHT = re.compile(r'(<svg [^>]*?)\bheight="[^"]*" ?')


def inline_svg(
    draw: Callable[..., Any], width: float, prefix: str, *, on_paper: bool = False
) -> str:
    """Draw a figure and make it fit to stand in a page.

    Parameters
    ----------
    draw : function   From ``width=`` to a matplotlib Figure [inch]
    width : float   [inch]
    prefix : str   Put before every id, so that pictures of one page keep apart [-]
    on_paper : bool   Keep the colours as they are, on white [-]
    Returns
    -------
    svg : str   From ``<svg`` to ``</svg>`` [-]
    """
    with styled():
        figure = draw(width=width)
        out = StringIO()
        figure.savefig(out, format="svg", transparent=True, metadata={"Date": None})
    text = out.getvalue()
    text = text[text.index("<svg") :].strip()
    text = re.sub(r"<metadata>.*?</metadata>", "", text, count=1, flags=re.S)
    text = _ID.sub(rf'\1{prefix}-\2"', text)
    text = _REFERENCE.sub(rf"\1{prefix}-\2", text)
    text = _SIZE.sub(r'\1width="100%"', text, count=1)
    text = _HEIGHT.sub(r"\1", text, count=1)
    text = text.replace("<svg ", '<svg aria-hidden="true" focusable="false" ', 1)
    if on_paper:
        return text
    return _COLOUR.sub(_of_page, _PAINTED.sub(r'style="\1: \2"', text))


def _of_page(found: re.Match[str]) -> str:
    colour = found[2].lower()
    return f"{found[1]}: {PAGE_COLOURS.get(colour, colour)}"
