"""Sections put together to one page that stands alone: no network, no script."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from importlib.resources import files
from typing import Any

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from pulse1d import __version__
from pulse1d.plots.style import NARROW, WIDE
from pulse1d.report.blocks import Picture, Section
from pulse1d.report.drawn import inline_svg

_MINUS = re.compile(r"(?<![\w./])-(?=\d)")
MARK = "<!-- pulse1d report 1 -->"
"""First line after the doctype: what a later run may overwrite."""


def page(
    title: str,
    beneath: str,
    sections: Sequence[Section],
    told: Callable[[], None] | None = None,
) -> str:
    """The whole page as HTML; every text is escaped.

    Parameters
    ----------
    title, beneath : str   Heading of the page, and the line under it [-]
    sections : sequence of Section   In order [-]
    told : function   Called whenever a picture is drawn [-]
    Returns
    -------
    html : str   [-]
    """
    here = files("pulse1d.report")
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True,
                              lstrip_blocks=True)  # fmt: skip
    environment.filters["typeset"] = typeset
    template = environment.from_string(here.joinpath("page.html.j2").read_text(encoding="utf-8"))
    count = iter(range(10_000))

    def svg(picture: Picture, width: float) -> Markup:
        drawn = inline_svg(picture.draw, width, f"p{next(count)}", on_paper=picture.on_paper)
        if told is not None:
            told()
        return Markup(drawn)

    values: dict[str, Any] = {
        "title": title,
        "beneath": beneath,
        "sections": sections,
        "version": __version__,
        "css": Markup(here.joinpath("page.css").read_text(encoding="utf-8")),
        "mark": Markup(MARK),
        "wide": lambda picture: svg(picture, WIDE),
        "narrow": lambda picture: svg(picture, NARROW),
    }
    return template.render(values)


def typeset(text: str) -> str:
    """Signs as print has them: a true minus before a number, plus or minus as one sign.

    Parameters
    ----------
    text : str   [-]
    Returns
    -------
    text : str   Hyphens inside words, dates and firing orders stay [-]
    """
    return _MINUS.sub("−", text.replace("+-", "±"))


def pictures(sections: Sequence[Section]) -> int:
    """How many drawings a page takes.

    Parameters
    ----------
    sections : sequence of Section   [-]
    Returns
    -------
    count : int   Each picture is drawn for two widths [-]
    """
    return 2 * sum(isinstance(block, Picture) for one in sections for block in one.blocks)
