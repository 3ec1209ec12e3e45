import re
from cmath import exp, pi
from xml.etree import ElementTree

import numpy as np
import pytest
from layouts import lantern_layout
from shapely import Polygon

from geometry.coils.topology import TOPOLOGIES
from geometry.curves.curve import polyline
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import drawing_bounds
from geometry.writers.svg import svg_text

SVG = "{http://www.w3.org/2000/svg}"
each_topology = pytest.mark.parametrize("topology", TOPOLOGIES)


def document(layout):
    return ElementTree.fromstring(svg_text(draw_layout(layout)))


def group(root, name):
    return next(g for g in root.iter(f"{SVG}g") if g.get("id") == name)


def path_points(data):
    """Dense points along a path's data, in its own frame (y downwards)."""
    position, points = 0j, []
    for letter, numbers in re.findall(r"([MLAZ])([^MLAZ]*)", data):
        values = [float(number) for number in numbers.split()]
        if letter == "Z":
            continue
        end = complex(*values[-2:])
        points.extend(arc_points(position, end, values) if letter == "A" else [end])
        position = end
    return np.array(points)


def arc_points(start, end, values):
    """By the end point rule of the SVG specification (appendix on implementing arcs)."""
    radius, large, sweep = values[0], values[3], values[4]
    assert values[0] == values[1]
    chord = end - start
    height = max(radius**2 - abs(chord) ** 2 / 4, 0.0) ** 0.5
    side = 1 if large != sweep else -1
    center = (start + end) / 2 + side * 1j * chord / abs(chord) * height
    turn = np.angle((end - center) / (start - center)) % (2 * pi)
    angle = turn if sweep else turn - 2 * pi
    return [center + (start - center) * exp(1j * angle * k / 1500) for k in range(1, 1501)]


def area(element):
    """mm²"""
    if element.tag == f"{SVG}circle":
        return pi * float(element.get("r")) ** 2
    assert element.get("d").endswith("Z")
    points = path_points(element.get("d"))
    return Polygon(np.column_stack((points.real, points.imag))).area


def turn_area(layout, offset):
    """Area in mm² from shapely, with chords so fine (1 nm) that they cost less than 1e-7 of it."""
    points = polyline(layout.topology.turn(layout.envelope, offset), step=1e-4, sagitta=1e-9)
    return Polygon(np.column_stack((points.real, points.imag)) * 1e3).area


@each_topology
def test_size_and_frame_are_true_millimetres(topology):
    layout = lantern_layout(topology)
    root, (low, high) = document(layout), drawing_bounds(draw_layout(layout))
    left, top, width, height = map(float, root.get("viewBox").split())
    assert float(root.get("width").removesuffix("mm")) == width
    assert float(root.get("height").removesuffix("mm")) == height
    assert left < low.real * 1e3
    assert top < -high.imag * 1e3
    assert left + width > high.real * 1e3
    assert top + height > -low.imag * 1e3


@each_topology
def test_one_titled_group_for_each_layer(topology):
    drawing = draw_layout(lantern_layout(topology))
    groups = document(lantern_layout(topology)).findall(f"{SVG}g")
    assert [g.get("id") for g in groups] == [layer.name for layer in drawing.layers]
    assert all(g.find(f"{SVG}title").text.startswith(g.get("id")) for g in groups)


@each_topology
def test_coil_outlines_enclose_the_layouts_areas(topology):
    layout = lantern_layout(topology)
    shapes = group(document(layout), "COIL_OUTLINE")[1:]
    half = layout.winding.width / 2
    expected = [turn_area(layout, half), turn_area(layout, -half)] * ((layout.coils + 1) // 2)
    assert [area(shape) for shape in shapes] == pytest.approx(expected, rel=1e-6)


@each_topology
def test_circles_have_the_layouts_radii(topology):
    root = document(lantern_layout(topology))
    for name, radii in {
        "CARRIER_OUTLINE": [55, 15],
        "PITCH_CIRCLE": [40],
        "POCKETS_SOUTH": [7.5] * 4,
    }.items():
        assert [float(c.get("r")) for c in group(root, name).iter(f"{SVG}circle")] == radii


def test_check_line_measures_50_mm():
    ends = [p.get("d") for p in group(document(lantern_layout()), "CHECK_LINE").iter(f"{SVG}path")]
    (x0, y0), (x1, y1) = (map(float, pair.split()) for pair in re.fullmatch(r"M(.*) L(.*)", ends[0]).groups())
    assert abs(complex(x1 - x0, y1 - y0)) == pytest.approx(50.0, abs=1e-9)


def test_up_is_up():
    """The second of eight magnets stands at 45° above the x axis and shows south; the notes are below."""
    root = document(lantern_layout())
    first = next(group(root, "POCKETS_SOUTH").iter(f"{SVG}circle"))
    assert float(first.get("cx")) == pytest.approx(40 / 2**0.5, abs=1e-6)
    assert float(first.get("cy")) == pytest.approx(-40 / 2**0.5, abs=1e-6)
    assert all(float(t.get("y")) > 55 for t in group(root, "CAPTION").iter(f"{SVG}text"))
    assert "transform" not in svg_text(draw_layout(lantern_layout()))


@pytest.mark.parametrize("title", ["<script>alert(1)</script> & more", "quotes \" and ' and ]]>", "Ω ⌀ é"])
def test_titles_cannot_become_markup(title):
    root = document(lantern_layout(title=title))
    assert root.find(f"{SVG}title").text == title
    assert next(group(root, "CAPTION").iter(f"{SVG}text")).text == title
    assert not list(root.iter(f"{SVG}script"))


def test_same_drawing_same_text_and_nothing_from_outside():
    text = svg_text(draw_layout(lantern_layout("wedge")))
    assert text == svg_text(draw_layout(lantern_layout("wedge")))
    assert text.count("http") == 1  # the namespace
    assert not re.search(r"[ \"]-0[ \"]|nan|inf\b|e-\d", text)
