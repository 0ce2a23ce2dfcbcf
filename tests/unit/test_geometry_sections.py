"""Sections: closed forms, limits of one shape to another, files, errors."""

from __future__ import annotations

import math
import pickle
import subprocess
import sys

import numpy as np
import pytest
from pydantic import TypeAdapter, ValidationError
from scipy import special

from pulse1d.geometry.friction import friction_multiplier
from pulse1d.geometry.round_shapes import second_integral
from pulse1d.geometry.sections import (
    SECTIONS,
    DShape,
    Ellipse,
    Oval,
    Polygon,
    Rectangle,
    Round,
    Section,
    SectionBase,
    Tube,
    scaled,
)
from pulse1d.spec import FROM_TEXT

EXACT = 1e-12
"""Closed forms in double precision: a few operations, so 1e-12 is far above their round-off."""

PI = math.pi
CLOSED_FORMS: list[tuple[SectionBase, float, float]] = [
    (Round(bore=2.0), PI, 2.0 * PI),
    (Tube(od=2.2, wall=0.1), PI, 2.0 * PI),
    (Oval(width=5.0, height=2.0), PI + 6.0, 2.0 * PI + 6.0),
    (Oval(width=2.0, height=5.0), PI + 6.0, 2.0 * PI + 6.0),
    # 4 E(m = 3/4) = 4.844224110273838, E from Abramowitz & Stegun table 17.1 (from memory).
    (Ellipse(width=2.0, height=1.0), 0.5 * PI, 4.844224110273838),
    (Ellipse(width=1.0, height=2.0), 0.5 * PI, 4.844224110273838),
    (DShape(width=2.0, height=3.0), 0.5 * PI + 4.0, PI + 6.0),
    (DShape(width=2.0, height=1.0), 0.5 * PI, PI + 2.0),
    (DShape(width=4.0, height=1.0), PI, 4.844224110273838 + 4.0),
    (
        DShape(width=4.0, height=5.0, corner_radius=1.0),
        2.0 * PI + 12.0 - (2.0 - 0.5 * PI),
        2.0 * PI + 4.0 + 2.0 + PI,
    ),
    (Rectangle(width=3.0, height=2.0), 6.0, 10.0),
    (Rectangle(width=4.0, height=3.0, corner_radius=1.0), 8.0 + PI, 6.0 + 2.0 * PI),
    (Polygon(points=((0.0, 0.0), (4.0, 0.0), (0.0, 3.0))), 6.0, 12.0),
    (Polygon(points=((0.0, 3.0), (4.0, 0.0), (0.0, 0.0), (0.0, 3.0))), 6.0, 12.0),
]
SHAPES = [row[0] for row in CLOSED_FORMS]


@pytest.mark.parametrize(("section", "area", "perimeter"), CLOSED_FORMS)
def test_area_and_perimeter_are_closed_forms(
    section: SectionBase, area: float, perimeter: float
) -> None:
    assert section.area == pytest.approx(area, rel=EXACT)
    assert section.perimeter == pytest.approx(perimeter, rel=EXACT)
    assert section.D_h == pytest.approx(4.0 * area / perimeter, rel=EXACT)
    assert 0.25 * PI * section.D_eq**2 == pytest.approx(area, rel=EXACT)


@pytest.mark.parametrize("section", SHAPES)
def test_outline_is_the_section(section: SectionBase) -> None:
    outline = section.outline()
    assert outline.is_valid
    assert outline.exterior.is_ccw
    assert outline.area == pytest.approx(section.area, rel=EXACT)
    # Chords: the perimeter error falls as (2 pi / n)^2 / 24 times the curvature, 1.5e-6 at 1000.
    assert section.outline(1000).length == pytest.approx(section.perimeter, rel=5e-6)
    width, height = section.extent
    box = 0.5 * np.array([-width, -height, width, height])
    # Quadrant points lie on the true curve, so the box is exact to round-off of one metre sizes.
    assert np.allclose(outline.bounds, box, rtol=0.0, atol=EXACT)


