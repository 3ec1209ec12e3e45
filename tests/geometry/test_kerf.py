from math import pi

import numpy as np
import pytest
from layouts import lantern_layout
from shapely import Polygon

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import Arc, Line, polyline, reversed_curve
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.offset import TooFar, offset_outline, surrounds, with_kerf
from geometry.drawing.primitives import Circle, Path, Text, enclosed_area, outline, point, polygon
from geometry.stock.magnet import DiscMagnet
from geometry.writers.dxf import dxf_bytes

KERF = 0.2e-3
SQUARE = polygon([0, 0.01, 0.01 + 0.01j, 0.01j])
each_topology = pytest.mark.parametrize("topology", TOPOLOGIES)


def dense(topology: str):
    """Many poles: narrow cores and islands."""
    magnet = DiscMagnet.of_grade(diameter=0.006, thickness=0.003, grade="N42")
    inner = {"serpentine": 0.0225, "round": 0.0445}.get(topology, 0.0295)
    bundle = {"inner_radius": inner, "outer_radius": 0.054, "width": 0.002, "turns": 10}
    return lantern_layout(topology, count=24, magnet=magnet, pitch_radius=0.044, **bundle)


def shape(curve) -> Polygon:
    points = polyline(curve, step=1e-4, sagitta=1e-9)
    return Polygon(np.column_stack((points.real, points.imag)))


def radii(drawing, name):
    return [p.radius for p in drawing.layer(name).primitives]


def radii_of_circles(drawing, name):
    return [p.radius for p in drawing.layer(name).primitives if isinstance(p, Circle)]


@each_topology
def test_edges_grow_and_holes_shrink_by_half_the_kerf(topology):
    drawing = draw_layout(lantern_layout(topology))
    cut = with_kerf(drawing, KERF)
    half = KERF / 2
    assert radii(cut, "CARRIER_OUTLINE") == pytest.approx([0.055 + half, 0.015 - half], abs=1e-12)
    for name in ("POCKETS_NORTH", "POCKETS_SOUTH"):
        assert radii(cut, name) == pytest.approx([0.0075 - half] * 4, abs=1e-12)
    if topology == "round":
        assert radii(cut, "FORMER") == pytest.approx([r + half for r in radii(drawing, "FORMER")], abs=1e-12)
    for name in ("COIL_OUTLINE", "TURN_PATH", "PITCH_CIRCLE", "CHECK_LINE", "CONNECTIONS"):
        assert cut.layer(name) == drawing.layer(name)


@pytest.mark.slow
@pytest.mark.parametrize("topology", ["serpentine", "wedge", "racetrack"])
def test_cores_and_islands_grow_as_shapelys_buffer_does(topology):
    """Area and place against an independent offset; its chords cost 1e-5 of the area. The channel gets narrower."""
    drawing = draw_layout(dense(topology))
    cut = with_kerf(drawing, KERF)
    former = zip(drawing.layer("FORMER").primitives, cut.layer("FORMER").primitives, strict=True)
    paths = [(before, after) for before, after in former if isinstance(before, Path)]
    aside = [-KERF / 2, KERF / 2] if topology == "serpentine" else [KERF / 2] * 24
    for (before, after), distance in zip(paths, aside, strict=True):
        expected = shape(before.curve).buffer(distance, quad_segs=256)
        assert shape(after.curve).symmetric_difference(expected).area < 3e-5 * expected.area
    if topology == "serpentine":
        rim, bore = radii_of_circles(cut, "FORMER")
        assert (rim, bore) == pytest.approx((0.059 + KERF / 2, 0.015 - KERF / 2), abs=1e-12)


SHAPES = {
    "square": SQUARE.curve,
    "clockwise": reversed_curve(SQUARE.curve),
    "notched": polygon([0, 0.02, 0.02 + 0.02j, 0.012 + 0.02j, 0.01 + 0.008j, 0.008 + 0.02j, 0.02j]).curve,
    "slot": (
        Line(0, 0.02),
        Arc(0.02 + 0.005j, 0.005, -pi / 2, pi),
        Line(0.02 + 0.01j, 0.01j),
        Line(0.01j, 0),
    ),
    "bite": (
        Line(0, 0.02),
        Line(0.02, 0.02 + 0.02j),
        Line(0.02 + 0.02j, 0.016 + 0.02j),
        Arc(0.01 + 0.02j, 0.006, 0.0, -pi),
        Line(0.004 + 0.02j, 0.02j),
        Line(0.02j, 0),
    ),
    "half disc": (Line(-0.01, 0.01), Arc(0j, 0.01, 0.0, pi)),
}


@pytest.mark.parametrize("distance", [3e-4, -3e-4])
@pytest.mark.parametrize("name", SHAPES)
def test_offsets_agree_with_shapely(name, distance):
    curve = SHAPES[name]
    moved = offset_outline(Path(curve, closed=True), distance)
    expected = shape(curve).buffer(distance, quad_segs=512, join_style="round")
    assert shape(moved.curve).symmetric_difference(expected).area < 1e-5 * expected.area
    ends = [(point(s.at(0)), point(s.at(1))) for s in moved.curve]
    assert all(abs(a[1] - b[0]) < 1e-9 for a, b in zip(ends, ends[1:] + ends[:1], strict=True))


def test_a_square_grows_by_its_edge_and_round_corners():
    grown = offset_outline(SQUARE, 1e-3)
    assert [type(s) for s in grown.curve] == [Line, Arc] * 4
    assert enclosed_area(outline(grown.curve).curve) == pytest.approx(1e-4 + 4e-5 + pi * 1e-6, abs=2e-8)
    shrunk = offset_outline(SQUARE, -1e-3)
    assert enclosed_area(shrunk.curve) == pytest.approx(64e-6, rel=1e-12)


def test_what_would_vanish_is_refused():
    half_disc = Path(SHAPES["half disc"], closed=True)
    for gone, distance in ((SQUARE, -0.006), (Circle(0j, 1e-3), -1e-3), (half_disc, -0.02)):
        with pytest.raises(TooFar):
            offset_outline(gone, distance)
    small = DiscMagnet.of_grade(diameter=0.004, thickness=0.003, grade="N42")
    with pytest.raises(ValueError, match=r"leave something of each outline in POCKETS_NORTH, was 4\.5 mm"):
        with_kerf(draw_layout(lantern_layout(magnet=small)), 4.5e-3)


def test_surrounds_tells_in_from_out():
    assert surrounds(SQUARE, 0.005 + 0.005j)
    assert not surrounds(SQUARE, 0.011 + 0.005j)
    assert surrounds(Circle(1j, 1.0), 1.5j)
    assert not surrounds(Circle(1j, 1.0), -0.5j)


@pytest.mark.parametrize("kerf", [-1e-4, 0.006, float("nan"), float("inf")])
def test_a_kerf_that_cannot_be_is_refused(kerf):
    with pytest.raises(ValueError, match="kerf must be from 0 to 5 mm, was "):
        with_kerf(draw_layout(lantern_layout()), kerf)


def test_no_kerf_no_change():
    drawing = draw_layout(lantern_layout())
    assert with_kerf(drawing, 0.0) is drawing


def test_a_note_says_so_and_files_differ():
    drawing = draw_layout(lantern_layout())
    cut = with_kerf(drawing, KERF)
    texts = [p for p in cut.layer("CAPTION").primitives if isinstance(p, Text)]
    assert texts[-1].text == "Rim, bore, pockets and former are moved for a kerf of 0.2 mm"
    assert texts[-1].position.imag < texts[-2].position.imag
    assert dxf_bytes(cut) != dxf_bytes(drawing)
