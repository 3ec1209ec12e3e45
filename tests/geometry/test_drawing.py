from cmath import phase, rect
from dataclasses import replace
from itertools import combinations
from math import hypot, pi, sin

import numpy as np
import pytest
from drawing_checks import TOPOLOGIES, boxes, doubled, each_layout, stretches
from golden.canonical import differences, entities, read_golden
from layouts import lantern_layout
from shapely import Polygon

from geometry.coils.topology import sector_axes
from geometry.curves.curve import Arc, Line, circle, polyline
from geometry.drawing.layout_drawing import CUTTING, draw_layout
from geometry.drawing.offset import PARTS
from geometry.drawing.primitives import (
    Circle,
    Drawing,
    Path,
    Text,
    drawing_bounds,
    outline,
    point,
    polygon,
)
from geometry.fit.judge import bundle_polygon
from geometry.fit.rules import violations
from geometry.machine.filaments import phase_filaments
from geometry.stock.magnet import RingMagnet

LAYERS = [
    *("PITCH_CIRCLE", "CENTER_MARKS", "CARRIER_OUTLINE", "POCKETS_NORTH", "POCKETS_SOUTH", "FORMER"),
    *("COIL_OUTLINE", "COIL_OUTLINE_REVERSED", "TURN_PATH", "DIRECTION", "NUMBERS"),
    *("CONNECTIONS", "POLES_NORTH", "POLES_SOUTH", "CHECK_LINE", "CAPTION"),
]


@each_layout
def test_layouts_of_these_tests_fit(layout):
    assert not violations(layout)


@each_layout
def test_layers_have_stable_names(layout):
    assert [layer.name for layer in draw_layout(layout).layers] == LAYERS


@each_layout
def test_no_line_is_doubled_within_a_layer(layout):
    assert {y.name: doubled([y]) for y in draw_layout(layout).layers} == dict.fromkeys(LAYERS, 0)


def test_doubled_lines_are_found():
    """Eight touching wedges share eight edges, once the two layers of their outlines are thrown together."""
    drawing = draw_layout(lantern_layout("wedge"))
    assert doubled([drawing.layer("COIL_OUTLINE"), drawing.layer("COIL_OUTLINE_REVERSED")]) == 8
    once = drawing.layer("CARRIER_OUTLINE")
    assert doubled([once, once]) == 2


@each_layout
def test_layers_cut_together_have_no_doubled_line_and_the_drawing_names_them(layout):
    """Other layers may share lines with them, as a core's edge is its coil's, so all say what they are for."""
    drawing = draw_layout(layout)
    words = " ".join(t.text for t in drawing.layer("CAPTION").primitives if isinstance(t, Text))
    assert all(sentence in words for sentence in CUTTING)
    for names in PARTS[:2]:
        layers = [drawing.layer(name) for name in names]
        assert doubled(layers) == 0
        assert all(layer.description.endswith(", to cut") and layer.name in words for layer in layers)
    for name in ("COIL_OUTLINE", "COIL_OUTLINE_REVERSED"):
        assert drawing.layer(name).description.endswith(", for reference")


@each_layout
def test_paths_join_without_gaps_and_without_empty_stretches(layout):
    for layer in draw_layout(layout).layers:
        for path in (p for p in layer.primitives if isinstance(p, Path)):
            ends = [(point(s.at(0)), point(s.at(1))) for s in path.curve]
            following = ends[1:] + ends[:1] if path.closed else ends[1:]
            assert all(abs(a[1] - b[0]) < 1e-9 for a, b in zip(ends, following, strict=False))
            assert all(float(s.length) > 1e-8 for s in path.curve)


@each_layout
def test_coil_outlines_former_and_turns_are_closed(layout):
    drawing = draw_layout(layout)
    for name in ("COIL_OUTLINE", "COIL_OUTLINE_REVERSED", "TURN_PATH", "FORMER"):
        primitives = drawing.layer(name).primitives
        assert all(isinstance(p, Circle) or p.closed for p in primitives)
    edges = drawing.layer("COIL_OUTLINE").primitives + drawing.layer("COIL_OUTLINE_REVERSED").primitives
    assert len(edges) == 2 * layout.coils


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_golden_drawing(topology):
    assert differences(read_golden(topology), entities(draw_layout(lantern_layout(topology)))) == []


def test_golden_comparison_ignores_order_start_and_direction():
    drawn = entities(draw_layout(lantern_layout("wedge")))
    assert differences(drawn, drawn[::-1]) == []
    square = [0, 1e-3, 1e-3 + 1e-3j, 1e-3j]
    one, other = polygon(square), polygon([square[2], square[1], square[0], square[3]])
    style = draw_layout(lantern_layout()).layer("FORMER")
    as_entities = [
        entities(Drawing(title="", layers=(replace(style, primitives=(p,)),))) for p in (one, other)
    ]
    assert differences(*as_entities) == []