@pytest.mark.parametrize("section", [s for s in SHAPES if not isinstance(s, Polygon)])
def test_rounded_outline_is_convex(section: SectionBase) -> None:
    outline = section.outline(24)
    # A dent would show as hull area above outline area; EXACT is round-off of the hull.
    assert outline.convex_hull.area == pytest.approx(outline.area, rel=EXACT)


def same(a: SectionBase, b: SectionBase) -> None:
    """Area, perimeter, friction and outline agree."""
    for name in ("area", "perimeter", "D_h", "friction_shape"):
        # The limits are exact; EXACT is round-off.
        assert getattr(a, name) == pytest.approx(getattr(b, name), rel=EXACT)
    # sqrt of round-off: two coincident outlines differ by slivers of round-off only.
    assert a.outline().symmetric_difference(b.outline()).area < 1e-12 * b.area


@pytest.mark.parametrize(
    "section",
    [
        Tube(od=0.044, wall=0.002),
        Oval(width=0.04, height=0.04),
        Ellipse(width=0.04, height=0.04),
        Rectangle(width=0.04, height=0.04, corner_radius=0.02),
        DShape(width=0.04, height=0.04, corner_radius=0.02),
    ],
)
def test_shapes_meet_the_circle(section: SectionBase) -> None:
    same(section, Round(bore=0.04))


def test_rounded_shapes_meet_the_oval() -> None:
    same(Rectangle(width=0.05, height=0.03, corner_radius=0.015), Oval(width=0.05, height=0.03))
    same(DShape(width=0.03, height=0.05, corner_radius=0.015), Oval(width=0.03, height=0.05))


def test_low_d_has_a_flattened_roof_and_no_sides() -> None:
    low = DShape(width=0.04, height=0.016, corner_radius=0.004)
    assert low.rise == pytest.approx(0.012, rel=EXACT)
    high = DShape(width=0.04, height=0.030, corner_radius=0.004)
    assert high.rise == 0.02
    # The two definitions meet where the half circle just fits: height = width / 2 + radius.
    below = DShape(width=0.04, height=0.024 - 1e-9, corner_radius=0.004)
    above = DShape(width=0.04, height=0.024 + 1e-9, corner_radius=0.004)
    # 2 nm of height is 1e-7 of the height, and moves area and perimeter by about that.
    assert below.area == pytest.approx(above.area, rel=2e-7)
    assert below.perimeter == pytest.approx(above.perimeter, rel=2e-7)


def test_friction_follows_the_rectangle_table() -> None:
    table = {1.0: 1.0, 0.8: 1.01, 0.6: 1.02, 0.4: 1.04, 0.2: 1.06, 0.1: 1.08}
    for aspect, factor in table.items():
        flat = Rectangle(width=0.05, height=0.05 * aspect)
        # The aspect is a quotient of two products: round-off moves the factor by 1e-16 or so.
        assert flat.friction_shape == pytest.approx(factor, rel=EXACT)
        for between in (Oval, Ellipse):
            section = between(width=0.05, height=0.05 * aspect)
            assert 1.0 <= section.friction_shape <= flat.friction_shape
    assert friction_multiplier(0.0, 1.0) == 1.10
    # A very flat oval is a pair of plates but for its ends, a share of 2e-4.
    assert Oval(width=5.0, height=0.001).friction_shape == pytest.approx(1.10, abs=1e-4)


