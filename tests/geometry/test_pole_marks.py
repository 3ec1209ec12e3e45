"""N, S and their signs stand clear of every other line; shapely measures, the drawing's own distances do not."""

from math import pi

import numpy as np
import pytest
from drawing_checks import dense, stretches
from family import nine_wedges, six_wedges, twelve_rounds
from layouts import lantern_layout
from shapely import LineString, MultiLineString, box, unary_union

from geometry.curves.curve import Arc, Line
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.pole_marks import FAINT, Lines
from geometry.drawing.primitives import CHARACTER_WIDTH, Circle, Drawing, Layer, Path, Text, segment
from geometry.machine.layout import Layout
from geometry.stock.magnet import DiscMagnet, RingMagnet
from geometry.stock.magnet_shapes import ArcMagnet, BlockMagnet

MARKS = ("POLES_NORTH", "POLES_SOUTH")


def disc(diameter: float, thickness: float = 0.004) -> DiscMagnet:
    return DiscMagnet.of_grade(diameter=diameter, thickness=thickness, grade="N42")


def pair_of_rounds(**changes) -> Layout:
    """Two round coils whose cores are smaller than a letter, their starts on the magnets' own rays."""
    sizes = {
        "inner_radius": 0.00958,
        "outer_radius": 0.03,
        "width": 0.00682,
        "pitch_radius": 0.02029,
        "count": 2,
    }
    space = {"outer_diameter": 0.06, "bore_diameter": 0.008}
    return lantern_layout("round", **(sizes | space | changes))


def coin_sized(**changes) -> Layout:
    """Ten wedges on a disc of 25 mm: pegs and edges leave no room on magnets of 5 mm."""
    sizes = {
        "inner_radius": 0.00562,
        "outer_radius": 0.0125,
        "width": 0.00201,
        "peg_radius": 0.0005,
        "count": 10,
    }
    space = {"outer_diameter": 0.025, "bore_diameter": 0.003, "wall": 0.0006, "pitch_radius": 0.00926}
    return lantern_layout("wedge", magnet=disc(0.005, 0.001), **(sizes | space | changes))


def crowded_wedges(**changes) -> Layout:
    """Sixteen wedges around a wide bore: nothing is left inside the winding."""
    sizes = {"count": 16, "inner_radius": 0.036, "outer_radius": 0.0549, "pitch_radius": 0.0455}
    return lantern_layout("wedge", bore_diameter=0.070, **(sizes | changes))


RING = RingMagnet.of_grade(diameter=0.015, bore=0.008, thickness=0.004, grade="N42")
BLOCK = BlockMagnet.of_grade(length=0.02, width=0.01, thickness=0.004, grade="N42")
ARC = ArcMagnet.of_grade(inner_radius=0.03, outer_radius=0.048, angle_deg=30, thickness=0.004, grade="N42")
HIDDEN_BEFORE = {
    "pair of rounds": pair_of_rounds(),
    "coin-sized": coin_sized(),
    "dense round": dense("round"),
    "round": lantern_layout("round"),
    "nine wedges": nine_wedges(),
    "six wedges": six_wedges(),
    "twelve rounds": twelve_rounds(),
    "crowded wedges": crowded_wedges(),
    "rings": lantern_layout("wedge", magnet=RING),
    "blocks": lantern_layout("round", magnet=BLOCK),
    "arcs": lantern_layout("wedge", magnet=ARC, pitch_radius=0.039),
    "serpentine by the bore": lantern_layout(magnet=disc(0.02), bore_diameter=0.039),
}


def ink(layer: Layer) -> MultiLineString:
    """The lines of a layer, as shapely has them, m."""
    along = np.linspace(0, 1, 65)
    lines = [s.at(along if isinstance(s, Arc) else along[[0, -1]]) for s in stretches(layer)]
    return MultiLineString([np.column_stack((z.real, z.imag)) for z in lines])


def letters(drawing: Drawing) -> list[Text]:
    return [p for name in MARKS for p in drawing.layer(name).primitives if isinstance(p, Text)]


@pytest.mark.parametrize("name", HIDDEN_BEFORE)
def test_no_line_hides_a_pole(name):
    """Neither an edge of coil or core nor a start line nor a peg crosses a letter or comes to lie on its sign."""
    drawing = draw_layout(HIDDEN_BEFORE[name])
    layers = [layer for layer in drawing.layers if not layer.name.startswith((*MARKS, *FAINT))]
    lines = unary_union([ink(layer) for layer in layers])
    for letter in letters(drawing):
        half = 0.5 * CHARACTER_WIDTH * letter.height
        x, y = letter.position.real, letter.position.imag
        assert not lines.intersects(box(x - half, y, x + half, y + letter.height))
    for sign in (ink(drawing.layer(pole)) for pole in MARKS):
        assert lines.distance(sign) > 0.02e-3


@pytest.mark.parametrize("name", HIDDEN_BEFORE)
def test_letters_can_be_read(name):
    assert min(letter.height for letter in letters(draw_layout(HIDDEN_BEFORE[name]))) >= 1.5e-3


def test_two_magnets_have_their_marks_side_by_side_inside_the_winding():
    for letter in letters(draw_layout(pair_of_rounds())):
        assert letter.height == pytest.approx(0.26 * 0.015)
        assert 0.004 < abs(letter.position + 0.5j * letter.height) < 0.00958


def test_where_every_spot_is_crossed_letters_are_still_drawn_to_be_read():
    texts = letters(draw_layout(coin_sized(bore_diameter=0.0105)))
    assert len(texts) == 10
    assert [text.height for text in texts] == pytest.approx([0.26 * 0.005] * 10)


def test_distances_to_lines_and_arcs():
    half = Path((Arc(0j, 1.0, 0.0, pi),))
    lines = Lines.of([segment(2.0, 4.0), half, Circle(10j, 1.0), Text("NN", 20 + 0j, 1.0)])
    places = np.array([3 + 0.5j, 5.0, 0.5j, -1j, 10j, 9j + 0.1, 20 + 0.1j])
    expected = [0.5, 1.0, 0.5, 2**0.5, 1.0, abs(9j + 0.1 - 10j) - 1.0, 0.4]
    assert lines.clearance(places) == pytest.approx([abs(value) for value in expected])
    assert lines.turned(1j).clearance(1j * places[:6]) == pytest.approx(lines.clearance(places[:6]))
    near = lines.near(3 + 0j, 0.5)
    assert (len(near.starts), len(near.radii)) == (1, 0)
    assert Lines.of([]).clearance(np.array([0j]))[0] == np.inf


def test_lines_touch_where_shapely_says_so():
    """Against shapely, for points all over a drawing."""
    drawing = draw_layout(lantern_layout("wedge"))
    layer = drawing.layer("COIL_OUTLINE")
    rng = np.random.default_rng(7)
    places = 0.06 * (rng.uniform(-1, 1, 50) + 1j * rng.uniform(-1, 1, 50))
    measured = [ink(layer).distance(LineString([(z.real, z.imag)] * 2)) for z in places]
    assert Lines.of(layer.primitives).clearance(places) == pytest.approx(measured, abs=3e-5)
    assert any(isinstance(stretch, Line) for stretch in stretches(layer))
