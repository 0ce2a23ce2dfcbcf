"""Layouts of any size for the bench, as cases, and what their sizes are drawn from."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

import pulse1d
from pulse1d.run.bench import BenchResult

Case = dict[str, Any]
INCH_WATER = 249.09
ROOM, T_ROOM, R_AIR, GAMMA = 101325.0, 293.15, 287.04, 1.4007
relaxed = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
"""The first example compiles."""
quick = settings(relaxed, max_examples=40)


def mm(length: float) -> str:
    return f"{1e3 * length:.12g} mm"


def round_(bore: float) -> Case:
    return {"shape": "round", "bore": mm(bore)}


def pipe(length: float) -> Case:
    return {"kind": "straight", "length": mm(length)}


def runner(port: str, bore: float, pieces: list[Case], to: Any = "outlet") -> Case:
    return {"port": port, "section": round_(bore), "pieces": pieces, "to": to}


def trunk(start: Any, to: Any, bore: float, length: float) -> Case:
    return {"from": start, "to": to, "section": round_(bore), "pieces": [pipe(length)]}


def design(
    runners: list[Case], trunks: list[Case] = (), joints: dict[str, str] | None = None, **more: Any
) -> pulse1d.Design:
    case = {
        "format": "pulse1d case 1",
        "about": {"name": "law"},
        "head": {"ports": [{"name": item["port"]} for item in runners]},
        "runners": runners,
        "trunks": list(trunks),
        "joints": [{"name": name, "kind": kind} for name, kind in (joints or {}).items()],
        **more,
    }
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "case.yaml"
        file.write_text(json.dumps(case), encoding="utf-8")  # JSON is YAML
        return pulse1d.load(file)


def merge(
    bores: list[float], lengths: list[float], collector: float, angle: float, **more: Any
) -> pulse1d.Design:
    """Runners evenly around a collector."""
    runners = [
        runner(str(k + 1), bore, [pipe(length)], {"joint": "m", "angle": f"{angle} deg"})
        for k, (bore, length) in enumerate(zip(bores, lengths, strict=True))
    ]
    return design(runners, [trunk("m", "outlet", collector, 0.2)], {"m": "merge"}, **more)


def log(
    bores: list[float],
    log_bore: float,
    angle: float = 90.0,
    length: float = 0.08,
    pitch: float = 0.1,
    outlet: str = "last",
    **more: Any,
) -> pulse1d.Design:
    """Runners into a log whose outlet is behind the last port, or behind the first."""
    n = len(bores)
    order = list(range(n)) if outlet == "last" else list(range(n))[::-1]
    runners = [
        runner(str(k + 1), bore, [pipe(length)], {"joint": f"log {k + 1}", "angle": f"{angle} deg"})
        for k, bore in enumerate(bores)
    ]
    ways = [f"log {k + 1}" for k in order]
    trunks = [
        trunk(a, b, log_bore, pitch) for a, b in zip(ways, [*ways[1:], "outlet"], strict=True)
    ]
    return design(runners, trunks, dict.fromkeys(sorted(ways), "branch"), **more)


def predict(part: pulse1d.Design, inches: float = 28.0, **more: Any) -> BenchResult:
    return pulse1d.predict_bench(part, depression=inches * INCH_WATER, samples=0, **more)


def from_none(most: float) -> st.SearchStrategy[float]:
    """Nothing, or up to the most; a case refuses what is neither 0 nor of any size."""
    return st.just(0.0) | st.floats(1e-9 * most, most)


bores = st.floats(0.02, 0.06)
lengths = st.floats(0.02, 0.8)
directions = st.sampled_from(["blown", "sucked"])
inches_of_water = st.floats(1.0, 60.0)


@st.composite
def pieces(draw: st.DrawFn, bore: float) -> list[Case]:
    """A path of a few pieces on one starting bore."""
    found: list[Case] = [pipe(draw(lengths))]
    for kind in draw(
        st.lists(st.sampled_from(["bend", "mitre", "taper", "loss", "weld bead"]), max_size=3)
    ):
        if kind == "bend":
            radius = draw(st.floats(1.0, 3.0)) * 0.06
            angle = draw(st.floats(20.0, 180.0))
            found.append({"kind": "bend", "angle": f"{angle} deg", "radius": mm(radius)})
        elif kind == "mitre":
            found.append({"kind": "mitre", "angle": f"{draw(st.floats(10.0, 120.0))} deg"})
        elif kind == "taper":
            end = bore * draw(st.floats(0.8, 1.3))
            found.append({"kind": "taper", "length": "50 mm", "to": round_(end)})
        elif kind == "loss":
            found.append({"kind": "loss", "K": draw(from_none(5.0))})
        else:
            found.append({"kind": "weld bead", "height": mm(0.01 * bore)})
        found.append(pipe(draw(lengths)))
    return found