def test_friction_of_a_d_lies_between_round_and_rectangle() -> None:
    # A half disc is all roof, which counts as round; a very low D tends to half the correction.
    assert DShape(width=0.04, height=0.02).friction_shape == pytest.approx(1.0, rel=EXACT)
    low = DShape(width=4.0, height=0.001)
    # rise / width = 2.5e-4 is what is missing from the limit of 0.5 (times 0.1).
    assert low.friction_shape == pytest.approx(1.05, abs=1e-4)
    tall = DShape(width=0.02, height=0.04)
    flat = Rectangle(width=0.02, height=0.04)
    assert 1.0 < tall.friction_shape < flat.friction_shape
    # Upright sides hold 3/4 of the height; the roof above them is round.
    share = 0.03 / (0.03 + 0.25 * PI * 0.01)
    excess = flat.friction_shape - 1.0
    assert tall.friction_shape == pytest.approx(1.0 + share * excess, rel=EXACT)


def test_friction_of_an_outline_does_not_depend_on_how_it_lies() -> None:
    level = np.array([(0.0, 0.0), (0.06, 0.0), (0.06, 0.02), (0.0, 0.02)])
    c, s = math.cos(0.6), math.sin(0.6)
    turned = level @ np.array([[c, s], [-s, c]])
    one, two = (Polygon(points=tuple(map(tuple, p))) for p in (level, turned))
    # Radii of gyration are exact for polygons, so both are round-off.
    assert one.aspect == pytest.approx(1.0 / 3.0, rel=EXACT)
    assert two.aspect == pytest.approx(1.0 / 3.0, rel=EXACT)
    # A fine outline of an ellipse is as slender as the ellipse: chords are affine to a circle's.
    ring = Ellipse(width=0.05, height=0.02).contour(360)
    traced = Polygon(points=tuple((float(x) + 0.1, float(y) - 0.2) for x, y in ring))
    assert traced.aspect == pytest.approx(0.4, rel=EXACT)
    assert traced.friction_shape == pytest.approx(1.02, rel=EXACT)


@pytest.mark.parametrize(("aspect", "flatness"), [(1.2, 0.5), (-0.1, 0.5), (0.5, 1.5)])
def test_friction_refuses_out_of_range(aspect: float, flatness: float) -> None:
    with pytest.raises(ValueError, match="must lie within 0"):
        friction_multiplier(aspect, flatness)


@pytest.mark.parametrize(
    ("make", "remedy"),
    [
        (lambda: Tube(od=0.02, wall=0.01), "wall below half"),
        (lambda: Round(bore=0.0), "greater than 0"),
        (lambda: Oval(width=0.02, height=-0.01), "greater than 0"),
        (lambda: Rectangle(width=0.04, height=0.02, corner_radius=0.011), "at most 10 mm"),
        (lambda: DShape(width=0.04, height=0.05, corner_radius=0.021), "at most half the width"),
        (lambda: DShape(width=0.04, height=0.01, corner_radius=0.01), "less than the height"),
        (lambda: Polygon(points=((0, 0), (1, 0), (0, 0))), "3 different points"),
        (lambda: Polygon(points=((0, 0), (1, 1), (1, 0), (0, 1))), "once round, in order"),
        (lambda: Polygon(points=((0, 0), (1, 0), (2, 0))), "once round, in order"),
        (lambda: scaled(Round(bore=0.02), 0.0), "above 0"),
        (lambda: Round(bore=0.02).outline(8), "12 or more"),
    ],
)
def test_errors_tell_the_remedy(make: object, remedy: str) -> None:
    with pytest.raises(ValueError, match=remedy):
        make()  # type: ignore[operator]


def test_corner_radius_may_equal_half_the_side_in_other_units() -> None:
    mixed = {"width": "3 in", "height": "1.3 in", "corner radius": "16.51 mm"}
    assert Rectangle.model_validate(mixed).corner_radius == pytest.approx(0.01651, rel=EXACT)


