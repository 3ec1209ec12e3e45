from cmath import phase
from math import pi

import numpy as np
import pytest
from layouts import lantern_layout
from shapely import LineString

from geometry.connections import Tracks, connections, finish_angle
from geometry.curve import Arc
from geometry.drawing import draw_layout
from geometry.filaments import coil_senses
from geometry.primitives import Path, Text, point

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
    for link, (angle, sense) in zip(links(layout), coil_senses(layout), strict=True):
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
                assert link.intersects(lead) == (i == j and coil_senses(layout)[i][1] < 0)
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
