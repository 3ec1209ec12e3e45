"""Pegs of the former, and cores of round coils."""

from math import pi, sin

import numpy as np
import pytest
from drawing_checks import dense, each_layout
from layouts import lantern_layout
from shapely import Point, Polygon, unary_union

from geometry.curve import circle, polyline
from geometry.overlap import coil_polygons
from geometry.pegs import peg_outlines, pegs
from geometry.primitives import (
    Circle,
    Path,
)


@each_layout
def test_pegs_stand_against_the_bundle_and_not_in_it(layout):
    coils = unary_union(coil_polygons(layout))
    for center, radius in pegs(layout):
        post = Point(center.real, center.imag)
        # 1 µm: the judge's polygons are chords, and two corners may turn about one peg
        assert post.distance(coils) == pytest.approx(radius, abs=1e-6)


@pytest.mark.parametrize(("topology", "count"), [("serpentine", 16), ("wedge", 32), ("round", 8)])
def test_number_of_pegs(topology, count):
    assert len(pegs(lantern_layout(topology))) == count


def test_round_cores_fill_the_holes():
    layout = lantern_layout("round")
    (radius,) = {round(radius, 12) for _, radius in pegs(layout)}
    assert radius == pytest.approx((0.05 - 0.03) / 2 - 0.004, abs=1e-12)


def test_a_round_coil_without_a_hole_has_no_core():
    assert pegs(lantern_layout("round", width=0.012)) == []


def test_coinciding_pegs_are_listed_once():
    """Inner legs so close that both inner corners turn about one peg: 24 outer pegs, 12 inner."""
    width, peg = 0.002, 0.0015
    center = (width / 2 + peg) / sin(pi / 24)
    inner = center - width - peg
    layout = lantern_layout(count=24, inner_radius=inner, outer_radius=0.054, width=width)
    radii = sorted(round(abs(z), 6) for z, _ in pegs(layout))
    assert len(radii) == 36
    assert radii[:12] == [round(center, 6)] * 12
    assert [type(p) for p in peg_outlines(layout)] == [Circle] * 36


@each_layout
def test_peg_outlines_cover_what_the_pegs_cover(layout):
    """Area of the outlines against shapely's union of discs, which lack 6e-6 of theirs."""
    union = unary_union([Point(z.real, z.imag).buffer(r, quad_segs=256) for z, r in pegs(layout)])
    area = 0.0
    for shape in peg_outlines(layout):
        curve = circle(shape.center, shape.radius) if isinstance(shape, Circle) else shape.curve
        points = polyline(curve, step=1e-4, sagitta=1e-9)
        area += Polygon(np.column_stack((points.real, points.imag))).area
    assert area == pytest.approx(union.area, rel=2e-5)


def test_overlapping_pegs_make_one_outline():
    shapes = peg_outlines(dense("serpentine"))
    assert sorted(type(shape).__name__ for shape in shapes) == ["Circle"] * 24 + ["Path"] * 12
    assert {len(shape.curve) for shape in shapes if isinstance(shape, Path)} == {2}
