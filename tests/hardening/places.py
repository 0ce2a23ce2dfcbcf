"""Every key of a file that names another file, each with a small sound set of files around it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pulse1d.case.design import load
from pulse1d.case.readings import load_readings
from pulse1d.study.load import load_study

LEGS = """runners:
  - {port: 1, section: {shape: round, bore: 36 mm}, to: outlet,
     pieces: [{kind: straight, name: tail, length: 60 mm}]}
"""
PORTS = "ports: [{name: 1, section: {shape: round, bore: 36 mm}}]"
CASE = f"format: pulse1d case 1\nabout: {{name: a}}\nhead: {{{PORTS}}}\n{LEGS}"
TABLE = """order,what,part,port,remount,meter,test pressure [kPa],meter pressure [kPa],part temperature [degC]
1,part,a,1,1,m,7.0,0.5,21
2,part,a,1,2,m,7.0,0.5,21
"""  # noqa: E501
READINGS = """format: pulse1d readings 1
about: {bench: invented, date: 2026-03-02}
set-up: {direction: blown, fixed end: port, test pressure: 28 inH2O, adapter: {shape: port,
  edge radius: 6 mm}, meter inlet: room}
meters: [{name: m, kind: calibrated plate, rated flow: 300 CFM, rated pressure: 6 inH2O}]
"""
STUDY = """format: pulse1d study 1
about: {name: a}
parameters: {x: {path: runners/1/tail/length, values: [50 mm, 60 mm]}}
compute: {bench: {}}
"""
INDENTED = "".join(f"  {line}\n" for line in TABLE.splitlines())


@dataclass(frozen=True)
class Place:
    """A key that names a file, and what a sound file there holds."""

    key: str
    text: str
    """The naming file; NAMED stands for the name, quoted."""
    content: str
    """The named file."""
    load: Callable[[Path], object]
    suffix: str = ".yaml"


PLACES = (
    Place("based on", "format: pulse1d case 1\nbased on: NAMED\n", CASE, load),
    Place(
        "head",
        f"format: pulse1d case 1\nabout: {{name: a}}\nhead: NAMED\n{LEGS}",
        f"format: pulse1d head 1\n{PORTS}\n",
        load,
    ),
    Place(
        "calibration",
        f"{CASE}calibration: NAMED\n",
        "format: pulse1d calibration 1\ncorrections: [{cause: bend K, factor: 1.1}]\n",
        load,
    ),
    Place(
        "rows", f"{READINGS}parts: {{a: {{name: a}}}}\nrows: NAMED\n", TABLE, load_readings, ".csv"
    ),
    Place(
        "case of a part",
        f"{READINGS}parts: {{a: {{name: a, case: NAMED}}}}\nrows: |\n{INDENTED}",
        CASE,
        load_readings,
    ),
    Place("base", f"{STUDY}base: NAMED\n", CASE, load_study),
)
