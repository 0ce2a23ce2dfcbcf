"""Tapers: both directions, and changes of shape."""

from __future__ import annotations

import math

import pytest

from pulse1d.geometry.sections import Oval, Rectangle, Round
from pulse1d.losses import K_diffuser, K_nozzle, K_shape, Station, Taper, full_angle
from pulse1d.losses.taper import K_SHAPE

SMALL, LARGE = Round(bore=0.04), Round(bore=0.05)
ANGLE = full_angle(SMALL.area, LARGE.area, 0.06)
SHARE = 0.64


def test_full_angle() -> None:
    assert pytest.approx(2 * math.atan(0.01 / 0.12), rel=1e-12) == ANGLE  # plane geometry
    assert full_angle(1.0, 2.0, 0.0) == pytest.approx(math.pi)  # a step


def test_diffuser_forward_is_contraction_reversed() -> None:
    (up,) = Taper(length=0.06, to=LARGE).elements(Station(SMALL, 1e-5))
    (down,) = Taper(length=0.06, to=SMALL).elements(Station(LARGE, 1e-5))
    loss, cone = up.steps
    assert (loss.A_1, loss.A_2, loss.L) == (SMALL.area, SMALL.area, 0.0)
    assert (cone.A_1, cone.A_2, cone.L) == (SMALL.area, LARGE.area, 0.06)
    # Areas ratio to round-off.
    assert loss.K0 == pytest.approx(K_diffuser(SHARE, ANGLE), rel=1e-9)
    assert loss.K0_rev == pytest.approx(K_nozzle(SHARE, ANGLE), rel=1e-9)
    assert (down.steps[1].K0, down.steps[1].K0_rev) == (loss.K0_rev, loss.K0)
    assert (up.k_ref, down.k_ref) == ("upstream", "downstream")
    assert cone.K0 == 0.0


def test_friction_is_not_in_the_coefficient() -> None:
    # Full angle 2 deg: nearly nothing but friction is lost, and that belongs to the length.
    assert K_diffuser(0.5, math.radians(2.0)) < 0.002
    assert K_diffuser(0.5, 0.0) == K_nozzle(0.5, 0.0) == 0.0
    assert K_diffuser(1.0, 1.0) == K_nozzle(1.0, 1.0) == 0.0


def test_steep_diffuser_is_a_sudden_expansion() -> None:
    # Rennels ends at 1.005 times Borda-Carnot at 180 deg.
    assert K_diffuser(0.5, math.pi) == pytest.approx(0.25, rel=0.006)
    (steep,) = Taper(length=0.01, to=LARGE).elements(Station(SMALL, 1e-5))
    assert "stalls" in steep.notes[0]


def test_change_of_shape() -> None:
    side = math.sqrt(SMALL.area)
    square = Rectangle(width=side, height=side)
    assert K_shape(SMALL, SMALL, 0.01) == 0.0
    assert K_shape(SMALL, LARGE, 0.01) == 0.0  # the small outline is all open
    assert K_shape(SMALL, square, 0.08) == K_SHAPE
    assert K_shape(SMALL, square, 0.01) > K_shape(SMALL, square, 0.03) > K_SHAPE
    (loft,) = Taper(length=0.08, to=square).elements(Station(SMALL, 1e-5))
    # Equal areas to round-off: the shape is all that costs.
    assert loft.steps[0].K0 == pytest.approx(K_SHAPE, abs=1e-9)
    assert {"shape change", "taper K"} <= {effect.cause for effect in loft.effects}
    assert K_shape(Oval(width=0.042, height=0.038), SMALL, 0.05) < 0.01  # hardly a change


def test_stated_start_must_fit() -> None:
    taper = Taper.model_validate(
        {
            "length": "60 mm",
            "to": {"shape": "round", "bore": "50 mm"},
            "from": {"shape": "round", "bore": "42 mm"},
        }
    )
    with pytest.raises(ValueError, match=r"starts from round 42.0 mm.*put a step between"):
        taper.elements(Station(SMALL, 1e-5))
    assert taper.elements(Station(Round(bore=0.042), 1e-5))
    assert taper.section_out(SMALL) == LARGE
