"""A duct of one bore on the bench, as a case, and its flow in closed form.

Isentropic nozzle and Fanno line of a perfect gas: NACA Report 1135; Shapiro 1953 ch. 5-7, from
memory.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pulse1d

INCH_WATER = 249.089
"""4 degC; of the reference tables [Pa]."""
ROOM, T_ROOM, R, GAMMA = 101325.0, 293.15, 287.05, 1.4
BORE = 0.04
AREA = 0.25 * math.pi * BORE**2
FLOW = 5e-4
"""0.05 %: the air's gamma, and what a bench solver is asked to hold."""
SUCKED_OUT = {"fixed end": "outlet", "direction": "sucked"}
"""Port to outlet with the room's air ahead."""
IDEAL = {"adapter": {"ideal": True}}


def mm(length: float) -> str:
    return f"{1e3 * length:.12g} mm"


def duct(length: float) -> dict[str, Any]:
    return {"kind": "straight", "length": mm(length)}


def path(
    folder: Path, pieces: list[dict[str, Any]], bench: dict[str, Any] | None = None, **more: Any
) -> pulse1d.Design:
    """A case of one 40 mm runner with an ideal bell mouth, written as a file and loaded."""
    case = {
        "format": "pulse1d case 1",
        "about": {"name": "closed form"},
        "bench": {**IDEAL, **(bench or {})},
        "head": {"ports": [{"name": "1"}], **more.pop("head", {})},
        "runners": [
            {
                "port": "1",
                "section": {"shape": "round", "bore": mm(BORE)},
                "pieces": pieces,
                "to": "outlet",
            }
        ],
        **more,
    }
    file = folder / "case.yaml"
    file.write_text(json.dumps(case), encoding="utf-8")  # JSON is YAML
    return pulse1d.load(file)


def answer(design: pulse1d.Design, depression: float, **more: Any) -> Any:
    result = pulse1d.predict_bench(design, depression=depression, samples=0, **more)
    found = result.ports[0].answer
    assert found.converged
    return found


def flux(M: float, p0: float, T0: float) -> float:
    """Isentropic mass flux [kg/m2/s]."""
    return p0 * math.sqrt(GAMMA / (R * T0)) * M * (1.0 + 0.2 * M * M) ** -3.0


def mach_of_ratio(ratio: float) -> float:
    """Mach number of p0/p."""
    return math.sqrt(5.0 * (ratio ** (1.0 / 3.5) - 1.0))


def fanno(M: float) -> float:
    return (1.0 - M * M) / (GAMMA * M * M) + (GAMMA + 1.0) / (2.0 * GAMMA) * math.log(
        (GAMMA + 1.0) * M * M / (2.0 + (GAMMA - 1.0) * M * M)
    )
