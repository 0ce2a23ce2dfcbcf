"""The page on the objects of ``--json``; run ``python -m pulse1d.cli.json_page`` to write it."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pulse1d.cli import doctor_text, explain_text, new, search_text, sweep_text
from pulse1d.compare.claim import test_sheet
from pulse1d.compare.fit_record import fit_record
from pulse1d.compare.parts_record import parts_record
from pulse1d.compare.record import compare_record
from pulse1d.report.write import report_record
from pulse1d.run.cycle_record import cycle_record
from pulse1d.run.geometry import check_record, geometry_record
from pulse1d.run.life_record import life_record
from pulse1d.run.pulse_record import pulse_record
from pulse1d.run.record import bench_record
from pulse1d.run.session_record import session_record

SHIPPED = Path(__file__).parents[1] / "JSON.md"

RECORDS: dict[str, tuple[Callable[..., dict[str, Any]], ...]] = {
    "new": (new.record,),
    "check": (check_record, geometry_record),
    "bench": (bench_record,),
    "reduce": (session_record,),
    "parts": (parts_record,),
    "claim": (test_sheet,),
    "compare": (compare_record,),
    "fit": (fit_record,),
    "cycle": (cycle_record,),
    "pulse": (pulse_record,),
    "life": (life_record,),
    "report": (report_record,),
    "sweep": (sweep_text.record,),
    "search": (search_text.record,),
    "explain": (explain_text.record,),
    "doctor": (doctor_text.record,),
}
"""What makes the object of each verb; its docstring says what stands in it."""

HEAD = """# The objects of --json

With `--json` a verb prints one object on stdout and nothing else there; progress, warnings and errors go to stderr. `schema` names its kind and changes its number when a key changes its meaning or goes; keys may be added. Values are SI, and the key says the unit where it is not plain (`mdot_kg_s`, `p_pa`); null is what cannot be told. The exit status is that of the text.

This page is written by `python -m pulse1d.cli.json_page` from the functions that make the objects.
"""  # noqa: E501


def page() -> str:
    """The whole page.

    Returns
    -------
    text : str   [-]
    """
    parts = [HEAD]
    for verb, functions in RECORDS.items():
        told = [one for function in functions for one in said(function)]
        parts.append("\n\n".join([f"## {verb}", *told]) + "\n")
    return "\n".join(parts)


def said(function: Callable[..., Any]) -> list[str]:
    """What a function's docstring says between its first line and its parameters.

    Parameters
    ----------
    function : function   [-]
    Returns
    -------
    paragraphs : list of str   As Markdown [-]
    """
    text = (inspect.getdoc(function) or "").split("\nParameters\n")[0]
    blocks = [" ".join(block.split()) for block in text.split("\n\n")]
    summary, *rest = [block for block in blocks if block]
    kept = rest if summary.startswith("The object") else [summary, *rest]
    return [re.sub(r"``(.+?)``", r"`\1`", block) for block in kept]


if __name__ == "__main__":
    SHIPPED.write_text(page(), encoding="utf-8")
