"""A starter study around a case of the user's: what there is to vary, ready to be cut down."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

from pulse1d.case.design import Design, load
from pulse1d.errors import InputError, Problem
from pulse1d.study.leaf import dimension_of, shown
from pulse1d.study.paths import PathError, Spot, spots_of
from pulse1d.units import SI

KEYS = (
    "runners/*/*/length", "runners/*/*/radius", "runners/*/*/angle", "runners/*/*/to/od",
    "runners/*/*/height", "runners/*/section/*", "runners/*/to/angle", "trunks/*/section/od",
    "trunks/*/*/length", "trunks/*/*/to/od", "wall/thickness",
)  # fmt: skip
"""What a fabricator may change, most worth trying first (judgement)."""
MOST_LISTED = 24
UNIT = {"length": "mm", "angle": "deg"}
"""Of the figures told."""
HEAD = """\
format: pulse1d study 1
# What if? Many designs around one case. Take lines out, put your own ranges in.
about:
  name: study of {name}
base: {base}

# A range, with `steps` for a grid; or `choices: [1.5 in, 1.625 in]`, what the stock has.
# `sets: change` adds to what each place has; without it, each gets the value itself.
parameters:
{parameters}
# What else there is to vary, and what the case has there (the lowest and the highest):
{others}

# linked:        # values that follow a parameter
#   name: {{path: trunks/collector/section/od, from: my parameter, factor: 1.4, plus: 2 mm}}

# constraints:   # points that break one are left out
#   - {{box: {{x: [-50 mm, 400 mm], y: [-600 mm, 50 mm], z: [0 mm, 300 mm]}}}}

plan: {{kind: grid}}              # grid, latin hypercube, sobol, or one at a time
compute:
  bench: {{}}
  # cycle: {{speeds: 2000:6000:1000}}   # the running engine, where the case has one
objectives:
  - {{answer: mean flow, aim: most}}
"""


def starter_for(base: Path, path: Path) -> str:
    """A study that varies the last straight and the angle of a bend of a case.

    Parameters
    ----------
    base : Path   The case, in the folder of the study or below [-]
    path : Path   Where the study will lie [-]
    Returns
    -------
    text : str   A study file that loads [-]
    Errors      InputError of a case that does not load, lies elsewhere or has nothing to vary.
    """
    design = load(base)
    name = Path(os.path.relpath(base.resolve(), path.resolve().parent)).as_posix()
    if name.startswith("../"):
        message = f"--base: {str(base)!r} lies outside the folder of {str(path)!r}"
        raise InputError([Problem(message, "write the study beside its case")])
    found = groups(design)
    if not found:
        raise InputError([Problem(f"--base: {str(base)!r} has no leg to vary")])
    first = list(found)[:2]
    lines = []
    for number, key in enumerate(first, 1):
        low = min(float(spot.value) for spot in found[key])
        dimension = dimension_of(found[key][0])
        span = shown(0.2 * low, UNIT[dimension], dimension)
        what = f"path: {plain(key)}, sets: change, range: [-{span}, {span}], steps: 3"
        lines.append(f"  what {number}: {{{what}}}\n")
    others = [f"#   {key}: {_span(found[key])}" for key in found if key not in first]
    return HEAD.format(
        name=plain(design.name[:70]), base=plain(name), parameters="".join(lines),
        others="\n".join(others[:MOST_LISTED]) or "#   nothing",
    )  # fmt: skip


def groups(design: Design) -> dict[str, tuple[Spot, ...]]:
    """Dimensions of a case that may be varied, those of the same piece of all legs together.

    Parameters
    ----------
    design : Design   [-]
    Returns
    -------
    groups : dict   Path to its places [SI]
    """
    found: dict[str, tuple[Spot, ...]] = {}
    for key in KEYS:
        try:
            spots = spots_of(design.case, key)
        except PathError:
            continue
        for spot in spots:
            top, _, *rest = spot.spoken.split("/")
            name = "/".join((top, "*", *rest)) if rest else spot.spoken
            if name not in found and dimension_of(spot) in UNIT and spot.value is not None:
                found[name] = spots_of(design.case, name)
    return found


def plain(text: str) -> str:
    """A text as YAML takes it, in quotes where it must be.

    Parameters
    ----------
    text : str   [-]
    Returns
    -------
    text : str   [-]
    """
    sound = re.fullmatch(r"[A-Za-z][\w ./*-]*", text)
    return text if sound and text == text.strip() else json.dumps(text, ensure_ascii=False)


def _span(spots: tuple[Spot, ...]) -> str:
    dimension = dimension_of(spots[0])
    unit = UNIT.get(dimension, SI[dimension])
    values = sorted({float(spot.value) for spot in spots if spot.value is not None})
    ends = values if len(values) == 1 else [values[0], values[-1]]
    return " to ".join(shown(value, unit, dimension) for value in ends)