def test_golden_comparison_can_fail():
    golden = read_golden("serpentine")
    moved = entities(draw_layout(lantern_layout(peg_radius=0.001501)))
    assert any(line.startswith("missing: FORMER closed") for line in differences(golden, moved))
    assert differences(golden, golden[1:])[0].startswith("missing")
    assert differences(golden, [*golden, golden[0]])[0].startswith("new")
    renamed = entities(draw_layout(lantern_layout(title="Lanterm")))
    assert len(differences(golden, renamed)) == 2


@each_layout
def test_arrows_point_the_way_the_voltage_adds(layout):
    """Each chevron's point looks along the nearest piece of the exported filaments."""
    points = [polyline(f.curve, step=5e-4, sagitta=1e-6) for f in phase_filaments(layout) if f.turn == 0]
    starts = np.concatenate(points)
    along = np.concatenate([np.roll(z, -1) - z for z in points])
    arrows = [
        p
        for p in draw_layout(layout).layer("DIRECTION").primitives
        if isinstance(p, Path) and len(p.curve) == 2
    ]
    assert len(arrows) == layout.topology.half_turns(layout.carrier.count)
    for arrow in arrows:
        tip = point(arrow.curve[0].at(1))
        forward = tip - (point(arrow.curve[0].at(0)) + point(arrow.curve[1].at(1))) / 2
        nearest = np.argmin(np.abs(starts - tip))
        assert (forward * along[nearest].conjugate()).real > 0.8 * abs(forward) * abs(along[nearest])


