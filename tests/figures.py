"""What can be measured of a figure: where its texts lie, its colours, its bytes."""

from __future__ import annotations

import re
from functools import lru_cache
from io import BytesIO
from itertools import combinations
from typing import Any

from pulse1d.plots.style import COLOURS, styled

ALLOWED = {*(colour.lower() for colour in COLOURS), "#000000", "#ffffff"}
COLOUR = re.compile(r"#[0-9a-fA-F]{6}\b")


def svg(figure: Any) -> str:
    """The figure as SVG."""
    with styled():
        out = BytesIO()
        figure.savefig(out, format="svg", metadata={"Date": None})
    return out.getvalue().decode("utf-8")


def colours(figure: Any) -> set[str]:
    """Every colour in its SVG."""
    return {found.lower() for found in COLOUR.findall(svg(figure))}


@lru_cache(maxsize=4)
def texts(figure: Any) -> tuple[tuple[str, float, Any], ...]:
    """Every text that is seen: itself, its size [pt], and where it lies [dots, 100 to the inch]."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.text import Text

    found = []
    with styled():
        renderer = FigureCanvasAgg(figure).get_renderer()
        figure.draw(renderer)
        hidden = _hidden(figure)
        for artist in figure.findobj(Text):
            text = artist.get_text()
            if not text.strip() or not artist.get_visible() or id(artist) in hidden:
                continue
            box = Text.get_window_extent(artist, renderer)
            found.append((text, artist.get_fontsize(), box))
    return tuple(found)


def _hidden(figure: Any) -> set[int]:
    """Ids of texts that are not drawn: of ticks out of view, and of axes switched off."""
    hidden: set[int] = set()
    for axes in figure.axes:
        if not axes.axison:
            hidden |= {id(text) for text in (axes.title, axes._left_title)}
            hidden |= {id(axis.label) for axis in (axes.xaxis, axes.yaxis)}
        for axis in (axes.xaxis, axes.yaxis):
            drawn = {id(tick) for tick in axis._update_ticks()} if axes.axison else set()
            for tick in (*axis.majorTicks, *axis.minorTicks):
                if id(tick) not in drawn:
                    hidden |= {id(tick.label1), id(tick.label2)}
    return hidden


def cut(figure: Any) -> list[str]:
    """Texts that reach over the figure's edge by more than a dot."""
    width, height = figure.bbox.width, figure.bbox.height
    return [
        text
        for text, _, box in texts(figure)
        if box.x0 < -1.0 or box.y0 < -1.0 or box.x1 > width + 1.0 or box.y1 > height + 1.0
    ]


def overlapping(figure: Any, share: float = 0.15) -> list[tuple[str, str]]:
    """Pairs of texts that cover more than a share of the smaller one's box.

    Boxes of text reach over what is inked by about that share, up and down.
    """
    found = []
    for (one, _, a), (other, _, b) in combinations(texts(figure), 2):
        wide, tall = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
        least = min(a.width * a.height, b.width * b.height)
        if wide > 0.0 and tall > 0.0 and wide * tall > share * least:
            found.append((one, other))
    return found


def smallest(figure: Any) -> float:
    """Size of its smallest text [pt]."""
    return min(size for _, size, _ in texts(figure))
