from cmath import phase
from itertools import pairwise
from math import pi

import numpy as np
import pytest
from family import FAMILY
from layouts import lantern_layout
from shapely import LineString

from geometry.curves.curve import Arc
from geometry.drawing.connections import Tracks, connections, finish_angle
from geometry.drawing.layout_drawing import draw_layout
from geometry.drawing.primitives import Path, Text, point

TRACKS = Tracks(crossing=0.057, plain=0.060)
COILED = pytest.mark.parametrize("topology", ["wedge", "round"])


def starts(layout):
    """Start leads as drawn: the single straight lines of the layer of directions."""
    lines = [p for p in draw_layout(layout).layer("DIRECTION").primitives if isinstance(p, Path)]
    return [p for p in lines if len(p.curve) == 1]


def links(layout):
    return [p for p in draw_layout(layout).layer("CONNECTIONS").primitives if isinstance(p, Path)]


def polyline(path):
    points = np.concatenate([s.at(np.linspace(0, 1, 400)) for s in path.curve])
    return LineString(np.column_stack((points.real, points.imag)))


def begin(path):
    return point(path.curve[0].at(0))


def end(path):
    return point(path.curve[-1].at(1))


@COILED
def test_each_link_ends_where_the_next_start_lead_ends(topology):
    layout = lantern_layout(topology)
    leads = starts(layout)
    for link, lead in zip(links(layout), leads[1:], strict=False):
        assert abs(end(link) - end(lead)) < 1e-9
    assert len(links(layout)) == len(leads) == layout.coils


@COILED
def test_a_finish_stands_on_the_side_from_which_the_turn_comes_back(topology):
    """Sense +1 is wound clockwise from its outermost point, so it comes back at larger angles."""
    layout = lantern_layout(topology)
    for link, angle, sense in zip(links(layout), layout.order.axes, layout.order.senses, strict=True):
        aside = (phase(begin(link)) - angle + pi) % (2 * pi) - pi
        assert sense * aside == pytest.approx(3e-3 / 0.048, rel=1e-9)


@COILED
def test_the_only_crossings_are_bows_over_a_coils_own_start(topology):
    """Links cross no other link, and a start lead only where the coil is connected in reverse."""
    layout = lantern_layout(topology)
    lines, leads = [polyline(p) for p in links(layout)], [polyline(p) for p in starts(layout)]
    assert not any(a.intersects(b) for i, a in enumerate(lines) for b in lines[:i])
    for i, link in enumerate(lines):
        for j, lead in enumerate(leads):
            if j != i + 1:  # where it ends
                assert link.intersects(lead) == (i == j and layout.order.senses[i] < 0)
    bows = [s for p in links(layout) for s in p.curve if isinstance(s, Arc) and abs(point(s.center)) > 0]
    assert len(bows) == layout.coils // 2


def test_a_serpentine_has_one_finish_that_crosses_nothing():
    layout = lantern_layout()
    (finish,) = connections(layout, TRACKS)
    assert not polyline(finish).intersects(polyline(starts(layout)[0]))
    assert abs(end(finish)) == pytest.approx(0.060)


@pytest.mark.parametrize("topology", ["serpentine", "wedge", "round"])
def test_the_finish_is_named_where_it_is_led_out(topology):
    layout = lantern_layout(topology)
    (label,) = [p for p in draw_layout(layout).layer("CONNECTIONS").primitives if isinstance(p, Text)]
    assert label.text == "FINISH"
    last = end(links(layout)[-1])
    assert phase(last) == pytest.approx((finish_angle(layout) + pi) % (2 * pi) - pi)
    assert abs(label.position - last) < 5e-3


THREE = pytest.mark.parametrize(
    "name", ["nine wedges", "six wedges", "twelve rounds", "many rounds", "nine wedges on each side"]
)


@THREE
def test_links_of_each_phase_end_where_its_next_start_lead_ends(name):
    layout = FAMILY[name]
    leads, wires = starts(layout), links(layout)
    per_phase = layout.sectors // 3
    assert len(leads) == len(wires) == layout.sectors
    for index, link in enumerate(wires):
        if (index + 1) % per_phase:  # not the last of its phase
            assert abs(end(link) - end(leads[index + 1])) < 1e-9


@THREE
def test_wires_cross_nowhere_but_in_bows(name):
    layout = FAMILY[name]
    wires = [*links(layout), *starts(layout)]
    bows = [s for p in wires for s in p.curve if isinstance(s, Arc) and abs(point(s.center)) > 1e-9]
    lines = [polyline(p) for p in wires]
    crossings = [
        complex(z.x, z.y)
        for i, a in enumerate(lines)
        for b in lines[:i]
        for z in getattr(a.intersection(b), "geoms", [a.intersection(b)])
        if not z.is_empty
    ]
    joints = [end(p) for p in wires]
    free = [z for z in crossings if min(abs(z - joint) for joint in joints) > 1e-5]
    assert len(free) == len(bows)
    for crossing in free:
        assert min(abs(abs(crossing - point(s.center)) - float(s.radius)) for s in bows) < 1e-6


@THREE
def test_each_phase_has_a_start_and_a_finish_of_its_own(name):
    layout = FAMILY[name]
    drawing = draw_layout(layout)
    texts = [p.text for y in drawing.layers for p in y.primitives if isinstance(p, Text)]
    last = "TO SIDE 2" if layout.sides > 1 else "FINISH"
    for letter in "ABC":
        assert texts.count(f"{letter}1 START") == texts.count(f"{letter} {last}") == 1
        named = {text.split()[0] for text in texts if text[:1] == letter and text[1:2].isdigit()}
        assert named == {f"{letter}{number}" for number in range(1, layout.sectors // 3 + 1)}


def test_coils_of_a_phase_that_stand_together_follow_each_other():
    """Nine before eight: each phase is three neighbours, the middle one the other way round."""
    for members in FAMILY["nine wedges"].order.sides[0]:
        steps = [(b.angle - a.angle) % (2 * pi) for a, b in pairwise(members)]
        assert steps == pytest.approx([2 * pi / 9] * 2)
        assert [coil.sense for coil in members] == [-1, 1, -1]
