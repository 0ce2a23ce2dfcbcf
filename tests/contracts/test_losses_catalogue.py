"""Contracts of the loss pieces: all listed, all sourced, every table with its origin."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import subprocess
import sys
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic import TypeAdapter

import pulse1d.losses
from pulse1d import sources
from pulse1d.geometry.sections import Oval, Round
from pulse1d.losses import Element, Piece, Station, Step
from pulse1d.losses.catalogue import PIECES
from pulse1d.losses.element import COLUMN
from pulse1d.losses.piece import PieceBase
from pulse1d.spec import FROM_TEXT

FOLDER = Path(pulse1d.losses.__path__[0])
MODULES = [
    importlib.import_module(f"pulse1d.losses.{module.name}")
    for module in pkgutil.iter_modules([str(FOLDER)])
]
STATION = Station(
    Round(bore=0.04),
    15e-6,
    surface="tube",
    eps_band=0.7,
    L_after=0.1,
    C_pair=0.8,
    C_pair_band=0.1,
    head=Oval(width=0.05, height=0.03),
)
BIGGER = {"shape": "round", "bore": "45 mm"}
EXAMPLES: dict[str, list[dict[str, Any]]] = {
    "straight": [{"length": "0.3 m"}],
    "bend": [{"angle": "90 deg", "radius": "60 mm"}],
    "mitre": [{"angle": "45 deg"}],
    "taper": [
        {"length": "50 mm", "to": BIGGER},
        {"length": "50 mm", "to": {"shape": "oval", "width": "50 mm", "height": "30 mm"}},
    ],
    "step": [{"to": BIGGER}, {"to": {"shape": "round", "bore": "35 mm"}}],
    "flange joint": [
        {"offset": ["1 mm", "0 mm"], "gasket": {"protrusion": "1 mm", "thickness": "2 mm"}}
    ],
    "gasket": [{"protrusion": "1 mm", "thickness": "2 mm"}],
    "weld bead": [{"height": "0.5 mm"}],
    "entry": [{"edge radius": "4 mm"}, {"flanged": False}, {"ideal": True}],
    "outlet": [{}],
    "restriction": [{"effective area": "600 mm^2"}],
    "catalyst brick": [{"length": "90 mm", "cell density": "400 cpsi", "wall": "6.5 thou"}],
    "turbine": [
        {"effective area": "500 mm^2"},
        {"effective area": "500 mm^2", "efficiency": "65 %"},
        {
            "map": [
                {"expansion ratio": 1.2, "flow": "90 g/s"},
                {"expansion ratio": 1.6, "flow": "125 g/s"},
                {"expansion ratio": 2.5, "flow": "140 g/s"},
            ],
            "efficiency": "65 %",
        },
    ],
    "valve seat": [{"valve": {"head diameter": "36 mm"}, "lift": "8 mm"}],
    "loss": [{"K": 0.3}],
}


def kind(piece: type[PieceBase]) -> str:
    return str(piece.model_fields["kind"].default)


def examples() -> list[Any]:
    adapter = TypeAdapter(Piece)
    built = []
    for name, rows in EXAMPLES.items():
        for row in rows:
            built.append(adapter.validate_python({"kind": name, **row}, context=FROM_TEXT))
    return built


def test_every_piece_is_listed() -> None:
    found = {
        thing
        for module in MODULES
        for _, thing in inspect.getmembers(module, inspect.isclass)
        if issubclass(thing, PieceBase) and "kind" in thing.model_fields
    }
    assert found == set(PIECES)
    assert set(get_args(get_args(Piece)[0])) == set(PIECES)
    assert len({kind(piece) for piece in PIECES}) == len(PIECES)


def test_every_piece_has_an_example_here() -> None:
    assert set(EXAMPLES) == {kind(piece) for piece in PIECES}


@pytest.mark.parametrize("piece", examples(), ids=lambda piece: piece.kind)
def test_elements_are_sourced_and_well_formed(piece: Any) -> None:
    elements = piece.elements(STATION)
    assert elements
    for element in elements:
        assert isinstance(element, Element)
        assert sources.cite(element.source)  # KeyError for a key that is not in the catalogue
        assert element.name == element.kind == piece.kind
        assert element.k_ref in ("upstream", "downstream")
        assert all(isinstance(step, Step) for step in element.steps)
        for effect in element.effects:
            assert effect.column in COLUMN
            assert effect.mode in ("ln", "add")


@pytest.mark.parametrize("piece", examples(), ids=lambda piece: piece.kind)
def test_a_name_is_carried(piece: Any) -> None:
    named = piece.model_copy(update={"name": "mine"})
    assert {element.name for element in named.elements(STATION)} == {"mine"}


@pytest.mark.parametrize("path", sorted((FOLDER / "data").glob("*.csv")), ids=lambda p: p.stem)
def test_every_table_states_its_source(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    head = [line for line in lines if line.startswith("#")]
    assert head, "a table opens with a comment"
    stated = [line for line in head if line.startswith("# Source: ")]
    assert stated, "with a line that starts '# Source: '"
    key = stated[0].removeprefix("# Source: ").split(",")[0].strip()
    assert key in sources.catalogue()
    assert any(line.startswith("# Units: ") for line in head)
    stem = path.stem
    assert any(stem in Path(m.__file__ or "").read_text(encoding="utf-8") for m in MODULES)


def test_every_surface_states_its_source() -> None:
    from pulse1d.losses import resolve_surface, surface_names

    for name in surface_names():
        assert sources.cite(resolve_surface(name).source)


def test_public_names_resolve_and_importing_loads_nothing() -> None:
    for name in pulse1d.losses.__all__:
        assert getattr(pulse1d.losses, name) is not None
    code = (
        "import sys, pulse1d.losses; "
        "print([m for m in ('numba', 'pydantic', 'scipy', 'fluids', 'pint') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
