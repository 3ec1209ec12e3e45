"""Cores and islands of the former: they bound the bundle, and leave nothing else open."""

from dataclasses import replace

import numpy as np
import pytest
from drawing_checks import dense, each_layout
from layouts import lantern_layout
from shapely import Point, Polygon, unary_union

from geometry.curves.curve import circle, polyline
from geometry.drawing.coil_drawing import FLANGE, former_outlines, former_radius
from geometry.drawing.primitives import Circle, Path
from geometry.fit.judge import bundle_polygon, coil_polygons


def filled(shape: Path | Circle) -> Polygon:
    curve = circle(shape.center, shape.radius) if isinstance(shape, Circle) else shape.curve
    points = polyline(curve, step=1e-4, sagitta=1e-9)
    return Polygon(np.column_stack((points.real, points.imag)))


@each_layout
def test_cores_fill_the_holes_and_share_nothing_with_the_coils(layout):
    if not layout.topology.concentrated:
        return
    cores = [filled(shape) for shape in former_outlines(layout)]
    coils = coil_polygons(layout)
    assert len(cores) == len(coils) == layout.coils
    shared = unary_union(cores).intersection(unary_union(coils)).area
    assert shared < 1e-4 * sum(core.area for core in cores)  # the judge's polygons are chords
    assert sum(core.area for core in cores) == pytest.approx(
        sum(Polygon(coil.interiors[0]).area for coil in coils), rel=1e-4
    )


@pytest.mark.parametrize("layout", [lantern_layout(), dense("serpentine")])
def test_the_channel_of_a_serpentine_is_the_judges_bundle(layout):
    rim, outside, inside, bore = (filled(shape) for shape in former_outlines(layout))
    channel = outside.difference(inside)
    assert channel.symmetric_difference(bundle_polygon(layout)).area < 1e-4 * channel.area
    islands = rim.difference(outside).union(inside.difference(bore))
    assert rim.difference(bore).difference(islands).area == pytest.approx(channel.area, rel=1e-6)
    assert abs(complex(*rim.exterior.coords[0])) == pytest.approx(former_radius(layout))
    assert former_radius(layout) == layout.winding.outer_radius + FLANGE


def test_a_round_coil_without_a_hole_has_no_core():
    assert former_outlines(lantern_layout("round", width=0.012)) == []


def test_the_other_sides_cores_are_mirrored():
    layout = lantern_layout("wedge")
    both = replace(layout, carrier=replace(layout.carrier, arrangement="two-sided"))
    here, there = (former_outlines(both, side) for side in (0, 1))
    ours = unary_union([filled(shape) for shape in here])
    theirs = unary_union([filled(shape) for shape in there])
    assert ours.symmetric_difference(theirs).area < 1e-9  # eight alike lie as their mirror image does
    assert not ours.contains(Point(0, 0))