@each_layout
def test_poles_alternate_from_north_on_the_x_axis(layout):
    drawing, carrier = draw_layout(layout), layout.carrier
    axes = sector_axes(carrier.count)
    for name, letter, first in (("NORTH", "N", 0), ("SOUTH", "S", 1)):
        pockets = drawing.layer(f"POCKETS_{name}").primitives
        centers = [rect(carrier.pitch_radius, angle) for angle in axes[first::2]]
        assert [p.radius for p in pockets] == [carrier.magnet.diameter / 2] * (carrier.count // 2)
        assert np.allclose([p.center for p in pockets], centers, atol=1e-12)
        letters = [p for p in drawing.layer(f"POLES_{name}").primitives if isinstance(p, Text)]
        assert [p.text for p in letters] == [letter] * len(centers)
        for text, center in zip(letters, centers, strict=True):
            middle = (text.position + 0.5j * text.height) / center
            assert abs(phase(middle)) < 0.3 * pi / carrier.count
            assert layout.space.bore_radius < abs(middle * center) < layout.space.outer_radius
    signs = [{type(p) for p in drawing.layer(f"POLES_{n}").primitives} for n in ("NORTH", "SOUTH")]
    assert signs == [{Text, Path}, {Text, Path, Circle}]


def test_poles_are_marked_inside_the_winding_where_edges_would_hide_them():
    layout = lantern_layout("wedge", count=16, inner_radius=0.036, outer_radius=0.0549, pitch_radius=0.0455)
    drawing = draw_layout(layout)
    for name in ("POLES_NORTH", "POLES_SOUTH"):
        letters = [p for p in drawing.layer(name).primitives if isinstance(p, Text)]
        assert len(letters) == 8
        assert all(0.0305 < abs(p.position + 0.5j * p.height) < 0.034 for p in letters)


@each_layout
def test_texts_keep_clear_of_each_other_and_notes_of_the_disc(layout):
    drawing = draw_layout(layout)
    for (x0, y0, x1, y1), (u0, v0, u1, v1) in combinations(boxes(drawing), 2):
        assert x1 <= u0 or u1 <= x0 or y1 <= v0 or v1 <= y0
    disc = max(layout.space.outer_radius, layout.winding.outer_radius)
    notes = Drawing(title="", layers=tuple(drawing.layer(name) for name in ("CHECK_LINE", "CAPTION")))
    assert drawing_bounds(notes)[1].imag < -disc


def test_captions_say_what_one_must_know():
    texts = [t.text for t in draw_layout(lantern_layout()).layer("CAPTION").primitives]
    assert texts[0] == "Lantern"
    assert "Magnets seen from the coil side; N/S is the face toward the coil" in texts
    scale = [
        p.text for p in draw_layout(lantern_layout()).layer("CHECK_LINE").primitives if isinstance(p, Text)
    ]
    assert any("millimetres" in t and "Scale 1:1" in t for t in scale)
    assert any(t.startswith("8 magnets, discs 15 × 4 mm") for t in texts)


def test_titles_of_any_length_and_kind_become_lines():
    layout = lantern_layout(title="A\tlong \x07 title\n" * 40)
    low, high = drawing_bounds(draw_layout(layout))
    texts = [t.text for t in draw_layout(layout).layer("CAPTION").primitives]
    assert "".join(texts).startswith("A long  titleA long".replace("eA", "e A"))
    assert all(text.isprintable() for text in texts)
    assert high.real - low.real < 0.15
    assert draw_layout(lantern_layout(title=" ")).layer("CAPTION").primitives[0].text.startswith("Serpentine")


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_a_layout_that_does_not_fit_is_drawn_all_the_same(topology):
    layout = lantern_layout(topology, width=0.02)
    assert violations(layout)
    assert all(np.isfinite(drawing_bounds(draw_layout(layout))))


def test_outline_joins_arcs_and_drops_what_has_no_length():
    half = [Arc(0j, 0.01, 0.0, pi / 2), Line(0.01j, 0.01j), Arc(0j, 0.01, pi / 2, pi / 2)]
    full = outline([*half, Arc(0j, 0.01, pi, pi)])
    assert full == Circle(0j, 0.01)
    moon = outline([*half, Line(-0.01, 0.01)])
    assert isinstance(moon, Path)
    assert [type(s) for s in moon.curve] == [Arc, Line]
    assert float(moon.curve[0].sweep) == pytest.approx(pi)
    around = outline([half[2], Line(-0.01, 0.01), half[0]])
    assert isinstance(around, Path)
    assert [float(s.length) for s in around.curve] == pytest.approx([0.01 * pi, 0.02])
    assert outline([half[1], Arc(0j, 0.0, 0.0, pi)]) is None


@each_layout
def test_bounds_hold_everything_and_no_more(layout):
    """The circle and arc extremes against dense points; texts left out."""
    drawing = draw_layout(layout)
    bare = replace(
        drawing,
        layers=tuple(
            replace(y, primitives=tuple(p for p in y.primitives if not isinstance(p, Text)))
            for y in drawing.layers
        ),
    )
    points = np.concatenate([s.at(np.linspace(0, 1, 721)) for y in bare.layers for s in stretches(y)])
    low, high = drawing_bounds(bare)
    corners = [points.real.min(), points.imag.min(), points.real.max(), points.imag.max()]
    assert [low.real, low.imag, high.real, high.imag] == pytest.approx(corners, abs=1e-6)


def test_bounds_of_an_arc_reach_its_quadrants():
    layer = draw_layout(lantern_layout()).layer("FORMER")
    arc = Path((Arc(0j, 1.0, -0.5, 1.0), Arc(0j, 1.0, 3.0, 0.5)))
    low, high = drawing_bounds(Drawing(title="", layers=(replace(layer, primitives=(arc,)),)))
    assert high.real == pytest.approx(1.0)
    assert low.real == pytest.approx(-1.0)
    assert hypot(high.real, high.imag) == pytest.approx(abs(1 + 1j * sin(0.5)))
    assert phase(complex(low.imag)) == pytest.approx(pi)


@pytest.mark.parametrize("topology", TOPOLOGIES)
def test_coil_outlines_enclose_the_judges_bundle(topology):
    """Against the overlap judge's own polygon: its chords (0.2 µm) cost up to 5e-5 of the area."""
    layout = lantern_layout(topology)
    outside, inside = draw_layout(layout).layer("COIL_OUTLINE").primitives[:2]
    areas = []
    for edge in (outside, inside):
        curve = circle(edge.center, edge.radius) if isinstance(edge, Circle) else edge.curve
        points = polyline(curve, step=1e-4, sagitta=1e-9)
        areas.append(Polygon(np.column_stack((points.real, points.imag))).area)
    assert areas[0] - areas[1] == pytest.approx(bundle_polygon(layout).area, rel=5e-5)


def test_a_missing_layer_is_a_key_error():
    with pytest.raises(KeyError, match="GHOST"):
        draw_layout(lantern_layout()).layer("GHOST")


@pytest.mark.parametrize("bore", [0.005, 0.010])
def test_a_ring_shows_its_hole_for_reference_and_keeps_its_letter_off_it(bore):
    ring = RingMagnet.of_grade(diameter=0.015, bore=bore, thickness=0.004, grade="N42")
    drawing = draw_layout(lantern_layout("wedge", magnet=ring))
    centres = drawing.layer("CENTER_MARKS")
    assert centres.description.endswith("; holes of rings")
    holes = [mark for mark in centres.primitives if isinstance(mark, Circle)]
    assert [hole.radius for hole in holes] == pytest.approx([bore / 2] * 8)
    assert sorted(phase(hole.center) for hole in holes) == pytest.approx(
        sorted(phase(rect(1, k * pi / 4)) for k in range(8))
    )
    assert {shape.radius for shape in drawing.layer("POCKETS_NORTH").primitives} == {0.0075}
    middles = [
        t.position + 0.5j * t.height for t in drawing.layer("POLES_NORTH").primitives if isinstance(t, Text)
    ]
    assert len(middles) == 4
    for middle in middles:
        assert min(abs(middle - hole.center) for hole in holes) > bore / 2 + 0.3e-3
