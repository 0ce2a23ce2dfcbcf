"""How legs meet at a joint in space, and whether the axis that they meet around is known."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from pulse1d.case.design import Design, load
from pulse1d.cli.check_text import closing
from pulse1d.errors import InputError
from pulse1d.network.axis import axis_of
from pulse1d.network.closure import closures
from pulse1d.network.layout import Joint
from pulse1d.run.geometry import check_record

MIDDLE = """
format: pulse1d case 1
about: {name: outlet in the middle}
head:
  ports:
    - {name: 1, position: [0 mm, 0 mm, 0 mm]}
    - {name: 2, position: [84 mm, 0 mm, 0 mm]}
    - {name: 3, position: [168 mm, 0 mm, 0 mm]}
runners:
  - port: 1
    section: {shape: round, bore: 38 mm}
    pieces:
      - {kind: straight, length: 15 mm}
      - {kind: bend, angle: 90 deg, radius: 40 mm, rotation: 90 deg}
      - {kind: straight, length: 44 mm}
    to: {joint: centre, angle: 90 deg, around: 0 deg}
  - port: 2
    section: {shape: round, bore: 38 mm}
    pieces: [{kind: straight, length: 55 mm}]
    to: {joint: centre, angle: 90 deg, around: 90 deg}
  - port: 3
    section: {shape: round, bore: 38 mm}
    pieces:
      - {kind: straight, length: 15 mm}
      - {kind: bend, angle: 90 deg, radius: 40 mm, rotation: -90 deg}
      - {kind: straight, length: 44 mm}
    to: {joint: centre, angle: 90 deg, around: 180 deg}
joints: [{name: centre, kind: merge, position: [84 mm, 0 mm, 55 mm]}]
trunks:
  - name: stub
    from: centre
    section: {shape: round, bore: 42 mm}
    pieces: [{kind: straight, length: 60 mm}]
    to: outlet
"""


def middle(folder: Path, direction: str = "") -> Design:
    path = folder / "case.yaml"
    more = f", direction: {direction}" if direction else ""
    path.write_text(MIDDLE.replace("55 mm]}]", f"55 mm]{more}}}]"), encoding="utf-8")
    return load(path)


def told(design: Design) -> str:
    (closure,) = closures(design.network)
    return " ".join(" ".join(closing(closure)).split())


def test_legs_square_to_an_axis_are_not_called_wrong_where_it_is_not_known(tmp_path: Path) -> None:
    text = told(middle(tmp_path))
    assert "arrives" not in text
    assert "do not tell where its axis points" in text
    assert "`direction`" in text
    (joint,) = check_record([middle(tmp_path)])["cases"][0]["joints"]
    assert joint["angle_rad"] == [None] * 3  # JSON has no NaN


def test_a_stated_axis_is_what_angles_are_held_against(tmp_path: Path) -> None:
    design = middle(tmp_path, "[0, -2, 0]")
    (closure,) = closures(design.network)
    # legs lie in the plane of x and z, square to y; rounding alone
    assert closure.angle == pytest.approx([np.pi / 2] * 3, abs=1e-12)
    assert "arrives" not in told(design)
    assert "do not tell" not in told(design)
    record = check_record([design])["cases"][0]["joints"][0]
    assert record["angle_rad"] == pytest.approx(record["angle_stated_rad"], abs=1e-12)
    out = told(middle(tmp_path, "[0, 0, 1]"))
    assert "runner 2 arrives 0 deg off the joint's direction, stated 90 deg" in out
    assert "losses go by the stated one" in out
    assert "runner 1 arrives" not in out


def test_a_direction_without_length_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="points nowhere"):
        middle(tmp_path, "[0, 0, 0]")


def test_an_axis_from_legs_around_it_is_the_one_they_were_made_from() -> None:
    """Four legs at 20 deg around (0, 0, 1), and a lateral that does not move a through run."""
    ring = [
        (np.sin(0.35) * np.cos(a), np.sin(0.35) * np.sin(a), np.cos(0.35))
        for a in (0.0, np.pi / 2, np.pi, 1.5 * np.pi)
    ]
    merge, branch = (Joint(name="J", kind=kind) for kind in ("merge", "branch"))
    assert axis_of(merge, ring, [0.35] * 4) == pytest.approx([0.0, 0.0, 1.0], abs=1e-12)
    lateral = (0.0, np.sin(0.8), np.cos(0.8))
    assert axis_of(branch, [(0.0, 0.0, 1.0), lateral], [0.0, 0.8]) == pytest.approx([0, 0, 1])
    assert axis_of(merge, [], []) is None
    tiny = Joint(name="J", kind="merge", direction=(0.0, -1e-300, 1e-300))
    assert axis_of(tiny, [], []) == pytest.approx([0.0, -math.sqrt(0.5), math.sqrt(0.5)])