def test_sections_are_read_from_text_by_shape() -> None:
    adapter: TypeAdapter[Section] = TypeAdapter(Section)
    rows = [
        ({"shape": "round", "bore": "1.5 in"}, Round(bore=0.0381)),
        ({"shape": "tube", "od": "44.5 mm", "wall": "1.65 mm"}, Tube(od=0.0445, wall=0.00165)),
        (
            {"shape": "D", "width": "4 cm", "height": "30 mm", "corner radius": "5 mm"},
            DShape(width=0.04, height=0.03, corner_radius=0.005),
        ),
        (
            {"shape": "polygon", "points": [["0 mm", "0 mm"], ["9 mm", "0 mm"], ["0 mm", "9 mm"]]},
            Polygon(points=((0.0, 0.0), (0.009, 0.0), (0.0, 0.009))),
        ),
    ]
    for text, expected in rows:
        section = adapter.validate_python(text, context=FROM_TEXT)
        assert type(section) is type(expected)
        # Unit conversion is one product; EXACT is its round-off.
        assert section.area == pytest.approx(expected.area, rel=EXACT)
    for bad in (
        {"shape": "round", "bore": 38},
        {"shape": "heart"},
        {"shape": "D", "widht": "1 mm"},
    ):
        with pytest.raises(ValidationError):
            adapter.validate_python(bad, context=FROM_TEXT)
    assert {section.model_fields["shape"].default for section in SECTIONS} == {
        "round", "tube", "oval", "ellipse", "D", "rectangle", "polygon"
    }  # fmt: skip


def test_cached_areas_do_not_leak() -> None:
    section = Round(bore=0.04)
    area = section.area
    assert section == Round(bore=0.04)
    assert hash(section) == hash(Round(bore=0.04))
    assert section.model_dump() == {"shape": "round", "bore": 0.04}
    # Four times the area of half the bore, to round-off.
    assert section.model_copy(update={"bore": 0.08}).area == pytest.approx(4.0 * area, rel=EXACT)
    assert pickle.loads(pickle.dumps(section)) == section
    with pytest.raises(ValidationError):
        section.bore = 0.05  # type: ignore[misc]
    with pytest.raises(ValidationError):
        section.model_copy(update={"bore": -1.0})


def test_scaled_tube_keeps_its_proportions() -> None:
    tube = scaled(Tube(od=0.0445, wall=0.00165), 2.0)
    assert (tube.od, tube.wall) == (0.089, 0.0033)
    # A difference of two doubled numbers: round-off.
    assert tube.bore == pytest.approx(2.0 * 0.0412, rel=EXACT)


def test_descriptions() -> None:
    assert Round(bore=0.038).describe() == "round 38.0 mm"
    assert Round(bore=0.00125).describe() == "round 1.25 mm"
    assert Tube(od=0.0445, wall=0.00165).describe() == "tube 44.5 x 1.65 mm (bore 41.2 mm)"
    assert Oval(width=0.044, height=0.032).describe() == "oval 44 x 32 mm"
    assert Ellipse(width=0.044, height=0.032).describe() == "ellipse 44 x 32 mm"
    assert DShape(width=0.04, height=0.03).describe() == "D 40 x 30 mm"
    rounded = Rectangle(width=0.04, height=0.03, corner_radius=0.004)
    assert rounded.describe() == "rectangle 40 x 30 mm, corners 4 mm"
    triangle = Polygon(points=((0.0, 0.0), (0.04, 0.0), (0.0, 0.03)))
    assert triangle.describe() == "outline 40 x 30 mm of 3 points"


def test_import_is_light() -> None:
    code = (
        "import sys, pulse1d.geometry.sections, pulse1d.geometry.outlines\n"
        "print({'shapely', 'scipy', 'pint'} & set(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "set()"


@pytest.mark.parametrize("aspect", [1.0, 0.9, 0.5, 0.1, 1e-3, 1e-6])
def test_elliptic_integral_is_that_of_scipy(aspect: float) -> None:
    # both are computed to round-off; a few steps of the mean leave some units of the last place
    known = special.ellipe(1.0 - aspect**2)
    assert second_integral(aspect) == pytest.approx(known, rel=1e-14)
