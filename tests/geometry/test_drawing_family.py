"""Drawings of three phases, facing carriers, two sides and steel."""

from cmath import phase
from itertools import combinations
from math import pi

import numpy as np
import pytest
from drawing_checks import boxes, doubled
from family import FAMILY, facing_wedges, three_serpentines, twelve_rounds
from layouts import lantern_layout

from geometry.curves.curve import polyline
from geometry.drawing.layout_drawing import draw_layout, draw_plate
from geometry.drawing.offset import with_kerf
from geometry.drawing.primitives import (
    Circle,
    Drawing,
    Path,
    Text,
    point,
)
from geometry.fit.judge import overlaps
from geometry.fit.rules import violations
from geometry.machine.filaments import phase_filaments
from geometry.machine.layout import Layout

each_of_family = pytest.mark.parametrize("name", FAMILY)


def drawings(layout: Layout) -> list[Drawing]:
    return [draw_layout(layout, side) for side in range(layout.sides)]


@each_of_family
def test_machines_of_the_family_fit(name):
    assert not violations(FAMILY[name])
    assert not overlaps(FAMILY[name])


@each_of_family
def test_no_line_of_the_family_is_doubled_within_a_layer(name):
    for drawing in drawings(FAMILY[name]):
        assert {y.name for y in drawing.layers if doubled([y])} == set()


@each_of_family
def test_each_phase_has_its_own_closed_outlines_and_line_style(name):
    layout = FAMILY[name]
    for drawing in drawings(layout):
        edges = [y for y in drawing.layers if y.name.startswith("COIL_OUTLINE")]
        shapes = [p for y in edges for p in y.primitives]
        assert all(isinstance(p, Circle) or p.closed for p in shapes)
        assert len(shapes) == 2 * layout.coils // layout.sides
        assert len({y.line for y in edges}) == layout.phases
        assert len({y.color for y in edges}) == layout.phases


@each_of_family
def test_texts_of_the_family_keep_clear_of_each_other(name):
    for drawing in drawings(FAMILY[name]):
        for (x0, y0, x1, y1), (u0, v0, u1, v1) in combinations(boxes(drawing), 2):
            assert x1 <= u0 or u1 <= x0 or y1 <= v0 or v1 <= y0


@each_of_family
def test_arrows_of_the_family_follow_the_filaments_of_their_phase(name):
    """On the second side those of its own filaments, mirrored, for it is seen from behind."""
    layout = FAMILY[name]
    for side, drawing in enumerate(drawings(layout)):
        turns = [f for phase in range(layout.phases) for f in phase_filaments(layout, phase)]
        below = [f for f in turns if (f.height < 0) == bool(side) and f.turn == 0]
        points = [polyline(f.curve, step=5e-4, sagitta=1e-6) for f in below]
        points = [z.conj() for z in points] if side else points
        starts = np.concatenate(points)
        along = np.concatenate([np.roll(z, -1) - z for z in points])
        paths = [p for p in drawing.layer("DIRECTION").primitives if isinstance(p, Path)]
        arrows = [p for p in paths if len(p.curve) == 2]
        assert len(arrows) == layout.topology.half_turns(layout.sectors) * (
            1 if layout.topology.concentrated else layout.phases
        )
        for arrow in arrows:
            tip = point(arrow.curve[0].at(1))
            forward = tip - (point(arrow.curve[0].at(0)) + point(arrow.curve[1].at(1))) / 2
            near = np.abs(starts - tip) < 3e-3
            agree = (forward * along[near].conj()).real / (abs(forward) * np.abs(along[near]))
            assert agree.max() > 0.9


@pytest.mark.parametrize("name", ["nine wedges on each side", "a serpentine on each side"])
def test_the_second_side_shows_the_other_poles_at_the_same_places(name):
    first, second = drawings(FAMILY[name])
    for pole, other in (("NORTH", "SOUTH"), ("SOUTH", "NORTH")):
        here = [p.center for p in second.layer(f"POCKETS_{pole}").primitives]
        there = [p.center.conjugate() for p in first.layer(f"POCKETS_{other}").primitives]
        assert np.allclose(sorted(here, key=phase_of), sorted(there, key=phase_of), atol=1e-9)


def phase_of(z: complex) -> float:
    return round(phase(z) % (2 * pi), 6)


def captions(layout: Layout) -> str:
    return " ".join(t.text for t in draw_layout(layout).layer("CAPTION").primitives)


def test_captions_tell_the_joint_the_stack_and_the_steel():
    assert "Delta: join A FINISH to B START" in captions(twelve_rounds())
    assert "Star: join A FINISH, B FINISH and C FINISH" in captions(three_serpentines())
    assert "Three bundles of 3 mm lie one above the other" in captions(three_serpentines())
    assert "each turned counter-clockwise by 30°" in captions(three_serpentines())
    halves = captions(three_serpentines(stacking="interleaved", height=0.004))
    assert "two halves of 13 and 12 turns, 2 mm high" in halves
    assert "where this one shows N, the other shows S to the coil" in captions(facing_wedges())
    assert "Steel plate, 3 mm thick" in captions(facing_wedges())


def test_the_template_names_every_layer_of_a_stack():
    """Beside each loop stand its phase and the layers that it is, counted from the magnets up."""
    for stacking, layers in (("interleaved", "A 1+6 B 2+5 C 3+4"), ("layered", "A 1 B 2 C 3")):
        layout = three_serpentines(stacking=stacking, height=0.004)
        told = {t.text for t in draw_layout(layout).layer("NUMBERS").primitives if isinstance(t, Text)}
        assert told == {f"{letter} {layer}" for letter, layer in zip(*[iter(layers.split())] * 2, strict=True)}
        assert "layers from the magnets up" in captions(layout)
    halves = captions(three_serpentines(stacking="interleaved", height=0.004))
    assert "B lies 30° counter-clockwise of A" in halves
    assert "Join the finish of each lower half to the start of the upper one" in halves


def test_a_steel_plate_is_drawn_to_cut_with_its_thickness():
    drawing = draw_plate(facing_wedges())
    assert drawing is not None
    assert drawing.layer("PLATE_OUTLINE").primitives == (Circle(0j, 0.055), Circle(0j, 0.015))
    words = [t.text for t in drawing.layer("CAPTION").primitives if isinstance(t, Text)]
    assert words[0] == "Mild steel, 3 mm thick, 2 pieces, 110 mm outer diameter, 30 mm bore"
    cut = with_kerf(drawing, 0.2e-3)
    radii = [p.radius for p in cut.layer("PLATE_OUTLINE").primitives if isinstance(p, Circle)]
    assert radii == pytest.approx([0.0551, 0.0149])
    assert draw_plate(lantern_layout()) is None
