"""A serpentine's turns, and those of the skein it is made from: as long, each; and what pulled wire would do."""

from math import pi

import numpy as np
import pytest
from drawing_checks import dense
from family import three_serpentines
from layouts import lantern_layout
from scipy.optimize import minimize
from shapely import LineString, MultiPoint, Point

from geometry.coils.bundle import turn_positions
from geometry.curves.curve import curve_length, polyline
from geometry.machine.layout import Layout
from geometry.parts.skein import TIGHT, skein

LAYOUTS = {
    "lantern": lantern_layout(),
    "dense": dense("serpentine"),
    "wide": lantern_layout(width=0.006, peg_radius=0.0005, count=6, inner_radius=0.018, outer_radius=0.055),
    "four poles": lantern_layout(count=4, inner_radius=0.03),
}
each = pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)


@each
def test_every_turn_of_the_skein_is_as_long_as_its_turn_of_the_bundle(layout: Layout) -> None:
    made = skein(layout)
    assert made is not None
    offsets, _ = turn_positions(layout.winding.turns, layout.winding.width, layout.winding.height)
    for offset in sorted({float(u) for u in offsets}):
        model = float(curve_length(layout.topology.turn(layout.envelope, offset)))
        assert made.turn_length(offset) == pytest.approx(model, rel=1e-9)


@each
def test_wire_pulled_around_the_posts_takes_that_length(layout: Layout) -> None:
    """The shortest way around two discs is their convex hull's edge, by shapely; each turn lies on those before it."""
    made = skein(layout)
    assert made is not None
    for depth in (0.0, made.width / 2, made.width):
        posts = [
            Point(x, 0).buffer(made.post_diameter / 2 + depth, quad_segs=512) for x in (0, made.distance)
        ]
        pulled = MultiPoint([p for post in posts for p in post.exterior.coords]).convex_hull.length
        assert pulled == pytest.approx(made.turn_length(depth - made.width / 2), rel=1e-5)


def shortest_way(layout: Layout, step: float = 1e-3) -> np.ndarray:
    """Points of a wire pulled tight within the channel: string pulling, each point free across the bundle."""
    middle = polyline(layout.topology.turn(layout.envelope, 0.0), step=step, sagitta=2e-5)
    edge = [polyline_like(layout, middle, u) for u in (-1, 1)]
    half = layout.winding.width / 2
    across = (edge[1] - edge[0]) / (2 * half)

    def length(u: np.ndarray) -> tuple[float, np.ndarray]:
        points = middle + u * half * across
        chords = np.roll(points, -1) - points
        unit = chords / np.abs(chords)
        pulls = np.roll(unit, 1) - unit
        return float(np.abs(chords).sum()) * 1e3, (pulls.conj() * across).real * half * 1e3

    found = minimize(
        length, np.zeros(len(middle)), jac=True, method="L-BFGS-B", bounds=[(-1, 1)] * len(middle),
        options={"maxiter": 4000, "maxfun": 8000, "ftol": 1e-13, "gtol": 1e-9},
    )  # fmt: skip
    return middle + found.x * half * across


def polyline_like(layout: Layout, middle: np.ndarray, side: int) -> np.ndarray:
    """The points of one edge of the bundle nearest to those of the middle."""
    tangent = np.roll(middle, -1) - np.roll(middle, 1)
    out = 1j * tangent / np.abs(tangent)  # the way is clockwise, so its left is outside
    return middle + side * layout.winding.width / 2 * out


def around(points: np.ndarray) -> float:
    return float(np.abs(np.roll(points, -1) - points).sum())


def test_wire_pulled_within_the_channel_would_be_far_shorter_than_the_model() -> None:
    """Why nobody is told to pull there: it crosses from wall to wall in every leg."""
    layout = lantern_layout()
    pulled = shortest_way(layout)
    turn = float(curve_length(layout.topology.turn(layout.envelope, -layout.winding.width / 2)))
    assert around(pulled) < 0.93 * turn
    fine = polyline(layout.topology.turn(layout.envelope, 0.0), step=1e-4, sagitta=1e-7)
    middle = LineString([(z.real, z.imag) for z in fine])
    legs = [z for z in pulled if 0.033 < abs(z) < 0.035]
    assert len(legs) >= layout.carrier.count
    # all cross near the middle of the bundle there, where the model has turns up to 2 mm aside
    assert max(middle.distance(Point(z.real, z.imag)) for z in legs) < 0.4e-3


def test_the_skeins_measures() -> None:
    layout = lantern_layout()
    made = skein(layout)
    assert made is not None
    assert made.around == pytest.approx(2 * made.distance + pi * made.post_diameter)
    copper = layout.winding.turns * layout.winding.wire.overall_area
    assert made.height == pytest.approx(copper / 0.004 / TIGHT)
    assert made.width == layout.winding.width
    assert skein(lantern_layout("wedge")) is None
    halves = three_serpentines(stacking="interleaved", height=0.004)
    lower = skein(halves)
    assert lower is not None
    assert lower.height == pytest.approx(13 * halves.winding.wire.overall_area / 0.004 / TIGHT)
